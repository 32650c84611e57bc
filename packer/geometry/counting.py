"""How many identical things a case holds: a number that surely fits, and one that is never passed.

In: inside size, item, clearance. Out: `Count`. The upper figure is the least over all triples of
dual feasible functions (see `scaling`); a fragile thing has also the plan view: own plan views of
fragile things never overlap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from packer.geometry.bounds import flat_turns
from packer.geometry.compiling import jit
from packer.geometry.items import Item, Sides, grown, turns_inside
from packer.geometry.kernel import ANY, UPRIGHT, pack_kernel
from packer.geometry.scaling import scales, tables
from packer.geometry.spaces import NOWHERE, Ints, as_ints

_MOST_SEARCHED = 60


@dataclass(frozen=True, slots=True)
class Count:
    """`found` things fit for sure; more than `most` never do."""

    found: int
    most: int


def max_count(inside: Sides, item: Item, clearance_mm: int, effort: int = 20_000) -> Count:
    """Bounds on how many of `item` one case holds. `effort`: for each number tried."""
    sizes = turns_inside(item, inside, clearance_mm)
    if not sizes:
        return Count(0, 0)
    most = most_alike(inside, item, clearance_mm)
    found = max(_grid(inside, size, item.fragile) for size in sizes)
    while found < min(most, _MOST_SEARCHED) and _search(
        inside, item, clearance_mm, found + 1, effort
    ):
        found += 1
    return Count(found, most)


def most_alike(inside: Sides, item: Item, clearance_mm: int) -> int:
    """The upper figure of `max_count` alone: more never fit."""
    sizes = turns_inside(item, inside, clearance_mm)
    if not sizes:
        return 0
    most = _most(inside, sizes)
    if item.fragile:
        most = min(most, _most(*flat_turns(inside, item, clearance_mm)))
    return most


def _grid(inside: Sides, size: Sides, fragile: bool) -> int:
    high = 1 if fragile else inside[2] // size[2]
    return (inside[0] // size[0]) * (inside[1] // size[1]) * high


def _search(inside: Sides, item: Item, clearance_mm: int, count: int, effort: int) -> bool:
    size = grown(item.sides_mm, clearance_mm)
    return pack_kernel(
        as_ints(inside),
        as_ints([size] * count),
        np.full(count, UPRIGHT if item.upright else ANY, dtype=np.int64),
        np.full(count, int(item.fragile), dtype=np.int64),
        0,
        effort,
        np.empty((count, 6), dtype=np.int64),
    )


def _most(inside: Sides, sizes: tuple[Sides, ...]) -> int:
    lengths = [sorted({s[axis] for s in sizes}) for axis in range(3)]
    of_axis = [scales(inside[axis], lengths[axis]) for axis in range(3)]
    rows = [[lengths[axis].index(s[axis]) for axis in range(3)] for s in sizes]
    return copies(*tables(of_axis), as_ints(rows))


@jit
def copies(fx: Ints, fy: Ints, fz: Ints, wx: Ints, wy: Ints, wz: Ints, rows: Ints) -> int:
    """The least, over triples of functions, of the case's value by that of one thing."""
    most = NOWHERE
    for i in range(wx.shape[0]):
        for j in range(wy.shape[0]):
            for k in range(wz.shape[0]):
                least = NOWHERE
                for row in range(rows.shape[0]):
                    a, b, c = rows[row, 0], rows[row, 1], rows[row, 2]
                    least = min(least, fx[i, a] * fy[j, b] * fz[k, c])
                if least > 0:
                    most = min(most, wx[i] * wy[j] * wz[k] // least)
    return most
