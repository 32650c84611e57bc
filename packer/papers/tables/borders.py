"""Border by border, which item numbers of the customs list leave or return.

Every flown object travels the whole trip, so the usual extract is the whole list; an extract may
name fewer numbers (something stays at home), never more. Countries of one customs territory
(`shared.territory`) have no border between them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from packer.model.trip import Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.customs import CustomsList
from packer.papers.tables.flown import stops_in_order
from packer.papers.units import ranges_text
from shared import territory


@dataclass(frozen=True, slots=True)
class BorderRow:
    """A crossing: what is done there, where, by when, with which item numbers."""

    number: int
    act: str
    country: str
    before: date | None
    items: str
    pieces: int


def border_rows(trip: Trip, goods: CustomsList) -> tuple[BorderRow, ...]:
    """The planned crossings in order, each with the whole list."""
    everything = extract(goods, range(1, goods.last_item + 1))
    rows = []
    for number, (act, country, day) in enumerate(_crossings(trip), start=1):
        rows.append(BorderRow(number, act, country, day, everything, goods.pieces))
    return tuple(rows)


def extract(goods: CustomsList, numbers: Iterable[int]) -> str:
    """Item numbers as a voucher names them; ValueError for a number that is not on the list."""
    wanted = sorted(set(numbers))
    strange = [number for number in wanted if not 1 <= number <= goods.last_item]
    if strange:
        raise ValueError(
            f"items {ranges_text(strange)} are not on the list of {goods.last_item}: "
            "fewer may travel, never more"
        )
    return ranges_text(wanted) or "none"


def borders_table(trip: Trip, goods: CustomsList) -> Table[BorderRow]:
    """The crossings with room for what really went and the officer's entry."""
    return Table(
        name="Borders",
        title="Border by border: item numbers that cross",
        columns=_COLUMNS,
        rows=border_rows(trip, goods),
        below=(
            "Only item numbers of the list may cross: fewer are allowed, never more. Write down "
            "what stays behind. Customs decide which crossings need a voucher and in what form.",
        ),
        empty="No customs border is crossed.",
    )


def _crossings(trip: Trip) -> list[tuple[str, str, date | None]]:
    home = trip.home_country
    stops = stops_in_order(trip)
    found: list[tuple[str, str, date | None]] = []
    here = home
    for country, day in [*((s.country, s.date) for s in stops), (home, None)]:
        if territory(country) == territory(here):
            continue
        found.append((_leaving(here, home), here, day))
        found.append((_entering(country, home), country, day))
        here = country
    return found


def _leaving(country: str, home: str) -> str:
    return "exportation" if territory(country) == territory(home) else "re-exportation"


def _entering(country: str, home: str) -> str:
    return "re-importation" if territory(country) == territory(home) else "importation"


_COLUMNS: tuple[Column[BorderRow], ...] = (
    Column("No.", Kind.COUNT, lambda r: r.number, 5),
    Column("Act", Kind.TEXT, lambda r: r.act, 16),
    Column("Country", Kind.ID, lambda r: r.country, 9),
    Column("For the show of", Kind.DATE, lambda r: r.before, 12),
    Column("Item numbers", Kind.TEXT, lambda r: r.items, 22),
    Column("Pieces", Kind.COUNT, lambda r: r.pieces, 8),
    Column("Really crossed", Kind.BLANK, lambda _: None, 20),
    Column("Customs", Kind.BLANK, lambda _: None, 18),
)
