"""The bound by classes holds for every plan, and where its answer unfolds the plan is proved."""

from __future__ import annotations

from collections import Counter

import pytest
from support.by_hand import crate, thing, trip_of
from support.oracle import best_objective
from support.searches import POSSIBLE, plan_from, search_of
from support.trips import generate

from packer.decide.bounding import Master, bound_by_classes
from packer.decide.classes import ClassModel
from packer.decide.improve import first_sketches
from packer.decide.sketch import Sketch, planning_g
from packer.decide.whole import Status, solve_whole
from packer.judge import judge
from packer.model.solving import Limits
from packer.model.trip import Box, Choice


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_bound_is_never_above_the_exact_optimum(flavour: str) -> None:
    """And what it suggests on the way is a plan, never below the optimum."""
    for seed in (7, 8):
        trip = generate(flavour, "tiny", seed)
        search, best = search_of(trip), best_objective(trip)
        bound_by_classes(search, 5.0)
        assert best is not None
        assert search.bound_minor <= best
        if search.best is not None:
            assert search.best_minor is not None
            assert search.best_minor >= best
            assert judge(trip, plan_from(search.problem, search.best)).breaches == ()


def test_an_answer_that_unfolds_is_proved() -> None:
    """Six of 5 kg over two of three crates: 110.00."""
    lines = [thing("A", 6, choice=Choice.FLY)]
    search = search_of(trip_of(lines, [crate(f"C{n}") for n in range(3)]))
    bound_by_classes(search, 5.0)
    assert search.proved
    assert search.best_minor == search.bound_minor == 11_000


def test_what_cannot_be_spread_raises_the_bound() -> None:
    """3 x 11 + 3 x 9 kg are 60 kg, and two crates take 30 each; but no number of elevens and
    nines makes 30, so a third crate is needed: as the bound finds."""
    lines = [thing("A", 3, 11_000, choice=Choice.FLY), thing("B", 3, 9_000, choice=Choice.FLY)]
    cases = [crate(f"C{n}", empty_g=1_500) for n in range(3)]
    search = search_of(trip_of(lines, cases))
    bound_by_classes(search, 5.0)
    assert search.proved
    assert search.best is not None
    assert len(search.best.loads) == 3
    assert search.best_minor == search.bound_minor == best_objective(search.problem.trip)


def test_places_raise_the_bound() -> None:
    """Two cubes of 110 mm never share a crate of 210 mm: 110.00, by rows or cuts."""
    lines = [thing("A", 2, 100, size=Box(110, 110, 110), choice=Choice.FLY)]
    search = search_of(trip_of(lines, [crate("C"), crate("D")]))
    bound_by_classes(search, 5.0)
    assert search.bound_minor == search.best_minor == 11_000


def test_no_answer_at_all_means_there_is_no_plan() -> None:
    """Seven of 5 kg that must fly and one crate for five."""
    search = search_of(trip_of([thing("A", 7, choice=Choice.FLY)], [crate("C")]))
    bound_by_classes(search, 5.0)
    assert search.impossible
    assert search.best is None


def test_no_time_no_bound() -> None:
    """A share of nothing starts nothing."""
    search = search_of(trip_of([thing("A")], [crate("C")]), Limits(seconds=5, workers=1))
    bound_by_classes(search, 0.0)
    assert (search.bound_minor, search.best) == (0, None)


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_a_plan_that_packs_meets_every_row_of_the_bound(flavour: str) -> None:
    """Its units and cases, counted by bay, satisfy the model with all rows learned, at its cost.

    So no row is sharper than what really packs, on trips too large for the exact optimum.
    """
    search = search_of(generate(flavour, "small", 6), Limits(seconds=60, workers=1))
    master = Master(search, lambda: False)
    while master.relax(5.0):
        pass
    for _ in range(3):
        master.fill(5.0)
    for found in first_sketches(search.problem, search.given):
        search.offer(found, "a plan")
    assert search.best is not None
    assert search.best_minor is not None
    _held_to(master.classes, search.best)
    found = solve_whole(master.rows)
    assert found.status is Status.OPTIMAL
    assert found.bound <= search.best_minor


def _held_to(classes: ClassModel, sketch: Sketch) -> None:
    """Fixes units and cases of the model to those of a sketch."""
    problem = classes.problem
    units: Counter[tuple[int, int]] = Counter()
    cases: Counter[int] = Counter()
    for load in sketch.loads:
        weight_g, group = planning_g(problem, load), problem.cases[load.case].group
        d, berth = min(
            (
                (d, berth)
                for d, bay in enumerate(classes.bays)
                for berth in bay.berths
                if (bay.route, berth.group) == (load.route, group)
                and berth.option.above_g < weight_g <= berth.option.upto_g
            ),
            key=lambda found: found[1].option.cost_minor,
        )
        cases[berth.count.index] += 1
        for line, count in load.counts:
            units[line, d] += count
    assert set(units) <= set(classes.units)
    for key, var in classes.units.items():
        classes.model.add(var == units[key])
    for bay in classes.bays:
        for berth in bay.berths:
            classes.model.add(berth.count == cases[berth.count.index])


def test_no_bound_yet_is_no_bound() -> None:
    """A solver ended before it had one says minus infinity: nothing is raised, nothing fails."""
    search = search_of(generate("messy", "medium", 1), Limits(seconds=30, workers=1))
    master = Master(search, lambda: False)
    master.glance(0.0)
    assert search.bound_minor == 0
