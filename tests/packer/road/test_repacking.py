"""From counts to a plan: fewest moves, last in first out, nothing else disturbed."""

from dataclasses import replace

import pytest
from support.road_plans import a_plan, band

from packer.geometry import Fitter
from packer.model.plan import Route
from packer.road.repacking import Move, NoPlaceError, contents_of, moves_between, repacked

TRIP = band()
PLAN = a_plan(TRIP, {"A": [("HORN", 2), ("HORN", 1), ("HORN", 3)], "B": [("KEY-B", 1)]})


def test_the_unit_packed_last_moves_first():
    """HORN 3 lies on top of A."""
    wanted = {"A": {"HORN": 2}, "B": {"KEY-B": 1, "HORN": 1}}
    assert moves_between(PLAN, wanted) == (Move("HORN", 3, "A", "B"),)


def test_an_emptied_case_stays_at_home_and_a_new_one_comes():
    """Everything in B goes to C, which travels in the hold."""
    wanted = {"A": {"HORN": 3}, "C": {"KEY-B": 1}}
    moves = moves_between(PLAN, wanted)
    new = repacked(TRIP, PLAN, moves, {"C": Route.HOLD}, Fitter(5))
    assert [(piece.case, piece.route) for piece in new.pieces] == [
        ("A", Route.HOLD),
        ("C", Route.HOLD),
    ]
    assert contents_of(new)["C"] == {"KEY-B": 1}
    assert new.pieces[1].contents[0].place is not None
    assert new.pieces[1].planning_g == 8000


def test_what_does_not_fit_is_an_error():
    """The inside of a case is 680 x 430 x 330 mm; with 250 mm of clearance little fits."""
    wanted = {"B": {"KEY-B": 1, "HORN": 3}}
    with pytest.raises(NoPlaceError):
        repacked(TRIP, PLAN, moves_between(PLAN, wanted), {}, Fitter(250))


def test_what_no_case_is_to_hold_stays_behind_and_is_hired():
    """KEY-B goes nowhere: Fjordlyd lends one at stop 1, the house at stop 2."""
    wanted = {"A": {"HORN": 3}}
    trip = replace(TRIP, gear=tuple(g for g in TRIP.gear if g.name in ("HORN", "KEY-B")))
    (move,) = moves_between(PLAN, wanted)
    assert (move, move.stays, move.cases) == (Move("KEY-B", 1, "B", ""), True, ("B",))
    new = repacked(trip, PLAN, (move,), {}, Fitter(5))
    assert contents_of(new) == {"A": {"HORN": 3}}
    key = next(each for each in new.decisions if each.gear == "KEY-B")
    assert key.flown == 0
    assert [(c.stop, c.supplier) for c in key.covers] == [
        ("Stop 1", "Fjordlyd"),
        ("Stop 2", "house"),
    ]


def test_more_than_flies_is_an_error():
    """There are three horns in the plan, not four."""
    with pytest.raises(ValueError, match="HORN"):
        moves_between(PLAN, {"A": {"HORN": 4}})
