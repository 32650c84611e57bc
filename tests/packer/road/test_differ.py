"""The difference of two plans: identical units stand for each other, every change is named once."""

from collections import Counter
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from support.road_plans import a_plan, band, random_plan, random_trip

from packer.judge import settle
from packer.model.plan import Cover, Route
from packer.road.differ import CaseChange, CoverChange, FlownChange, Moved, differ
from packer.road.repacking import contents_of

TRIP = band()
OLD = settle(TRIP, a_plan(TRIP, {"A": [("HORN", 1), ("HORN", 2)], "B": [("KEY-B", 1)]}))


def test_the_same_plan_differs_in_nothing():
    """Not even when the units are numbered otherwise."""
    assert differ(OLD, OLD).nothing
    other = settle(TRIP, a_plan(TRIP, {"A": [("HORN", 2), ("HORN", 3)], "B": [("KEY-B", 1)]}))
    assert differ(OLD, other).nothing


def test_moved_added_hired_and_cases():
    """One horn moves to C, one is hired now at Stop 1, tape flies now, B goes by freight."""
    hired = {"HORN": [Cover("Stop 1", "Blikk", "HORN", 1, 2500)]}
    new = settle(
        TRIP,
        a_plan(
            TRIP,
            {"C": [("HORN", 1)], "B": [("KEY-B", 1), ("TAPE", 1)]},
            hired,
            {"B": Route.FREIGHT},
        ),
    )
    found = differ(OLD, new)
    assert found.moved == (Moved("HORN", 1, "A", "C"),)
    assert found.flown == (FlownChange("HORN", 2, 1, ("A",)), FlownChange("TAPE", 0, 1, ("B",)))
    assert found.covers == (CoverChange("HORN", "Stop 1", "Blikk", 0, 1),)
    assert found.cases == (
        CaseChange("A", Route.HOLD, None),
        CaseChange("B", Route.HOLD, Route.FREIGHT),
        CaseChange("C", None, Route.HOLD),
    )
    assert ("Hire", 0, 2500) in found.costs
    assert ("Delivery", 0, 4000) in found.costs


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10_000), one=st.integers(0, 99), two=st.integers(0, 99))
def test_the_difference_leads_from_the_old_plan_to_the_new(seed, one, two):
    """Applied to the old contents, moves, entries and exits give the new ones, by line and case.

    Moves are as few as they can be: a line's units that leave cases, less those that stop flying.
    """
    trip = random_trip(seed)
    old, new = random_plan(trip, one), random_plan(trip, two)
    found = differ(old, new)
    before, after = contents_of(old), contents_of(new)
    for line in trip.gear:
        change = Counter()
        for moved in (m for m in found.moved if m.gear == line.name):
            change[moved.source] -= moved.units
            change[moved.target] += moved.units
        more = sum((f.more for f in found.flown if f.gear == line.name), 0)
        wanted = Counter(
            {
                c: after.get(c, Counter())[line.name] - before.get(c, Counter())[line.name]
                for c in {*before, *after}
            }
        )
        rest = {c: wanted[c] - change[c] for c in wanted if wanted[c] != change[c]}
        assert sum(rest.values()) == more
        assert all((n > 0) == (more > 0) for n in rest.values())
        leaving = sum(-n for n in wanted.values() if n < 0)
        assert sum(m.units for m in found.moved if m.gear == line.name) == min(
            leaving, sum(n for n in wanted.values() if n > 0)
        )


def test_there_and_back_is_the_opposite():
    """What moved there moves back; what was hired is hired no longer."""
    trip = random_trip(5)
    old, new = random_plan(trip, 1), random_plan(trip, 2)
    there, back = differ(old, new), differ(new, old)
    assert there.moved_units == back.moved_units
    assert {(c.gear, c.stop, c.supplier, c.before, c.after) for c in there.covers} == {
        (c.gear, c.stop, c.supplier, c.after, c.before) for c in back.covers
    }


def test_costs_alone_can_differ():
    """The same packing at another price is not nothing."""
    dearer = replace(OLD, costs=replace(OLD.costs, baggage_minor=OLD.costs.baggage_minor + 1))
    assert not differ(OLD, dearer).nothing
