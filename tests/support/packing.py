"""A checker of packings and makers of instances that share no code with the packing core."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations, product

from packer.geometry import Item
from packer.model.plan import Place

Sides = tuple[int, int, int]


def faults(
    places: Sequence[Place], items: Sequence[Item], inside: Sides, clearance_mm: int
) -> list[str]:
    """What these places break of the contract's sections 2.4 and 5.7, in words."""
    found = []
    for k, (place, item) in enumerate(zip(places, items, strict=True)):
        allowed = (
            {item.sides_mm, (item.sides_mm[1], item.sides_mm[0], item.sides_mm[2])}
            if item.upright
            else set(permutations(item.sides_mm))
        )
        if place.size_mm not in allowed:
            found.append(f"{k} turned to {place.size_mm}")
        ends = [
            at + size + clearance_mm for at, size in zip(place.at_mm, place.size_mm, strict=True)
        ]
        if min(place.at_mm) < 0 or any(end > room for end, room in zip(ends, inside, strict=True)):
            found.append(f"{k} outside")
    for k in range(len(places)):
        found += [
            f"{m} and {k} overlap" for m in range(k) if _meet(places[k], places[m], clearance_mm)
        ]
    for k, item in enumerate(items):
        if item.fragile:
            found += [f"{m} above fragile {k}" for m in above(places, k)]
    return found


def _meet(one: Place, other: Place, clearance_mm: int) -> bool:
    return all(shared(one, other, axis, clearance_mm) > 0 for axis in range(3))


def shared(one: Place, other: Place, axis: int, clearance_mm: int = 0) -> int:
    """How much of an axis two places share, with the clearance added to each; mm."""
    high = min(p.at_mm[axis] + p.size_mm[axis] + clearance_mm for p in (one, other))
    return high - max(p.at_mm[axis] for p in (one, other))


def above(places: Sequence[Place], k: int) -> list[int]:
    """Which places start at or above the top of the k-th and overlap it in plan view."""
    top = places[k].at_mm[2] + places[k].size_mm[2]
    return [
        m
        for m, place in enumerate(places)
        if m != k
        and place.at_mm[2] >= top
        and shared(place, places[k], 0) > 0
        and shared(place, places[k], 1) > 0
    ]


def cut_up(rng: random.Random, inside: Sides, count: int, least: int) -> list[Sides]:
    """Guillotine-cut a case into boxes of at least `least` on a side: they fill it exactly."""
    parts = [inside]
    while len(parts) < count:
        open_to = [(k, a) for k, p in enumerate(parts) for a in range(3) if p[a] >= 2 * least]
        if not open_to:
            break
        k, axis = rng.choices(open_to, [_volume(parts[k]) for k, _ in open_to])[0]
        whole = parts.pop(k)
        at = rng.randint(least, whole[axis] - least)
        for side in (at, whole[axis] - at):
            new = list(whole)
            new[axis] = side
            parts.append((new[0], new[1], new[2]))
    return parts


def _volume(sides: Sides) -> int:
    return sides[0] * sides[1] * sides[2]


@dataclass(frozen=True)
class _Option:
    """One way to place one thing: its cells with clearance, its own plan view, heights."""

    cells: int
    plan: int
    bottom: int
    top: int
    fragile: bool


def packable(items: Sequence[Item], inside: Sides, clearance_mm: int) -> bool:
    """Whether the items fit, by trying every turn at every whole corner; for tiny cases only."""
    options = sorted((_options(item, inside, clearance_mm) for item in items), key=len)

    def put(k: int, placed: tuple[_Option, ...]) -> bool:
        return k == len(options) or any(
            all(_agree(new, old) for old in placed) and put(k + 1, (*placed, new))
            for new in options[k]
        )

    return put(0, ())


def _agree(one: _Option, other: _Option) -> bool:
    if one.cells & other.cells:
        return False
    if not one.plan & other.plan:
        return True
    low, high = (one, other) if one.bottom < other.bottom else (other, one)
    return not (low.fragile and high.bottom >= low.top)


def _options(item: Item, inside: Sides, clearance_mm: int) -> list[_Option]:
    length, width, height = item.sides_mm
    upright = {(length, width, height), (width, length, height)}
    found = []
    for size in upright if item.upright else set(permutations(item.sides_mm)):
        free = [range(r - s - clearance_mm + 1) for r, s in zip(inside, size, strict=True)]
        for x, y, z in product(*free):
            own = [range(at, at + side) for at, side in zip((x, y, z), size, strict=True)]
            grown = [range(of.start, of.stop + clearance_mm) for of in own]
            cells = sum(1 << (a + 16 * (b + 16 * c)) for a, b, c in product(*grown))
            plan = sum(1 << (a + 16 * b) for a, b in product(own[0], own[1]))
            found.append(_Option(cells, plan, z, z + size[2], item.fragile))
    return found
