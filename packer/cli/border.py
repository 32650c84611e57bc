"""Keeps a ledger of border crossings by item number: issue the list, enter each stamp, see what
is where, what is still owed and how many days are left. Nothing is ever edited: corrections are
new entries. This is your own book; the association's form and the customs office govern."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.border_text import border_data, border_lines
from packer.cli.guard import halt
from packer.cli.inputs import open_trip
from packer.cli.plan import solving_options
from packer.cli.road_inputs import (
    day_of,
    key,
    must_stand,
    now,
    open_journal,
    open_plan_of,
    today,
    who,
    who_options,
)
from packer.cli.talk import json_option, report
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.road.crossings import Crossing, Issued, LedgerEvent
    from packer.road.ledger import Ledger

STEPS = {
    "out": ("exportation", "goods leave home"),
    "in": ("importation", "goods go into a territory"),
    "leave": ("re-exportation", "goods leave a territory"),
    "home": ("re-importation", "goods come home"),
    "transit-in": ("transit entry", "goods go through a territory"),
    "transit-out": ("transit exit", "goods come out of a transit"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """The ledger and what to do with it."""
    parser.add_argument("ledger", metavar="LEDGER", help="the file the ledger is kept in")
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    show = actions.add_parser("show", help="what is where, what is owed, how many days are left")
    show.add_argument("--today", type=day_of, help="reckon as of this day (2026-05-31)")
    json_option(show)
    _issue_arguments(actions.add_parser("issue", help="enter the list as it was issued"))
    check = actions.add_parser("check", help="what a plan flies that is not on the list")
    _trip_arguments(check)
    check.add_argument("plan", metavar="PLAN.json", help="the plan to hold against the list")
    check.add_argument(
        "-o", "--out", metavar="DIR", help="folder for a proforma of what is not on the list"
    )
    plan = actions.add_parser("plan", help="plan a trip only with what is on the list")
    _trip_arguments(plan)
    plan.add_argument("-o", "--out", required=True, metavar="DIR", help="folder for the papers")
    solving_options(plan)
    for action, (_, meaning) in STEPS.items():
        _crossing_arguments(actions.add_parser(action, help=meaning), action)
    correct = actions.add_parser("correct", help="say that an entry is wrong: strike or replace it")
    correct.add_argument("entry", type=int, metavar="ENTRY", help="number of the wrong entry")
    correct.add_argument("--why", required=True, metavar="TEXT", help="why it is corrected")
    correct.add_argument("--as", dest="step", choices=STEPS, help="the crossing that it should be")
    correct.add_argument("--items", metavar="ITEMS", help="item numbers: 1-5, 8, 12x2")
    _stamp_arguments(correct)


def _trip_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    json_option(parser)


def _issue_arguments(parser: argparse.ArgumentParser) -> None:
    _trip_arguments(parser)
    parser.add_argument("plan", metavar="PLAN.json", help="the plan that the list was printed from")
    parser.add_argument("--issued", type=day_of, help="day of issue (as in the Trip sheet)")
    parser.add_argument("--last-day", type=day_of, help="last valid day as printed (one year)")
    who_options(parser)


def _crossing_arguments(parser: argparse.ArgumentParser, action: str) -> None:
    parser.add_argument("items", metavar="ITEMS", help="item numbers: 1-5, 8, 12x2; or all")
    parser.set_defaults(step=action)
    _stamp_arguments(parser)


def _stamp_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--country", metavar="XX", help="country of the stamp (home country for out and home)"
    )
    parser.add_argument("--on", type=day_of, metavar="DAY", help="day of the stamp (today)")
    parser.add_argument("--back-by", type=day_of, metavar="DAY", help="final date by the officer")
    parser.add_argument("--note", default="", help="office, voucher number")
    who_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where it stands, 2 where an officer would refuse it."""
    from packer.road.border_book import enter, ledger_of

    state = ledger_of(open_journal(args.ledger).entries)
    if args.action in ("check", "plan"):
        return _with_list(args, state)
    findings: tuple[Any, ...] = open_journal(args.ledger).findings
    if args.action != "show":
        event = _event(args, state)
        entered = must_stand(enter(Path(args.ledger), event, who(args), key(args), now()))
        findings = entered.findings
        state = ledger_of(open_journal(args.ledger).entries)
    as_of = getattr(args, "today", None) or today()
    return report(
        args, Outcome.DONE, findings, border_lines(state, as_of), **border_data(state, as_of)
    )


