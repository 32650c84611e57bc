"""At most so many hold pieces, against the exact solver and by hand."""

from dataclasses import replace

import pytest
from support.oracle import best_objective
from support.trips import generate

from packer.decide import decide
from packer.decide.piece_limit import dearest_minor, limited
from packer.decide.problem import build
from packer.judge import judge
from packer.model.outcome import Outcome
from packer.model.plan import Route, Status
from packer.model.solving import Limits, Wishes

LIMITS = Limits(seconds=30, workers=1)
FLAVOURS = ("weight-bound", "roles", "racks", "tangled-fees", "tangled-hires", "bulky")


def hold_pieces(plan):
    """How many pieces go in the hold."""
    return sum(piece.route is Route.HOLD for piece in plan.pieces)


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_fewer_pieces_are_never_cheaper_and_the_plan_is_good(flavour):
    """From the best plan down to where the limit is proved to forbid any."""
    trip = generate(flavour, "tiny", 1)
    free = decide(trip, LIMITS).plan
    cost = free.objective_minor
    for most in range(hold_pieces(free), -1, -1):
        answer = decide(trip, LIMITS, Wishes(most_pieces=most))
        if answer.plan is None:
            assert answer.outcome is Outcome.IMPOSSIBLE
            assert [cause.code for cause in answer.causes] == ["too-few-pieces"]
            break
        assert judge(trip, answer.plan).breaches == ()
        assert answer.plan.status is Status.OPTIMAL
        assert hold_pieces(answer.plan) <= most
        assert answer.plan.objective_minor >= cost
        cost = answer.plan.objective_minor


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_with_fewer_cases_the_exact_solver_says_the_same(flavour):
    """Without freight and cabin, at most n pieces means the best over all choices of n cases."""
    trip = generate(flavour, "tiny", 2)
    trip = replace(
        trip, freight=None, legs=tuple(replace(g, free_cabin_pieces=0) for g in trip.legs)
    )
    most = len(trip.cases) - 1
    subsets = [
        replace(trip, cases=tuple(c for c in trip.cases if c is not left)) for left in trip.cases
    ]
    best = [cost for cost in map(best_objective, subsets) if cost is not None]
    answer = decide(trip, LIMITS, Wishes(most_pieces=most))
    if not best:
        assert answer.plan is None
    else:
        assert answer.plan is not None
        assert answer.plan.objective_minor == min(best)


def test_no_plan_is_as_dear_as_the_dearest():
    """And without a limit nothing changes."""
    for flavour in FLAVOURS:
        trip = generate(flavour, "compact", 1)
        problem = build(trip, Wishes())
        assert decide(trip, LIMITS).plan.objective_minor < dearest_minor(problem)
        assert limited(problem, None) is problem
