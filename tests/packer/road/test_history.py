"""The history of a trip: who, when, why."""

from support.road_plans import a_plan, band

from packer.judge import settle
from packer.road.history import PLANNED, WEIGHED, change_from, change_of, note_change
from packer.road.journal import read_journal

TRIP = band()
ONE = settle(TRIP, a_plan(TRIP, {"A": [("HORN", 1)]}))
TWO = settle(TRIP, a_plan(TRIP, {"B": [("HORN", 1)]}))


def test_changes_stand_in_order_with_who_when_and_why(tmp_path):
    """Two changes by two people."""
    path = tmp_path / "history.jsonl"
    note_change(path, PLANNED, ONE, "Mika", "first plan", "2026-05-01T10:00:00+00:00")
    note_change(path, WEIGHED, TWO, "Noor", "A too heavy", "2026-05-02T10:00:00+00:00")
    entries = read_journal(path).entries
    assert [(e.who, e.at[:10]) for e in entries] == [
        ("Mika", "2026-05-01"),
        ("Noor", "2026-05-02"),
    ]
    assert [change_from(e) for e in entries] == [
        change_of(PLANNED, ONE, "first plan"),
        change_of(WEIGHED, TWO, "A too heavy"),
    ]


def test_the_same_change_is_noted_once(tmp_path):
    """The same plan for the same reason is one change, another reason another."""
    path = tmp_path / "history.jsonl"
    for why in ("a", "a", "b"):
        note_change(path, PLANNED, ONE, "Mika", why, "now")
    assert len(read_journal(path).entries) == 2
