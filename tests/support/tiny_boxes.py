"""Boxes of a few millimetres for a case of 4 x 4 x 3 mm: small enough to try every place."""

from __future__ import annotations

from random import Random

from packer.decide.problem import Problem, build
from packer.geometry import Item
from packer.model.solving import Wishes
from packer.model.trip import Box, Gear
from support.by_hand import crate, thing, trip_of
from support.packing import packable

INSIDE = (4, 4, 3)
LINES = 6


def tiny_problem(seed: int, clearance_mm: int = 0, cases: int = 1) -> Problem:
    """Six lines of four boxes each, some upright, some fragile, and like cases."""
    rng = Random(seed)
    lines = [
        thing(f"L{n}", 4, rng.randint(1, 3) * 100,
              size=Box(*(rng.randint(1, 4) for _ in range(2)), rng.randint(1, 3)),
              upright=rng.random() < 0.3, fragile=rng.random() < 0.3)
        for n in range(LINES)
    ]  # fmt: skip
    crates = [crate(f"C{n}", Box(*INSIDE)) for n in range(cases)]
    return build(trip_of(lines, crates, clearance_mm=clearance_mm), Wishes())


def fits(problem: Problem, units: tuple[int, ...]) -> bool:
    """Whether these units (by line) have places in one case, by trying all."""
    items = [_item(problem.lines[i].gear) for i in units]
    if sum(problem.lines[i].grown_mm3 for i in units) > INSIDE[0] * INSIDE[1] * INSIDE[2]:
        return False
    return packable(items, INSIDE, problem.trip.clearance_mm)


def _item(gear: Gear) -> Item:
    assert gear.size is not None
    return Item(gear.size.sides, gear.upright, gear.fragile)
