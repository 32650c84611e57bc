"""What if: the same trip solved again with one thing changed, and what that is proved to cost.

In: a trip, the plan to compare with, and the change. Out: the outcome, the plan that was found,
and the range in which the true difference lies. Both solves carry a proved lower bound, so the
range is proved too; where both are optimal it is one figure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from typing import Any

from packer.model.finding import Finding
from packer.model.outcome import Outcome
from packer.model.plan import Plan, Route
from packer.model.solving import Limits, OnProgress, ShouldStop, Wishes
from packer.model.trip import Case, Choice, Leg, Trip
from packer.pipeline import Planned, never, quiet, solve

MOST_WEIGHTS_KG = (32, 30, 25, 23)
MARGINS_G = (0, 500, 1000)
CLEARANCES_MM = (0, 5, 10, 20)
FREE_PIECES = (-2, -1, 1, 2)
MOST_FEWER = 8  # steps down in the number of pieces


@dataclass(frozen=True, slots=True)
class Changed:
    """What came of a change. `least_minor` and `most_minor` bound the rise of the objective.

    A negative figure is a fall. Both are None where the changed trip has no plan; `causes` say why.
    """

    name: str
    outcome: Outcome
    plan: Plan | None
    least_minor: int | None
    most_minor: int | None
    causes: tuple[Finding, ...] = ()

    @property
    def is_exact(self) -> bool:
        """Whether the difference is proved to the minor unit."""
        return self.least_minor is not None and self.least_minor == self.most_minor

    def to_json(self) -> dict[str, Any]:
        """As command and API give it; money in minor units, None where there is no plan."""
        plan = self.plan
        return {
            "name": self.name,
            "code": int(self.outcome),
            "least_minor": self.least_minor,
            "most_minor": self.most_minor,
            "objective_minor": plan.objective_minor if plan else None,
            "bound_minor": plan.bound_minor if plan else None,
            "cash_minor": plan.costs.cash_minor if plan else None,
            "worth_minor": plan.costs.worth_minor if plan else None,
            "pieces": len(plan.pieces) if plan else None,
            "flown": sum(decision.flown for decision in plan.decisions) if plan else None,
            "causes": [cause.to_json() for cause in self.causes],
        }


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A change of the trip, or a limit on its hold pieces, with a name for people."""

    name: str
    change: Callable[[Trip], Trip]
    most_pieces: int | None = None


def other_ways(trip: Trip, plan: Plan, gear: str) -> tuple[Choice, ...]:
    """The opposites of what the plan does with a line: fly, hire, or either where it does both."""
    flown = next((d.flown for d in plan.decisions if d.gear == gear), 0)
    if flown == 0:
        return (Choice.FLY,)
    if flown == trip.gear_named(gear).quantity:
        return (Choice.HIRE,)
    return (Choice.FLY, Choice.HIRE)


def forced(
    trip: Trip,
    plan: Plan,
    gear: str,
    way: Choice,
    limits: Limits,
    on_progress: OnProgress = quiet,
    should_stop: ShouldStop = never,
    wishes: Wishes = Wishes(),
) -> Changed:
    """What it costs to fly, or to hire, all of a line, whatever its Source cell or a wish says.

    All else is held as in `wishes`, which are those that the plan was made with.
    """
    free = _with_choice(trip, gear, Choice.EITHER)
    held = wishes.forcing(gear, fly=way is Choice.FLY)
    planned = solve(free, (), limits, held, on_progress, should_stop)
    return _compared(f"{way} {gear}", plan, planned)


