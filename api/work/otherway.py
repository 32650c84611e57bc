"""What forcing one line the other way costs, by solving again with that one thing changed.

The answer is what can be proved: the total rises by no less than the forced solve's lower bound
says, and a plan was found that raises it by so much. Where both agree, that is the cost.
"""

from __future__ import annotations

from dataclasses import dataclass

from packer.model.outcome import Outcome
from packer.model.plan import Plan
from packer.model.solving import Limits, Wishes
from packer.model.trip import Trip


@dataclass(frozen=True, slots=True)
class OtherWay:
    """Rises in minor units of the trip currency; None where there is no such plan."""

    gear: str
    forced: str
    code: int
    least_minor: int | None
    most_minor: int | None
    message: str
    turns_least_minor: int | None = None
    turns_most_minor: int | None = None


def other_way(
    trip: Trip, plan: Plan, gear: str, forced: str, wishes: Wishes, limits: Limits
) -> OtherWay:
    """Solve with a line forced to `fly` or `hire`, all other wishes kept."""
    from packer.pipeline import solve

    planned = solve(trip, (), limits, wishes.forcing(gear, fly=forced == "fly"))
    if planned.outcome is not Outcome.DONE or planned.plan is None:
        causes = planned.causes or planned.findings
        message = causes[0].message if causes else planned.outcome.meaning
        return OtherWay(gear, forced, int(planned.outcome), None, None, message)
    least = planned.bound_minor - plan.objective_minor
    most = planned.plan.objective_minor - plan.objective_minor
    return OtherWay(gear, forced, int(planned.outcome), least, most, _words(least, most))


def all_other_ways(trip: Trip, plan: Plan, limits: Limits, wishes: Wishes) -> tuple[OtherWay, ...]:
    """The other way of every line within the time, with the hire price at which each turns."""
    from packer.decide.answers import other_ways_of_all

    return tuple(
        OtherWay(
            found.gear,
            str(found.way),
            _code(found.most_minor, found.reason),
            found.least_minor,
            found.most_minor,
            found.reason or _words(found.least_minor, found.most_minor),
            found.turns_least_minor,
            found.turns_most_minor,
        )
        for found in other_ways_of_all(trip, plan, limits, wishes=wishes)
    )


def _code(most_minor: int | None, reason: str) -> int:
    if reason:
        return int(Outcome.IMPOSSIBLE)
    return int(Outcome.OUT_OF_TIME if most_minor is None else Outcome.DONE)


def _words(least_minor: int | None, most_minor: int | None) -> str:
    if most_minor is None:
        return "No plan that way was found in time."
    return "Proved." if least_minor == most_minor else "Found; the proof leaves a range."
