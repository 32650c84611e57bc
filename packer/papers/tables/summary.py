"""The production manager's page: what flies, what it costs, the proof, what is close."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_UP, Decimal

from packer.model.plan import Charge, Plan, Route, Status
from packer.model.trip import Trip
from packer.papers.table import Column, Fact, Kind, Table
from packer.papers.tables.cases import limits_of
from packer.papers.tables.flown import pieces_in_order, stops_in_order
from packer.papers.tables.hire import HireOrder, all_orders
from packer.papers.units import kg_text, money_text

CLOSE_G = 1000  # "limits within 1 kg" are worth a look


@dataclass(frozen=True, slots=True)
class CostRow:
    """One kind of cost."""

    kind: str
    minor: int


@dataclass(frozen=True, slots=True)
class StopRow:
    """The money of one stop: hire and delivery there, and how many units are hired or lent."""

    stop: str
    country: str
    day: str
    hired_units: int
    house_units: int
    hire_minor: int
    delivery_minor: int

    @property
    def total_minor(self) -> int:
        """Hire and delivery."""
        return self.hire_minor + self.delivery_minor


@dataclass(frozen=True, slots=True)
class DecisionRow:
    """A gear line: how many of how many fly, and where the rest comes from."""

    gear: str
    description: str
    quantity: int
    flown: int
    covered: str
    cost_minor: int


@dataclass(frozen=True, slots=True)
class CloseLimit:
    """A piece that is within a kilogram of a limit, or of the free weight where not `refused`."""

    case: str
    left_g: int
    limit_g: int
    origin: str
    refused: bool

    @property
    def sentence(self) -> str:
        """How close in words."""
        what = "the limit" if self.refused else "the free weight"
        origin = self.origin.replace(", free up to here", "")
        return f"{self.case}: {kg_text(self.left_g)} kg below {what} ({origin})"


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A finding of the plan as a row."""

    severity: str
    subject: str
    message: str
    where: str
    code: str


_RANK = {"error": 0, "warning": 1, "note": 2}


def proof_text(plan: Plan) -> str:
    """How good the plan is known to be, in one sentence."""
    if plan.status is Status.OPTIMAL:
        return "Proved: no plan for this input has a lower total of cash and worth given up."
    gap = gap_text(plan.objective_minor, plan.bound_minor)
    bound = money_text(plan.bound_minor, plan.currency)
    return f"Not proved best: no plan can total less than {bound}; this one is within {gap}."


def gap_text(objective_minor: int, bound_minor: int) -> str:
    """The gap (objective - bound) / objective in per cent, rounded up: '2.4 %'."""
    if objective_minor <= bound_minor:
        return "0 %"
    gap = Decimal(objective_minor - bound_minor) * 100 / Decimal(objective_minor)
    return f"{gap.quantize(Decimal('0.1'), ROUND_UP)} %"


def summary_facts(trip: Trip, plan: Plan) -> tuple[Fact, ...]:
    """The head of the summary: totals, proof, what travels."""
    pieces = pieces_in_order(plan)
    shows = stops_in_order(trip)
    counts = {route: sum(1 for p in pieces if p.route is route) for route in Route}
    return (
        Fact("Cash", plan.costs.cash_minor, Kind.MONEY),
        Fact("Worth given up", plan.costs.worth_minor, Kind.MONEY),
        Fact("Total compared", plan.objective_minor, Kind.MONEY),
        Fact("Proved lower bound", plan.bound_minor, Kind.MONEY),
        Fact("Gap", gap_text(plan.objective_minor, plan.bound_minor)),
        Fact("Proof", proof_text(plan)),
        Fact("Pieces", ", ".join(f"{n} {route}" for route, n in counts.items() if n) or "none"),
        Fact("Planning weight", sum(p.planning_g for p in pieces), Kind.GRAMS),
        Fact("Objects that fly", sum(len(p.contents) for p in pieces), Kind.COUNT),
        Fact("Shows", "; ".join(f"{s.date} {s.name} ({s.country})" for s in shows)),
        Fact("Flights", "; ".join(f"{g.date} {g.origin}-{g.destination}" for g in trip.legs)),
        Fact("Time to find it", f"{plan.solver.seconds:.1f} s"),
    )