def _with_list(args: argparse.Namespace, state: Ledger) -> int:
    """Hold a plan against the issued list, or plan only with what is on it."""
    if state.issued is None:
        raise halt("list-not-issued", "No list has been issued in this ledger yet.")
    if args.action == "plan":
        return _plan(args)
    trip = open_trip(args.trip)
    from packer.road.listed import not_listed

    plan = open_plan_of(trip, args.plan)
    refused = not_listed(trip, plan, state.issued)
    written = _proforma(args, trip, plan, state.issued) if refused and args.out else ()
    lines = [] if refused else ["All that this plan flies is on the list."]
    lines += [f"Written into {args.out}:", *(f"  {path.name}" for path in written)] * bool(written)
    outcome = Outcome.BAD_INPUT if refused else Outcome.DONE
    return report(args, outcome, refused, lines, papers=[str(path) for path in written])


def _proforma(args: argparse.Namespace, trip: Trip, plan: Plan, issued: Issued) -> tuple[Path, ...]:
    """The proforma for the goods that are refused, so that they can travel apart."""
    from packer.papers import write_whole
    from packer.papers.on_the_road import beyond_papers
    from packer.road.listed import beyond_list

    papers = beyond_papers(trip, plan, beyond_list(trip, plan, issued))
    files = {Path(args.out) / name: content for name, content in papers.items()}
    write_whole(files)
    return tuple(files)


def _plan(args: argparse.Namespace) -> int:
    """Plan with the list; the same as `holdall plan TRIP -o DIR --issued LEDGER`."""
    from packer.cli.plan import arguments as plan_arguments
    from packer.cli.plan import run as run_plan

    parser = argparse.ArgumentParser()
    plan_arguments(parser)
    whole = parser.parse_args([args.trip, "-o", args.out, "--issued", args.ledger])
    vars(whole).update(vars(args))
    return run_plan(whole)


def _event(args: argparse.Namespace, state: Ledger) -> LedgerEvent:
    from packer.road.crossings import Correction

    if args.action == "issue":
        return _issued(args)
    if args.action != "correct":
        return _crossing(args, state)
    instead = _crossing(args, state) if args.step else None
    return Correction(args.entry, args.why, instead)


def _issued(args: argparse.Namespace) -> LedgerEvent:
    from packer.papers.tables.customs import customs_list
    from packer.road.border_rules import last_valid_day
    from packer.road.crossings import Issued
    from packer.road.listed import lines_of

    trip = open_trip(args.trip)
    plan = open_plan_of(trip, args.plan)
    issued = args.issued or trip.carnet.issued
    if issued is None:
        raise halt("day-of-issue", "The day of issue is not known.", "Give it with --issued.")
    last_day = args.last_day or last_valid_day(issued)
    lines = lines_of(customs_list(trip, plan).rows)
    home = trip.home_country
    return Issued(trip.carnet.number, trip.carnet.holder, home, issued, last_day, lines)


def _crossing(args: argparse.Namespace, state: Ledger) -> Crossing:
    from packer.road.crossings import Crossing, Step
    from packer.road.item_text import ItemsError, parse_items

    step = Step(STEPS[args.step][0])
    issued = state.issued
    home = issued.home if issued else ""
    country = (args.country or (home if not step.abroad else "")).upper()
    if not country and issued:
        raise halt("country-expected", f"Where was the {step} stamped?", "Give --country FR.")
    pieces = {line.number: line.pieces for line in issued.lines} if issued else {}
    text = args.items or ""
    if text.strip().casefold() == "all":
        text = _all_there(state, step, country)
    try:
        items = parse_items(text, pieces)
    except ItemsError as problem:
        raise halt("items-expected", f"{problem}.") from problem
    return Crossing(step, country, args.on or today(), items, args.note, args.back_by)


def _all_there(state: Ledger, step: Any, country: str) -> str:
    """Everything that stands where the crossing starts."""
    from packer.road.crossings import Count, Crossing
    from packer.road.item_text import items_text
    from packer.road.ledger import movement

    source, _ = movement(Crossing(step, country, today(), ()))
    held = state.places().get(source, {})
    return ", ".join(f"{c.number}x{c.pieces}" for c in (Count(n, p) for n, p in held.items())) or (
        items_text(())
    )