def what_ifs(trip: Trip) -> Iterator[WhatIf]:
    """The changes worth a look, each one thing different from the trip as it stands."""
    for kg in MOST_WEIGHTS_KG:
        yield WhatIf(f"no piece above {kg} kg", partial(_lighter, most_g=kg * 1000))
    for by in FREE_PIECES:
        yield WhatIf(_pieces_name(by), partial(_pieces, by=by))
    other = not trip.one_case_lost
    yield WhatIf(
        f"one case lost: {'yes' if other else 'no'}", lambda t: replace(t, one_case_lost=other)
    )
    for grams in MARGINS_G:
        if grams != trip.scale_margin_g:
            name = f"scale margin {grams / 1000:g} kg"
            yield WhatIf(name, partial(_with_margin, grams=grams))
    for mm in CLEARANCES_MM:
        if mm != trip.clearance_mm:
            name = f"packing clearance {mm} mm"
            yield WhatIf(name, partial(_with_clearance, mm=mm))
    if trip.freight is not None:
        yield WhatIf("no freight", lambda t: replace(t, freight=None))


def fewer_pieces(plan: Plan) -> Iterator[WhatIf]:
    """One hold piece fewer than the plan has, two fewer, and so on to none."""
    hold = sum(piece.route is Route.HOLD for piece in plan.pieces)
    for most in range(hold - 1, -1, -1):
        noun = "piece" if most == 1 else "pieces"
        yield WhatIf(f"at most {most} hold {noun}", lambda t: t, most)


def sweep(trip: Trip, plan: Plan, try_one: Callable[[WhatIf], bool]) -> None:
    """Every change worth a look in turn, then fewer and fewer pieces.

    `try_one` says whether there was a plan; once there is none with so few pieces, none is asked
    for with fewer.
    """
    for what_if in what_ifs(trip):
        try_one(what_if)
    for what_if in islice(fewer_pieces(plan), MOST_FEWER):
        if not try_one(what_if):
            return


def tried(
    trip: Trip,
    plan: Plan,
    what_if: WhatIf,
    limits: Limits,
    on_progress: OnProgress = quiet,
    should_stop: ShouldStop = never,
    wishes: Wishes = Wishes(),
) -> Changed:
    """The trip with the change, solved and compared with the plan of the trip as it stands.

    `wishes` are those that the plan was made with.
    """
    changed = what_if.change(trip)
    if what_if.most_pieces is not None:
        wishes = replace(wishes, most_pieces=what_if.most_pieces)
    planned = solve(changed, (), limits, wishes, on_progress, should_stop)
    return _compared(what_if.name, plan, planned)


def _compared(name: str, before: Plan, planned: Planned) -> Changed:
    after = planned.plan
    if after is None or planned.outcome is not Outcome.DONE:
        causes = planned.causes or planned.findings
        return Changed(name, planned.outcome, None, None, None, causes)
    least = after.bound_minor - before.objective_minor
    most = after.objective_minor - before.bound_minor
    return Changed(name, planned.outcome, after, least, most)


def _with_choice(trip: Trip, gear: str, choice: Choice) -> Trip:
    lines = (replace(line, choice=choice) if line.name == gear else line for line in trip.gear)
    return replace(trip, gear=tuple(lines))


def _lighter(trip: Trip, most_g: int) -> Trip:
    return replace(trip, cases=tuple(_lighter_case(case, most_g) for case in trip.cases))


def _lighter_case(case: Case, most_g: int) -> Case:
    own = most_g if case.most_gross_g is None else case.most_gross_g
    return replace(case, most_gross_g=min(own, most_g))


def _with_margin(trip: Trip, grams: int) -> Trip:
    return replace(trip, scale_margin_g=grams)


def _with_clearance(trip: Trip, mm: int) -> Trip:
    return replace(trip, clearance_mm=mm)


def _pieces_name(by: int) -> str:
    noun = "piece" if abs(by) == 1 else "pieces"
    return f"{abs(by)} free {noun} {'more' if by > 0 else 'fewer'} on every flight"


def _pieces(trip: Trip, by: int) -> Trip:
    return replace(trip, legs=tuple(_leg_with(leg, by) for leg in trip.legs))


def _leg_with(leg: Leg, by: int) -> Leg:
    return replace(leg, free_pieces=max(0, leg.free_pieces + by))
