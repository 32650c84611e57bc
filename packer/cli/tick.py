"""Keeps track of packing: tick units into their cases, close cases, see what is still out. Many
people may tick at once; a case closes only when complete or with the exceptions named."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import known_case, known_gear, open_trip
from packer.cli.road_inputs import (
    key,
    must_stand,
    now,
    open_journal,
    open_plan_of,
    who,
    who_options,
)
from packer.cli.talk import counted, json_option, report, table
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.road.ticks import Excuse, PackingEvent, Progress


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, its plan, the file the ticks are kept in, and what was done."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("plan", metavar="PLAN.json", help="the plan that is being packed")
    parser.add_argument("ticks", metavar="TICKS", help="the file the ticks are kept in")
    parser.add_argument("--case", metavar="CASE", help="the case it is about")
    parser.add_argument(
        "--in", dest="packed", nargs="+", metavar="GEAR:UNIT", default=[], help="these are in now"
    )
    parser.add_argument(
        "--taken-out", nargs="+", metavar="GEAR:UNIT", default=[], help="these are out again"
    )
    parser.add_argument("--all", action="store_true", help="all that the plan has for the case")
    parser.add_argument("--close", action="store_true", help="close the case")
    parser.add_argument("--open", action="store_true", help="open the case again")
    parser.add_argument(
        "--without",
        nargs="+",
        metavar="GEAR:UNIT=REASON",
        default=[],
        help="with --close: what may be missing, and why",
    )
    who_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where everything was entered, 2 where something was refused."""
    from packer.road.tick_book import enter, events_of
    from packer.road.ticks import progress

    trip = open_trip(args.trip)
    plan = open_plan_of(trip, args.plan)
    events = _events(args, trip, plan)
    findings: tuple[Any, ...] = ()
    known = {entry.key for entry in open_journal(args.ticks).entries}
    events = tuple(event for event in events if event.key not in known)
    if events:
        findings = must_stand(enter(Path(args.ticks), trip, plan, events, now())).findings
    contents = open_journal(args.ticks)
    state = progress(trip, plan, events_of(contents.entries))
    found = (*contents.findings, *findings, *state.doubles)
    return report(args, Outcome.DONE, dict.fromkeys(found), _lines(state), **_data(state))


def _events(args: argparse.Namespace, trip: Trip, plan: Plan) -> tuple[PackingEvent, ...]:
    from packer.road.ticks import Lid, Tick

    asked = args.packed or args.taken_out or args.all or args.close or args.open
    if not asked:
        return ()
    if not args.case:
        raise halt("case-expected", "Which case?", "Name it with --case.")
    case, at, name, once = known_case(trip, args.case), now(), who(args), key(args)
    units = _units(trip, args.packed) + (_planned(plan, case) if args.all else [])
    marks = [(unit, True) for unit in units]
    marks += [(unit, False) for unit in _units(trip, args.taken_out)]
    events: list[PackingEvent] = [
        Tick(gear, unit, case, at, name, packed, f"{once}:{gear}:{unit}:{packed}")
        for (gear, unit), packed in marks
    ]
    if args.close or args.open:
        excuses = tuple(_excuse(trip, word) for word in args.without)
        events.append(Lid(case, at, name, args.close, excuses, f"{once}:lid"))
    return tuple(events)


def _planned(plan: Plan, case: str) -> list[tuple[str, int]]:
    pieces = [piece for piece in plan.pieces if piece.case == case]
    return [(packed.gear, packed.unit) for piece in pieces for packed in piece.contents]


def _units(trip: Trip, words: list[str]) -> list[tuple[str, int]]:
    return [_unit(trip, word) for word in words]


def _unit(trip: Trip, word: str) -> tuple[str, int]:
    """`HORN:2`; the first unit where no number is given."""
    gear, _, number = word.rpartition(":") if ":" in word else (word, "", "1")
    if not number.isdecimal() or int(number) < 1:
        raise halt("unit-expected", f"{word!r} names no unit.", "Write it as HORN:2.")
    return known_gear(trip, gear), int(number)


def _excuse(trip: Trip, word: str) -> Excuse:
    from packer.road.ticks import Excuse

    unit, _, reason = word.partition("=")
    gear, number = _unit(trip, unit)
    return Excuse(gear, number, reason.strip())


def _lines(state: Progress) -> list[str]:
    from packer.road.ticks import unit_text

    rows = [("Case", "In", "Of", "", "Still out")] + [
        (
            case.case,
            str(len(case.packed)),
            str(case.planned),
            "closed" if case.closed else "",
            ", ".join(unit_text(unit) for unit in case.out),
        )
        for case in state.cases
    ]
    roles = [("Role", "Still out")] + [
        (role.role, ", ".join(unit_text(unit) for unit in role.out))
        for role in state.roles
        if role.out
    ]
    head = f"{state.packed} of {counted(state.planned, 'unit')} packed."
    return [head, "", *table(rows, right=(1, 2)), *(["", *table(roles)] if len(roles) > 1 else [])]


def _data(state: Progress) -> dict[str, Any]:
    return {
        "packed": state.packed,
        "planned": state.planned,
        "cases": [
            {
                "case": case.case,
                "planned": case.planned,
                "packed": len(case.packed),
                "closed": case.closed,
                "out": [list(unit) for unit in case.out],
                "excused": [[e.gear, e.unit, e.reason] for e in case.excused],
                "not_planned": [list(unit) for unit in case.strangers],
            }
            for case in state.cases
        ],
        "roles": [
            {"role": role.role, "planned": role.planned, "out": [list(unit) for unit in role.out]}
            for role in state.roles
        ],
    }
