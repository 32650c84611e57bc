"""What a little more saves, by hand and against the exact solver."""

from dataclasses import replace
from datetime import date

import pytest
from support.oracle import best_objective
from support.trips import generate

from packer.decide import decide
from packer.decide.margins import margins, one_more
from packer.model.solving import Limits, Wishes
from packer.model.trip import (
    Band,
    Box,
    Case,
    CaseKind,
    Choice,
    Concept,
    Gear,
    Leg,
    Rule,
    Stop,
    Trip,
)

LIMITS = Limits(seconds=30, workers=1)
PIER = "Invented pier"


def two_leads() -> Trip:
    """Two of 12 kg must fly; a box weighs 3 kg with the margin, free up to 26 kg, then 40.00.

    Together in one box they weigh 27 kg: one piece with the fee of 40.00. Apart: two pieces, and
    the second costs 70.00.
    """
    lead = Gear("LEAD", "lead", 2, 12_000, size=Box(100, 100, 100), needed_at=(PIER,),
                choice=Choice.FLY)  # fmt: skip
    cases = tuple(
        Case(f"BOX-{n}", "BOX", CaseKind.BOX, Box(320, 320, 320), 2_500, inside=Box(300, 300, 300))
        for n in (1, 2)
    )
    rule = Rule("Plain", Concept.PIECE, 26_000, 32_000, extra_minor=(7_000,) * 3,
                bands=(Band(26_000, 32_000, 4_000),))  # fmt: skip
    return Trip(
        name="Invented lead trip", home_country="DE", currency="EUR",
        stops=(Stop(PIER, "NO", date(2026, 7, 4)),),
        legs=(Leg("OUT", "Home", PIER, date(2026, 7, 3), "Plain", 1),),
        rules=(rule,), gear=(lead,), cases=cases,
    )  # fmt: skip


def test_a_free_piece_and_a_kilogram_each_save_the_fee():
    """40.00 either way; a heavier limit and a third box save nothing."""
    trip = two_leads()
    plan = decide(trip, LIMITS).plan
    found = {m.name: (m.least_minor, m.most_minor) for m in margins(trip, plan, LIMITS)}
    assert found == {
        "1 more free piece on OUT": (4_000, 4_000),
        "1 kg more free weight a piece, Plain": (4_000, 4_000),
        "1 kg more most weight, Plain": (0, 0),
        "1 more BOX": (0, 0),
    }


@pytest.mark.parametrize("flavour", ["weight-bound", "racks", "tangled-fees", "roles"])
def test_both_ends_hold_what_the_exact_solver_saves(flavour):
    """For every change of some tiny trips."""
    trip = generate(flavour, "tiny", 4)
    plan = decide(trip, LIMITS).plan
    best = best_objective(trip)
    for margin, (name, changed) in zip(margins(trip, plan, LIMITS), one_more(trip), strict=True):
        assert margin.name == name
        saved = best - best_objective(changed)
        assert (margin.least_minor or 0) <= saved <= margin.most_minor, name


def test_changes_have_names_of_their_own():
    """Tickets count once, rules that no leg uses not at all."""
    trip = generate("tangled-fees", "medium", 1)
    names = [name for name, _ in one_more(trip)]
    assert len(names) == len(set(names))
    idle = replace(trip, rules=(*trip.rules, replace(trip.rules[0], name="Idle")))
    assert [name for name, _ in one_more(idle)] == names


def test_what_is_saved_is_saved_with_the_plan_s_wishes():
    """A lock that the Source cell could hold as well: the same savings either way."""
    tried = (
        (trip, line, decide(trip, LIMITS, Wishes(fly=(line.name,))).plan)
        for trip in (generate("tangled-hires", "tiny", seed) for seed in range(1, 30))
        for line in trip.gear
        if line.choice is Choice.EITHER
    )
    trip, line, plan = next(each for each in tried if each[2] is not None)
    wishes = Wishes(fly=(line.name,))
    gear = tuple(replace(g, choice=Choice.FLY) if g is line else g for g in trip.gear)
    found = margins(trip, plan, LIMITS, wishes=wishes)
    best = best_objective(replace(trip, gear=gear))
    for margin, (_, changed) in zip(found, one_more(replace(trip, gear=gear)), strict=True):
        saved = best - best_objective(changed)
        assert (margin.least_minor or 0) <= saved <= margin.most_minor, margin.name


def test_a_plan_of_another_trip_is_refused():
    """Nothing is compared with a plan that does not serve."""
    trip = two_leads()
    plan = decide(trip, LIMITS).plan
    longer = replace(trip.gear[0], weight_g=20_000)
    with pytest.raises(ValueError, match="does not serve"):
        margins(replace(trip, gear=(longer,)), plan, LIMITS)
