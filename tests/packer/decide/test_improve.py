"""Ruin and recreate: never worse, the same for the same seed, always a real packing."""

from __future__ import annotations

import pytest
from support.by_hand import crate, price, thing, trip_of
from support.oracle import best_objective
from support.searches import POSSIBLE, plan_from
from support.trips import generate

from packer.decide.cover import Coverer
from packer.decide.improve import MISSING_MINOR, Improver
from packer.decide.problem import Problem, build
from packer.decide.sketch import Sketch, costs
from packer.decide.space import Space
from packer.decide.start import first_sketches, incomplete_sketch
from packer.decide.tariff import tariff_of
from packer.judge import judge
from packer.model.solving import Wishes
from packer.model.trip import Choice, Trip


def improver_of(problem: Problem, start: Sketch, seed: int = 0) -> Improver:
    """An improver with a geometry of its own."""
    tariffs = [tariff_of(problem.trip, hire) for hire in problem.hires]
    return Improver(problem, Space(problem), tariffs, start, seed)


def started(trip: Trip, seed: int = 0) -> Improver:
    """An improver that starts from the first plan."""
    problem = build(trip, Wishes())
    return improver_of(problem, next(first_sketches(problem, Space(problem))), seed)


def steps(improver: Improver, count: int) -> None:
    """So many steps, cooling down evenly."""
    improver.run(count, lambda step: step / count, lambda: False)


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_improvement_never_worsens_and_stays_a_plan(flavour: str) -> None:
    """After every thirty steps: no dearer, judged good, and priced as the judge prices it."""
    trip = generate(flavour, "compact", 3)
    improver = started(trip)
    problem = build(trip, Wishes())
    before = improver.best_minor
    for _ in range(4):
        steps(improver, 30)
        assert improver.complete
        assert improver.best_minor <= before
        before = improver.best_minor
        verdict = judge(trip, plan_from(problem, improver.best))
        assert verdict.breaches == ()
        assert verdict.costs.objective_minor == improver.best_minor


@pytest.mark.parametrize("flavour", ["weight-bound", "tangled-hires", "messy"])
def test_same_seed_same_result(flavour: str) -> None:
    """Two improvers side by side."""
    trip = generate(flavour, "small", 2)
    one, other = started(trip, 7), started(trip, 7)
    steps(one, 60)
    steps(other, 60)
    assert (one.best, one.best_minor) == (other.best, other.best_minor)


def test_it_stops_when_asked() -> None:
    """After five looks at the clock five steps are done."""
    looks = iter([False] * 5 + [True])
    improver = started(generate("bulky", "tiny", 1))
    assert improver.run(100, lambda _: 0.0, lambda: next(looks)) == 5


def test_it_finds_the_best_of_a_tiny_trip() -> None:
    """Some hundred steps reach the exact optimum where there is little to choose."""
    lines = [thing("A", 3, 6_000), thing("B", 2, 9_000), thing("D", 2, 2_000)]
    offers = tuple(price(name, cents) for name, cents in (("A", 1500), ("B", 900), ("D", 2500)))
    trip = trip_of(lines, [crate("C"), crate("D")], offers=offers)
    improver = started(trip)
    steps(improver, 300)
    assert improver.best_minor == best_objective(trip)


def test_room_is_found_for_what_must_fly() -> None:
    """From nothing packed: incomplete and far dearer, then complete."""
    trip = trip_of([thing("A", 5, choice=Choice.FLY)], [crate("C"), crate("D")])
    problem = build(trip, Wishes())
    improver = improver_of(problem, Sketch(()))
    assert not improver.complete
    assert improver.best_minor >= 5 * MISSING_MINOR
    steps(improver, 100)
    assert improver.complete
    found = costs(problem, improver.best, Coverer(trip, problem.hires))
    assert found.objective_minor == improver.best_minor == 9000  # 25 kg in one, in the band


def test_an_incomplete_start_stays_incomplete_where_there_is_no_room() -> None:
    """Six of 5 kg in one crate: one is always missing."""
    trip = trip_of([thing("A", 6, choice=Choice.FLY)], [crate("C")])
    problem = build(trip, Wishes())
    improver = improver_of(problem, incomplete_sketch(problem, Space(problem)))
    steps(improver, 50)
    assert not improver.complete
