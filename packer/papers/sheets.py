"""What stands on which page of each paper: sheets made from the tables, for workbook and PDF alike.

In: trip and plan. Out: a list of `Sheet` a paper, the same for both renderers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from packer.model.plan import Piece, Plan
from packer.model.trip import Trip
from packer.papers.drawing import case_scene
from packer.papers.pdf.render import scene_png
from packer.papers.table import AnyTable, Fact, Kind, Sheet
from packer.papers.tables.airline import piece_lists, pieces_table
from packer.papers.tables.batteries import batteries_table
from packer.papers.tables.borders import borders_table
from packer.papers.tables.cases import CaseRow, case_rows, cases_table, contents_table
from packer.papers.tables.claim import Claimed, claim_facts, claim_tables
from packer.papers.tables.close import close_table
from packer.papers.tables.customs import case_items_table, customs_list, customs_table
from packer.papers.tables.essentials import essential_rows, lift_text
from packer.papers.tables.flown import pieces_in_order, stops_in_order
from packer.papers.tables.hire import HireOrder, hire_orders, order_table, orders_table, price_text
from packer.papers.tables.house import house_tables
from packer.papers.tables.insurance import insurance_tables
from packer.papers.tables.power import power_tables, stop_facts
from packer.papers.tables.proforma import (
    beyond_table,
    has_carnet,
    proforma_table,
    returning_table,
)
from packer.papers.tables.summary import (
    charges_table,
    close_limits_table,
    costs_table,
    decisions_table,
    findings_table,
    stops_table,
    summary_facts,
)
from packer.papers.units import money_text, size_text

_PICTURE_MM = 180.0
_PICTURE_DOTS = 6.0
_MOST_ON_A_PAGE = 40


def manifest_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """Summary, all cases, one sheet a case in packing order, decisions, findings."""
    rows = case_rows(trip, plan)
    sheets = [_summary_sheet(trip, plan), _one(cases_table(trip, plan), plan, landscape=True)]
    sheets += [
        _case_sheet(trip, plan, piece, row)
        for piece, row in zip(pieces_in_order(plan), rows, strict=True)
    ]
    sheets.append(_one(decisions_table(trip, plan), plan, landscape=True))
    sheets.append(_one(close_limits_table(trip, plan), plan))
    sheets.append(_one(close_table(trip, plan), plan))
    sheets.append(_one(findings_table(plan), plan, landscape=True))
    return sheets


def customs_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """The general list, the cross reference by case, the extracts by border."""
    goods = customs_list(trip, plan)
    notes = _carnet_notes(trip)
    return [
        _one(customs_table(goods), plan, notes=notes),
        _one(case_items_table(trip, plan, goods), plan, notes=notes),
        _one(borders_table(trip, goods), plan, notes=notes),
    ]


def proforma_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """The consumables, and, without a carnet, the goods that return."""
    sheets = [
        _invoice(trip, plan, proforma_table(trip, plan), "consumables, not to be re-exported")
    ]
    if not has_carnet(trip):
        table = returning_table(trip, plan, customs_list(trip, plan))
        sheets.append(
            _invoice(trip, plan, table, "professional equipment, returns after the shows")
        )
    return sheets


def beyond_sheets(trip: Trip, plan: Plan, beyond: Mapping[str, int]) -> list[Sheet]:
    """The proforma for goods that a list already issued does not have (ids and how many)."""
    reason = "professional equipment, returns after the shows; not on the list issued"
    return [_invoice(trip, plan, beyond_table(trip, plan, beyond), reason)]


def claim_sheets(trip: Trip, plan: Plan, claim: Claimed, cases: Iterable[str]) -> list[Sheet]:
    """The claim list for lost cases."""
    numbers = customs_list(trip, plan).numbers()
    names = " and ".join(cases)
    head = (
        Fact("Claimant", trip.carnet.holder or trip.name),
        Fact("Lost", names),
        Fact("Flights", ", ".join(f"{leg.name} {leg.date.isoformat()}" for leg in trip.legs)),
    )
    return [
        Sheet(
            "Claim",
            f"Claim list: {names}",
            facts=(*head, *claim_facts(claim)),
            tables=claim_tables(claim, numbers, plan.currency),
            currency=plan.currency,
            landscape=True,
        )
    ]


def _invoice(trip: Trip, plan: Plan, table: AnyTable, reason: str) -> Sheet:
    route = " - ".join([trip.home_country, *(stop.country for stop in stops_in_order(trip))])
    return Sheet(
        table.name,
        table.title,
        facts=(
            Fact("Shipper", trip.carnet.holder or trip.name),
            Fact("Consignee", "______________________________ (fill in)"),
            Fact("Countries", route),
            Fact("Purpose", reason),
            Fact("Currency", trip.currency),
            Fact("Date, signature", "______________________________"),
        ),
        tables=(table,),
        currency=plan.currency,
        landscape=True,
    )


def hire_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """All orders on one sheet, then one sheet for each supplier and stop."""
    orders = hire_orders(trip, plan)
    sheets = [_one(orders_table(orders, plan.currency), plan)]
    return sheets + [_order_sheet(trip, order, plan) for order in orders]


def house_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """One sheet a stop, to send back in the advance."""
    found = [
        Sheet(
            stop.name,
            f"House list: {stop.name}",
            facts=(
                Fact("Show", f"{stop.name}, {stop.venue}".rstrip(", ")),
                Fact("Date", stop.date, Kind.DATE),
                Fact("Act", trip.name),
            ),
            tables=house_tables(trip, plan, stop.name),
            currency=plan.currency,
        )
        for stop in stops_in_order(trip)
    ]
    return found or [_nothing("House list", "No show: no house list.")]


def piece_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """The airline piece list, one sheet a leg or ticket."""
    found = [
        _one(pieces_table(each, plan.currency), plan, landscape=True)
        for each in piece_lists(trip, plan)
    ]
    return found or [_nothing("Piece list", "No flight: no piece list.")]


def battery_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """The battery list."""
    return [_one(batteries_table(trip, plan), plan, landscape=True)]


def insurance_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """Values by case, by leg, object by object."""
    by_case, by_leg, objects = insurance_tables(trip, plan)
    values = Sheet("Values", "Insurance list", tables=(by_case, by_leg), currency=plan.currency)
    return [values, _one(objects, plan)]


def power_sheets(trip: Trip, plan: Plan) -> list[Sheet]:
    """Mains and radio, one sheet a stop."""
    found = [
        Sheet(
            stop.name,
            f"Mains and radio: {stop.name}",
            facts=stop_facts(stop),
            tables=power_tables(trip, plan, stop),
            currency=plan.currency,
        )
        for stop in stops_in_order(trip)
    ]
    return found or [_nothing("Mains and radio", "No show: nothing to list.")]


def _nothing(title: str, text: str) -> Sheet:
    return Sheet(title, title, notes=(text,))


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
        facts=_case_facts(trip, plan, piece, row),
        tables=(table,),
        currency=plan.currency,
        one_page=len(piece.contents) <= _MOST_ON_A_PAGE,
        picture_png=scene_png(case_scene(trip, piece, _PICTURE_MM), _PICTURE_DOTS),
    )


def _case_facts(trip: Trip, plan: Plan, piece: Piece, row: CaseRow) -> tuple[Fact, ...]:
    return (
        Fact("Case", f"{row.number} of {row.count}, by {row.route}"),
        Fact("Outside", f"{size_text(row.outside_mm)}, together {row.linear_mm / 10:g} cm"),
        Fact("Empty", row.empty_g, Kind.GRAMS),
        Fact("Contents", row.contents_g, Kind.GRAMS),
        Fact("Scale margin", row.margin_g, Kind.GRAMS),
        Fact("Planning weight", row.planning_g, Kind.GRAMS),
        Fact("Limit", row.limit_g, Kind.GRAMS),
        Fact("Limit set by", row.limit_origin),
        Fact("Who lifts", lift_text(row.planning_g)),
        *(Fact("The show needs", each.sentence) for each in essential_rows(trip, plan, piece)),
    )


def _order_sheet(trip: Trip, order: HireOrder, plan: Plan) -> Sheet:
    table = order_table(order, plan.currency)
    delivery = order.delivery
    offered = f" ({price_text(delivery.amount, delivery.currency)})" if delivery else ""
    total = money_text(order.total_minor, plan.currency)
    return Sheet(
        name=table.name,
        title=table.title,
        facts=(
            Fact("Supplier", order.supplier),
            Fact("Ordered for", trip.name),
            Fact("For the show", f"{order.stop}, {order.venue}".rstrip(", ")),
            Fact("Country", order.country),
            Fact("Date of show", order.day, Kind.DATE),
            Fact("Deliver, collect", "before load-in and after the show; times: ________________"),
            Fact("Delivery", f"{money_text(order.delivery_minor, plan.currency)}{offered}"),
            Fact("Hire and delivery", f"{total} ({order.offered_total} as offered)"),
        ),
        notes=("Please confirm every line, the price and the delivery by return.",),
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
