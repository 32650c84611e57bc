"""Checks any plan for a trip, also one made by hand, without the solver: prints each breach and
the costs reckoned anew."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from packer.cli.inputs import open_plan, open_trip
from packer.cli.talk import counted, json_option, report
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.judge import Verdict
    from packer.model.trip import Trip


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip and the plan."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("plan", metavar="PLAN.json", help="the plan to judge")
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where the plan holds, 1 where the judge refuses it, 2 where the trip has errors."""
    from packer.judge import judge

    trip = open_trip(args.trip)
    verdict = judge(trip, open_plan(args.plan))
    lines = [*_verdict_lines(verdict), "", "Reckoned anew:", *_cost_lines(trip, verdict)]
    if verdict.accepted:
        return report(args, Outcome.DONE, lines=lines, verdict=verdict.to_json())
    meaning = "the plan breaks the trip's rules or misstates a figure"
    return report(args, Outcome.FAULT, lines=lines, meaning=meaning, verdict=verdict.to_json())


def _verdict_lines(verdict: Verdict) -> list[str]:
    if verdict.accepted:
        return ["The plan holds.", *verdict.notes]
    heading = (
        f"The plan does not hold; it has {counted(len(verdict.breaches), 'breach', 'breaches')}:"
    )
    return [heading, *(f"  {breach.line()}" for breach in verdict.breaches), *verdict.notes]


def _cost_lines(trip: Trip, verdict: Verdict) -> list[str]:
    from packer.cli.plan_text import cost_lines

    return cost_lines(verdict.costs, trip.currency)
