"""Cheap proofs that a set of boxes does not fit a case.

Each bound forgets part of the problem, so what it refuses is truly impossible. All of them hold
for every allowed turn of every box:

- volume, and pairs of boxes that cannot lie beside each other on any axis;
- reachable lengths (normal patterns): J. C. Herz, IBM Journal of Research and Development 16
  (1972): pushed towards the origin, every box ends at a sum of side lengths, so room beyond the
  largest such sum is of no use;
- dual feasible functions, see `scaling`;
- fragile boxes: nothing lies above one, so their own plan views do not overlap each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from packer.geometry.items import Item, Sides, turns, turns_inside
from packer.geometry.scaling import CHEAP_LOOKS, fewest_bins


def refused(inside: Sides, items: Sequence[Item], clearance_mm: int) -> str | None:
    """Why these items cannot all be in a case of this inside size, or None if unknown."""
    sizes = [turns_inside(item, inside, clearance_mm) for item in items]
    if not all(sizes):
        return "an item is larger than the case"
    volume = sum(_volume(of[0]) for of in sizes)
    if volume > _volume(inside):
        return "volume"
    if volume > _volume_of_reach(inside, sizes):
        return "volume of the lengths that can be reached"
    if _excluded_pair(inside, sizes):
        return "two items that exclude each other"
    if fewest_bins(inside, sizes, 2, CHEAP_LOOKS) > 1:
        return "dual feasible functions"
    return "plan views of fragile items" if _fragile_crowd(inside, items, clearance_mm) else None


def _volume(sides: Sides) -> int:
    return sides[0] * sides[1] * sides[2]


def _excluded_pair(inside: Sides, sizes: Sequence[tuple[Sides, ...]]) -> bool:
    different = sorted(set(sizes))
    pairs = list(combinations(different, 2)) + [(of, of) for of in different if sizes.count(of) > 1]
    return any(not _pair_fits(inside, one, other) for one, other in pairs)


def _pair_fits(inside: Sides, one: Sequence[Sides], other: Sequence[Sides]) -> bool:
    """Whether two boxes can lie beside each other on some axis in some turns."""
    return any(min(s[a] for s in one) + min(s[a] for s in other) <= inside[a] for a in range(3))


def reach(room: int, choices: Sequence[Sequence[int]]) -> int:
    """The largest sum within `room` of at most one length from each of `choices`."""
    mask = (1 << (room + 1)) - 1
    sums = 1
    for lengths in choices:
        before = sums
        for length in lengths:
            sums |= before << length
        sums &= mask
    return sums.bit_length() - 1


def _volume_of_reach(inside: Sides, sizes: Sequence[Sequence[Sides]]) -> int:
    lengths = [[sorted({s[axis] for s in of}) for of in sizes] for axis in range(3)]
    return (
        reach(inside[0], lengths[0]) * reach(inside[1], lengths[1]) * reach(inside[2], lengths[2])
    )


def flat_turns(inside: Sides, item: Item, clearance_mm: int) -> tuple[Sides, tuple[Sides, ...]]:
    """A plan, and own plan views in it: those of fragile items are disjoint.

    Own sizes end one clearance before the wall. The third length is 1.
    """
    room = (inside[0] - clearance_mm, inside[1] - clearance_mm, 1)
    own = {
        (a, b, 1)
        for a, b, c in turns(item.sides_mm, item.upright)
        if a <= room[0] and b <= room[1] and c + clearance_mm <= inside[2]
    }
    return room, tuple(sorted(own))


def _fragile_crowd(inside: Sides, items: Sequence[Item], clearance_mm: int) -> bool:
    flats = [flat_turns(inside, item, clearance_mm) for item in items if item.fragile]
    if len(flats) < 2:
        return False
    return fewest_bins(flats[0][0], [views for _, views in flats], 2, CHEAP_LOOKS) > 1
