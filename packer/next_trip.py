"""The next trip from an old one: the old workbook, new stops and legs, and what to look at.

In: the paths of two workbooks or CSV folders, and where to write. Out: `Started`: the new trip
as it reads back, and everything that no longer fits, lacks a price or wants checking; the same
list stands on the workbook's last page. Also a workbook of the old stops and legs, to be changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from packer.model.finding import Finding, Severity, in_order
from packer.model.trip import Trip
from packer.reading import read_trip
from packer.reading.log import Log
from packer.reading.next_workbook import (
    Sheets,
    add_page,
    by_name,
    stop_names,
    write_next,
    write_some,
)
from packer.reading.reader import open_book
from packer.reading.values import Unreadable
from packer.road.next_trip import changed_needs, kept_needs, look_over

NEEDED = ("Stops", "Legs")


@dataclass(frozen=True, slots=True)
class Started:
    """A new trip that was written; `trip` is None where it does not read back.

    `looked` are findings about starting from the old trip, `findings` these and the reader's.
    """

    trip: Trip | None
    findings: tuple[Finding, ...]
    looked: tuple[Finding, ...] = ()


class NoStartError(ValueError):
    """Nothing was written, for the findings it holds."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__(findings[0].message)
        self.findings = findings


def start_next(old_path: Path, new_path: Path, out: Path) -> Started:
    """Write the new trip's workbook. NoStartError where an input does not do; OSError."""
    reading = read_trip(old_path)
    if reading.trip is None:
        raise NoStartError(in_order(reading.findings))
    old, new_sheets = reading.trip, _sheets(new_path)
    missing = [name for name in NEEDED if name not in new_sheets]
    if missing:
        raise NoStartError((_missing(new_path.name, missing),))
    stops = stop_names(new_sheets)
    needs = {line.name: kept_needs(line.needed_at, old, stops) for line in old.gear}
    write_next(out, needs, _sheets(old_path), new_sheets)
    again = read_trip(out)
    looked = look_over(old, again.trip) if again.trip else ()
    looked = in_order([*changed_needs(old, stops), *looked])
    findings = in_order([*again.findings, *looked])
    add_page(out, findings)
    return Started(again.trip, findings, looked)


def write_route(old_path: Path, out: Path) -> None:
    """A workbook of the old trip's stops, legs and rules, to be changed into the new ones.

    NoStartError where the old trip cannot be read; OSError.
    """
    write_some(out, _sheets(old_path), ("Stops", "Legs", "Rules"))


def _sheets(path: Path) -> Sheets:
    try:
        return by_name(open_book(path, Log()).sheets)
    except Unreadable as error:
        found = Finding(error.code, Severity.ERROR, error.message, remedy=error.remedy)
        raise NoStartError((found,)) from error


def _missing(file: str, missing: list[str]) -> Finding:
    message = f"{file} has no sheet {' and no sheet '.join(missing)} with anything in it."
    remedy = "Give the new stops and legs."
    return Finding("sheet-missing", Severity.ERROR, message, remedy=remedy)
