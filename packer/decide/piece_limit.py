"""At most so many hold pieces, as a price: each piece above costs more than any plan could.

The search then needs no limit of its own, and a bound that reaches such a price proves that no plan
has so few pieces.
"""

from __future__ import annotations

from dataclasses import replace

from packer.decide.problem import Problem
from packer.decide.sketch import Sketch
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome
from packer.model.plan import Route
from packer.model.solving import Answer


def limited(problem: Problem, most: int | None) -> Problem:
    """The problem with at most so many hold pieces; as it is where `most` is None."""
    if most is None:
        return problem
    each = dearest_minor(problem)
    table = (fee + each * max(0, n - most) for n, fee in enumerate(problem.pieces_minor))
    return replace(problem, pieces_minor=tuple(table))


def dearest_minor(problem: Problem) -> int:
    """More than any plan of the problem costs, in minor units: everything bought, all fees paid."""
    gear = [line.gear for line in problem.lines]
    total_g = sum(g.quantity * g.weight_g for g in gear) + sum(c.tare_g for c in problem.cases)
    worth = sum(
        each * line.gear.quantity
        for each, line in zip(problem.worth_minor, problem.lines, strict=True)
    )
    hire = sum(
        sum(offer.price_minor * offer.most for offer in hire.units)
        + sum(kit.price_minor for kit in hire.kits)
        + sum(hire.delivery_minor.values())
        for hire in problem.hires
    )
    pieces = max(problem.pieces_minor, default=0)
    bands = sum(max((o.cost_minor for o in c.options), default=0) for c in problem.cases)
    weight = sum(bill.rule.per_kg_minor for bill in problem.bills) * (total_g // 1000 + 1)
    return 1 + worth + hire + pieces + bands + weight + _freight_minor(problem, total_g)


def _freight_minor(problem: Problem, total_g: int) -> int:
    freight = problem.freight
    if freight is None:
        return 0
    kilos = max(total_g // 1000, sum(c.cm3 for c in problem.cases) // freight.divisor) + 1
    return freight.handling.minor + freight.minimum.minor + freight.rate_per_kg.minor * kilos


def exceeds(sketch: Sketch, most: int | None) -> bool:
    """True for a sketch with more hold pieces than wished for."""
    hold = sum(load.route is Route.HOLD for load in sketch.loads)
    return most is not None and hold > most


def too_many(plain: Problem, most: int | None, bound_minor: int) -> Answer:
    """The answer where no plan with so few pieces was found; `plain` is without the limit.

    A plan with n pieces too many costs less than n + 1 times the dearest plan, so the bound tells
    how many are too many at least.
    """
    beyond = bound_minor // dearest_minor(plain)
    if not beyond:
        return Answer(Outcome.OUT_OF_TIME, None, bound_minor)
    noun = "piece" if most == 1 else "pieces"
    cause = Finding(
        "too-few-pieces", Severity.ERROR,
        f"What must fly does not go into {most} hold {noun}: at least {beyond} too few.",
        subject="pieces", remedy="Allow more pieces, or have more covered by offers.",
    )  # fmt: skip
    return Answer(Outcome.IMPOSSIBLE, None, bound_minor, (cause,))
