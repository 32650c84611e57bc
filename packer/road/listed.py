"""What a list of goods already issued means for planning: only what is on it may cross.

In: the rows of a customs list, a trip, an issued list. Out: the lines to issue; what a plan flies
that is not on the list (with the way out: a proforma); and a trip that plans only with the list.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Protocol

from packer.model.finding import Finding, Severity
from packer.model.plan import Plan
from packer.model.trip import Choice, Gear, Trip
from packer.road.border_rules import goods_added_after_issue
from packer.road.crossings import Issued, Line


class ListRow(Protocol):
    """A line of a customs list: items `first` and on, one for each (gear or case, unit, case)."""

    @property
    def first(self) -> int:
        """The first item number of the line."""
        ...

    @property
    def description(self) -> str:
        """The trade description."""
        ...

    @property
    def members(self) -> tuple[tuple[str, int, str], ...]:
        """(gear id or case id, unit or 0, case it travels in) for every item in order."""
        ...


@dataclass(frozen=True, slots=True)
class Restricted:
    """A trip that plans only with what is on the list, and what that rules out.

    `at_most`: lines of which only some units are on the list, and how many; the solver's wish of
    the same name. Where offers do not cover the rest, `not_listed` refuses the plan.
    """

    trip: Trip
    findings: tuple[Finding, ...]
    at_most: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class ByList:
    """Planning with a list issued: what the pipeline calls a narrowing."""

    issued: Issued

    def narrow(self, trip: Trip) -> Restricted:
        """The trip that plans only with what is on the list."""
        return only_listed(trip, self.issued)

    def refused(self, trip: Trip, plan: Plan) -> tuple[Finding, ...]:
        """What a plan flies that is not on the list."""
        return not_listed(trip, plan, self.issued)


def lines_of(rows: Iterable[ListRow]) -> tuple[Line, ...]:
    """The lines of a list to be issued: each object has its own number."""
    return tuple(
        Line(row.first + index, 1, row.description, name, unit)
        for row in rows
        for index, (name, unit, _) in enumerate(row.members)
    )


def not_listed(trip: Trip, plan: Plan, issued: Issued) -> tuple[Finding, ...]:
    """A refusal for every flown object and case that is not on the list; consumables never are.

    Identical units stand for each other: what counts is how many of a line are listed.
    """
    return tuple(
        replace(goods_added_after_issue(issued, _amount(name, count)), subject=name)
        for name, count in beyond_list(trip, plan, issued).items()
    )


def beyond_list(trip: Trip, plan: Plan, issued: Issued) -> dict[str, int]:
    """How many of each line, and which cases, a plan flies beyond the list, by id."""
    listed = _listed(issued)
    flown: dict[str, int] = {}
    for piece in plan.pieces:
        flown[piece.case] = 1
        for packed in piece.contents:
            flown[packed.gear] = flown.get(packed.gear, 0) + 1
    kept_off = {line.name for line in trip.gear if line.consumable}
    return {
        name: count - listed.get(name, 0)
        for name, count in sorted(flown.items())
        if name not in kept_off and count > listed.get(name, 0)
    }


def only_listed(trip: Trip, issued: Issued) -> Restricted:
    """The trip with the list issued: what is not on it stays at home and is hired or missing.

    Cases that are not on it do not travel. A line that must fly and is not on it is an error.
    """
    listed = _listed(issued)
    gear, findings = [], []
    for line in trip.gear:
        units = line.quantity if line.consumable else listed.get(line.name, 0)
        gear.append(line if units else replace(line, choice=Choice.HIRE))
        if units == 0 or (units < line.quantity and line.choice is Choice.FLY):
            findings.append(_stays(line, units, issued))
    at_most = tuple(
        (line.name, listed[line.name])
        for line in trip.gear
        if not line.consumable and 0 < listed.get(line.name, 0) < line.quantity
    )
    cases = tuple(case for case in trip.cases if listed.get(case.name))
    return Restricted(replace(trip, gear=tuple(gear), cases=cases), tuple(findings), at_most)


def _listed(issued: Issued) -> dict[str, int]:
    listed: dict[str, int] = {}
    for line in issued.lines:
        listed[line.name] = listed.get(line.name, 0) + line.pieces
    return listed


def _amount(name: str, count: int) -> str:
    return name if count == 1 else f"{count} of {name}"


def _stays(line: Gear, units: int, issued: Issued) -> Finding:
    must = line.choice is Choice.FLY
    rest = "the workbook says that all must" if must else "the rest is hired or left out"
    message = (
        f"Of {line.quantity} {line.name}, {units} are on the list issued on {issued.issued} "
        f"and may fly; {rest}."
    )
    return Finding(
        "not-on-issued-list",
        Severity.ERROR if must else Severity.NOTE,
        message,
        where=line.source.cell("name") if line.source.columns else None,
        subject=line.name,
        remedy="Hire it, or let it travel on a proforma of its own.",
    )
