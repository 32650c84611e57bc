"""What may stay behind, and what is hired instead."""

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model
from support.road_plans import a_plan, band, price

from packer.judge import settle
from packer.model.plan import Cover
from packer.model.trip import Choice, Offer
from packer.road.leaving import Leaving, decisions_after, most_left, with_left

TRIP = band()
ALL = {
    "A": [("KEY-A", 1), ("HORN", 1), ("HORN", 2), ("PEDAL", 1)],
    "B": [("KEY-B", 1), ("HORN", 3), ("TAPE", 1), ("TAPE", 2)],
}
PLAN = settle(TRIP, a_plan(TRIP, ALL))


def everywhere(trip, name, supplier, minor, available=None):
    """Offers of a line at both stops."""
    more = tuple(
        Offer(stop, name, False, supplier, price(minor), available) for stop in ("Stop 1", "Stop 2")
    )
    return replace(trip, offers=(*trip.offers, *more))


def dearer(trip, plan, left):
    """What the model says that leaving exactly these behind costs more."""
    model = cp_model.CpModel()
    part = Leaving(model, trip, plan, most_left(trip, plan))
    for name, var in part.units.items():
        model.add(var == left.get(name, 0))
    model.minimize(sum(part.costs))
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def test_only_what_every_stop_can_cover_may_stay():
    """Only KEY-B has an offer at both stops; HORN, KEY-A and PEDAL have none at stop 2."""
    assert most_left(TRIP, PLAN) == {"KEY-B": 1}


def test_what_must_fly_never_stays():
    """Source `fly` on KEY-B."""
    gear = tuple(replace(g, choice=Choice.FLY) if g.name == "KEY-B" else g for g in TRIP.gear)
    assert most_left(replace(TRIP, gear=gear), PLAN) == {}


def test_an_offer_that_runs_out_lets_fewer_stay():
    """Stop 1 offers 3 horns in all, stop 2 one."""
    trip = everywhere(TRIP, "HORN", "Hornblower", 100, 1)
    assert most_left(trip, PLAN)["HORN"] == 1


def test_the_price_is_that_of_the_judge():
    """KEY-B: 60.00 and 50.00 delivery at stop 1, the house's at stop 2, and no worth here."""
    assert dearer(TRIP, PLAN, {"KEY-B": 1}) == 11_000
    new = settle(TRIP, with_left(TRIP, PLAN, {"KEY-B": 1}))
    assert new.costs.hire_minor + new.costs.delivery_minor == 11_000
    covers = next(d.covers for d in new.decisions if d.gear == "KEY-B")
    assert covers == (
        Cover("Stop 1", "Fjordlyd", "KEY-B", 1, 6000),
        Cover("Stop 2", "house", "KEY-B", 1, 0),
    )


def test_a_stop_with_more_to_hire_is_ordered_anew_at_the_least_cost():
    """KEY-A and PEDAL alone cost 50 + 80 + 40; together the kit of 90 + 40 delivery covers them."""
    trip = everywhere(everywhere(TRIP, "PEDAL", "house", 0), "KEY-A", "house", 9000)
    offers = tuple(o for o in trip.offers if o.stop != "Stop 1" or o.supplier != "house")
    trip = replace(trip, offers=offers)
    assert dearer(trip, PLAN, {"KEY-A": 1}) == 13_000 + 9000
    assert dearer(trip, PLAN, {"KEY-A": 1, "PEDAL": 1}) == 13_000 + 9000
    new = settle(trip, with_left(trip, PLAN, {"KEY-A": 1, "PEDAL": 1}))
    assert new.costs.hire_minor + new.costs.delivery_minor == 22_000


def test_other_stops_keep_their_orders():
    """Stop 2 does not need KEY-B here: whatever is hired there stays as it was."""
    gear = tuple(replace(g, needed_at=("Stop 1",)) if g.name == "KEY-B" else g for g in TRIP.gear)
    trip = replace(TRIP, gear=gear)
    before = {d.gear: [c for c in d.covers if c.stop == "Stop 2"] for d in PLAN.decisions}
    after = decisions_after(trip, PLAN, {"KEY-B": 1})
    assert {d.gear: [c for c in d.covers if c.stop == "Stop 2"] for d in after} == before


def test_what_no_offer_covers_is_an_error():
    """There is no offer of tape."""
    with pytest.raises(ValueError, match="do not reach"):
        decisions_after(TRIP, PLAN, {"TAPE": 1})
