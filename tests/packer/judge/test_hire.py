"""Hire, delivery and worth, computed by hand (contract, sections 5.4, 5.5 and 5.15)."""

from __future__ import annotations

from dataclasses import replace

from support.breaking import Break, add_cover, both, cover, decide, take_out
from support.worked import HOUSE, LANE, NORTH, SOUTH, eur, worked_plan, worked_trip

from packer.judge import judge, settle
from packer.judge.hire import cover_costs, delivery_costs
from packer.judge.matched import Matched
from packer.model.plan_json import plan_from_json
from packer.model.trip import Offer, Trip


def matched(*breaks: Break, offers: tuple[Offer, ...] = ()) -> Matched:
    """The worked trip and plan, changed, with more offers."""
    plan = worked_plan()
    trip = both(*breaks)(worked_trip(), plan)
    return Matched(replace(trip, offers=(*trip.offers, *offers)), plan_from_json(plan))


def costs_of(found: Matched, gear: str) -> list[tuple[str, str, int]]:
    """What each cover of a line costs."""
    return [
        (each.covered.cover.stop, each.covered.cover.supplier, each.cost_minor)
        for each in cover_costs(found)
        if each.covered.gear.name == gear
    ]


def test_units_times_price() -> None:
    """Three loudspeakers at 30.00 are 90.00."""
    assert costs_of(matched(cover("CAB", 1, units=3)), "CAB") == [
        (SOUTH, HOUSE, 0),
        (SOUTH, LANE, 9000),
    ]


def test_kit_price_stands_once_on_its_first_line() -> None:
    """60.00 and 70.00 on the drum, nothing on the stands."""
    assert [cost for _, _, cost in costs_of(matched(), "DRUM")] == [6000, 7000]
    assert [cost for _, _, cost in costs_of(matched(), "STAND")] == [0, 0]


def test_kit_price_moves_to_the_first_line_that_it_covers() -> None:
    """With the drum not covered by it, the price stands on the stands."""

    def drum_is_out(trip: Trip, plan: dict[str, object]) -> Trip:
        return decide("DRUM", stops=[])(trip, plan)

    assert [cost for _, _, cost in costs_of(matched(drum_is_out), "STAND")] == [6000, 7000]


def test_kit_costs_the_same_however_many_units_fly() -> None:
    """One stand fewer flies: two are covered, for the same price."""

    def one_stays(trip: Trip, plan: dict[str, object]) -> Trip:
        take_out(plan, "STAND")
        changed = decide("STAND", flown=0)(trip, plan)
        return both(cover("STAND", 0, units=2), cover("STAND", 1, units=2))(changed, plan)

    found = matched(one_stays)
    settled = settle(found.trip, found.plan)
    assert judge(found.trip, settled).breaches == ()
    assert settled.costs.hire_minor == 16_800
    assert settled.costs.worth_minor == 3600 + 2 * 100


def test_two_rows_of_one_supplier_fill_the_cheapest_first() -> None:
    """Two at 20.00 and the third at 30.00."""
    cheaper = Offer(SOUTH, "CAB", False, LANE, eur(2000), 2)
    assert costs_of(matched(cover("CAB", 1, units=3), offers=(cheaper,)), "CAB")[1][2] == 7000


def test_two_covers_of_one_offer_share_its_rows() -> None:
    """One at 20.00 for the first cover, one at 30.00 for the second."""
    cheaper = Offer(SOUTH, "CAB", False, LANE, eur(2000), 1)
    found = matched(add_cover("CAB", SOUTH, LANE), offers=(cheaper,))
    assert [cost for _, _, cost in costs_of(found, "CAB")] == [0, 2000, 3000]


def test_delivery_once_for_each_supplier_and_stop() -> None:
    """Also for the house, where a row asks for it; never where nothing is hired."""
    assert delivery_costs(matched()) == {
        (LANE, NORTH): 2500,
        ("Blue Crane Rental", NORTH): 4000,
        (LANE, SOUTH): 3500,
        (HOUSE, SOUTH): 500,
    }


def test_worth_counts_house_units_too() -> None:
    """Two loudspeakers at 2.00, one of them the house's."""
    stops = judge(worked_trip(), plan_from_json(worked_plan())).stops
    assert stops[1].worth_minor == 500 + 1000 + 100 + 2 * 200