def cost_rows(plan: Plan) -> tuple[CostRow, ...]:
    """Cash by kind; they add up to the cash."""
    costs = plan.costs
    return (
        CostRow("Baggage", costs.baggage_minor),
        CostRow("Hire", costs.hire_minor),
        CostRow("Delivery", costs.delivery_minor),
        CostRow("Freight", costs.freight_minor),
    )


def stop_rows(trip: Trip, plan: Plan) -> tuple[StopRow, ...]:
    """Money by stop, in order of date."""
    orders = all_orders(trip, plan)
    stops = stops_in_order(trip)
    return tuple(
        StopRow(
            stop=stop.name,
            country=stop.country,
            day=stop.date.isoformat(),
            hired_units=_covered(plan, stop.name, house=False),
            house_units=_covered(plan, stop.name, house=True),
            hire_minor=_sum_at(orders, stop.name, "hire"),
            delivery_minor=_sum_at(orders, stop.name, "delivery"),
        )
        for stop in stops
    )


def decision_rows(trip: Trip, plan: Plan) -> tuple[DecisionRow, ...]:
    """What flies and what does not, line by line, lines that partly or wholly stay first."""
    rows = []
    for decision in plan.decisions:
        line = trip.gear_named(decision.gear)
        taken = [cover for cover in decision.covers if cover.units]
        rows.append(
            DecisionRow(
                gear=line.name,
                description=line.description,
                quantity=line.quantity,
                flown=decision.flown,
                covered="; ".join(f"{c.stop}: {c.units} {c.supplier}" for c in taken),
                cost_minor=sum(cover.cost_minor for cover in taken),
            )
        )
    return tuple(sorted(rows, key=lambda r: (r.flown == r.quantity, r.gear.casefold())))


def close_limits(trip: Trip, plan: Plan) -> tuple[CloseLimit, ...]:
    """Limits and free weights within a kilogram above a piece, closest first."""
    found = []
    for piece in pieces_in_order(plan):
        limits = limits_of(trip, piece)
        for grams, refused in dict.fromkeys((each.grams, each.refused) for each in limits):
            left = grams - piece.planning_g
            if 0 <= left <= CLOSE_G:
                origin = next(e.origin for e in limits if (e.grams, e.refused) == (grams, refused))
                found.append(CloseLimit(piece.case, left, grams, origin, refused))
    return tuple(sorted(found, key=lambda each: (each.left_g, each.case)))


def finding_rows(plan: Plan) -> tuple[FindingRow, ...]:
    """All findings that the plan carries, by severity."""
    rows = [
        FindingRow(
            severity=found.get("severity", ""),
            subject=found.get("subject", ""),
            message=" ".join(filter(None, (found.get("message"), found.get("remedy")))),
            where=found.get("where", ""),
            code=found.get("code", ""),
        )
        for found in plan.findings
    ]
    return tuple(sorted(rows, key=lambda row: _RANK.get(row.severity, 3)))


def costs_table(plan: Plan) -> Table[CostRow]:
    """Cash by kind."""
    return Table("Cash", "Cash by kind", _COSTS, cost_rows(plan), plan.currency, total_label="Cash")


def stops_table(trip: Trip, plan: Plan) -> Table[StopRow]:
    """Money by stop."""
    return Table(
        "By stop", "Hire and delivery by stop", _STOPS, stop_rows(trip, plan), plan.currency
    )


def charges_table(plan: Plan) -> Table[Charge]:
    """What the airlines charge, leg by leg or ticket by ticket."""
    return Table("Baggage", "Baggage by leg or ticket", _CHARGES, plan.charges, plan.currency)


def decisions_table(trip: Trip, plan: Plan) -> Table[DecisionRow]:
    """Fly, hire or house, line by line."""
    return Table(
        "Fly or hire",
        "What flies and what is hired or lent",
        _DECISIONS,
        decision_rows(trip, plan),
        plan.currency,
    )


def close_limits_table(trip: Trip, plan: Plan) -> Table[CloseLimit]:
    """The limits that are close, all of them."""
    return Table(
        name="Close limits",
        title="Pieces within 1 kg of a limit or of the free weight",
        columns=_CLOSE_LIMITS,
        rows=close_limits(trip, plan),
    )


