"""Weigh in: the difference stays with the case, and everything that it breaks is named."""

import pytest
from support.road_plans import a_plan, band

from packer.judge import judge, settle
from packer.road.scales import weigh_in

TRIP = band()
PLAN = a_plan(TRIP, {"A": [("KEY-A", 1), ("HORN", 1)], "B": [("KEY-B", 1)]})


def test_a_heavier_case_is_heavier_than_its_list():
    """9,000 g listed, 9,800 g on the scale: 800 g more, on the case and on no object."""
    weighing = weigh_in(TRIP, PLAN, {"A": 9800})
    assert [(d.case, d.listed_g, d.more_g) for d in weighing.differences] == [("A", 9000, 800)]
    assert weighing.trip.case_named("A").empty_g == 6800
    assert weighing.trip.gear == TRIP.gear
    piece = weighing.plan.pieces[0]
    assert (piece.empty_g, piece.contents_g, piece.planning_g) == (6800, 3000, 10_300)


def test_a_reweighed_object_counts_in_every_case_that_holds_one():
    """A horn weighs 2,000 g, not 1,500; a case weighed as well is compared with the new list."""
    weighing = weigh_in(TRIP, PLAN, {"A": 9600}, {"HORN": 2000})
    assert [(d.listed_g, d.more_g) for d in weighing.differences] == [(9500, 100)]
    assert weighing.plan.pieces[0].contents_g == 3500


def test_a_lighter_case_is_doubted():
    """Lighter than its list: said; lighter than its contents: warned of."""
    assert [(f.code, f.severity) for f in weigh_in(TRIP, PLAN, {"A": 8500}).findings] == [
        ("lighter-than-list", "note")
    ]
    assert weigh_in(TRIP, PLAN, {"A": 2900}).findings[0].severity == "warning"


def test_a_fee_is_named_by_leg_and_a_limit_by_leg():
    """24,000 g with the margin: 90.00 on the leg; above 32,000 g the leg refuses."""
    dear = weigh_in(TRIP, PLAN, {"A": 23_500})
    codes = {b.code for b in dear.breaks}
    assert "over-hold-weight" not in codes
    assert dear.dearer_by_leg == (("Leg 1", 9000),)
    over = weigh_in(TRIP, PLAN, {"A": 31_501})
    assert {b.code for b in over.breaks} >= {"over-hold-weight"}
    assert "leg Leg 1" in next(b for b in over.breaks if b.code == "over-hold-weight").message


def test_equal_to_the_limit_is_within_it():
    """31,500 g and 500 g of margin are 32,000 g."""
    assert "over-hold-weight" not in {b.code for b in weigh_in(TRIP, PLAN, {"A": 31_500}).breaks}


def test_unknown_names_are_errors():
    """A case that does not travel and gear that does not exist."""
    with pytest.raises(KeyError):
        weigh_in(TRIP, PLAN, {"C": 9000})
    with pytest.raises(KeyError):
        weigh_in(TRIP, PLAN, {}, {"DRUM": 9000})


def test_the_figures_agree_with_the_judge():
    """The plan after weighing states what the judge computes."""
    weighing = weigh_in(TRIP, PLAN, {"A": 12_345})
    assert settle(weighing.trip, weighing.plan) == weighing.plan
    assert weighing.now.costs == judge(weighing.trip, weighing.plan).costs
