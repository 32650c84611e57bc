"""Packing progress: no tick lost, none doubled, no case closed with something quietly missing."""

import itertools
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.model.plan import (
    Costs,
    Decision,
    Packed,
    Piece,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.trip import Box, Case, CaseKind, Gear, Stop, Trip
from packer.road.journal import read_journal
from packer.road.tick_book import enter, events_of
from packer.road.ticks import Excuse, Lid, Tick, from_json, progress, refusals, to_json

BOX = Box(500, 400, 300)
TRIP = Trip(
    name="Invented",
    home_country="GB",
    currency="EUR",
    stops=(Stop("Aarfield", "NO", date(2026, 6, 1)),),
    legs=(),
    rules=(),
    gear=(
        Gear("HORN", "horn", 3, 900, size=BOX, role="brass", role_needs=2),
        Gear("TAPE", "tape", 2, 100, size=BOX),
    ),
    cases=tuple(Case(c, c, CaseKind.BOX, BOX, 5000, inside=BOX) for c in ("A", "B")),
)


def piece(case, *units):
    return Piece(case, Route.HOLD, 5000, 0, 0, tuple(Packed(g, n) for g, n in units))


PLAN = Plan(
    "1",
    "Invented",
    "",
    "",
    Status.FEASIBLE,
    "EUR",
    Costs(0, 0, 0, 0, 0),
    0,
    (Decision("HORN", 3), Decision("TAPE", 2)),
    (
        piece("A", ("HORN", 1), ("TAPE", 1), ("TAPE", 2)),
        piece("B", ("HORN", 2), ("HORN", 3)),
    ),
    (),
    (),
    SolverNote(0.0, 1, 0, "", 0.0),
)


def tick(gear, unit, case, at="10:00", packed=True, who="Mika", key=""):
    stamp = f"2026-05-30T{at}:00+00:00"
    return Tick(gear, unit, case, stamp, who, packed, key or f"{gear}{unit}{case}{at}{packed}{who}")


def lid(case, at="11:00", closed=True, excuses=(), key="lid"):
    return Lid(case, f"2026-05-30T{at}:00+00:00", "Mika", closed, excuses, key)


ALL_OF_B = (tick("HORN", 2, "B"), tick("HORN", 3, "B"))


def codes(findings):
    return [finding.code for finding in findings]


def test_what_is_out_by_case_and_by_role():
    """One of five is in: the rest is out, by case and, for brass, by role."""
    now = progress(TRIP, PLAN, [tick("HORN", 2, "B")])
    assert (now.packed, now.planned) == (1, 5)
    assert now.case("A").out == (("HORN", 1), ("TAPE", 1), ("TAPE", 2))
    assert now.case("B").out == (("HORN", 3),)
    assert [(r.role, r.planned, r.out) for r in now.roles] == [
        ("brass", 3, (("HORN", 1), ("HORN", 3)))
    ]


def test_two_phones_on_one_unit_count_it_once():
    """Both ticked the same horn: one horn is in."""
    now = progress(TRIP, PLAN, [tick("HORN", 2, "B"), tick("HORN", 2, "B", who="Noor")])
    assert now.packed == 1
    assert now.doubles == ()


def test_a_unit_ticked_in_two_cases_is_in_the_later_one_and_said_so():
    """A unit is in one case; the disagreement is shown until someone takes a tick away."""
    first, second = tick("HORN", 1, "B", "10:00"), tick("HORN", 1, "A", "10:05", who="Noor")
    now = progress(TRIP, PLAN, [first, second])
    assert now.case("A").packed == (("HORN", 1),)
    assert now.case("B").strangers == ()
    assert codes(now.doubles) == ["ticked-twice"]
    undone = progress(TRIP, PLAN, [first, second, tick("HORN", 1, "B", "10:06", packed=False)])
    assert undone.doubles == ()
    assert undone.case("A").packed == (("HORN", 1),)


def test_taking_the_later_tick_away_leaves_the_earlier_one():
    """The horn was in B all along."""
    events = [
        tick("HORN", 2, "B", "10:00"),
        tick("HORN", 2, "A", "10:05"),
        tick("HORN", 2, "A", "10:06", packed=False),
    ]
    assert progress(TRIP, PLAN, events).case("B").packed == (("HORN", 2),)


def test_a_tick_that_arrives_late_does_not_undo_what_was_done_after_it():
    """Ticked at 10:00 offline, taken out at 10:05 online; the 10:00 arrives last."""
    events = [tick("HORN", 2, "B", "10:05", packed=False), tick("HORN", 2, "B", "10:00")]
    assert progress(TRIP, PLAN, events).packed == 0


def test_a_case_closes_when_complete():
    """Two of two: closed, until it is opened again."""
    assert refusals(TRIP, PLAN, ALL_OF_B, lid("B")) == ()
    assert progress(TRIP, PLAN, [*ALL_OF_B, lid("B")]).case("B").closed
    opened = [*ALL_OF_B, lid("B"), lid("B", "11:30", closed=False)]
    assert not progress(TRIP, PLAN, opened).case("B").closed


def test_a_case_does_not_close_with_something_out():
    """The message names what is out; a reason for each lets it close."""
    found = refusals(TRIP, PLAN, ALL_OF_B[:1], lid("B"))
    assert codes(found) == ["case-not-complete"]
    assert "still out: HORN 3" in found[0].message
    excused = lid("B", excuses=(Excuse("HORN", 3, "at the repairer"),))
    assert refusals(TRIP, PLAN, ALL_OF_B[:1], excused) == ()
    now = progress(TRIP, PLAN, [*ALL_OF_B[:1], excused]).case("B")
    assert (now.closed, now.complete) == (True, False)
    assert [e.reason for e in now.excused] == ["at the repairer"]
    blank = lid("B", excuses=(Excuse("HORN", 3, " "),))
    assert codes(refusals(TRIP, PLAN, ALL_OF_B[:1], blank)) == ["exception-without-reason"]


def test_a_case_with_a_stranger_in_it_does_not_close():
    """Tape that belongs in A is ticked in B."""
    events = [*ALL_OF_B, tick("TAPE", 1, "B")]
    found = refusals(TRIP, PLAN, events, lid("B"))
    assert "in it but not planned: TAPE 1" in found[0].message


def test_a_case_is_not_closed_any_more_once_something_was_taken_out():
    """A late tick away is kept, and the case shows as open."""
    events = [*ALL_OF_B, lid("B"), tick("HORN", 3, "B", "11:10", packed=False)]
    assert not progress(TRIP, PLAN, events).case("B").closed


def test_what_the_plan_does_not_know_is_refused():
    """A case that stays home, and a unit that does not fly."""
    assert codes(refusals(TRIP, PLAN, (), tick("HORN", 1, "Z"))) == ["case-not-in-plan"]
    assert codes(refusals(TRIP, PLAN, (), tick("HORN", 4, "A"))) == ["unit-not-flown"]


EVENTS = st.one_of(
    st.builds(
        tick,
        st.sampled_from(["HORN", "TAPE"]),
        st.integers(1, 3),
        st.sampled_from("AB"),
        st.sampled_from(["10:00", "10:01", "10:02"]),
        st.booleans(),
        st.sampled_from(["Mika", "Noor"]),
    ),
    st.builds(
        lid,
        st.sampled_from("AB"),
        st.sampled_from(["10:00", "10:01", "10:02"]),
        st.booleans(),
        st.lists(st.builds(Excuse, st.just("HORN"), st.integers(1, 3), st.just("why"))).map(tuple),
        st.sampled_from(["k1", "k2"]),
    ),
)


@given(events=st.lists(EVENTS, max_size=5, unique_by=lambda e: (type(e), e.at, e.key)))
def test_order_and_repetition_of_arrival_change_nothing(events):
    """In any order, with everything sent twice: the same progress."""
    expected = progress(TRIP, PLAN, events)
    for order in itertools.permutations(events):
        assert progress(TRIP, PLAN, order) == expected
    assert progress(TRIP, PLAN, events + events) == expected


@given(events=st.lists(EVENTS, max_size=12))
def test_a_closed_case_is_complete_or_excused(events):
    """Whatever arrives: each planned unit of a closed case is in it or excused by name."""
    for case in progress(TRIP, PLAN, events).cases:
        excused = {(e.gear, e.unit) for e in case.excused}
        assert len(case.packed) + len(case.out) == case.planned
        assert not case.closed or set(case.out) <= excused


@given(event=EVENTS)
def test_events_come_back_from_json(event):
    """What a journal keeps is what was entered."""
    assert from_json(to_json(event), event.who, event.key) == event


def test_ticks_stand_in_a_file(tmp_path):
    """Entered once each, whatever is sent twice; a refused lid leaves no trace."""
    path = tmp_path / "packing.jsonl"
    enter(path, TRIP, PLAN, ALL_OF_B, "now")
    enter(path, TRIP, PLAN, ALL_OF_B, "later")
    assert enter(path, TRIP, PLAN, (lid("A"),), "now").refused
    assert not enter(path, TRIP, PLAN, (lid("B"),), "now").refused
    events = events_of(read_journal(path).entries)
    assert events == (*ALL_OF_B, lid("B"))


def test_what_is_no_packing_event_is_refused():
    """An unknown kind is an error, not a tick."""
    with pytest.raises(ValueError, match="no packing event"):
        from_json({"kind": "dance"}, "Mika", "k")
