"""What is different between two plans: objects moved, flown now or no longer, hired now or no
longer, cases taken or left, and the cost by kind. With --history: who changed the plan, and why."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import open_plan
from packer.cli.road_inputs import money_text, now, open_journal, who, who_options
from packer.cli.talk import json_option, report, table
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.road.differ import CaseChange, CoverChange, Difference, FlownChange


def arguments(parser: argparse.ArgumentParser) -> None:
    """The two plans, and the history they belong to."""
    parser.add_argument("old", metavar="OLD.json", help="the plan before")
    parser.add_argument("new", metavar="NEW.json", help="the plan now")
    parser.add_argument("--history", metavar="FILE", help="the history of the trip")
    parser.add_argument("--why", metavar="TEXT", help="with --history: note the new plan and why")
    who_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 whether or not they differ."""
    from dataclasses import asdict

    from packer.road.differ import differ

    old, new = open_plan(args.old), open_plan(args.new)
    if old.currency != new.currency:
        message = f"One plan counts in {old.currency or '?'}, the other in {new.currency or '?'}."
        raise halt("two-currencies", message)
    found = differ(old, new)
    lines, history = _lines(found, new.currency), _history(args, new)
    data = asdict(found)
    return report(
        args, Outcome.DONE, (), [*lines, *_history_lines(history)], difference=data, history=history
    )


def _history(args: argparse.Namespace, new: Plan) -> list[dict[str, Any]]:
    from packer.road.history import CHANGED, note_change

    if not args.history:
        return []
    if args.why:
        note_change(Path(args.history), CHANGED, new, who(args), args.why, now())
    entries = open_journal(args.history).entries
    return [{"number": e.number, "at": e.at, "who": e.who, **e.event} for e in entries]


def _history_lines(history: list[dict[str, Any]]) -> list[str]:
    if not history:
        return []
    rows = [("When", "Who", "What", "Why", "In all")] + [
        (
            each["at"][:16].replace("T", " "),
            each["who"],
            each["kind"],
            each["why"],
            money_text(each["objective_minor"], each["currency"]),
        )
        for each in history
    ]
    return ["", "History:", *table(rows, right=(4,))]


def _lines(found: Difference, currency: str) -> list[str]:
    if found.nothing:
        return ["The two plans do the same at the same cost."]
    more = [f for f in found.flown if f.more > 0]
    fewer = [f for f in found.flown if f.more < 0]
    hired = [c for c in found.covers if c.after > c.before]
    spared = [c for c in found.covers if c.after < c.before]
    return [
        *_block("Moved", [f"{m.units} x {m.gear}: {m.source} to {m.target}" for m in found.moved]),
        *_block("Flies now", [_flown_text(change) for change in more]),
        *_block("Flies no longer", [_flown_text(change) for change in fewer]),
        *_block("Hired now", [_cover_text(change) for change in hired]),
        *_block("Hired no longer", [_cover_text(change) for change in spared]),
        *_block("Cases", [_case_text(change) for change in found.cases]),
        "Cost:",
        *_cost_lines(found, currency),
    ]


def _flown_text(change: FlownChange) -> str:
    return f"{abs(change.more)} x {change.gear} ({', '.join(change.cases)})"


def _cover_text(change: CoverChange) -> str:
    units = abs(change.after - change.before)
    return f"{units} x {change.gear} at {change.stop} from {change.supplier}"


def _case_text(change: CaseChange) -> str:
    before, after = change.before or "at home", change.after or "at home"
    return f"{change.case}: {before} before, {after} now"


def _block(title: str, lines: list[str]) -> list[str]:
    return [f"{title}:", *(f"  {line}" for line in lines), ""] if lines else []


def _cost_lines(found: Difference, currency: str) -> list[str]:
    rows = [("", "Before", "Now", "Difference")] + [
        (
            kind,
            money_text(before, currency),
            money_text(after, currency),
            money_text(after - before, currency),
        )
        for kind, before, after in found.costs
    ]
    return table(rows, right=(1, 2, 3))
