"""A tiny invented trip that is really planned, to show that everything in the chain works.

One horn (3 kg) may fly in the one case (4 kg) on the one flight, where a first piece is free, or
be hired for 50.00 EUR. Flying costs nothing, so the cheapest plan totals 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from packer.model.outcome import Outcome
from packer.model.solving import Limits
from packer.model.trip import (
    Box,
    Case,
    CaseKind,
    Concept,
    Gear,
    Leg,
    Offer,
    Price,
    Rule,
    Stop,
    Trip,
)

EXPECTED_MINOR = 0
SECONDS = 10.0


@dataclass(frozen=True, slots=True)
class Health:
    """What came of planning the tiny trip."""

    well: bool
    code: int
    objective_minor: int | None
    seconds: float


def tiny_trip() -> Trip:
    """The trip of the module's first lines."""
    day = date(2027, 6, 1)
    stop = Stop("Invented Pier", "PT", day)
    return Trip(
        name="Invented health check",
        home_country="IE",
        currency="EUR",
        stops=(stop,),
        legs=(Leg("out", "AAA", "BBB", day, "Invented Air", free_pieces=1),),
        rules=(Rule("Invented Air", Concept.PIECE, 23_000, extra_minor=(6_000,) * 3),),
        gear=(
            Gear(
                "HORN",
                "Invented horn",
                1,
                3_000,
                size=Box(600, 250, 250),
                needed_at=(stop.name,),
            ),
        ),
        cases=(
            Case(
                "CASE",
                "CASE",
                CaseKind.BOX,
                outside=Box(750, 400, 350),
                empty_g=4_000,
                inside=Box(700, 350, 300),
            ),
        ),
        offers=(
            Offer(stop.name, "HORN", False, "Invented Hire", Price(5_000, Decimal(50), "EUR")),
        ),
    )


def plan_tiny_trip() -> Health:
    """Solve and judge the tiny trip; well when the proved total is the one known beforehand."""
    from packer.pipeline import solve

    planned = solve(tiny_trip(), (), Limits(seconds=SECONDS, workers=1))
    plan = planned.plan
    well = (
        planned.outcome is Outcome.DONE
        and plan is not None
        and plan.objective_minor == plan.bound_minor == EXPECTED_MINOR
    )
    return Health(
        well,
        int(planned.outcome),
        plan.objective_minor if plan else None,
        plan.solver.seconds if plan else 0.0,
    )
