"""Says what it would cost to do the opposite with a line of gear, fly what the plan hires or hire
what it flies, and at which hire price the decision turns. For one line the trip is solved again
with that forced; without GEAR all lines are asked about, and what is proved is said of each."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from packer.cli.guard import halt
from packer.cli.inputs import known_gear, open_plan, open_trip
from packer.cli.plan import limits_of, solving_options, wish_options, wishes_of
from packer.cli.talk import json_option, report, say, table
from packer.cli.watching import watch
from packer.cli.why_text import other_json, other_lines, turning_text
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.decide.answers import OtherWay
    from packer.model.plan import Plan
    from packer.model.trip import Choice, Trip
    from packer.what_if import Changed


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, its plan, and the line."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("plan", metavar="PLAN.json", help="the plan to ask about")
    parser.add_argument(
        "gear", metavar="GEAR", nargs="?", help="the gear id; without it, all lines at once"
    )
    solving_options(parser)
    wish_options(parser)
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """Force the line the other way, and print the difference or why it cannot be."""
    trip = open_trip(args.trip)
    plan = open_plan(args.plan)
    return _all(args, trip, plan) if args.gear is None else _one(args, trip, plan)


def _one(args: argparse.Namespace, trip: Trip, plan: Plan) -> int:
    from packer.what_if import other_ways

    gear = known_gear(trip, args.gear)
    lines = [f"{gear}, {trip.gear_named(gear).description}: {_now(trip, plan, gear)}"]
    changes, turnings = [], []
    for way in other_ways(trip, plan, gear):
        change = _forced(args, trip, plan, gear, way)
        turning = _turning(trip, plan, gear, way, change)
        lines += ["", *change_lines(plan, change), *turning_text(turning, plan.currency)]
        changes.append(change.to_json())
        turnings.append(other_json(turning))
    return report(args, Outcome.DONE, lines=lines, changes=changes, turning=turnings)


def _turning(trip: Trip, plan: Plan, gear: str, way: Choice, change: Changed) -> OtherWay:
    from packer.decide.answers import OtherWay, beside

    flown = next((d.flown for d in plan.decisions if d.gear == gear), 0)
    answer = OtherWay(
        gear, trip.gear_named(gear).quantity, flown, way, change.least_minor, change.most_minor
    )
    return beside(trip, plan, answer)


def _all(args: argparse.Namespace, trip: Trip, plan: Plan) -> int:
    from packer.decide.answers import nearest_first, other_ways_of_all

    try:
        found = watch(
            lambda on_progress, should_stop: other_ways_of_all(
                trip, plan, limits_of(args), on_progress, should_stop, wishes_of(args)
            ),
            silent=args.json,
        )
    except ValueError as problem:
        raise halt(
            "plan-does-not-serve", f"This plan does not go with this trip: {problem}.",
            "Plan the trip anew, or see what holdall judge says.",
        ) from problem  # fmt: skip
    ordered = nearest_first(found)
    return report(
        args, Outcome.DONE, lines=other_lines(ordered, plan.currency),
        answers=[other_json(answer) for answer in ordered],
    )  # fmt: skip


def _forced(args: argparse.Namespace, trip: Trip, plan: Plan, gear: str, way: Choice) -> Changed:
    from packer.what_if import forced

    if not args.json:
        say(f"Solving again, with {gear} to {way} ...")
    return watch(
        lambda on_progress, should_stop: forced(
            trip, plan, gear, way, limits_of(args), on_progress, should_stop, wishes_of(args)
        ),
        silent=args.json,
    )


def _now(trip: Trip, plan: Plan, gear: str) -> str:
    quantity = trip.gear_named(gear).quantity
    flown = next((d.flown for d in plan.decisions if d.gear == gear), 0)
    return f"{flown} of {quantity} fly in this plan."


def change_lines(before: Plan, change: Changed) -> list[str]:
    """A change in words, with the costs before and after."""
    if change.plan is None:
        reasons = [f"  {cause.line()}" for cause in change.causes]
        return [f"To {change.name} cannot be done: {change.outcome.meaning}.", *reasons]
    return [f"To {change.name} {difference_text(change)}.", *_costs(before, change.plan)]


def difference_text(change: Changed) -> str:
    """`costs 120.00 EUR more`, or the proved range in which the difference lies."""
    from packer.papers.units import money_text

    assert change.plan is not None
    assert change.least_minor is not None
    assert change.most_minor is not None
    currency = change.plan.currency
    if change.is_exact:
        more = "more" if change.most_minor >= 0 else "less"
        return f"costs {money_text(abs(change.most_minor), currency)} {more}, proved"
    least, most = (money_text(n, currency) for n in (change.least_minor, change.most_minor))
    return f"changes the total by {least} to {most}; more --seconds narrow this down"


def _costs(before: Plan, after: Plan) -> list[str]:
    from packer.cli.compare import COSTS
    from packer.papers.units import major_text

    rows: list[tuple[str, ...]] = [
        (f"In {before.currency}", "this plan", "other way", "difference")
    ]
    for name, field in COSTS:
        old, new = getattr(before.costs, field), getattr(after.costs, field)
        rows.append((name, *(major_text(n, before.currency) for n in (old, new, new - old))))
    pieces = len(before.pieces), len(after.pieces)
    rows.append(("Pieces", *map(str, (*pieces, pieces[1] - pieces[0]))))
    return table(rows, right=(1, 2, 3))
