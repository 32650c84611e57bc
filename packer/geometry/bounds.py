"""Cheap proofs that a set of boxes does not fit a case.

Each bound forgets part of the problem (first of all the fragile rule), so what it refuses is truly
impossible. All of them hold for every allowed turn of every box. Sources:

- dual feasible functions: S. P. Fekete and J. Schepers, "A general framework for bounds for
  higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60
  (2004): on each axis a function f with sum f(x_i) <= f(L) whenever sum x_i <= L turns the
  volume bound into a stronger one;
- reachable lengths (normal patterns): J. C. Herz, IBM Journal of Research and Development 16
  (1972): pushed towards the origin, every box ends at a sum of side lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from packer.geometry.compiling import jit
from packer.geometry.items import Item, Sides, turns_inside
from packer.geometry.spaces import NOWHERE, Ints, as_ints

Scale = tuple[list[int], int]

_MOST_PARTS = 4
_MOST_LOOKS = 2_000_000
"""Products of three functions, by turn, to look at: about 4 ms."""


def refused(inside: Sides, items: Sequence[Item], clearance_mm: int) -> str | None:
    """Why these items cannot all be in a case of this inside size, or None if unknown."""
    sizes = [turns_inside(item, inside, clearance_mm) for item in items]
    if not sizes:
        return None
    if not all(sizes):
        return "an item is larger than the case"
    if sum(_volume(of[0]) for of in sizes) > _volume(inside):
        return "volume"
    if _volume_of_reach(inside, sizes) < sum(_volume(of[0]) for of in sizes):
        return "volume of the lengths that can be reached"
    if any(not _pair_fits(inside, a, b) for a, b in combinations(set(sizes), 2)) or any(
        not _pair_fits(inside, of, of) for of in set(sizes) if sizes.count(of) > 1
    ):
        return "two items that exclude each other"
    return "dual feasible functions" if _scaled_volume_exceeds(inside, sizes) else None


def _volume(sides: Sides) -> int:
    return sides[0] * sides[1] * sides[2]


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


def stepped(x: int, room: int, threshold: int) -> int:
    """f(x): lengths below `threshold` vanish, those above room - threshold count as the room."""
    if x > room - threshold:
        return room
    return 0 if x < threshold else x


def counted(x: int, room: int, parts: int) -> int:
    """f(x), out of parts * room: lengths rounded to parts of the room (u^(k) of the source)."""
    if x * (parts + 1) % room == 0:
        return x * parts
    return x * (parts + 1) // room * room


def halved(x: int, room: int, threshold: int) -> int:
    """f(x), out of room // threshold: what remains beside a length above half (phi)."""
    whole = room // threshold
    if 2 * x > room:
        return whole - (room - x) // threshold
    return 1 if x >= threshold else 0


def scales(room: int, lengths: Sequence[int]) -> list[Scale]:
    """Different dual feasible functions as (value for each of `lengths`, value of the room)."""
    marks = sorted({x for x in lengths if 2 * x <= room} | {room - x + 1 for x in lengths})
    thresholds = [p for p in marks if 0 < 2 * p <= room]
    made = [(list(lengths), room)]
    made += [([counted(x, room, k) for x in lengths], k * room) for k in range(1, _MOST_PARTS + 1)]
    made += [([stepped(x, room, p) for x in lengths], room) for p in thresholds]
    made += [([halved(x, room, p) for x in lengths], room // p) for p in thresholds]
    return list({(tuple(values), whole): (values, whole) for values, whole in made}.values())


def _scaled_volume_exceeds(inside: Sides, sizes: Sequence[Sequence[Sides]]) -> bool:
    lengths = [sorted({s[axis] for of in sizes for s in of}) for axis in range(3)]
    rows = [[lengths[axis].index(s[axis]) for axis in range(3)] for of in sizes for s in of]
    most = max(4, round((_MOST_LOOKS / len(rows)) ** (1 / 3)))
    of_axis = [_thinned(scales(inside[axis], lengths[axis]), most) for axis in range(3)]
    return bool(
        exceeds(
            *tables(of_axis),
            as_ints(rows).reshape(-1, 3),
            as_ints([len(of) for of in sizes]),
        )
    )


def _thinned(of_axis: list[Scale], most: int) -> list[Scale]:
    """At most `most` of the functions, evenly spread, the first always among them."""
    step = max(1, -(-len(of_axis) // most))
    return of_axis[::step]


def tables(of_axis: Sequence[Sequence[Scale]]) -> tuple[Ints, Ints, Ints, Ints, Ints, Ints]:
    """Functions by axis as arrays: values on the three axes, then values of the room."""
    x, y, z = (as_ints([values for values, _ in of]) for of in of_axis)
    wx, wy, wz = (as_ints([whole for _, whole in of]) for of in of_axis)
    return x, y, z, wx, wy, wz


@jit
def exceeds(
    fx: Ints, fy: Ints, fz: Ints, wx: Ints, wy: Ints, wz: Ints, rows: Ints, counts: Ints
) -> bool:
    """Whether for some triple of functions the scaled volumes sum to more than the case's.

    fx, fy, fz: values by function and length; wx, wy, wz: value of the room by function; rows:
    for each turn of each item the index of its length on each axis; counts: turns by item.
    """
    for i in range(wx.shape[0]):
        for j in range(wy.shape[0]):
            for k in range(wz.shape[0]):
                left = wx[i] * wy[j] * wz[k]
                row = 0
                for item in range(counts.shape[0]):
                    least = NOWHERE
                    for _ in range(counts[item]):
                        a, b, c = rows[row, 0], rows[row, 1], rows[row, 2]
                        least = min(least, fx[i, a] * fy[j, b] * fz[k, c])
                        row += 1
                    left -= least
                    if left < 0:
                        return True
    return False
