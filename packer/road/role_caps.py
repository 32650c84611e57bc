"""How much of a role one case may hold when a plan is mended (contract 5.6).

In: a trip and the plan that holds. Out: for each role with a spare, the most units of it in one
case, stop by stop.
"""

from __future__ import annotations

from packer.model.plan import Plan
from packer.model.trip import Gear, Trip


def role_caps(trip: Trip, plan: Plan) -> dict[str, dict[str, int]]:
    """The cap of each role at each stop with a spare of it; {} where the trip asks for none."""
    if not trip.one_case_lost:
        return {}
    flown = {decision.gear: decision.flown for decision in plan.decisions}
    covered = {
        (decision.gear, stop.name): sum(c.units for c in decision.covers if c.stop == stop.name)
        for decision in plan.decisions
        for stop in trip.stops
    }
    caps: dict[str, dict[str, int]] = {}
    for role in dict.fromkeys(line.role for line in trip.gear if line.role):
        lines = [line for line in trip.gear if line.role == role]
        aboard = sum(flown.get(line.name, 0) for line in lines)
        here = {
            stop: aboard + sum(covered.get((line.name, stop), 0) for line in lines) - needs
            for stop, needs in _with_spare(trip, lines)
        }
        if here:
            caps[role] = here
    return caps


def _with_spare(trip: Trip, lines: list[Gear]) -> list[tuple[str, int]]:
    """Stops that need more units of a role than the role needs, and what it needs."""
    needs = max((line.role_needs or 0 for line in lines), default=0)
    return [
        (stop.name, needs)
        for stop in trip.stops
        if sum(line.quantity for line in lines if stop.name in line.needed_at) > needs
    ]
