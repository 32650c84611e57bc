"""The ledger of borders: what went out, where it is, what is still owed, how many days are left.

In: numbered entries, never changed once made; a correction is an entry too. Out: the state they
fold to, and refusals of a new entry in words that an officer would accept. All stamps that stand
are read in order of their date, then of entry, so that one forgotten can be entered later, as
long as everything after it still adds up.

Caution: the guaranteeing association's form and the customs office govern; this is your own book.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

import shared
from packer.road.crossings import (
    HOME,
    UNDERWAY,
    Correction,
    Count,
    Crossing,
    Issued,
    LedgerEvent,
    Step,
)

Places = Mapping[str, Mapping[int, int]]
"""Pieces by place, then by item number; places with nothing are left out."""

CAUTION = (
    "This is your own book. The form of the guaranteeing association and the customs office govern."
)


@dataclass(frozen=True, slots=True)
class Stamp:
    """A crossing that stands: made by entry `number`, as last put right by entry `by`."""

    number: int
    by: int
    crossing: Crossing


@dataclass(frozen=True, slots=True)
class Ledger:
    """What the entries fold to. `struck` are entries corrected away."""

    issued: Issued | None = None
    stamps: tuple[Stamp, ...] = ()
    struck: tuple[int, ...] = ()
    known: tuple[int, ...] = ()

    def places(self) -> Places:
        """Where every piece of the list is now."""
        return _places_after(self.issued, self.stamps)

    def in_order(self) -> tuple[Stamp, ...]:
        """The stamps by date, then by entry."""
        return by_date(self.stamps)


@dataclass(frozen=True, slots=True)
class Owed:
    """Pieces that must still leave a place, and by when; `days` below 0 is late."""

    place: str
    items: tuple[Count, ...]
    by: date
    days: int

    @property
    def pieces(self) -> int:
        """All pieces together."""
        return sum(item.pieces for item in self.items)


def ledger(entries: Iterable[tuple[int, LedgerEvent]]) -> Ledger:
    """The state after numbered entries that were each accepted in turn."""
    state = Ledger()
    for number, event in entries:
        state = entered(state, number, event)
    return state


def entered(state: Ledger, number: int, event: LedgerEvent) -> Ledger:
    """The state after one more entry; ask `refusals` first."""
    known = (*state.known, number)
    if isinstance(event, Issued):
        return replace(state, issued=event, known=known)
    if isinstance(event, Crossing):
        return replace(state, stamps=(*state.stamps, Stamp(number, number, event)), known=known)
    return replace(_corrected(state, number, event), known=known)


def _corrected(state: Ledger, number: int, event: Correction) -> Ledger:
    if event.instead is None:
        kept = tuple(stamp for stamp in state.stamps if stamp.number != event.entry)
        return replace(state, stamps=kept, struck=(*state.struck, event.entry))
    new = Stamp(event.entry, number, event.instead)
    others = tuple(stamp for stamp in state.stamps if stamp.number != event.entry)
    still_struck = tuple(entry for entry in state.struck if entry != event.entry)
    return replace(state, stamps=(*others, new), struck=still_struck)


def position(state: Ledger) -> Places:
    """Where every piece of the list is now: home, under way, in a territory, in transit there."""
    return state.places()


def owed(state: Ledger, today: date) -> tuple[Owed, ...]:
    """What must still leave each territory, and what must still come home; nearest day first."""
    if state.issued is None:
        return ()
    places = state.places()
    abroad = [_owed_by(state, place, today) for place in places if place not in (HOME, UNDERWAY)]
    out = _all_but_home(places)
    home = [Owed(HOME, out, state.issued.last_day, _days(state.issued.last_day, today))]
    return tuple(sorted(abroad, key=lambda o: (o.by, o.place))) + tuple(home if out else [])


def days_left(state: Ledger, today: date) -> int | None:
    """Days until the last valid day (0 on that day, below 0 after); None before issue."""
    return _days(state.issued.last_day, today) if state.issued else None


def closed(state: Ledger) -> bool:
    """True once something went out and everything is home again."""
    return bool(state.stamps) and not _all_but_home(state.places())


def place_of(event: Crossing) -> str:
    """The place that a crossing abroad goes into or comes out of."""
    territory = shared.territory(event.country)
    if event.step in (Step.TRANSIT_IN, Step.TRANSIT_OUT):
        return f"transit {territory}"
    return territory


def movement(event: Crossing) -> tuple[str, str]:
    """(from, to) of a crossing."""
    return {
        Step.EXPORTATION: (HOME, UNDERWAY),
        Step.REIMPORTATION: (UNDERWAY, HOME),
        Step.IMPORTATION: (UNDERWAY, place_of(event)),
        Step.TRANSIT_IN: (UNDERWAY, place_of(event)),
        Step.REEXPORTATION: (place_of(event), UNDERWAY),
        Step.TRANSIT_OUT: (place_of(event), UNDERWAY),
    }[event.step]


def _places_after(issued: Issued | None, stamps: tuple[Stamp, ...]) -> Places:
    if issued is None:
        return {}
    places = starting(issued)
    for stamp in by_date(stamps):
        places = moved(places, *movement(stamp.crossing), stamp.crossing.items)
    return places


def starting(issued: Issued) -> dict[str, dict[int, int]]:
    """Where everything is before any stamp: at home."""
    return {HOME: {line.number: line.pieces for line in issued.lines}}


def moved(
    places: Mapping[str, Mapping[int, int]], source: str, target: str, items: tuple[Count, ...]
) -> dict[str, dict[int, int]]:
    """The places after some pieces went from one to another."""
    new = {place: dict(held) for place, held in places.items()}
    for item in items:
        new[source][item.number] = new[source].get(item.number, 0) - item.pieces
        arrived = new.setdefault(target, {})
        arrived[item.number] = arrived.get(item.number, 0) + item.pieces
    kept = {place: {n: p for n, p in held.items() if p} for place, held in new.items()}
    return {place: held for place, held in kept.items() if held}


def by_date(stamps: tuple[Stamp, ...]) -> tuple[Stamp, ...]:
    """The stamps by date, then by entry."""
    return tuple(sorted(stamps, key=lambda stamp: (stamp.crossing.on, stamp.number)))


def _owed_by(state: Ledger, place: str, today: date) -> Owed:
    assert state.issued is not None
    dates = [
        stamp.crossing.back_by
        for stamp in state.stamps
        if stamp.crossing.back_by and movement(stamp.crossing)[1] == place
    ]
    by = min([state.issued.last_day, *dates])
    return Owed(place, counted(state.places()[place]), by, _days(by, today))


def _all_but_home(places: Places) -> tuple[Count, ...]:
    total: dict[int, int] = {}
    for place, held in places.items():
        if place != HOME:
            for number, pieces in held.items():
                total[number] = total.get(number, 0) + pieces
    return counted(total)


def counted(held: Mapping[int, int]) -> tuple[Count, ...]:
    """Pieces by item number as counts, in order."""
    return tuple(Count(number, held[number]) for number in sorted(held))


def _days(by: date, today: date) -> int:
    return (by - today).days
