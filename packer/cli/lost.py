"""Says what the show lacks without a case (or two), stop by stop: which roles fall below their
need, the cheapest cover from the offers there, what no money covers, and what to claim. Without
a case named: what losing each one would mean, the worst first."""

from __future__ import annotations

import argparse
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packer.cli.guard import halt
from packer.cli.inputs import known_case, open_trip
from packer.cli.road_inputs import day_of, money_text, open_plan_of, today
from packer.cli.talk import json_option, report, table
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from datetime import date

    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.road.claim import Claim
    from packer.road.cover import Purchase
    from packer.road.lost import Loss, StopLoss


def arguments(parser: argparse.ArgumentParser) -> None:
    """The trip, the plan, the cases that are gone and the day."""
    parser.add_argument("trip", metavar="TRIP", help="the workbook, or a folder of CSV files")
    parser.add_argument("plan", metavar="PLAN.json", help="the plan by which everything travels")
    parser.add_argument("case", nargs="*", metavar="CASE", help="what is gone; none: each in turn")
    parser.add_argument("--since", type=day_of, metavar="DAY", help="only stops from this day on")
    parser.add_argument("--pairs", type=int, metavar="N", help="the N worst pairs of cases instead")
    parser.add_argument(
        "--sdr-rate", metavar="RATE", help="trip currency for one special drawing right"
    )
    parser.add_argument("-o", "--out", metavar="DIR", help="folder for the claim list")
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """0 where the question could be answered; 2 where it names what the plan does not have."""
    from packer.road.claim import claim
    from packer.road.lost import lose, lose_each, lose_pairs, stops_ahead

    trip = open_trip(args.trip)
    plan = open_plan_of(trip, args.plan)
    ahead = stops_ahead(trip, args.since) if args.since else None
    if not args.case:
        losses = (
            lose_pairs(trip, plan, ahead, args.pairs)
            if args.pairs
            else lose_each(trip, plan, ahead)
        )
        return report(
            args, Outcome.DONE, (), _overview(losses, trip), losses=[loss_data(x) for x in losses]
        )
    cases = tuple(dict.fromkeys(_packed_case(trip, plan, name) for name in args.case))
    loss = lose(trip, plan, cases, ahead)
    day = args.since or _arrival(trip)
    lines, data = _loss_lines(trip, plan, loss), loss_data(loss)
    sheet = claim(trip, plan, loss, day, _rate(args.sdr_rate))
    lines += ["", *_claim_lines(trip, sheet)]
    written = _write(args, trip, plan, sheet, cases) if args.out else ()
    if written:
        lines += ["", f"Written into {args.out}:", *(f"  {path.name}" for path in written)]
    papers = [str(path) for path in written]
    claimed = _claim_data(sheet)
    return report(args, Outcome.DONE, (), lines, loss=data, claim=claimed, papers=papers)


def _write(
    args: argparse.Namespace, trip: Trip, plan: Plan, sheet: Claim, cases: tuple[str, ...]
) -> tuple[Path, ...]:
    """The claim list as workbook and PDF."""
    from packer.papers import write_whole
    from packer.papers.on_the_road import claim_papers

    papers = claim_papers(trip, plan, sheet, cases)
    files = {Path(args.out) / name: content for name, content in papers.items()}
    write_whole(files)
    return tuple(files)


def _packed_case(trip: Trip, plan: Plan, name: str) -> str:
    case = known_case(trip, name)
    if case not in {piece.case for piece in plan.pieces}:
        raise halt("case-not-in-plan", f"Case {case} does not travel by this plan.")
    return case


def _arrival(trip: Trip) -> date:
    """The day of the first flight: the earliest on which a case can go missing."""
    return trip.legs[0].date if trip.legs else today()


def _overview(losses: tuple[Loss, ...], trip: Trip) -> list[str]:
    rows = [("Without", "Cannot be covered", "Cover costs", "Value gone", "What is short")]
    rows += [
        (
            " and ".join(loss.cases),
            str(loss.unmet_units),
            money_text(loss.cover_minor, trip.currency),
            money_text(loss.value_minor, trip.currency),
            "; ".join(f"{stop.stop}: {_short_text(stop)}" for stop in loss.stops if stop.short),
        )
        for loss in losses
    ]
    return table(rows, right=(1, 2, 3))


def _short_text(stop: StopLoss) -> str:
    return ", ".join(f"{short.units} x {short.label}" for short in stop.short)


def _loss_lines(trip: Trip, plan: Plan, loss: Loss) -> list[str]:
    lines = [f"Without {' and '.join(loss.cases)}:"]
    for stop in loss.stops:
        lines += _stop_lines(trip, stop)
    return [*lines, "", *_gone_lines(trip, plan, loss)]