def findings_table(plan: Plan) -> Table[FindingRow]:
    """All findings by severity."""
    return Table(
        "Findings",
        "Findings by severity",
        _FINDINGS,
        finding_rows(plan),
        empty="Nothing to report.",
    )


def _covered(plan: Plan, stop: str, *, house: bool) -> int:
    return sum(
        cover.units
        for decision in plan.decisions
        for cover in decision.covers
        if cover.stop == stop and (cover.supplier.casefold() == "house") == house
    )


def _sum_at(orders: tuple[HireOrder, ...], stop: str, kind: str) -> int:
    here = [order for order in orders if order.stop == stop]
    return sum(o.hire_minor if kind == "hire" else o.delivery_minor for o in here)


_COSTS: tuple[Column[CostRow], ...] = (
    Column("Kind", Kind.TEXT, lambda r: r.kind, 18),
    Column("Amount", Kind.MONEY, lambda r: r.minor, 18, summed=True),
)

_STOPS: tuple[Column[StopRow], ...] = (
    Column("Stop", Kind.TEXT, lambda r: r.stop, 18),
    Column("Country", Kind.ID, lambda r: r.country, 9),
    Column("Date", Kind.TEXT, lambda r: r.day, 11),
    Column("Units hired", Kind.COUNT, lambda r: r.hired_units, 9, summed=True),
    Column("Units from house", Kind.COUNT, lambda r: r.house_units, 9, summed=True),
    Column("Hire", Kind.MONEY, lambda r: r.hire_minor, 14, summed=True),
    Column("Delivery", Kind.MONEY, lambda r: r.delivery_minor, 14, summed=True),
    Column("Together", Kind.MONEY, lambda r: r.total_minor, 14, summed=True),
)

_CHARGES: tuple[Column[Charge], ...] = (
    Column("Leg or ticket", Kind.TEXT, lambda r: r.leg, 18),
    Column("Pieces", Kind.COUNT, lambda r: r.pieces, 8),
    Column("Extra pieces", Kind.MONEY, lambda r: r.extra_minor, 14, summed=True),
    Column("Overweight", Kind.MONEY, lambda r: r.overweight_minor, 14, summed=True),
    Column("Oversize", Kind.MONEY, lambda r: r.oversize_minor, 14, summed=True),
    Column("By the kilo", Kind.MONEY, lambda r: r.weight_minor, 14, summed=True),
    Column("Together", Kind.MONEY, lambda r: r.total_minor, 14, summed=True),
)

_DECISIONS: tuple[Column[DecisionRow], ...] = (
    Column("Gear", Kind.ID, lambda r: r.gear, 16),
    Column("Description", Kind.TEXT, lambda r: r.description, 32),
    Column("Owned", Kind.COUNT, lambda r: r.quantity, 8, summed=True),
    Column("Fly", Kind.COUNT, lambda r: r.flown, 8, summed=True),
    Column("Covered by", Kind.TEXT, lambda r: r.covered, 40),
    Column("Hire", Kind.MONEY, lambda r: r.cost_minor, 15, summed=True),
)

_CLOSE_LIMITS: tuple[Column[CloseLimit], ...] = (
    Column("Case", Kind.ID, lambda r: r.case, 16),
    Column("Left", Kind.GRAMS, lambda r: r.left_g, 11),
    Column("Limit", Kind.GRAMS, lambda r: r.limit_g, 12),
    Column("Kind", Kind.TEXT, lambda r: "refused above" if r.refused else "free up to", 16),
    Column("Set by", Kind.TEXT, lambda r: r.origin.replace(", free up to here", ""), 40),
)

_FINDINGS: tuple[Column[FindingRow], ...] = (
    Column("Severity", Kind.TEXT, lambda r: r.severity, 10),
    Column("About", Kind.ID, lambda r: r.subject, 16),
    Column("Finding", Kind.TEXT, lambda r: r.message, 60),
    Column("Where", Kind.TEXT, lambda r: r.where, 20),
    Column("Code", Kind.ID, lambda r: r.code, 22),
)
