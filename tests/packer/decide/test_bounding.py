"""The bound by classes holds for every plan, and where its answer unfolds the plan is proved."""

from __future__ import annotations

import pytest
from support.by_hand import crate, thing, trip_of
from support.oracle import best_objective
from support.searches import POSSIBLE, plan_from, search_of
from support.trips import generate

from packer.decide.bounding import bound_by_classes
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
