"""The cheapest cover of missing units at a stop: by hand, and against trying everything."""

from itertools import product

import pytest
from support.by_hand import price, thing, trip_of
from support.stops import cheapest_by_trial, random_stop
from support.worked import eur

from packer.decide.cover import Covered, Coverer, StopCover, cover_stop
from packer.decide.hire import stop_hires
from packer.model.trip import Delivery, Trip


def cover_of(trip: Trip, *missing: int) -> StopCover:
    """The cover at the one stop."""
    return cover_stop(stop_hires(trip)[0], missing)


def test_scarce_cheap_units_are_filled_up_by_dear_ones() -> None:
    """Two of the house for nothing, the third at 12.00."""
    trip = trip_of([thing("A", 3)], [],
                   offers=(price("A", 1200), price("A", 0, "house", available=2)))  # fmt: skip
    found = cover_of(trip, 3)
    assert found.covered == (Covered(0, 0, 1, 1200), Covered(0, 1, 2, 0))
    assert found.hire_minor == 1200


def test_a_kit_stands_once_on_its_first_line_that_lacks_units() -> None:
    """40.00 for both against 30.00 each; with one line complete, the single is cheaper."""
    lines = [thing("A", kit="K"), thing("B", 2, kit="K")]
    offers = (price("A", 3000), price("B", 3000), price("K", 4000, is_kit=True))
    trip = trip_of(lines, [], offers=offers)
    assert cover_of(trip, 1, 2).covered == (Covered(0, 2, 1, 4000), Covered(1, 2, 2, 0))
    assert cover_of(trip, 0, 2).covered == (Covered(1, 2, 2, 4000),)
    assert cover_of(trip, 0, 1).covered == (Covered(1, 1, 1, 3000),)


def test_a_delivery_is_paid_once_and_may_turn_the_choice() -> None:
    """For one unit 9.00 without delivery; for two lines 2 x 2.00 and 10.00 delivery."""
    lines = [thing("A"), thing("B")]
    offers = tuple(price(n, p, s) for n in "AB" for p, s in ((200, "Reed Hire"), (900, "house")))
    trip = trip_of(lines, [], offers=offers, deliveries=(Delivery("Reed Hire", "Quay", eur(1000)),))
    one, both = cover_of(trip, 1, 0), cover_of(trip, 1, 1)
    assert (one.hire_minor, one.delivery_minor) == (900, 0)
    assert (both.hire_minor, both.delivery_minor) == (400, 1000)


@pytest.mark.parametrize("available", [0, 2])
def test_offers_that_do_not_reach_are_no_cover(available: int) -> None:
    """Three are missing, fewer are to be had."""
    trip = trip_of([thing("A", 3)], [], offers=(price("A", 100, available=available),))
    assert not cover_of(trip, 3).possible


def test_nothing_missing_costs_nothing() -> None:
    """No offers, nothing to cover, and covers of all stops add up."""
    trip = trip_of([thing("A", 3)], [])
    assert cover_of(trip, 0) == StopCover((), 0, 0)
    found = Coverer(trip, stop_hires(trip)).cover((3,))
    assert (found.possible, found.hire_minor, found.delivery_minor) == (True, 0, 0)
    assert not Coverer(trip, stop_hires(trip)).cover((2,)).possible


@pytest.mark.parametrize("seed", range(40))
def test_cover_is_as_cheap_as_the_best_of_all_ways(seed: int) -> None:
    """Kits, deliveries, scarce units: every number of missing units of a random small stop."""
    trip = random_stop(seed)
    for missing in product(*(range(gear.quantity + 1) for gear in trip.gear)):
        found, best = cover_of(trip, *missing), cheapest_by_trial(trip, missing)
        assert found.possible is (best is not None)
        if best is not None:
            assert found.hire_minor + found.delivery_minor == best
            assert found.hire_minor == sum(row.cost_minor for row in found.covered)
            assert _units(found, len(missing)) == missing


def _units(found: StopCover, lines: int) -> tuple[int, ...]:
    return tuple(sum(row.units for row in found.covered if row.line == i) for i in range(lines))
