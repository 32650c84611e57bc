"""What is asked of the solver and what it answers: limits, wishes, progress, answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from packer.model.finding import Finding
from packer.model.outcome import Outcome
from packer.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Limits:
    """How long to work. With `deterministic` set, work is counted, not timed: repeatable."""

    seconds: float = 30.0
    workers: int = 2
    seed: int = 0
    deterministic: float | None = None


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the user holds fixed: gear ids that must fly or be hired whole, a plan to stay near.

    `fly` and `hire` name gear lines; `at_most` holds (gear id, units), of which no more fly where
    offers cover the rest; `packed` holds (gear, case) pairs that must stay together
    and is used by repairs. `keep` is an earlier plan; within `keep_slack_minor` of the optimum
    the plan with the fewest moved objects is taken. `most_pieces` is the largest number of hold
    pieces, None for any.
    """

    fly: tuple[str, ...] = ()
    hire: tuple[str, ...] = ()
    keep: Plan | None = None
    keep_slack_minor: int = 0
    most_pieces: int | None = None
    at_most: tuple[tuple[str, int], ...] = ()

    def forcing(self, gear: str, *, fly: bool) -> Wishes:
        """These wishes with all of one line to fly, or to be hired, whatever they said of it."""
        flying = tuple(name for name in self.fly if name != gear)
        hired = tuple(name for name in self.hire if name != gear)
        if fly:
            return replace(self, fly=(*flying, gear), hire=hired)
        return replace(self, fly=flying, hire=(*hired, gear))


@dataclass(frozen=True, slots=True)
class Progress:
    """A sign of life from the solver; money in minor units of the trip currency, None unknown.

    `currency` is filled in by the pipeline, for whoever shows the money. `plan`, where a plan is
    known, makes the best one so far; it may be called later and from any thread, but not after
    the solver has answered, and gives None for a plan that must not be shown.
    """

    seconds: float
    best_minor: int | None
    bound_minor: int | None
    doing: str
    currency: str = ""
    plan: Callable[[], Plan | None] | None = field(default=None, compare=False, repr=False)

    @property
    def gap(self) -> float | None:
        """(best - bound) / best, 0.0 when proved, None while either is unknown."""
        if self.best_minor is None or self.bound_minor is None:
            return None
        if self.best_minor <= self.bound_minor:
            return 0.0
        return (self.best_minor - self.bound_minor) / self.best_minor


COMPILING = "compiling the packing code for this machine, once: about ten seconds"
"""What goes on before the first plan on a machine."""

OnProgress = Callable[[Progress], None]
ShouldStop = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver found. `plan` is None unless `outcome` is DONE; `causes` say why not."""

    outcome: Outcome
    plan: Plan | None
    bound_minor: int
    causes: tuple[Finding, ...] = ()