def _stop_lines(trip: Trip, stop: StopLoss) -> list[str]:
    lines = [f"{stop.stop}: short of {_short_text(stop) or 'nothing'}"]
    lines += [f"  {_purchase_text(trip, purchase)}" for purchase in stop.cover.purchases]
    lines += [
        f"  delivery by {supplier}: {money_text(cost, trip.currency)}"
        for supplier, cost in stop.cover.deliveries
    ]
    if stop.cover.purchases:
        lines.append(f"  the cheapest cover: {money_text(stop.cover.cost_minor, trip.currency)}")
    lines += [f"  NO OFFER covers {short.units} x {short.label}" for short in stop.cover.unmet]
    lines += [f"  no spare left: {role}" for role in stop.no_spare_left]
    return lines


def _purchase_text(trip: Trip, purchase: Purchase) -> str:
    what = f"the kit {purchase.target}" if purchase.is_kit else purchase.target
    cost = money_text(purchase.cost_minor, trip.currency)
    return f"{purchase.units} x {what} from {purchase.supplier}: {cost}"


def _gone_lines(trip: Trip, plan: Plan, loss: Loss) -> list[str]:
    numbers = item_numbers(trip, plan)
    rows = [("Gone", "Item", "Description", "Serial", "Value")]
    for thing in loss.gone:
        value = thing.value_minor
        rows.append(
            (
                f"{thing.name} {thing.unit}" if thing.unit else thing.name,
                str(numbers.get((thing.name, thing.unit), "")),
                thing.description,
                thing.serial,
                "not stated" if value is None else money_text(value, trip.currency),
            )
        )
    rows.append(("", "", "", "together", money_text(loss.value_minor, trip.currency)))
    return table(rows, right=(1, 4))


def item_numbers(trip: Trip, plan: Plan) -> dict[tuple[str, int], int]:
    """The item number of every object on the customs list, by (id, unit)."""
    from packer.papers.tables.customs import customs_list

    return customs_list(trip, plan).numbers()


def _rate(text: str | None) -> Decimal | None:
    try:
        rate = Decimal(text) if text else None
    except InvalidOperation:
        rate = Decimal(-1)
    if rate is not None and not rate > 0:
        raise halt("rate-expected", f"{text!r} is no rate.", "Write it as 1.22.")
    return rate


def _claim_lines(trip: Trip, sheet: Claim) -> list[str]:
    limit = f"The convention's limit: {sheet.limit_sdr} special drawing rights"
    if sheet.baggage_sdr:
        limit += f" ({sheet.people} passengers; per passenger, not per bag)"
    if sheet.limit_minor is not None:
        limit += f", {money_text(sheet.limit_minor, trip.currency)}"
    lines = ["Claim:", f"  {limit}, unless a higher value was declared when it was handed over."]
    if sheet.beyond_minor:
        beyond = money_text(sheet.beyond_minor, trip.currency)
        lines.append(f"  Above it, for the insurance: {beyond}")
    if sheet.without_value:
        lines.append(f"  No value stated for: {', '.join(sheet.without_value)}")
    lines += [f"  By {d.by}: {d.what} [{d.label.lower()}]" for d in sheet.deadlines]
    return [*lines, f"  {sheet.caution}"]


def _claim_data(sheet: Claim) -> dict[str, Any]:
    return {
        "value_minor": sheet.value_minor,
        "without_value": list(sheet.without_value),
        "people": sheet.people,
        "limit_sdr": sheet.limit_sdr,
        "limit_minor": sheet.limit_minor,
        "limit_source": sheet.limit_source,
        "deadlines": [
            {"what": d.what, "by": d.by.isoformat(), "source": d.source, "label": d.label}
            for d in sheet.deadlines
        ],
        "caution": sheet.caution,
    }


def loss_data(loss: Loss) -> dict[str, Any]:
    """A loss as JSON; money in minor units of the trip currency."""
    return {
        "cases": list(loss.cases),
        "cover_minor": loss.cover_minor,
        "value_minor": loss.value_minor,
        "unmet_units": loss.unmet_units,
        "gone": [
            {"name": g.name, "unit": g.unit, "serial": g.serial, "value_minor": g.value_minor}
            for g in loss.gone
        ],
        "stops": [_stop_data(stop) for stop in loss.stops],
    }


def _stop_data(stop: StopLoss) -> dict[str, Any]:
    return {
        "stop": stop.stop,
        "short": {short.label: short.units for short in stop.short},
        "cover_minor": stop.cover.cost_minor,
        "purchases": [
            {
                "supplier": p.supplier,
                "for": p.target,
                "kit": p.is_kit,
                "units": p.units,
                "cost_minor": p.cost_minor,
            }
            for p in stop.cover.purchases
        ],
        "deliveries": dict(stop.cover.deliveries),
        "unmet": {short.label: short.units for short in stop.cover.unmet},
        "no_spare_left": list(stop.no_spare_left),
    }
