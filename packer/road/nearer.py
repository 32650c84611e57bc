"""What staying nearer still to an earlier plan costs, after solving again with `--keep`.

In: a trip, the plan it should stay near and the plan that came of it. Out: `Nearer`: how many
objects moved, and for fewer moves the cheapest legal plan, with what it costs more. There is none
where the earlier plan lacks what must fly now, or names what the trip does not have.
"""

from __future__ import annotations

from dataclasses import dataclass

from packer.judge import judge
from packer.model.plan import Plan
from packer.model.trip import Trip
from packer.road.differ import differ
from packer.road.repair import mend

SECONDS = 3.0
ROWS = 4

_STRANGE = {
    "unknown-gear",
    "unknown-case",
    "no-such-unit",
    "case-used-twice",
    "unit-packed-twice",
    "gear-decided-twice",
}


@dataclass(frozen=True, slots=True)
class Step:
    """A legal plan with so few moves. Money in trip currency minor units.

    `proved`: none with as many moves costs less, and (first step) none with fewer is legal.
    """

    moves: int
    objective_minor: int
    more_minor: int
    proved: bool
    plan: Plan


@dataclass(frozen=True, slots=True)
class Nearer:
    """`moved`: objects that the new plan has elsewhere than the old, or flies or leaves anew."""

    moved: int
    steps: tuple[Step, ...]


def nearer(trip: Trip, keep: Plan, new: Plan, seconds: float = SECONDS) -> Nearer:
    """Plans nearer to `keep` than `new` is, fewest moves first, each cheaper than the one before.

    Steps that do not cost more than the new plan are left out: that plan would have been taken.
    """
    moved = moved_objects(keep, new)
    if not moved or any(breach.code in _STRANGE for breach in judge(trip, keep).breaches):
        return Nearer(moved, ())
    menu = mend(trip, keep, further=ROWS - 1, seconds=seconds, further_seconds=seconds)
    steps = (
        Step(
            len(choice.moves),
            choice.cost_minor,
            choice.cost_minor - new.objective_minor,
            choice.proved,
            choice.plan,
        )
        for choice in menu.choices
    )
    return Nearer(moved, tuple(s for s in steps if s.moves < moved and s.more_minor > 0))


def moved_objects(keep: Plan, new: Plan) -> int:
    """Objects in another case than before, and units that fly now or no longer."""
    found = differ(keep, new)
    return found.moved_units + sum(abs(change.more) for change in found.flown)
