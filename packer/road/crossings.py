"""What can be entered in a ledger of borders, as frozen values, and their JSON.

In: what an officer stamped, or the list as it was issued. Out: events for `packer.road.ledger`
and the JSON that a journal or a database keeps. Nothing here judges anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

HOME = "home"
UNDERWAY = "under way"


class Step(StrEnum):
    """A crossing by the word on its voucher."""

    EXPORTATION = "exportation"
    IMPORTATION = "importation"
    REEXPORTATION = "re-exportation"
    REIMPORTATION = "re-importation"
    TRANSIT_IN = "transit entry"
    TRANSIT_OUT = "transit exit"

    @property
    def abroad(self) -> bool:
        """True where the crossing names a foreign territory."""
        return self not in (Step.EXPORTATION, Step.REIMPORTATION)


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """An item number of the list: pieces under it, and which gear unit or case (unit 0) it is."""

    number: int
    pieces: int
    description: str = ""
    name: str = ""
    unit: int = 0

    def __post_init__(self) -> None:
        if self.number < 1 or self.pieces < 1:
            raise ValueError(f"item numbers and pieces count from 1: {self}")


@dataclass(frozen=True, slots=True)
class Issued:
    """The list as issued: from then on nothing is added. `last_day` is the last valid day."""

    reference: str
    holder: str
    home: str
    issued: date
    last_day: date
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True, order=True)
class Count:
    """So many pieces of an item number."""

    number: int
    pieces: int


@dataclass(frozen=True, slots=True)
class Crossing:
    """One stamp. `country` is where it was given (ISO 3166 alpha-2).

    `back_by`: the final date for re-exportation, where the officer of importation wrote one.
    """

    step: Step
    country: str
    on: date
    items: tuple[Count, ...]
    note: str = ""
    back_by: date | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """Says that an earlier entry is wrong: `instead` takes its place, or None strikes it."""

    entry: int
    reason: str
    instead: Crossing | None = None


LedgerEvent = Issued | Crossing | Correction


def to_json(event: LedgerEvent) -> dict[str, Any]:
    """The event as a journal keeps it."""
    if isinstance(event, Issued):
        return {"kind": "issued", **_issued_json(event)}
    if isinstance(event, Crossing):
        return {"kind": "crossing", **_crossing_json(event)}
    instead = _crossing_json(event.instead) if event.instead else None
    return {"kind": "correction", "entry": event.entry, "reason": event.reason, "instead": instead}


def from_json(data: dict[str, Any]) -> LedgerEvent:
    """The event in a journal's JSON; ValueError or KeyError if it is none."""
    kind = data["kind"]
    if kind == "issued":
        return _issued(data)
    if kind == "crossing":
        return _crossing(data)
    if kind == "correction":
        instead = data["instead"]
        return Correction(
            int(data["entry"]), str(data["reason"]), _crossing(instead) if instead else None
        )
    raise ValueError(f"no ledger event: {kind!r}")


def _issued_json(event: Issued) -> dict[str, Any]:
    return {
        "reference": event.reference,
        "holder": event.holder,
        "home": event.home,
        "issued": event.issued.isoformat(),
        "last_day": event.last_day.isoformat(),
        "lines": [[x.number, x.pieces, x.description, x.name, x.unit] for x in event.lines],
    }


def _issued(data: dict[str, Any]) -> Issued:
    return Issued(
        str(data["reference"]),
        str(data["holder"]),
        str(data["home"]),
        date.fromisoformat(data["issued"]),
        date.fromisoformat(data["last_day"]),
        tuple(Line(*line) for line in data["lines"]),
    )


def _crossing_json(event: Crossing) -> dict[str, Any]:
    return {
        "step": str(event.step),
        "country": event.country,
        "on": event.on.isoformat(),
        "items": [[item.number, item.pieces] for item in event.items],
        "note": event.note,
        "back_by": event.back_by.isoformat() if event.back_by else None,
    }


def _crossing(data: dict[str, Any]) -> Crossing:
    back_by = data["back_by"]
    return Crossing(
        Step(data["step"]),
        str(data["country"]),
        date.fromisoformat(data["on"]),
        tuple(Count(*item) for item in data["items"]),
        str(data["note"]),
        date.fromisoformat(back_by) if back_by else None,
    )
