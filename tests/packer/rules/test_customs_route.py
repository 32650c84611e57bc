"""The customs territories that a trip crosses, from legs and stops. All places are invented or
airport codes."""

from __future__ import annotations

from datetime import date

import pytest

from packer.model.trip import Leg, Stop, Trip
from packer.rules.customs_route import crosses_customs, route_needs, territory_path
from packer.rules.routes_by_air import country_of_place, touches


def trip(home: str, stops: list[tuple[str, str, int]], legs: list[tuple[str, str, int]]) -> Trip:
    """A trip of (name, country, day) stops and (from, to, day) legs in July 2026."""
    return Trip(
        "Invented trip",
        home,
        "EUR",
        tuple(Stop(name, country, date(2026, 7, day)) for name, country, day in stops),
        tuple(
            Leg(f"L{number}", one, other, date(2026, 7, day), "R", 1)
            for number, (one, other, day) in enumerate(legs)
        ),
        (),
        (),
        (),
    )


@pytest.mark.parametrize(
    ("held", "path"),
    [
        # by airport codes, there and back
        (trip("DE", [("A", "CH", 4)], [("HAM", "ZRH", 3), ("ZRH", "HAM", 5)]), "EU CH EU"),
        # within the Union no border is crossed
        (trip("PT", [("A", "ES", 4)], [("LIS", "MAD", 3), ("MAD", "LIS", 5)]), "EU"),
        # a connection in a third territory
        (trip("GB", [("A", "CH", 4)], [("LHR", "AMS", 3), ("AMS", "ZRH", 3)]), "GB EU CH GB"),
        # overland to a show in another territory between flights
        (
            trip("GB", [("A", "CH", 4), ("B", "FR", 5)], [("LHR", "ZRH", 3), ("ZRH", "LHR", 6)]),
            "GB CH EU CH GB",
        ),
        # a show and the flight out of it on one day
        (trip("DE", [("A", "CH", 4)], [("HAM", "ZRH", 3), ("ZRH", "HAM", 4)]), "EU CH EU"),
        # legs that name stops
        (trip("DE", [("Lakeside", "CH", 4)], [("Elsewhere", "Lakeside", 3)]), "EU CH EU"),
        # legs that name nothing known: stops alone
        (trip("DE", [("A", "CH", 4), ("B", "NO", 6)], [("X", "Y", 3)]), "EU CH NO EU"),
        # Liechtenstein is Switzerland's customs territory
        (trip("CH", [("A", "LI", 4)], []), "CH"),
        (trip("", [("A", "FR", 4), ("B", "GB", 6)], []), "EU GB"),
    ],
)
def test_path(held: Trip, path: str) -> None:
    """In order of days, flights before shows, from home to home."""
    assert " ".join(territory_path(held)) == path
    assert crosses_customs(held) is (" " in path)


def test_transit_is_told_from_visit() -> None:
    """A territory without a show is crossed in transit: two blue vouchers."""
    needs = route_needs(trip("GB", [("A", "CH", 4)], [("LHR", "AMS", 3), ("AMS", "ZRH", 3)]))
    assert (needs.visits, needs.transits, needs.blue) == (("CH",), ("EU",), 2)


@pytest.mark.parametrize(
    ("text", "country"),
    [
        ("ZRH", "CH"),
        ("Zurich (ZRH)", "CH"),
        ("CH", "CH"),
        ("Switzerland", "CH"),
        ("lakeside", "CH"),
        ("Nowhere in particular", None),
        ("ZZZZ", None),
    ],
)
def test_places(text: str, country: str | None) -> None:
    """Airport code, stop, country code or name; else unknown."""
    assert country_of_place(trip("DE", [("Lakeside", "CH", 4)], []), text) == country


def test_flights_that_touch_the_united_states() -> None:
    """14 CFR 251 and 399.87 look at origin and destination."""
    held = trip("FR", [], [("CDG", "JFK", 3), ("CDG", "ZRH", 3)])
    assert [touches(held, leg, "US") for leg in held.legs] == [True, False]
