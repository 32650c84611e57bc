"""A plan, exactly as plan.json carries it (contract, section 3), as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

UNSTATED = -1
"""Stands for a figure (money, grams, pieces) that a hand-made plan leaves out; the judge
recomputes it and has nothing to compare it with."""


class Route(StrEnum):
    """How a piece travels."""

    HOLD = "hold"
    CABIN = "cabin"
    FREIGHT = "freight"


class Status(StrEnum):
    """How good a plan is known to be."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    IMPOSSIBLE = "impossible"


@dataclass(frozen=True, slots=True)
class Cover:
    """Units of a line covered by one offer at one stop; `target` is the gear id or the kit."""

    stop: str
    supplier: str
    target: str
    units: int
    cost_minor: int


@dataclass(frozen=True, slots=True)
class Decision:
    """How many units of a line fly, and what covers the rest, stop by stop."""

    gear: str
    flown: int
    covers: tuple[Cover, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A place in a box: the corner nearest the origin, and the object's own size as turned, mm."""

    at_mm: tuple[int, int, int]
    size_mm: tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Packed:
    """One unit (counted from 1) in a case; `place` only for a rigid unit in a box."""

    gear: str
    unit: int
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """A case with something in it. Contents stand in packing order."""

    case: str
    route: Route
    empty_g: int
    contents_g: int
    planning_g: int
    contents: tuple[Packed, ...]


@dataclass(frozen=True, slots=True)
class Charge:
    """What the airline charges on a leg, or once on a ticket (under the ticket's name)."""

    leg: str
    pieces: int
    extra_minor: int
    overweight_minor: int
    oversize_minor: int
    weight_minor: int
    total_minor: int


@dataclass(frozen=True, slots=True)
class SolverNote:
    """How the plan was found. `deterministic` is the solver's own repeatable measure of work."""

    seconds: float
    workers: int
    seed: int
    ortools: str
    deterministic: float


@dataclass(frozen=True, slots=True)
class Costs:
    """A plan's money in minor units of the trip currency."""

    baggage_minor: int
    hire_minor: int
    delivery_minor: int
    freight_minor: int
    worth_minor: int

    @property
    def cash_minor(self) -> int:
        """Baggage + hire + delivery + freight."""
        return self.baggage_minor + self.hire_minor + self.delivery_minor + self.freight_minor

    @property
    def objective_minor(self) -> int:
        """Cash + worth given up."""
        return self.cash_minor + self.worth_minor


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything plan.json holds. `made` is an ISO time with offset; `bound_minor` is proved.

    `stated_objective_minor` and `stated_cash_minor` are the totals as a file states them, kept
    beside the totals that follow from `costs` so that the judge can compare; None: not from a file.
    """

    holdall: str
    trip: str
    input_sha256: str
    made: str
    status: Status
    currency: str
    costs: Costs
    bound_minor: int
    decisions: tuple[Decision, ...]
    pieces: tuple[Piece, ...]
    charges: tuple[Charge, ...]
    findings: tuple[dict[str, str], ...]
    solver: SolverNote
    stated_objective_minor: int | None = field(default=None, compare=False, repr=False)
    stated_cash_minor: int | None = field(default=None, compare=False, repr=False)

    @property
    def objective_minor(self) -> int:
        """Cash + worth given up."""
        return self.costs.objective_minor
