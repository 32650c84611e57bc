"""Which countries a trip's flights touch, as far as the workbook tells.

What comes in: the trip. What goes out: country codes for an end of a leg, from a three-letter
airport code, a stop's name or venue, or a country's code or name; None where it says none.
"""

from __future__ import annotations

import re
from functools import lru_cache

import shared
from packer.model.trip import Leg, Trip

_AIRPORT_CODE = re.compile(r"\b([A-Z]{3})\b")


@lru_cache(maxsize=1)
def _country_names() -> dict[str, str]:
    return {held.name.casefold(): held.alpha2 for held in shared.countries().values()}


def country_of_place(trip: Trip, place: str) -> str | None:
    """The country of a leg's end; None where the text names no airport, stop or country."""
    text = place.strip()
    for stop in trip.stops:
        if text.casefold() in (stop.name.casefold(), stop.venue.casefold()):
            return stop.country
    if shared.country(text) is not None:
        return text
    airport = _airport_in(text)
    return airport or _country_names().get(text.casefold())


def _airport_in(text: str) -> str | None:
    for code in _AIRPORT_CODE.findall(text):
        airport = shared.airport(code)
        if airport is not None:
            return airport.country
    return None


def touches(trip: Trip, leg: Leg, country: str) -> bool:
    """True where an end of the leg is known to be in that country."""
    return country in (country_of_place(trip, leg.origin), country_of_place(trip, leg.destination))
