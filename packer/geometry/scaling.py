"""Dual feasible functions: volume bounds that know about lengths.

On each axis a function f with sum f(x_i) <= f(L) whenever sum x_i <= L turns the volume bound into
a stronger one, also when boxes may be turned: each counts with its smallest value over its turns.
Source: S. P. Fekete and J. Schepers, "A general framework for bounds for higher-dimensional
orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004). All values are
integers: each function comes with its value of the whole room.

In: inside size and, for each box, the sizes of its turns. Out: a number of bins that is needed.
"""

from __future__ import annotations

from collections.abc import Sequence

from packer.geometry.compiling import jit
from packer.geometry.items import Sides
from packer.geometry.spaces import NOWHERE, Ints, as_ints

Scale = tuple[list[int], int]

_MOST_PARTS = 4
CHEAP_LOOKS = 2_000_000
"""Products of three functions, by turn, to look at: about 4 ms."""


def fewest_bins(
    inside: Sides,
    sizes: Sequence[Sequence[Sides]],
    enough: int = NOWHERE,
    looks: int = 20 * CHEAP_LOOKS,
) -> int:
    """A number of bins of size `inside` without which the boxes cannot be packed.

    `sizes`: for each box the sizes of its turns. Stops looking for more at `enough`; `looks`
    limits the functions tried.
    """
    if not sizes:
        return 0
    lengths = [sorted({s[axis] for of in sizes for s in of}) for axis in range(3)]
    index = [{x: k for k, x in enumerate(of)} for of in lengths]
    rows = [[index[axis][s[axis]] for axis in range(3)] for of in sizes for s in of]
    most = max(4, round((looks / len(rows)) ** (1 / 3)))
    of_axis = [_thinned(scales(inside[axis], lengths[axis]), most) for axis in range(3)]
    return fewest(*tables(of_axis), as_ints(rows), as_ints([len(of) for of in sizes]), enough)


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
def fewest(
    fx: Ints,
    fy: Ints,
    fz: Ints,
    wx: Ints,
    wy: Ints,
    wz: Ints,
    rows: Ints,
    counts: Ints,
    enough: int,
) -> int:
    """The largest, over triples of functions, of the boxes' value by the bin's, rounded up.

    fx, fy, fz: values by function and length; wx, wy, wz: value of the room by function; rows:
    for each turn of each box the index of its length on each axis; counts: turns by box.
    """
    best = 0
    for i in range(wx.shape[0]):
        for j in range(wy.shape[0]):
            for k in range(wz.shape[0]):
                whole = wx[i] * wy[j] * wz[k]
                total = 0
                row = 0
                for box in range(counts.shape[0]):
                    least = NOWHERE
                    for _ in range(counts[box]):
                        a, b, c = rows[row, 0], rows[row, 1], rows[row, 2]
                        least = min(least, fx[i, a] * fy[j, b] * fz[k, c])
                        row += 1
                    total += least
                best = max(best, (total + whole - 1) // whole)
                if best >= enough:
                    return int(best)
    return int(best)
