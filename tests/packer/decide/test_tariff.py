"""The quick table of a stop against the exact cover and against trying everything."""

from itertools import product

import pytest
from support.by_hand import price, thing, trip_of
from support.stops import cheapest_by_trial, random_stop
from support.worked import eur

from packer.decide.cover import cover_stop
from packer.decide.hire import stop_hires
from packer.decide.tariff import IMPOSSIBLE, MOST_SUPPLIERS, Tariff
from packer.model.trip import Delivery


@pytest.mark.parametrize("seed", range(40, 100))
def test_table_equals_cover_equals_trial(seed: int) -> None:
    """Every number of flown units of a random small stop, three ways."""
    trip = random_stop(seed)
    hire = stop_hires(trip)[0]
    tariff = Tariff(trip, hire)
    for flown in product(*(range(gear.quantity + 1) for gear in trip.gear)):
        missing = tuple(g.quantity - n for g, n in zip(trip.gear, flown, strict=True))
        cost = tariff.best(flown)
        covered, best = cover_stop(hire, missing), cheapest_by_trial(trip, missing)
        if best is None:
            assert cost >= IMPOSSIBLE
        else:
            assert tariff.exact
            assert cost == best == covered.hire_minor + covered.delivery_minor


def test_a_stop_that_needs_nothing_costs_nothing() -> None:
    """No lines, no cost."""
    trip = trip_of([thing("A", needed_at=())], [])
    assert Tariff(trip, stop_hires(trip)[0]).best([0]) == 0


def test_too_many_choices_price_too_high_and_never_too_low() -> None:
    """Thirteen suppliers with deliveries: more choices than are looked at."""
    suppliers = [f"Invented {n}" for n in range(13)]
    assert len(suppliers) > MOST_SUPPLIERS
    trip = trip_of([thing("A", 2)], [], offers=tuple(price("A", 500, s) for s in suppliers),
                   deliveries=tuple(Delivery(s, "Quay", eur(100)) for s in suppliers))  # fmt: skip
    hire = stop_hires(trip)[0]
    exact = cover_stop(hire, (1,))
    tariff = Tariff(trip, hire)
    assert not tariff.exact
    cost = tariff.best([1])
    assert exact.hire_minor + exact.delivery_minor == 600
    assert 600 <= cost < IMPOSSIBLE
