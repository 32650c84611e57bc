"""The order of work: side by side or in turns, the same proofs; in turns always the same plan."""

from __future__ import annotations

import threading
import time
from dataclasses import replace

import pytest
from support.by_hand import crate, thing, trip_of
from support.oracle import best_objective
from support.searches import POSSIBLE, search_of
from support.trips import generate

from packer.decide import decide, strategy
from packer.decide.search import Search
from packer.decide.strategy import run
from packer.judge import judge
from packer.model.outcome import Outcome
from packer.model.plan import Plan, Status
from packer.model.solving import Limits
from packer.model.trip import Choice, Trip

PATIENCE_S = 8.0  # what a busy machine may take on top
COUNTED = Limits(workers=1, deterministic=2.0)


def without_clock(plan: Plan | None) -> Plan:
    """The plan without when it was made and how long it took."""
    assert plan is not None
    return replace(plan, made="", solver=replace(plan.solver, seconds=0.0))


def counted_plan(trip: Trip, work: float, seed: int = 0) -> Plan:
    """The plan of so much counted work."""
    return without_clock(decide(trip, Limits(workers=1, seed=seed, deterministic=work)).plan)


@pytest.mark.parametrize(
    ("flavour", "size", "work"),
    [("messy", "compact", 1.0), ("roles", "small", 0.4), ("weight-bound", "medium", 0.1)],
)
def test_counted_work_gives_the_same_plan_twice(flavour: str, size: str, work: float) -> None:
    """To the last place and unit number, whatever the machine is doing."""
    trip = generate(flavour, size, 4)
    first = counted_plan(trip, work)
    assert first == counted_plan(trip, work)
    assert judge(trip, first).breaches == ()


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_both_ways_of_working_prove_the_exact_optimum(flavour: str) -> None:
    """By the clock with two threads, and in turns with counted work."""
    trip = generate(flavour, "tiny", 9)
    best = best_objective(trip)
    for limits in (COUNTED, Limits(seconds=20, workers=2)):
        plan = decide(trip, limits).plan
        assert plan is not None
        assert plan.status is Status.OPTIMAL
        assert plan.objective_minor == plan.bound_minor == best


@pytest.mark.parametrize("limits", [COUNTED, Limits(seconds=10, workers=2)])
def test_a_search_that_finds_no_plan_says_why(limits: Limits) -> None:
    """Six of 5 kg must fly in one crate that takes five: impossible, with a cause."""
    trip = trip_of([thing("A", 6, choice=Choice.FLY)], [crate("C")])
    search = search_of(trip, limits)
    run(search)
    assert search.impossible
    answer = decide(trip, limits)
    assert (answer.outcome, answer.plan) == (Outcome.IMPOSSIBLE, None)
    assert answer.causes


def test_nothing_to_carry_is_a_plan_of_nothing() -> None:
    """No gear, no pieces, nothing to pay, proved."""
    plan = decide(trip_of([], [crate("C")]), Limits(seconds=5, workers=1)).plan
    assert plan is not None
    assert (plan.status, plan.objective_minor, plan.pieces) == (Status.OPTIMAL, 0, ())


def test_a_prover_that_hangs_is_left_behind_and_changes_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It raises the bound after the answer was given, when it may no longer be raised."""
    released, finished = threading.Event(), threading.Event()
    kept: list[Search] = []

    def hang(search: Search, _total_s: float) -> None:
        kept.append(search)
        released.wait(60)
        search.raise_bound(10**9, "too late")
        finished.set()

    monkeypatch.setattr(strategy, "_prove", hang)
    begun = time.monotonic()
    plan = decide(trip_of([thing("A", 2)], [crate("C")]), Limits(seconds=1.0)).plan
    assert time.monotonic() - begun < 1.0 + PATIENCE_S
    assert plan is not None
    released.set()
    assert finished.wait(PATIENCE_S)
    assert kept[0].bound_minor == plan.bound_minor == 0
