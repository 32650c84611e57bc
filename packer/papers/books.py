"""The workbooks: which sheets each has, made from the tables. Trip and plan in, bytes out."""

from __future__ import annotations

from packer.model.plan import Piece, Plan
from packer.model.trip import Trip
from packer.papers.book import write_book
from packer.papers.stamp import stamp_of
from packer.papers.table import AnyTable, Fact, Kind, Sheet
from packer.papers.tables.cases import CaseRow, case_rows, cases_table, contents_table
from packer.papers.tables.customs import (
    case_items_table,
    customs_list,
    customs_table,
)
from packer.papers.tables.flown import pieces_in_order
from packer.papers.tables.hire import HireOrder, hire_orders, order_table, orders_table
from packer.papers.tables.proforma import has_carnet, proforma_table, returning_table
from packer.papers.tables.summary import (
    charges_table,
    costs_table,
    decisions_table,
    findings_table,
    stops_table,
    summary_facts,
)
from packer.papers.units import money_text, size_text


def manifest_book(trip: Trip, plan: Plan) -> bytes:
    """Summary, all cases, one sheet a case in packing order, decisions, findings."""
    rows = case_rows(trip, plan)
    sheets = [_summary_sheet(trip, plan), _one(cases_table(trip, plan), plan, landscape=True)]
    sheets += [
        _case_sheet(trip, plan, piece, row)
        for piece, row in zip(pieces_in_order(plan), rows, strict=True)
    ]
    sheets.append(_one(decisions_table(trip, plan), plan, landscape=True))
    sheets.append(_one(findings_table(plan), plan, landscape=True))
    return write_book(sheets, stamp_of(trip, plan))


def customs_book(trip: Trip, plan: Plan) -> bytes:
    """The general list and the cross reference by case."""
    goods = customs_list(trip, plan)
    notes = _carnet_notes(trip)
    sheets = [
        _one(customs_table(goods), plan, notes=notes),
        _one(case_items_table(trip, plan, goods), plan, notes=notes),
    ]
    return write_book(sheets, stamp_of(trip, plan))


def proforma_book(trip: Trip, plan: Plan) -> bytes:
    """The consumables, and, without a carnet, the goods that return."""
    sheets = [_one(proforma_table(trip, plan), plan, landscape=True)]
    if not has_carnet(trip):
        goods = customs_list(trip, plan)
        sheets.append(_one(returning_table(trip, plan, goods), plan, landscape=True))
    return write_book(sheets, stamp_of(trip, plan))


def hire_book(trip: Trip, plan: Plan) -> bytes:
    """All orders on one sheet, then one sheet for each supplier and stop."""
    orders = hire_orders(trip, plan)
    sheets = [_one(orders_table(orders, plan.currency), plan)]
    sheets += [_order_sheet(order, plan) for order in orders]
    return write_book(sheets, stamp_of(trip, plan))


def _one(
    table: AnyTable, plan: Plan, *, landscape: bool = False, notes: tuple[str, ...] = ()
) -> Sheet:
    return Sheet(
        table.name,
        table.title,
        tables=(table,),
        currency=plan.currency,
        landscape=landscape,
        notes=notes,
    )


def _summary_sheet(trip: Trip, plan: Plan) -> Sheet:
    tables = (costs_table(plan), stops_table(trip, plan), charges_table(plan))
    facts = summary_facts(trip, plan)
    return Sheet("Summary", "Summary", facts, tables, plan.currency)


def _case_sheet(trip: Trip, plan: Plan, piece: Piece, row: CaseRow) -> Sheet:
    table = contents_table(trip, piece)
    return Sheet(
        name=piece.case,
        title=f"{piece.case}: {row.description}" if row.description else piece.case,
        facts=_case_facts(row),
        tables=(table,),
        currency=plan.currency,
        landscape=True,
    )


def _case_facts(row: CaseRow) -> tuple[Fact, ...]:
    return (
        Fact("Case", f"{row.number} of {row.count}, by {row.route}"),
        Fact("Outside", f"{size_text(row.outside_mm)}, together {row.linear_mm / 10:g} cm"),
        Fact("Empty", row.empty_g, Kind.GRAMS),
        Fact("Contents", row.contents_g, Kind.GRAMS),
        Fact("Scale margin", row.margin_g, Kind.GRAMS),
        Fact("Planning weight", row.planning_g, Kind.GRAMS),
        Fact("Limit", row.limit_g, Kind.GRAMS),
        Fact("Limit set by", row.limit_origin),
    )


def _order_sheet(order: HireOrder, plan: Plan) -> Sheet:
    table = order_table(order, plan.currency)
    delivery = order.delivery
    offered = ""
    if delivery:
        offered = f" (offered at {delivery.amount.normalize():f} {delivery.currency})"
    return Sheet(
        name=table.name,
        title=table.title,
        facts=(
            Fact("Supplier", order.supplier),
            Fact("For the show", f"{order.stop}, {order.venue}".rstrip(", ")),
            Fact("Country", order.country),
            Fact("Date of show", order.day, Kind.DATE),
            Fact("Delivery", f"{money_text(order.delivery_minor, plan.currency)}{offered}"),
            Fact("Hire and delivery", order.total_minor, Kind.MONEY),
        ),
        tables=(table,),
        currency=plan.currency,
        landscape=True,
    )


def _carnet_notes(trip: Trip) -> tuple[str, ...]:
    carnet = trip.carnet
    holder = f"Holder: {carnet.holder or 'not stated'}"
    number = f"Carnet number: {carnet.number or 'not stated'}"
    issued = f"Issued: {carnet.issued.isoformat() if carnet.issued else 'not stated'}"
    currency = f"Values in {trip.currency}, the currency of issue."
    return (f"{holder}. {number}. {issued}. {currency}",)
