"""Third-order intermodulation of a set of fixed frequencies.

What comes in: frequencies in kHz. What goes out: the products, and how close they come to the
set's own members. Exact arithmetic of a textbook formula (2a - b and a + b - c).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations


@dataclass(frozen=True, slots=True, order=True)
class Product:
    """A third-order product in kHz and the frequencies that make it: two or three of them."""

    khz: int
    made_of: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """A product near a member of the set: how far away in kHz."""

    product: Product
    member_khz: int

    @property
    def distance_khz(self) -> int:
        """0 where the product falls on the member."""
        return abs(self.product.khz - self.member_khz)


def third_order(frequencies_khz: Iterable[int]) -> tuple[Product, ...]:
    """All products 2a - b and a + b - c of different members, above 0 kHz, lowest first."""
    members = sorted(set(frequencies_khz))
    two = (Product(2 * a - b, (a, b)) for a, b in permutations(members, 2))
    three = (
        Product(a + b - c, (a, b, c))
        for a, b in combinations(members, 2)
        for c in members
        if c not in (a, b)
    )
    return tuple(sorted(product for product in (*two, *three) if product.khz > 0))


def hits(frequencies_khz: Sequence[int], closer_than_khz: int) -> tuple[Hit, ...]:
    """Products closer than that to a member of the set that is not one of their own makers."""
    members = sorted(set(frequencies_khz))
    found = (
        Hit(product, member)
        for product in third_order(members)
        for member in members
        if member not in product.made_of
    )
    return tuple(hit for hit in found if hit.distance_khz < closer_than_khz)


def nearest_khz(frequencies_khz: Sequence[int]) -> int | None:
    """The smallest distance of any product from any member; None for fewer than two members."""
    members = sorted(set(frequencies_khz))
    distances = (abs(p.khz - member) for p in third_order(members) for member in members)
    return min(distances, default=None)
