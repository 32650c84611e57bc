"""What staying nearer still costs, against every packing there is."""

from dataclasses import replace

import pytest
from support.road_plans import a_plan
from support.road_repairs import all_packings, some_packing, tiny_trip

from packer.judge import settle
from packer.road.nearer import moved_objects, nearer
from packer.road.scales import unproved


def changed(seed):
    """(trip whose pieces all cost, of lighter gear; the plan from before; the best now)."""
    trip = tiny_trip(seed)
    keep = some_packing(trip)
    if keep is None:
        return None
    gear = tuple(replace(line, weight_g=line.weight_g // 3) for line in trip.gear)
    other = replace(trip, legs=tuple(replace(leg, free_pieces=0) for leg in trip.legs), gear=gear)
    new = some_packing(other)
    return (other, keep, new) if new is not None else None


@pytest.mark.usefixtures("_untidy")
def test_each_step_is_the_cheapest_with_so_few_moves_by_enumeration():
    """Every number of moves below the new plan's own; what costs no more is not offered."""
    seen = 0
    for seed in range(14):
        found = changed(seed)
        if found is None:
            continue
        trip, keep, new = found
        near = nearer(trip, keep, new, seconds=10)
        if not near.steps:
            continue
        keep = unproved(settle(trip, keep))
        ways = [(n, v.costs.objective_minor) for n, _, v in all_packings(trip, keep)]
        for step in near.steps:
            best = min(cost for moves, cost in ways if moves <= step.moves)
            assert step.objective_minor == best, seed
            assert step.more_minor == best - new.objective_minor > 0
            assert step.moves < near.moved
        seen += 1
    assert seen >= 3


def test_moves_count_objects_that_change_place_or_stay():
    """One horn goes to another case, one stays behind: two."""
    trip = tiny_trip(1)
    old = settle(trip, a_plan(trip, {"C0": [("G0", 1), ("G0", 2)]}))
    new = settle(trip, a_plan(trip, {"C1": [("G0", 1)]}))
    assert moved_objects(old, new) == 2
    assert moved_objects(old, old) == 0


def test_a_plan_of_another_trip_has_no_nearer_ones():
    """It names gear that is not there any more."""
    trip = tiny_trip(1)
    plan = some_packing(trip)
    other = settle(trip, a_plan(trip, {"C0": [("G0", 1)]}))
    strange = replace(plan, pieces=(replace(plan.pieces[0], case="GONE"), *plan.pieces[1:]))
    assert nearer(trip, strange, other).steps == ()
