"""Solves the trip again and again, each time with one thing changed (lighter cases, more or fewer
free pieces, one case lost, margins, no freight), and sets the totals side by side."""

from __future__ import annotations

import argparse
import csv
import io
from typing import TYPE_CHECKING

from packer.cli.inputs import open_trip, place_for
from packer.cli.plan import limits_of, solving_options
from packer.cli.solving import solved
from packer.cli.talk import json_option, report, say, table
from packer.cli.watching import watch
from packer.cli.why import change_json
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from pathlib import Path

    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.what_if import Changed, WhatIf

SECONDS_EACH = 10.0


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, and where to keep the figures."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("--csv", metavar="FILE.csv", help="write the figures into a file as well")
    solving_options(parser, SECONDS_EACH)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """The trip as it stands first, then every change."""
    from packer.what_if import what_ifs

    target = place_for(args.csv, ".csv") if args.csv else None
    trip = open_trip(args.trip)
    plan = solved(args, trip)
    changes = []
    for what_if in what_ifs(trip):
        if not args.json:
            say(f"{what_if.name} ...")
        changes.append(_tried(args, trip, plan, what_if))
    if target is not None:
        _write_csv(target, plan, changes)
    return report(
        args, Outcome.DONE, lines=_lines(plan, changes), changes=[change_json(c) for c in changes]
    )


def _tried(args: argparse.Namespace, trip: Trip, plan: Plan, what_if: WhatIf) -> Changed:
    from packer.what_if import tried

    return watch(
        lambda on_progress, should_stop: tried(
            trip, plan, what_if, limits_of(args), on_progress, should_stop
        ),
        silent=args.json,
    )


def _lines(plan: Plan, changes: list[Changed]) -> list[str]:
    rows = table(_rows(plan, changes), right=(1, 2, 3, 4))
    note = "Differences are between the plans found; the last column says how near each is proved."
    return [*rows, "", note]


def _rows(plan: Plan, changes: list[Changed]) -> list[tuple[str, ...]]:
    from packer.papers.units import major_text

    heading = ("What if", f"total {plan.currency}", "difference", "pieces", "units fly", "known")
    rows = [heading, _plan_row("as it stands", plan, "")]
    for change in changes:
        if change.plan is None:
            rows.append((change.name, "-", "-", "-", "-", change.outcome.meaning))
        else:
            rise = change.plan.objective_minor - plan.objective_minor
            rows.append(_plan_row(change.name, change.plan, major_text(rise, plan.currency)))
    return rows


def _plan_row(name: str, plan: Plan, difference: str) -> tuple[str, ...]:
    from packer.papers.units import major_text

    gap = plan.objective_minor - plan.bound_minor
    known = "proved" if gap <= 0 else f"to within {major_text(gap, plan.currency)}"
    flown = sum(decision.flown for decision in plan.decisions)
    total = major_text(plan.objective_minor, plan.currency)
    return (name, total, difference, str(len(plan.pieces)), str(flown), known)


def _write_csv(target: Path, plan: Plan, changes: list[Changed]) -> None:
    from packer.papers import write_whole
    from packer.papers.text import csv_safe

    text = io.StringIO()
    writer = csv.writer(text)
    for row in _rows(plan, changes):
        writer.writerow([csv_safe(row[0]), *row[1:]])
    write_whole({target: text.getvalue().encode()})
