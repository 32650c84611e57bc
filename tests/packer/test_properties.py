"""What must hold for every trip, tried on small generated ones: never wrong, never falsely proved.

By default a few dozen trips are tried, the same ones each time. `HOLDALL_DEEP=5000` tries so many
others in each test and hunts through all flavours for a wrong claim of optimality.
"""

from __future__ import annotations

import os
from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from support.oracle import best_objective
from support.trips import FLAVOURS, generate

from packer.decide import decide
from packer.judge import judge
from packer.model.outcome import Outcome
from packer.model.plan import Plan, Status
from packer.model.solving import Answer, Limits
from packer.model.trip import Box, Case, CaseKind, Price, Trip

DEEP = int(os.environ.get("HOLDALL_DEEP", "0"))
LIMITS = Limits(seconds=10.0, workers=1, seed=0)

some_trips = settings(
    max_examples=DEEP or 25,
    deadline=None,
    derandomize=not DEEP,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
flavours = st.sampled_from(FLAVOURS)
possible = st.sampled_from([name for name in FLAVOURS if not name.startswith("impossible")])
sizes = st.sampled_from(("tiny", "compact"))
seeds = st.integers(0, 10**6)


def answer_of(trip: Trip) -> Answer:
    """What the product's solver makes of a trip."""
    return decide(trip, LIMITS)


def proved(trip: Trip) -> Plan:
    """An optimal plan; examples without one prove nothing and are passed over."""
    answer = answer_of(trip)
    assume(answer.plan is not None and answer.plan.status is Status.OPTIMAL)
    assert answer.plan is not None
    return answer.plan


def hold_against_oracle(trip: Trip) -> None:
    """The plan is judged good, and neither it nor its bound contradicts the exact optimum."""
    answer, best = answer_of(trip), best_objective(trip)
    if answer.outcome is Outcome.IMPOSSIBLE:
        assert best is None
        return
    assert answer.plan is not None
    assert judge(trip, answer.plan).breaches == ()
    assert best is not None
    assert answer.plan.bound_minor <= best <= answer.plan.objective_minor
    if answer.plan.status is Status.OPTIMAL:
        assert answer.plan.objective_minor == best


@some_trips
@given(flavours, sizes, seeds)
def test_plan_is_judged_good_and_equals_the_exact_optimum(
    flavour: str, size: str, seed: int
) -> None:
    """No plan breaks a rule, and none that says optimal, or impossible, is wrong."""
    hold_against_oracle(generate(flavour, size, seed))


@pytest.mark.skipif(not DEEP, reason="HOLDALL_DEEP=5000 hunts for wrong claims in so many trips")
@pytest.mark.parametrize("flavour", FLAVOURS)
def test_hunt_for_wrong_claims(flavour: str) -> None:
    """Seeds in a row, every flavour, each against the exact optimum."""
    for seed in range(DEEP // len(FLAVOURS)):
        hold_against_oracle(generate(flavour, "compact" if seed % 4 == 0 else "tiny", seed))


@some_trips
@given(possible, seeds)
def test_order_of_rows_never_changes_the_objective(flavour: str, seed: int) -> None:
    """The same rows in another order cost the same."""
    trip = generate(flavour, "tiny", seed)
    assert proved(shuffled(trip, seed)).objective_minor == proved(trip).objective_minor


def shuffled(trip: Trip, seed: int) -> Trip:
    """The trip with its rows in another order; legs stay in flying order."""
    rng = Random(seed)
    order = {name: getattr(trip, name) for name in ("stops", "rules", "gear", "cases", "offers",
                                                   "deliveries", "rates")}  # fmt: skip
    return replace(
        trip, **{name: tuple(rng.sample(rows, len(rows))) for name, rows in order.items()}
    )


@some_trips
@given(possible, seeds)
def test_added_case_never_raises_the_objective(flavour: str, seed: int) -> None:
    """One more case may stay at home."""
    trip = generate(flavour, "tiny", seed)
    more = replace(trip, cases=(*trip.cases, spare_case(seed)))
    assert proved(more).objective_minor <= proved(trip).objective_minor


def spare_case(seed: int) -> Case:
    """A box of some size that no generated trip has."""
    rng = Random(seed)
    inside = Box(rng.randint(300, 700), rng.randint(250, 450), rng.randint(150, 400))
    outside = Box(*(side + 40 for side in inside.sides))
    return Case("ADDED", "ADDED", CaseKind.BOX, outside, rng.randint(1500, 9000), inside=inside)


@some_trips
@given(possible, seeds, st.integers(1, 20_000))
def test_raised_fee_never_lowers_the_objective(flavour: str, seed: int, more: int) -> None:
    """Whatever costs more, the whole cannot cost less."""
    trip = generate(flavour, "tiny", seed)
    assert proved(dearer(trip, seed, more)).objective_minor >= proved(trip).objective_minor


def dearer(trip: Trip, seed: int, more: int) -> Trip:
    """The trip with one fee of a rule, one offer or one delivery raised by so many minor units."""
    rng = Random(seed)
    raise_one = [lambda: replace(trip, rules=(_dearer_rule(rng, trip, more), *trip.rules[1:]))]
    if trip.offers:
        raise_one.append(lambda: replace(trip, offers=_dearer_row(rng, trip.offers, more)))
    if trip.deliveries:
        raise_one.append(lambda: replace(trip, deliveries=_dearer_row(rng, trip.deliveries, more)))
    return rng.choice(raise_one)()


def _dearer_rule(rng: Random, trip: Trip, more: int) -> object:
    rule = trip.rules[0]
    fees = list(rule.extra_minor)
    fees[rng.randrange(len(fees))] += more
    bands = tuple(replace(band, fee_minor=band.fee_minor + more // 2) for band in rule.bands)
    return replace(rule, extra_minor=tuple(fees), bands=bands)


def _dearer_row(rng: Random, rows: tuple, more: int) -> tuple:  # type: ignore[type-arg]
    i = rng.randrange(len(rows))
    price: Price = rows[i].price
    changed = replace(rows[i], price=replace(price, minor=price.minor + more))
    return (*rows[:i], changed, *rows[i + 1 :])


@pytest.mark.parametrize("flavour", [name for name in FLAVOURS if not name.startswith("imp")][:4])
def test_plan_of_a_small_trip_is_judged_good(flavour: str) -> None:
    """35 lines and 12 cases, two seconds of time: a plan with an honest bound."""
    trip = generate(flavour, "small", 1)
    answer = decide(trip, Limits(seconds=2.0, workers=1))
    assert answer.plan is not None
    assert judge(trip, answer.plan).breaches == ()
    assert answer.plan.bound_minor <= answer.plan.objective_minor
