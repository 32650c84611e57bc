"""Says all that is wrong or doubtful in a trip, each with its sheet and cell, without planning."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.inputs import place_for
from packer.cli.talk import finding_summary, json_option, report
from packer.model.finding import Finding, Severity, in_order
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.reading import Reading


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, and where to write it back with the findings."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument(
        "--marked",
        metavar="FILE.xlsx",
        help="write your own workbook with the findings beside the cells, all else untouched",
    )
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where nothing is an error, 2 where something is."""
    from packer.reading import read_trip

    marked = place_for(args.marked, ".xlsx") if args.marked else None
    reading = read_trip(Path(args.trip))
    findings = _all_findings(reading)
    lines = [f"{args.trip}: {finding_summary(findings)}."]
    if marked is not None:
        lines += _write_marked(Path(args.trip), findings, marked)
    bad = any(finding.severity is Severity.ERROR for finding in findings)
    return report(args, Outcome.BAD_INPUT if bad else Outcome.DONE, findings, lines)


def _all_findings(reading: Reading) -> tuple[Finding, ...]:
    if reading.trip is None:
        return in_order(reading.findings)
    from packer.rules import check_trip

    return in_order([*reading.findings, *check_trip(reading.trip)])


def _write_marked(trip: Path, findings: tuple[Finding, ...], target: Path) -> list[str]:
    from packer.reading.marked import write_marked

    write_marked(trip, findings, target)
    return [f"Your workbook with the findings beside the cells: {target}"]
