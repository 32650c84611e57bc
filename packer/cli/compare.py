"""Plans several trips, or takes plans already made, and sets them side by side: costs by kind,
pieces, weight, and every line of gear that the plans treat differently."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import halt
from packer.cli.inputs import open_plan, open_trip_with_findings
from packer.cli.plan import solving_options
from packer.cli.solving import solved
from packer.cli.talk import json_option, report, say, table
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan


def arguments(parser: argparse.ArgumentParser) -> None:
    """Two or more trips or plans."""
    parser.add_argument(
        "trips", metavar="TRIP", nargs="+", help="a workbook, a CSV folder, or a plan.json"
    )
    solving_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """Plan each, then print them side by side."""
    if len(args.trips) < 2:
        raise halt("one-trip", "It takes two trips or plans to compare.")
    plans = {name: _plan_of(args, name) for name in args.trips}
    _refuse_mixed_money(plans)
    return report(args, Outcome.DONE, lines=_lines(plans), plans=_as_json(plans))


def _plan_of(args: argparse.Namespace, name: str) -> Plan:
    if name.lower().endswith(".json"):
        return open_plan(name)
    if not args.json:
        say(f"Planning {name} ...")
    trip, findings = open_trip_with_findings(name)
    return solved(args, trip, findings)


def _refuse_mixed_money(plans: dict[str, Plan]) -> None:
    currencies = sorted({plan.currency for plan in plans.values()})
    if len(currencies) > 1:
        message = f"The plans count in {' and '.join(currencies)} and cannot be compared."
        raise halt("mixed-currencies", message, "Give the trips one Currency.")


def _lines(plans: dict[str, Plan]) -> list[str]:
    from packer.papers.units import kg_text, major_text

    all_plans = list(plans.values())
    money = [
        (name, *(major_text(getattr(plan.costs, field), plan.currency) for plan in all_plans))
        for name, field in COSTS
    ]
    weights = (kg_text(sum(piece.planning_g for piece in plan.pieces)) for plan in all_plans)
    rows = [
        (f"In {all_plans[0].currency}", *_short_names(list(plans))),
        *money,
        ("Proved at least", *(major_text(p.bound_minor, p.currency) for p in all_plans)),
        ("Pieces", *(str(len(plan.pieces)) for plan in all_plans)),
        ("Weight kg", *weights),
    ]
    columns = tuple(range(1, len(all_plans) + 1))
    return [*table(rows, right=columns), *_difference_lines(plans)]


COSTS = (
    ("Baggage", "baggage_minor"),
    ("Hire", "hire_minor"),
    ("Delivery", "delivery_minor"),
    ("Freight", "freight_minor"),
    ("Cash", "cash_minor"),
    ("Worth given up", "worth_minor"),
    ("In all", "objective_minor"),
)


def _difference_lines(plans: dict[str, Plan]) -> list[str]:
    differing = differences(list(plans.values()))
    if not differing:
        return ["", "The same units fly in all of them."]
    rows = [("Units that fly", *_short_names(list(plans)))]
    rows += [(gear, *("-" if n is None else str(n) for n in counts)) for gear, counts in differing]
    return ["", *table(rows, right=tuple(range(1, len(plans) + 1)))]


def differences(plans: list[Plan]) -> list[tuple[str, tuple[int | None, ...]]]:
    """Gear of which not the same number flies everywhere, in plan order; None: no such line."""
    flown = [{decision.gear: decision.flown for decision in plan.decisions} for plan in plans]
    lines = dict.fromkeys(gear for counts in flown for gear in counts)
    rows = [(gear, tuple(counts.get(gear) for counts in flown)) for gear in lines]
    return [(gear, counts) for gear, counts in rows if len(set(counts)) > 1]


def _short_names(names: list[str]) -> list[str]:
    """File names where they tell the plans apart, whole paths otherwise."""
    short = [Path(name).name for name in names]
    return short if len(set(short)) == len(names) else names


def _as_json(plans: dict[str, Plan]) -> list[dict[str, object]]:
    return [
        {
            "trip": name,
            "status": str(plan.status),
            "currency": plan.currency,
            "bound_minor": plan.bound_minor,
            **{field: getattr(plan.costs, field) for _, field in COSTS},
            "pieces": len(plan.pieces),
            "planning_g": sum(piece.planning_g for piece in plan.pieces),
            "flown": {decision.gear: decision.flown for decision in plan.decisions},
        }
        for name, plan in plans.items()
    ]
