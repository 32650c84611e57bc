"""Wishes on the command line are checked before anything is solved."""

from dataclasses import replace

import pytest
from support.worked import worked_trip

from packer.model.solving import Wishes
from packer.model.trip import Choice
from packer.wishes import check_wishes

TRIP = worked_trip()
LINE = TRIP.gear[0]


def _with_choice(choice):
    return replace(TRIP, gear=(replace(LINE, choice=choice), *TRIP.gear[1:]))


def _codes(trip, **wishes):
    return [finding.code for finding in check_wishes(trip, Wishes(**wishes))]


def test_wishes_that_can_be_met_find_nothing():
    """A line that may do either."""
    trip = _with_choice(Choice.EITHER)
    assert _codes(trip, fly=(LINE.name,)) == []
    assert _codes(trip, hire=(LINE.name,)) == []


def test_an_unknown_gear_id_is_refused_with_the_nearest():
    """A slip of the finger."""
    (finding,) = check_wishes(TRIP, Wishes(fly=(LINE.name + "X",)))
    assert finding.code == "wish-unknown-gear"
    assert repr(LINE.name) in finding.remedy


def test_a_line_cannot_be_asked_both_ways():
    """To fly and to be hired."""
    trip = _with_choice(Choice.EITHER)
    assert _codes(trip, fly=(LINE.name,), hire=(LINE.name,)) == ["wish-both-ways"]


@pytest.mark.parametrize(
    ("choice", "wish"), [(Choice.HIRE, "fly"), (Choice.FLY, "hire")], ids=["fly", "hire"]
)
def test_a_wish_cannot_overrule_the_workbook(choice, wish):
    """The Source cell says the opposite."""
    assert _codes(_with_choice(choice), **{wish: (LINE.name,)}) == ["wish-against-source"]
