"""What the packing core is asked about and what it answers. All lengths are integers in mm."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import permutations

from packer.model.plan import Place as Place

Sides = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Item:
    """A rigid thing to place: own length, width and height, without clearance.

    `upright`: the height stays vertical. `fragile`: nothing lies above it. `weight_g` matters to
    `arrange` alone.
    """

    sides_mm: Sides
    upright: bool = False
    fragile: bool = False
    weight_g: int = 0

    def __post_init__(self) -> None:
        if min(self.sides_mm) <= 0:
            raise ValueError(f"lengths must be above 0 mm, not {self.sides_mm}")


class Verdict(Enum):
    """YES: places are known. NO: proved that there are none. UNKNOWN: neither."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Fit:
    """An answer; with YES, one place for each item in the order asked."""

    verdict: Verdict
    places: tuple[Place, ...] | None = None


def grown(sides_mm: Sides, clearance_mm: int) -> Sides:
    """The lengths, each grown once by the clearance (contract, section 5.7)."""
    length, width, height = sides_mm
    return (length + clearance_mm, width + clearance_mm, height + clearance_mm)


def turns(sides: Sides, upright: bool) -> tuple[Sides, ...]:
    """The different sizes a thing can take when turned: up to two upright, else up to six."""
    length, width, height = sides
    if upright:
        return tuple(sorted({(length, width, height), (width, length, height)}))
    return tuple(sorted({(a, b, c) for a, b, c in permutations(sides)}))


def turns_inside(item: Item, inside: Sides, clearance_mm: int) -> tuple[Sides, ...]:
    """The grown sizes of `item`, as turned, that are within `inside` by themselves."""
    sizes = turns(grown(item.sides_mm, clearance_mm), item.upright)
    return tuple(t for t in sizes if all(a <= b for a, b in zip(t, inside, strict=True)))


def plain(item: Item) -> Item:
    """The same thing as far as fitting is concerned: sides in a standard order, no weight."""
    length, width, height = item.sides_mm
    if item.upright:
        sides = (min(length, width), max(length, width), height)
    else:
        short, middle, long = sorted(item.sides_mm)
        sides = (short, middle, long)
    return Item(sides, item.upright, item.fragile)
