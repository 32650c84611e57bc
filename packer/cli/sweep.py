"""Solves the trip again and again, each time with one thing changed (lighter cases, more or fewer
free pieces, fewer pieces, one case lost, margins, no freight), and sets the totals side by side.
Then says what a little more would save: a free piece, a kilogram of limit, a case."""

from __future__ import annotations

import argparse
import csv
import io
from dataclasses import replace
from typing import TYPE_CHECKING

from packer.cli.inputs import open_trip, place_for
from packer.cli.plan import limits_of, solving_options, wish_options, wishes_of
from packer.cli.solving import solved
from packer.cli.sweep_text import margin_json, margin_lines, margin_rows, picture
from packer.cli.talk import json_option, report, say, table
from packer.cli.watching import watch
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from packer.decide.margins import Margin
    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.what_if import Changed, WhatIf

SECONDS_EACH = 10.0
MARGIN_ROUNDS = 3  # so many times the seconds of one plan for all that is said of a little more


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, and where to keep the figures."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("--csv", metavar="FILE.csv", help="write the figures into a file as well")
    parser.add_argument(
        "--picture", metavar="FILE.svg", help="draw the totals as bars into a file as well"
    )
    solving_options(parser, SECONDS_EACH)
    wish_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """The trip as it stands first, then every change, then what a little more would save."""
    from packer.papers import write_whole

    table_file = place_for(args.csv, ".csv") if args.csv else None
    picture_file = place_for(args.picture, ".svg") if args.picture else None
    trip = open_trip(args.trip)
    plan = solved(args, trip, wishes=wishes_of(args))
    changes = _changes(args, trip, plan)
    margins = _margins(args, trip, plan)
    files: dict[Path, bytes] = {}
    if table_file is not None:
        files[table_file] = _csv(plan, changes, margins)
    if picture_file is not None:
        files[picture_file] = picture(plan, changes).encode()
    if files:
        write_whole(files)
    lines = [*_lines(plan, changes), "", *margin_lines(margins, plan.currency)]
    return report(
        args, Outcome.DONE, lines=lines, changes=[c.to_json() for c in changes],
        margins=[margin_json(m) for m in margins],
    )  # fmt: skip


def _changes(args: argparse.Namespace, trip: Trip, plan: Plan) -> list[Changed]:
    from packer.what_if import sweep

    found: list[Changed] = []

    def try_one(what_if: WhatIf) -> bool:
        found.append(_tried(args, trip, plan, what_if))
        return found[-1].plan is not None

    sweep(trip, plan, try_one)
    return found


def _margins(args: argparse.Namespace, trip: Trip, plan: Plan) -> tuple[Margin, ...]:
    from packer.decide.margins import margins

    if not args.json:
        say("a little more ...")
    limits = limits_of(args)
    limits = replace(limits, seconds=MARGIN_ROUNDS * limits.seconds)
    return watch(
        lambda on_progress, should_stop: margins(
            trip, plan, limits, on_progress, should_stop, wishes_of(args)
        ),
        silent=args.json,
    )


def _tried(args: argparse.Namespace, trip: Trip, plan: Plan, what_if: WhatIf) -> Changed:
    from packer.what_if import tried

    if not args.json:
        say(f"{what_if.name} ...")
    return watch(
        lambda on_progress, should_stop: tried(
            trip, plan, what_if, limits_of(args), on_progress, should_stop, wishes_of(args)
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


def _csv(plan: Plan, changes: list[Changed], margins: Sequence[Margin]) -> bytes:
    from packer.papers.text import csv_safe

    text = io.StringIO()
    writer = csv.writer(text)
    for row in (*_rows(plan, changes), (), *margin_rows(margins, plan.currency)):
        writer.writerow([csv_safe(row[0]), *row[1:]] if row else [])
    return text.getvalue().encode()
