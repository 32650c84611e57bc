"""The rules on many generated trips and on plans made by hand: they answer, and promise nothing."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import islice

import pytest
from support.rule_trips import PieceOf, plan_of
from support.trips import FLAVOURS, generate

from packer.model.finding import Finding, Severity, in_order
from packer.model.plan import Route
from packer.model.trip import Trip
from packer.rules import catalogue, check_plan, check_trip

PROMISES = re.compile(r"\b(safe|safely|legal|legally|allowed to fly|permitted)\b", re.IGNORECASE)


def everything_flies(trip: Trip, route: Route) -> tuple[PieceOf, ...]:
    """All gear in the first case: no judge would take it, and no rule may fall over it."""
    units = tuple((line.name, line.quantity) for line in trip.gear)
    return (PieceOf(trip.cases[0].name, route, 31_900, units),)


def all_findings(trip: Trip) -> list[Finding]:
    """Of the trip and of a plan on each route."""
    plans = [plan_of(trip, *everything_flies(trip, route)) for route in Route]
    return [*check_trip(trip), *(found for plan in plans for found in check_plan(trip, plan))]


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_rules_answer_for_generated_trips(flavour: str) -> None:
    """Every finding is whole: known code, a subject, words, no promise, no error."""
    codes = {page.code for page in catalogue()}
    for seed in range(3):
        for found in all_findings(generate(flavour, "small", seed)):
            assert found.code in codes
            assert found.subject
            assert found.severity is not Severity.ERROR
            assert found.source
            assert found.message.endswith(".")
            assert not PROMISES.search(f"{found.message} {found.remedy}")


def test_findings_come_in_the_fixed_order_and_do_not_depend_on_row_order() -> None:
    """Rows turned round give the same findings, but for which of several is named first."""
    trip = generate("batteries", "small", 4)
    turned = replace(trip, gear=trip.gear[::-1], stops=trip.stops[::-1])
    assert check_trip(trip) == in_order(check_trip(trip))
    assert sorted(f.code for f in check_trip(trip)) == sorted(f.code for f in check_trip(turned))


def test_a_plan_made_by_hand_may_name_anything() -> None:
    """Unknown cases and gear, an empty plan, no date: the judge refuses, the rules go on."""
    trip = generate("messy", "small", 1)
    lines = tuple((line.name, 1) for line in islice(trip.gear, 3))
    odd = (
        PieceOf("NO SUCH CASE", Route.HOLD, 1_000, lines),
        PieceOf(trip.cases[0].name, Route.FREIGHT, 1_000, lines),
    )
    plan = plan_of(trip, *odd)
    ghost = replace(plan.pieces[1].contents[0], gear="NO SUCH GEAR")
    piece = replace(plan.pieces[1], contents=(ghost,))
    for made in ("", "yesterday"):
        hand_made = replace(plan, made=made, pieces=(plan.pieces[0], piece))
        assert isinstance(check_plan(trip, hand_made), tuple)
    assert check_plan(trip, replace(plan, pieces=(), decisions=())) is not None


def test_a_large_trip_is_checked_in_a_moment() -> None:
    """Rules are part of every plan: a second for the largest trip is far too much."""
    from time import perf_counter

    trip = generate("tangled-hires", "large", 1)
    start = perf_counter()
    check_trip(trip)
    assert perf_counter() - start < 1
