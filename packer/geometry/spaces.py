"""Maximal empty spaces of a partly filled box, compiled.

What is still free is kept as the list of all largest empty axis-parallel boxes (they overlap).
Source of the idea: K. K. Lai and J. W. M. Chan, "Developing a simulated annealing algorithm for
the cutting stock problem", Computers & Industrial Engineering 32 (1997), the difference process;
used for three dimensions by F. Parreño and others, INFORMS Journal on Computing 20 (2008).

A space and a box are rows of six integers, mm: x1, y1, z1, x2, y2, z2. `spaces` has CAPACITY
rows, of which the first `count` are in use. Spaces beyond the capacity are forgotten: a packing
may be missed, never falsely found.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from packer.geometry.compiling import jit

Ints = npt.NDArray[Any]
"""64-bit integers; typed loosely, since compiled code is typed by its compiler."""

CAPACITY = 400
NOWHERE = 2**62

RULES = 5
"""Ways to choose a place: 0 lowest, 1 and 2 along a wall, 3 tightest, 4 nearest the corner."""


@jit
def start(spaces: Ints, inside: Ints) -> int:
    """Make `spaces` the one empty box of size `inside`; return the count, 1."""
    for axis in range(3):
        spaces[0, axis] = 0
        spaces[0, axis + 3] = inside[axis]
    return 1


@jit
def meets(space: Ints, box: Ints) -> bool:
    """Whether two boxes share volume."""
    for axis in range(3):
        if box[axis] >= space[axis + 3] or box[axis + 3] <= space[axis]:
            return False
    return True


@jit
def holds(outer: Ints, inner: Ints) -> bool:
    """Whether `inner` lies within `outer`."""
    for axis in range(3):
        if inner[axis] < outer[axis] or inner[axis + 3] > outer[axis + 3]:
            return False
    return True


@jit
def cut(space: Ints, box: Ints, least: Ints, fresh: Ints, made: int) -> int:
    """Append to `fresh` what is left of `space` around `box`, where at least `least` wide."""
    for axis in range(3):
        for side in range(2):
            low, high = space[axis], space[axis + 3]
            if side == 0:
                high = min(high, box[axis])
            else:
                low = max(low, box[axis + 3])
            if high - low < least[axis] or made >= fresh.shape[0]:
                continue
            for k in range(6):
                fresh[made, k] = space[k]
            fresh[made, axis] = low
            fresh[made, axis + 3] = high
            made += 1
    return made


@jit
def fill(spaces: Ints, count: int, box: Ints, least: Ints, fresh: Ints) -> int:
    """Take `box` out of the free space; return the new count.

    `least`: the smallest length on each axis of anything still to come (1 where unknown);
    narrower spaces are dropped. `fresh` is scratch of CAPACITY rows.
    """
    kept = 0
    made = 0
    for s in range(count):
        if meets(spaces[s], box):
            made = cut(spaces[s], box, least, fresh, made)
        else:
            if kept != s:
                for k in range(6):
                    spaces[kept, k] = spaces[s, k]
            kept += 1
    return merge(spaces, kept, fresh, made)


@jit
def merge(spaces: Ints, kept: int, fresh: Ints, made: int) -> int:
    """Append those of `fresh` that lie in no other space; return the new count."""
    count = kept
    for f in range(made):
        inner = fresh[f]
        needless = False
        for s in range(kept):
            if holds(spaces[s], inner):
                needless = True
                break
        if not needless:
            for g in range(made):
                if g != f and holds(fresh[g], inner) and (g < f or not holds(inner, fresh[g])):
                    needless = True
                    break
        if not needless and count < spaces.shape[0]:
            for k in range(6):
                spaces[count, k] = inner[k]
            count += 1
    return count


@jit
def score(space: Ints, size: Ints, rule: int) -> int:
    """How bad the origin corner of `space` is for a box of `size`; smaller is better."""
    x, y, z = space[0], space[1], space[2]
    if rule == 0:
        return int((z << 40) + (y << 20) + x)
    if rule == 1:
        return int((x << 40) + (z << 20) + y)
    if rule == 2:
        return int((y << 40) + (z << 20) + x)
    if rule == 3:
        dx = space[3] - x - size[0]
        dy = space[4] - y - size[1]
        dz = space[5] - z - size[2]
        return int((min(dx, dy, dz) << 40) + (z << 20) + x + y)
    right, back, top = x + size[0], y + size[1], z + size[2]
    return int(((right * right + back * back + top * top) << 20) + z)


@jit
def seek(
    spaces: Ints, count: int, turned: Ints, turns: int, rule: int, ceiling: int, box: Ints
) -> int:
    """Find the best place for a box in any of its turns; write it to `box`, return its score.

    `turned`: rows of sizes, the first `turns` in use. `ceiling`: 0, or the inside height for a
    fragile box, which then takes all above it too. NOWHERE if there is no place.
    """
    best = NOWHERE
    for t in range(turns):
        size = turned[t]
        for s in range(count):
            space = spaces[s]
            if (
                size[0] > space[3] - space[0]
                or size[1] > space[4] - space[1]
                or size[2] > space[5] - space[2]
                or (ceiling > 0 and space[5] < ceiling)
            ):
                continue
            value = score(space, size, rule)
            if value < best:
                best = value
                for axis in range(3):
                    box[axis] = space[axis]
                    box[axis + 3] = space[axis] + size[axis]
    return best


def new_spaces() -> Ints:
    """Room for a list of spaces (or scratch)."""
    return np.empty((CAPACITY, 6), dtype=np.int64)


def as_ints(values: Any) -> Ints:
    """A C-ordered array of 64-bit integers, the only kind the kernels take."""
    return np.ascontiguousarray(values, dtype=np.int64)
