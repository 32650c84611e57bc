"""Opens what commands are given: a trip, a plan file, a gear id.

Each function returns the value or ends the command with findings that say what to do.
"""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import Halt, halt
from packer.model.finding import Finding, Severity, in_order
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.model.trip import Trip


def open_trip(path: str) -> Trip:
    """The trip in a workbook or CSV folder; ends the command where the reader finds errors."""
    trip, findings = open_trip_with_findings(path)
    if any(finding.severity is Severity.ERROR for finding in findings):
        raise Halt(Outcome.BAD_INPUT, findings)
    return trip


def open_trip_with_findings(path: str) -> tuple[Trip, tuple[Finding, ...]]:
    """The trip and what the reader found; ends the command where there is no trip at all."""
    from packer.reading import read_trip

    reading = read_trip(Path(path))
    if reading.trip is None:
        raise Halt(Outcome.BAD_INPUT, in_order(reading.findings))
    return reading.trip, in_order(reading.findings)


def open_plan(path: str) -> Plan:
    """The plan in a plan.json; ends the command where it is none."""
    from packer.model.plan_json import PlanError, read_plan

    try:
        return read_plan(path)
    except PlanError as problem:
        raise halt("not-a-plan", str(problem)) from problem


def known_gear(trip: Trip, name: str) -> str:
    """The gear id as the workbook writes it; letters' case does not matter."""
    return _known(name, [line.name for line in trip.gear], "gear line")


def known_case(trip: Trip, name: str) -> str:
    """The case id as the workbook writes it; letters' case does not matter."""
    return _known(name, [case.name for case in trip.cases], "case")


def _known(name: str, names: list[str], what: str) -> str:
    folded = {known.casefold(): known for known in names}
    found = name if name in names else folded.get(name.casefold())
    if found is None:
        near = get_close_matches(name, names, n=1)
        remedy = f"Did you mean {near[0]!r}?" if near else ""
        raise halt("unknown-name", f"The trip has no {what} {name!r}.", remedy)
    return found


def place_for(name: str, ending: str) -> Path:
    """A path that can be written: its folder is there and it ends as it should."""
    target = Path(name)
    folder = target.absolute().parent
    if target.suffix.lower() != ending:
        message = f"{target.name} does not end in {ending}."
        raise halt("wrong-ending", message, f"Call it {target.stem}{ending}.")
    if not folder.is_dir():
        raise halt("no-folder", f"There is no folder {folder}.", "Make it, or choose another.")
    return target
