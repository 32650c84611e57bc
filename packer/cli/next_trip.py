"""Starts the next trip from an old one: same inventory and cases, new stops and legs. Writes a
workbook, and lists what no longer fits, what lacks a price and what to check before planning."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import Halt, halt
from packer.cli.inputs import open_trip
from packer.cli.talk import finding_summary, json_option, report
from packer.model.finding import Finding, in_order
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.reading.next_workbook import Sheets


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
    from packer.reading import read_trip
    from packer.reading.next_workbook import add_page, stop_names, write_next
    from packer.road.next_trip import changed_needs, kept_needs, look_over

    out = Path(args.out)
    if out.suffix.lower() != ".xlsx":
        raise halt("not-a-workbook", f"{out.name} is no .xlsx file.", "Call it next.xlsx.")
    old, new_sheets = open_trip(args.trip), _sheets(args.new)
    missing = [name for name in ("Stops", "Legs") if name not in new_sheets]
    if missing:
        raise halt("sheet-missing", f"{args.new} has no sheet {' and no sheet '.join(missing)}.")
    stops = stop_names(new_sheets)
    needs = {line.name: kept_needs(line.needed_at, old, stops) for line in old.gear}
    write_next(out, needs, _sheets(args.trip), new_sheets)
    reading = read_trip(out)
    looked = look_over(old, reading.trip) if reading.trip else ()
    found = [*reading.findings, *changed_needs(old, stops), *looked]
    findings: tuple[Finding, ...] = in_order(found)
    add_page(out, findings)
    outcome = Outcome.DONE if reading.trip else Outcome.BAD_INPUT
    lines = [f"Written: {out} ({finding_summary(findings)}; they stand on its last page too)."]
    return report(args, outcome, findings, lines, written=str(out))


def _sheets(path: str) -> Sheets:
    from packer.reading.log import Log
    from packer.reading.next_workbook import by_name
    from packer.reading.reader import open_book
    from packer.reading.values import Unreadable

    try:
        return by_name(open_book(Path(path), Log()).sheets)
    except Unreadable as error:
        from packer.model.finding import Severity

        found = Finding(error.code, Severity.ERROR, error.message, remedy=error.remedy)
        raise Halt(Outcome.BAD_INPUT, [found]) from error
