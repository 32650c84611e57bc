"""Every figure that the plan states, compared with what follows from the trip and the contents.

In: the plan laid beside its trip, and the recomputed costs and charges. Out: breaches. A figure
that a hand-made plan leaves out (`UNSTATED`) is not compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packer.judge.hire import cover_costs
from packer.judge.matched import Loaded, Matched
from packer.judge.verdict import Breach
from packer.judge.words import kg, money
from packer.model.plan import UNSTATED, Charge, Costs, Status


def weight_figures(matched: Matched) -> Iterator[Breach]:
    """Empty, contents and planning weight of every piece."""
    for piece in matched.pieces:
        stated = piece.piece
        yield from _weight(piece, "empty weight", stated.empty_g, piece.case.empty_g)
        yield from _weight(piece, "contents", stated.contents_g, piece.contents_g)
        yield from _weight(piece, "planning weight", stated.planning_g, piece.planning_g)


def _weight(piece: Loaded, what: str, stated_g: int, real_g: int) -> Iterator[Breach]:
    if stated_g not in (UNSTATED, real_g):
        message = (
            f"Case {piece.name}: the plan states {kg(stated_g)} of {what}; it is {kg(real_g)}."
        )
        yield Breach("wrong-weight", piece.name, message, stated_g, real_g)


def cost_figures(matched: Matched, costs: Costs) -> Iterator[Breach]:
    """The four parts of the cash, the worth, and the two totals."""
    plan, stated = matched.plan, matched.plan.costs
    compared = (
        ("baggage", stated.baggage_minor, costs.baggage_minor),
        ("hire", stated.hire_minor, costs.hire_minor),
        ("delivery", stated.delivery_minor, costs.delivery_minor),
        ("freight", stated.freight_minor, costs.freight_minor),
        ("worth", stated.worth_minor, costs.worth_minor),
        ("cash", plan.stated_cash_minor, costs.cash_minor),
        ("objective", plan.stated_objective_minor, costs.objective_minor),
    )
    for name, figure, real in compared:
        if figure not in (None, UNSTATED, real):
            said, right = _both(matched, figure, real)
            message = f"The plan states {said} for {name}; it is {right}."
            yield Breach(f"wrong-{name}", name, message, figure, real)


def cover_figures(matched: Matched) -> Iterator[Breach]:
    """What the plan states for each cover."""
    for each in cover_costs(matched):
        cover = each.covered.cover
        if cover.cost_minor not in (UNSTATED, each.cost_minor):
            said, right = _both(matched, cover.cost_minor, each.cost_minor)
            name = each.covered.gear.name
            message = (
                f"{name} at {cover.stop} from {cover.supplier}: the plan states {said}; "
                f"the offer costs {right}."
            )
            yield Breach("wrong-cover-cost", name, message, cover.cost_minor, each.cost_minor)


def charge_figures(matched: Matched, charges: Sequence[Charge]) -> Iterator[Breach]:
    """Every row of the charges; a plan that states no baggage total may leave them all out."""
    stated = list(matched.plan.charges)
    if not stated and matched.plan.costs.baggage_minor == UNSTATED:
        return
    for real in charges:
        found = next((row for row in stated if row.leg == real.leg), None)
        if found is None:
            yield Breach("charge-missing", real.leg, f"The charges have no row for {real.leg}.")
            continue
        stated.remove(found)
        yield from _charge(matched, found, real)
    for row in stated:
        message = f"The charges have a row for {row.leg} that the trip does not ask for."
        yield Breach("charge-unknown", row.leg, message)


def _charge(matched: Matched, stated: Charge, real: Charge) -> Iterator[Breach]:
    if stated.pieces != real.pieces:
        message = f"{real.leg}: the plan states {stated.pieces} hold pieces; it has {real.pieces}."
        yield Breach("wrong-charge", real.leg, message, stated.pieces, real.pieces)
    for kind in ("extra", "overweight", "oversize", "weight", "total"):
        figure, right = getattr(stated, f"{kind}_minor"), getattr(real, f"{kind}_minor")
        if figure != right:
            said, is_ = _both(matched, figure, right)
            message = f"{real.leg}: the plan states {said} for {kind}; it is {is_}."
            yield Breach("wrong-charge", real.leg, message, figure, right)


def proof_figures(matched: Matched, costs: Costs) -> Iterator[Breach]:
    """Bound and status against the objective, and the currency that all is counted in."""
    plan, objective = matched.plan, costs.objective_minor
    bound, worth = _both(matched, plan.bound_minor, objective)
    if plan.bound_minor > objective:
        message = f"The bound of {bound} is above the objective of {worth}."
        yield Breach("bound-above-objective", "bound", message, plan.bound_minor, objective)
    if plan.status is Status.OPTIMAL and plan.bound_minor < objective:
        message = f"The plan says optimal; its bound of {bound} is below the objective of {worth}."
        yield Breach("optimal-without-proof", "status", message, plan.bound_minor, objective)
    if plan.status is Status.IMPOSSIBLE:
        message = "The plan says that no plan is possible, and yet decides and packs."
        yield Breach("impossible-with-plan", "status", message)
    if plan.currency and plan.currency != matched.trip.currency:
        message = f"The plan counts in {plan.currency}, the trip in {matched.trip.currency}."
        yield Breach("wrong-currency", "currency", message)


def notes(matched: Matched) -> Iterator[str]:
    """Remarks that do not count against the plan: another trip's name, another input file."""
    plan, trip = matched.plan, matched.trip
    if plan.trip and plan.trip != trip.name:
        yield f"The plan was made for a trip named {plan.trip}; this one is named {trip.name}."
    if plan.input_sha256 and trip.input_sha256 and plan.input_sha256 != trip.input_sha256:
        yield "The trip's file has changed since the plan was made."


def _both(matched: Matched, one: int, other: int) -> tuple[str, str]:
    currency = matched.trip.currency
    return money(one, currency), money(other, currency)
