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


def other_way(
    trip: Trip, plan: Plan, gear: str, forced: str, wishes: Wishes, limits: Limits
) -> OtherWay:
    """Solve with a line forced to `fly` or `hire`, all other wishes kept."""
    from packer.pipeline import solve

    planned = solve(trip, (), limits, _forced(wishes, gear, forced))
    if planned.outcome is not Outcome.DONE or planned.plan is None:
        causes = planned.causes or planned.findings
        message = causes[0].message if causes else planned.outcome.meaning
        return OtherWay(gear, forced, int(planned.outcome), None, None, message)
    least = planned.bound_minor - plan.objective_minor
    most = planned.plan.objective_minor - plan.objective_minor
    exact = "Proved." if least == most else "Found; the proof leaves a range."
    return OtherWay(gear, forced, int(planned.outcome), least, most, exact)


def _forced(wishes: Wishes, gear: str, forced: str) -> Wishes:
    fly = tuple(name for name in wishes.fly if name != gear)
    hire = tuple(name for name in wishes.hire if name != gear)
    if forced == "fly":
        return Wishes((*fly, gear), hire)
    return Wishes(fly, (*hire, gear))
