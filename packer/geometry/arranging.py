"""From a packing that exists to one that people can build and carry.

In: inside size, items with weights, places that fit. Out: places with the heavy things low, the
centre of gravity near the middle, and no object resting on less than two thirds of its base where
a better place was found; and an order in which each object is lowered straight in from the top.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from packer.geometry.building import improve_kernel
from packer.geometry.items import Item, Place, Sides, grown, turns
from packer.geometry.kernel import ANY, UPRIGHT
from packer.geometry.spaces import Ints, as_ints

ARRANGE_EFFORT = 400_000
"""Looks at empty spaces: some 10 to 20 ms for ten objects."""


class Arrangement(NamedTuple):
    """Places in the order of the items; `order[k]` is the index of the k-th item to pack."""

    places: tuple[Place, ...]
    order: tuple[int, ...]


def arrange(
    inside: Sides,
    items: Sequence[Item],
    clearance_mm: int,
    places: Sequence[Place],
    seed: int = 0,
    effort: int = ARRANGE_EFFORT,
) -> Arrangement:
    """Improve `places`, a known packing of `items` in a case. Never makes it worse or invalid."""
    if not items:
        return Arrangement((), ())
    corners = _corners(places, clearance_mm)
    improve_kernel(
        as_ints(inside),
        as_ints([grown(item.sides_mm, clearance_mm) for item in items]),
        as_ints([UPRIGHT if item.upright else ANY for item in items]),
        as_ints([int(item.fragile) for item in items]),
        as_ints(_weights(items)),
        clearance_mm,
        seed,
        effort,
        corners,
    )
    better = _swap_heavy_down(items, _places(corners, clearance_mm))
    return Arrangement(tuple(better), lowering_order(better))


def lowering_order(places: Sequence[Place]) -> tuple[int, ...]:
    """An order of packing in which every object comes straight down past nothing.

    What lies above another starts above the other's top, so from the lowest bottom upwards each
    object's way down is free; at equal height from the far left corner to the near right one.
    """
    keys = [(p.at_mm[2], p.at_mm[1], p.at_mm[0]) for p in places]
    return tuple(sorted(range(len(keys)), key=keys.__getitem__))


def _weights(items: Sequence[Item]) -> list[int]:
    """Weights in g; by volume where none is known."""
    if any(item.weight_g for item in items):
        return [item.weight_g for item in items]
    return [int(np.prod(item.sides_mm)) // 1000 + 1 for item in items]


def _corners(places: Sequence[Place], clearance_mm: int) -> Ints:
    at = as_ints([p.at_mm for p in places])
    size = as_ints([p.size_mm for p in places])
    return np.hstack([at, at + size + clearance_mm])


def _places(corners: Ints, clearance_mm: int) -> list[Place]:
    return [
        Place(
            (x, y, z), (right - x - clearance_mm, back - y - clearance_mm, top - z - clearance_mm)
        )
        for x, y, z, right, back, top in corners.tolist()
    ]


def _swap_heavy_down(items: Sequence[Item], places: list[Place]) -> list[Place]:
    """Among objects that can take each other's places, the heavier lie lower."""
    better = list(places)
    for k, one in enumerate(items):
        for m, other in enumerate(items):
            if (
                one.weight_g > other.weight_g
                and better[k].at_mm[2] > better[m].at_mm[2]
                and one.fragile == other.fragile
                and better[k].size_mm == better[m].size_mm
                and better[m].size_mm in turns(one.sides_mm, one.upright)
                and better[k].size_mm in turns(other.sides_mm, other.upright)
            ):
                better[k], better[m] = better[m], better[k]
    return better
