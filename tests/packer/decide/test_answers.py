"""What the other choice costs, against an exact solver that shares no code, and by hand."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from support.oracle import best_objective
from support.trips import generate

from packer.decide import decide
from packer.decide.answers import (
    HirePrices,
    Near,
    OtherWay,
    nearest_first,
    other_ways_of_all,
    priced,
)
from packer.decide.estimate import serves, sketch_of_plan
from packer.decide.problem import build
from packer.model.plan import Plan, Status
from packer.model.solving import Limits, Wishes
from packer.model.trip import (
    Box,
    Case,
    CaseKind,
    Choice,
    Concept,
    Gear,
    Leg,
    Offer,
    Price,
    Rule,
    Stop,
    Trip,
)

LIMITS = Limits(seconds=30, workers=1)
PIER = "Invented pier"
FLAVOURS = ("weight-bound", "tangled-hires", "roles", "racks", "tangled-fees", "batteries")


def planned(trip: Trip) -> Plan:
    """The best plan of a trip, proved."""
    plan = decide(trip, LIMITS).plan
    assert plan is not None
    assert plan.status is Status.OPTIMAL
    return plan


def horn_trip(price_minor: int) -> Trip:
    """One horn of 5 kg; its case costs 100.00 as a piece; to hire costs the price at each stop."""
    stops = (Stop(PIER, "NO", date(2026, 7, 4)), Stop("Quay", "NO", date(2026, 7, 5)))
    horn = Gear("HORN", "horn", 1, 5_000, size=Box(100, 100, 100), needed_at=(PIER, "Quay"))
    case = Case("BOX", "BOX", CaseKind.BOX, Box(220, 220, 220), 2_000, inside=Box(200, 200, 200))
    price = Price(price_minor, Decimal(price_minor) / 100, "EUR")
    return Trip(
        name="Invented horn trip", home_country="DE", currency="EUR", stops=stops,
        legs=(Leg("OUT", "Home", PIER, date(2026, 7, 3), "Plain", 0),),
        rules=(Rule("Plain", Concept.PIECE, 23_000, extra_minor=(10_000,) * 3),),
        gear=(horn,), cases=(case,),
        offers=tuple(Offer(stop.name, "HORN", False, "house", price) for stop in stops),
    )  # fmt: skip


def answers_of(trip: Trip) -> tuple[OtherWay, ...]:
    """All other ways, for the best plan."""
    return other_ways_of_all(trip, planned(trip), LIMITS)


@pytest.mark.parametrize(
    ("price", "way", "rise", "near"),
    [
        (8_000, Choice.HIRE, 6_000, Near.NO),  # 2 x 80 = 160 against 100 to fly
        (5_200, Choice.HIRE, 400, Near.YES),  # 104 against 100: 50 is within 10 % of 52
        (4_000, Choice.FLY, 2_000, Near.NO),  # 100 to fly against 80
    ],
)
def test_a_decision_turns_at_half_the_piece_fee_for_each_of_two_stops(price, way, rise, near):
    """Flying costs 100.00 and hiring twice its price, so both cost the same at 50.00."""
    [answer] = answers_of(horn_trip(price))
    assert answer.way is way
    assert (answer.least_minor, answer.most_minor) == (rise, rise)
    assert answer.price_minor == price
    assert (answer.turns_least_minor, answer.turns_most_minor) == (5_000, 5_000)
    assert answer.near is near


def test_without_an_offer_it_says_why_and_what_an_offer_may_cost():
    """Nobody hires out horns at the quay: one that did at up to 50.00 each would be taken."""
    trip = horn_trip(8_000)
    [answer] = answers_of(replace(trip, offers=trip.offers[:1]))
    assert "the offers at Quay cover 0 of 1 HORN" in answer.reason
    assert (answer.least_minor, answer.price_minor) == (None, None)
    assert (answer.turns_least_minor, answer.turns_most_minor) == (5_000, 5_000)


def test_what_goes_in_no_case_has_no_other_way():
    """The horn is hired, since it is longer than the box; nothing would turn that."""
    trip = horn_trip(8_000)
    long = replace(trip.gear[0], size=Box(100, 100, 300))
    [answer] = answers_of(replace(trip, gear=(long,)))
    assert answer.way is Choice.FLY
    assert "goes in no case" in answer.reason
    assert answer.turns_most_minor is None


def oracle_rise(trip: Trip, gear: str, way: Choice, best: int) -> int | None:
    """What forcing a line costs, by the exact solver; None where it cannot be."""
    free = (replace(g, choice=way) if g.name == gear else g for g in trip.gear)
    forced = best_objective(replace(trip, gear=tuple(free)))
    return None if forced is None else forced - best


@pytest.mark.parametrize("flavour", FLAVOURS)
@pytest.mark.parametrize("seed", [1, 2])
def test_both_ends_hold_the_exact_cost_of_the_other_choice(flavour, seed):
    """And where no other way is said to be, the exact solver finds none either."""
    trip = generate(flavour, "tiny", seed)
    best = best_objective(trip)
    assert best is not None
    for answer in answers_of(trip):
        rise = oracle_rise(trip, answer.gear, answer.way, best)
        if answer.least_minor is None:
            assert rise is None, answer
            continue
        if answer.most_minor is not None:
            assert rise is not None
            assert rise <= answer.most_minor
        assert rise is None or answer.least_minor <= rise


def locked_other_way(trip: Trip) -> tuple[Trip, Wishes] | None:
    """The first line that flies is locked to hire: as a Source cell, and as a wish."""
    flown = {decision.gear: decision.flown for decision in planned(trip).decisions}
    for line in trip.gear:
        gear = (replace(g, choice=Choice.HIRE) if g is line else g for g in trip.gear)
        locked = replace(trip, gear=tuple(gear))
        if line.choice is Choice.EITHER and flown[line.name] and best_objective(locked) is not None:
            return locked, Wishes(hire=(line.name,))
    return None


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_a_lock_holds_for_every_other_line_and_is_let_go_of_for_its_own(flavour):
    """As the exact solver has it with the lock written into the Source cell."""
    trips = (generate(flavour, "tiny", seed) for seed in range(1, 30))
    trip, (locked, wishes) = next(
        (trip, found) for trip in trips if (found := locked_other_way(trip)) is not None
    )
    best = best_objective(locked)
    plan = decide(trip, LIMITS, wishes).plan
    assert plan is not None
    assert plan.objective_minor == best
    dearer = 0
    for answer in other_ways_of_all(trip, plan, LIMITS, wishes=wishes):
        rise = oracle_rise(locked, answer.gear, answer.way, best)
        if answer.least_minor is None:
            assert rise is None, answer
        elif rise is not None:
            assert answer.least_minor <= rise
            assert answer.most_minor is None or rise <= answer.most_minor
            dearer += 1
    assert dearer


def test_no_other_way_takes_more_pieces_than_the_plan_may():
    """No piece at all: the horn is hired, and to fly it is not to be had at any price."""
    trip = horn_trip(8_000)
    wishes = Wishes(most_pieces=0)
    plan = decide(trip, LIMITS, wishes).plan
    assert plan is not None
    assert plan.objective_minor == 16_000
    [answer] = other_ways_of_all(trip, plan, LIMITS, wishes=wishes)
    assert (answer.way, answer.most_minor) == (Choice.FLY, None)


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_most_other_ways_of_tiny_trips_are_exact(flavour):
    """At least half of those that exist."""
    asked = [a for a in answers_of(generate(flavour, "tiny", 3)) if a.least_minor is not None]
    exact = [a for a in asked if a.least_minor == a.most_minor]
    assert 2 * len(exact) >= len(asked)


def test_at_the_turning_price_both_ways_cost_the_same():
    """The prices are set to where the answer says, and the exact solver sees no difference."""
    trip = horn_trip(8_000)
    [answer] = answers_of(trip)
    assert answer.turns_most_minor is not None
    turned = horn_trip(answer.turns_most_minor)
    assert oracle_rise(turned, "HORN", Choice.FLY, 0) == oracle_rise(turned, "HORN", Choice.HIRE, 0)


def test_a_plan_of_another_trip_is_refused():
    """It flies what the trip now only hires."""
    trip = horn_trip(8_000)
    plan = planned(trip)
    hired = replace(trip, gear=(replace(trip.gear[0], choice=Choice.HIRE),))
    with pytest.raises(ValueError, match="does not serve"):
        other_ways_of_all(hired, plan, LIMITS)


def test_a_plan_serves_its_trip():
    """Also where roles, bundles, cabin pieces and freight are about."""
    for flavour in FLAVOURS:
        trip = generate(flavour, "compact", 1)
        plan = decide(trip, LIMITS).plan
        assert plan is not None
        problem = build(trip, Wishes())
        assert serves(problem, sketch_of_plan(problem, plan))


def test_kits_have_no_price_a_unit():
    """So nothing is said of a turning price; the difference stands."""
    trip = horn_trip(8_000)
    offers = tuple(replace(o, target="Brass", is_kit=True) for o in trip.offers)
    kit = replace(trip, gear=(replace(trip.gear[0], kit="Brass"),), offers=offers)
    problem = build(kit, Wishes())
    known = sketch_of_plan(problem, planned(kit))
    answer = OtherWay("HORN", 1, 1, Choice.HIRE, 6_000, 6_000)
    assert priced(answer, HirePrices(problem, known)) == answer


def test_the_nearest_come_first_and_those_without_a_way_last():
    """Near, then undecided, then far, then none."""
    near = OtherWay("N", 1, 1, Choice.HIRE, 100, 100, 1_000, 950, 950)
    wide = OtherWay("O", 1, 1, Choice.HIRE, 0, 900, 1_000, 100, 1_000)
    far = OtherWay("F", 1, 1, Choice.HIRE, 800, 800, 1_000, 200, 200)
    none = OtherWay("X", 1, 1, Choice.HIRE, reason="no offer")
    assert nearest_first([none, far, wide, near]) == [near, wide, far, none]
    assert [a.near for a in (near, wide, far, none)] == [Near.YES, Near.OPEN, Near.NO, Near.NO]
