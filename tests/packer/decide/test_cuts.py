"""Lifted cuts: whatever meets all their demands really does not fit, by trying every place."""

from __future__ import annotations

from itertools import combinations, combinations_with_replacement
from random import Random

import pytest
from support.by_hand import crate, rack, thing, trip_of
from support.tiny_boxes import INSIDE, fits, tiny_problem

from packer.decide.cuts import Demand, lifted, lifted_by_weight
from packer.decide.problem import Problem, build
from packer.model.solving import Wishes
from packer.model.trip import Box

ROOM = Box(*INSIDE)


def smallest_misfit(problem: Problem, seed: int) -> dict[int, int]:
    """Random units that do not fit, of which none can be spared."""
    rng = Random(seed)
    units = tuple(rng.choice(range(6)) for _ in range(3))
    while fits(problem, units):
        units = (*units, rng.choice(range(6)))
    k = 0
    while k < len(units):
        fewer = units[:k] + units[k + 1 :]
        units, k = (fewer, 0) if not fits(problem, fewer) else (units, k + 1)
    return {i: units.count(i) for i in units}


def meets(units: tuple[int, ...], demands: tuple[Demand, ...]) -> bool:
    """Whether a content meets every demand."""
    return all(sum(i in family for i in units) >= n for family, n in demands)


@pytest.mark.parametrize("clearance_mm", [0, 1])
@pytest.mark.parametrize("seed", range(10))
def test_whatever_meets_a_lifted_cut_does_not_fit(seed: int, clearance_mm: int) -> None:
    """All contents of as many units as the set has; families are nested or apart."""
    problem = tiny_problem(seed, clearance_mm)
    misfit = smallest_misfit(problem, seed)
    demands = lifted(problem, misfit)
    size = sum(misfit.values())
    own = tuple(i for i, n in misfit.items() for _ in range(n))
    assert meets(own, demands)
    for units in combinations_with_replacement(range(6), size):
        assert not (meets(units, demands) and fits(problem, units))
    for (one, _), (other, _) in combinations(demands, 2):
        assert one <= other or other <= one or not one & other


def test_larger_objects_stand_in_for_smaller_ones() -> None:
    """Two plates do not fit; a slab is a larger plate, a chip is none."""
    lines = [thing("PLATE", 2, size=Box(4, 4, 2)), thing("SLAB", 2, size=Box(4, 4, 3)),
             thing("CHIP", 2, size=Box(1, 1, 1))]  # fmt: skip
    problem = build(trip_of(lines, [crate("C", ROOM)], clearance_mm=0), Wishes())
    assert lifted(problem, {0: 2}) == ((frozenset({0, 1}), 2),)
    assert lifted(problem, {1: 1, 0: 1}) == ((frozenset({0, 1}), 2), (frozenset({1}), 1))


def test_sturdy_objects_do_not_stand_in_for_fragile_ones() -> None:
    """On a sturdy one something may lie; a fragile one does for a sturdy one."""
    lines = [thing("A"), thing("F", fragile=True)]
    problem = build(trip_of(lines, [crate("C")]), Wishes())
    assert lifted(problem, {1: 1}) == ((frozenset({1}), 1),)
    assert lifted(problem, {0: 1}) == ((frozenset({0, 1}), 1),)


def test_what_must_stand_is_replaced_by_what_is_as_high_and_as_wide() -> None:
    """The free one turns on its side: its shortest length must reach the longest."""
    lines = [thing("UP", size=Box(100, 80, 60), upright=True),
             thing("TALL", size=Box(80, 100, 60), upright=True),
             thing("FREE", size=Box(100, 100, 99)), thing("CUBE")]  # fmt: skip
    problem = build(trip_of(lines, [crate("C")]), Wishes())
    assert lifted(problem, {0: 1}) == ((frozenset({0, 1, 3}), 1),)


def test_where_weight_matters_lighter_and_softer_things_are_no_stand_in() -> None:
    """Soft for soft, racked for racked with as many units, and never lighter."""
    lines = [thing("A"), thing("LIGHT", weight_g=4_999), thing("S", soft=True),
             thing("R2", rack_half_units=2, depth_mm=300),
             thing("R3", rack_half_units=3, depth_mm=200)]  # fmt: skip
    problem = build(trip_of(lines, [crate("C"), rack("K")]), Wishes())
    assert lifted_by_weight(problem, {1: 1}) == ((frozenset({0, 1}), 1),)
    assert lifted_by_weight(problem, {2: 1}) == ((frozenset({2}), 1),)
    assert lifted_by_weight(problem, {3: 1}) == ((frozenset({3, 4}), 1),)
