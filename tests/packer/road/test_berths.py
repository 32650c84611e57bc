"""Where things can go when a plan is mended."""

from dataclasses import replace

from support.road_plans import a_plan, band, box_case, piece_rule

from packer.model.plan import Route
from packer.model.trip import Battery, Box, Carry, Chemistry
from packer.road.berths import berths, fewest_out, most_units

TRIP = replace(band(), cases=(box_case("A"), box_case("B", carry=Carry.EITHER), box_case("C")))
PLAN = a_plan(TRIP, {"A": [("HORN", 1)]}, routes={"A": Route.HOLD})


def ways(trip, plan):
    return [(berth.case.name, berth.route, berth.in_use) for berth in berths(trip, plan)]


def test_a_case_in_use_keeps_its_way_and_an_empty_one_has_its_choices():
    """A by hold as before; B by hold or cabin; C by hold; none by freight."""
    assert ways(TRIP, PLAN) == [
        ("A", Route.HOLD, True),
        ("B", Route.HOLD, False),
        ("B", Route.CABIN, False),
        ("C", Route.HOLD, False),
    ]


def test_an_empty_case_too_long_for_a_leg_stays_at_home():
    """1,500 mm in sum where 1,400 are allowed; the case in use is the judge's business."""
    trip = replace(TRIP, rules=(piece_rule(most_linear_mm=1400, cabin_mm=(300, 300, 300)),))
    assert ways(trip, PLAN) == [("A", Route.HOLD, True)]


def test_bands_end_at_the_tightest_limit():
    """Up to 23 kg free, up to 30 for 90.00 (most gross 30 kg, the rule's own band to 32)."""
    trip = replace(TRIP, cases=(box_case("A", most_gross_g=30_000),))
    (berth,) = berths(trip, PLAN)
    assert [(b.above_g, b.upto_g, b.cost_minor) for b in berth.bands] == [
        (-1, 23_000, 0),
        (23_000, 30_000, 9000),
    ]
    assert berth.tare_g == 6500


def test_what_may_go_where():
    """Spare lithium only in the cabin, hold gear never there, nothing outside its Only in."""
    hold, cabin = berths(TRIP, PLAN)[1:3]
    horn = TRIP.gear_named("HORN")
    spare = replace(horn, battery=Battery(Chemistry.LITHIUM_ION, 50_000, spare=True))
    assert (most_units(spare, hold, 5), most_units(spare, cabin, 5) > 0) == (0, True)
    heavy = replace(horn, carry=Carry.HOLD)
    assert (most_units(heavy, cabin, 5), most_units(heavy, hold, 5) > 0) == (0, True)
    assert most_units(replace(horn, only_in=("A",)), hold, 5) == 0
    assert most_units(replace(horn, weight_g=26_000), hold, 5) == 0


def test_a_thing_too_long_in_any_turn_does_not_go():
    """681 mm with clearance in 680; upright things keep their height."""
    (berth, *_) = berths(TRIP, PLAN)
    horn = TRIP.gear_named("HORN")
    assert most_units(replace(horn, size=Box(676, 10, 10)), berth, 5) == 0
    assert most_units(replace(horn, size=Box(675, 10, 10)), berth, 5) > 0
    assert most_units(replace(horn, size=Box(10, 10, 400), upright=True), berth, 5) == 0
    assert most_units(replace(horn, size=Box(10, 10, 400)), berth, 5) > 0


def test_the_heaviest_objects_leave_first_in_the_bound():
    """At most 32 kg, 6.5 kg of it tare: of 12 + 9 + 8 + 2 kg one must go; with 8 more, still."""
    (berth,) = berths(replace(TRIP, cases=(box_case("A"),)), PLAN)
    weights = [2000, 9000, 12_000, 8000]
    assert fewest_out(berth, weights[:1]) == 0
    assert fewest_out(berth, weights) == 1
    assert fewest_out(berth, [*weights, 8000]) == 2
    assert fewest_out(replace(berth, tare_g=40_000), weights) == 4
