"""A list already issued: nothing else flies, and what would is refused with a way out."""

from dataclasses import replace
from datetime import date

from support.road_plans import a_plan, band

from packer.judge import judge
from packer.model.trip import Choice
from packer.papers.tables.customs import customs_list
from packer.road.crossings import Issued
from packer.road.listed import lines_of, not_listed, only_listed

TRIP = band()
PLAN = a_plan(TRIP, {"A": [("KEY-A", 1), ("HORN", 1), ("HORN", 2)], "B": [("KEY-B", 1)]})
ISSUED = Issued(
    "X 1", "", "GB", date(2026, 5, 1), date(2027, 5, 1), lines_of(customs_list(TRIP, PLAN).rows)
)


def test_every_object_and_case_has_its_own_number():
    """Four goods and two cases: items 1 to 6."""
    assert [line.number for line in ISSUED.lines] == [1, 2, 3, 4, 5, 6]
    assert {(line.name, line.unit) for line in ISSUED.lines} == {
        ("KEY-A", 1),
        ("HORN", 1),
        ("HORN", 2),
        ("KEY-B", 1),
        ("A", 0),
        ("B", 0),
    }


def test_the_plan_it_was_printed_from_is_listed():
    """Nothing is refused; nor where other units of the line fly."""
    assert not_listed(TRIP, PLAN, ISSUED) == ()
    other = a_plan(TRIP, {"A": [("KEY-A", 1), ("HORN", 3)], "B": [("KEY-B", 1)]})
    assert not_listed(TRIP, other, ISSUED) == ()


def test_goods_added_since_are_refused_with_a_proforma():
    """A third horn, a pedal and case C were not on the list."""
    contents = {"A": [("HORN", 1), ("HORN", 2), ("HORN", 3)], "C": [("PEDAL", 1)]}
    found = not_listed(TRIP, a_plan(TRIP, contents), ISSUED)
    assert [f.subject for f in found] == ["C", "HORN", "PEDAL"]
    assert {f.code for f in found} == {"goods-added-after-issue"}
    assert all("proforma" in f.remedy for f in found)


def test_consumables_are_never_on_the_list():
    """Tape that is used up may be added: it is on the proforma anyway."""
    gear = tuple(replace(g, consumable=g.name == "TAPE") for g in TRIP.gear)
    trip = replace(TRIP, gear=gear)
    found = not_listed(trip, a_plan(trip, {"A": [("TAPE", 1)]}), ISSUED)
    assert found == ()


def test_planning_with_the_list_leaves_the_rest_at_home():
    """TAPE and PEDAL stay, case C stays, of three horns two may fly."""
    restricted = only_listed(TRIP, ISSUED)
    stays = {g.name for g in restricted.trip.gear if g.choice is Choice.HIRE}
    assert stays == {"TAPE", "PEDAL"}
    assert [case.name for case in restricted.trip.cases] == ["A", "B"]
    assert restricted.at_most == (("HORN", 2),)
    assert {f.subject for f in restricted.findings} == {"TAPE", "PEDAL"}
    codes = {b.code for b in judge(restricted.trip, a_plan(TRIP, {"A": [("PEDAL", 1)]})).breaches}
    assert "must-stay-flies" in codes


def test_what_must_fly_and_is_not_listed_is_an_error():
    """The workbook and the list contradict each other: someone must decide."""
    gear = tuple(replace(g, choice=Choice.FLY) if g.name == "PEDAL" else g for g in TRIP.gear)
    found = {f.subject: f.severity for f in only_listed(replace(TRIP, gear=gear), ISSUED).findings}
    assert found == {"PEDAL": "error", "TAPE": "note"}
