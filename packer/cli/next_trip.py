"""Starts the next trip from an old one: same inventory and cases, new stops and legs. Writes a
workbook, and lists what no longer fits, what lacks a price and what to check before planning."""

from __future__ import annotations

import argparse
from pathlib import Path

from packer.cli.guard import Halt, halt
from packer.cli.inputs import open_trip
from packer.cli.talk import finding_summary, json_option, report
from packer.model.outcome import Outcome


def arguments(parser: argparse.ArgumentParser) -> None:
    """The old trip, the new sheets, and where to write."""
    parser.add_argument("trip", metavar="OLD", help="the old trip: workbook or folder of CSV files")
    parser.add_argument(
        "new",
        metavar="NEW",
        help="workbook or CSV folder with the new Stops and Legs, and any other sheet that is new",
    )
    parser.add_argument("-o", "--out", required=True, metavar="FILE.xlsx", help="where to write")
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where the workbook was written and reads back; 2 where it has errors to be put right."""
    from packer.next_trip import NoStartError, start_next

    out = Path(args.out)
    if out.suffix.lower() != ".xlsx":
        raise halt("not-a-workbook", f"{out.name} is no .xlsx file.", "Call it next.xlsx.")
    open_trip(args.trip)
    try:
        started = start_next(Path(args.trip), Path(args.new), out)
    except NoStartError as problem:
        raise Halt(Outcome.BAD_INPUT, problem.findings) from problem
    outcome = Outcome.DONE if started.trip else Outcome.BAD_INPUT
    summary = finding_summary(started.findings)
    lines = [f"Written: {out} ({summary}; they stand on its last page too)."]
    return report(args, outcome, started.findings, lines, written=str(out))
