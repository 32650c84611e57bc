"""Freight: what may not go by it, whether it goes in time, whether the divisor is usual.

What comes in: the freight row, the plan's freight pieces, dates. What goes out: findings.
Chargeable weight as a calculator stands in `packer.rules.chargeable`. The forwarder decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import shared
from packer.law import is_spare_lithium
from packer.model.finding import Severity
from packer.model.plan import Route
from packer.rules.catalogue import Found, rule
from packer.rules.customs_route import first_day
from packer.rules.scope import Scope, listed


@rule("loose-battery-by-freight", "freight", Severity.WARNING, looks_at="plan")
def loose_battery(scope: Scope) -> Iterator[Found]:
    """A loose lithium battery is in a freight piece.

    What: Spare lithium batteries and power banks in pieces that go by freight.
    Why: Lithium-ion batteries by themselves are forbidden as cargo on passenger aircraft and
        need their own declared consignment elsewhere.
    Source: ICAO Technical Instructions, UN 3480, since 1 April 2016
        (https://dgitraining.com/blog/icao-publishes-addendum-4/).
    Fails: A spare camera battery in a freight trunk.
    Passes: The same in a cabin piece.
    Limits: The plan keeps them out of freight; this catches plans made by hand.
    Decides: the forwarder and the carrier.
    """
    for piece in scope.pieces(Route.FREIGHT):
        for line in scope.lines_in(piece):
            if is_spare_lithium(line):
                yield Found(
                    f"{piece.case} goes by freight with {line.name}, a loose lithium battery.",
                    line.source.cell("battery_spare"),
                    line.name,
                    "Take it in the cabin.",
                )


@rule("lithium-device-by-freight", "freight", Severity.NOTE, looks_at="plan")
def lithium_device(scope: Scope) -> Iterator[Found]:
    """Devices with lithium batteries are in a freight piece.

    What: Devices with a lithium battery inside, in pieces that go by freight; one finding a piece.
    Why: As cargo they fall under the dangerous goods rules: the forwarder must know of them.
    Source: From memory: ICAO Technical Instructions on lithium batteries in equipment. For the
        United States 49 CFR 173.185(c) as quoted by a data set seen in 2026 (20 Wh a cell, 100 Wh
        a battery for the easier rules; secondary:
        https://huggingface.co/datasets/referencesource/lithium-battery-shipping-limits).
    Fails: A battery-powered mixer in a freight trunk.
    Passes: A mains-powered mixer in it.
    Limits: Does not work out packing instructions, marks or quantities.
    Decides: the forwarder and the carrier.
    """
    for piece in scope.pieces(Route.FREIGHT):
        lines = [
            line
            for line in scope.lines_in(piece)
            if line.battery is not None
            and line.battery.chemistry.is_lithium
            and not is_spare_lithium(line)
        ]
        if lines:
            yield Found(
                f"{piece.case} goes by freight with devices that hold lithium batteries: "
                f"{listed(line.name for line in lines)}.",
                lines[0].source.cell("battery"),
                piece.case,
                "Tell the forwarder before booking.",
            )


@rule("freight-cut-off-after-start", "freight", Severity.WARNING)
def cut_off_late(scope: Scope) -> Iterator[Found]:
    """Freight is handed in only after the trip has begun.

    What: Cut-off is later than the first flight or show.
    Why: What goes ahead must be there before the first show.
    Source: common practice, no published source.
    Fails: Cut-off 2026-07-03, first flight 2026-07-01.
    Passes: Cut-off 2026-06-24.
    Limits: Knows no transit times.
    Decides: the forwarder.
    """
    freight, first = scope.trip.freight, first_day(scope.trip)
    if freight and freight.cut_off and first and freight.cut_off > first:
        yield Found(
            f"Found a freight cut-off of {freight.cut_off}, after the trip begins on {first}.",
            freight.source.cell("cut_off"),
            "freight",
            "Check the date with the forwarder.",
        )


@rule("freight-cut-off-passed", "freight", Severity.WARNING, looks_at="plan")
def cut_off_passed(scope: Scope) -> Iterator[Found]:
    """A plan sends freight, and its cut-off had passed when the plan was made.

    What: Cut-off before the day the plan was made, and a piece that goes by freight.
    Why: The forwarder no longer takes it.
    Source: common practice, no published source.
    Fails: Cut-off 2026-06-24 and a plan with freight made on 2026-06-25.
    Passes: The same made on 2026-06-24.
    Limits: Goes by calendar days.
    Decides: the forwarder.
    """
    freight = scope.trip.freight
    if scope.plan is None or freight is None or freight.cut_off is None:
        return
    made = _day_of(scope.plan.made)
    if made is not None and freight.cut_off < made and any(scope.pieces(Route.FREIGHT)):
        yield Found(
            f"Found a freight cut-off of {freight.cut_off}, which had passed when the plan was "
            f"made on {made}.",
            freight.source.cell("cut_off"),
            "freight",
            "Ask the forwarder, or plan without freight.",
        )


def _day_of(made: str) -> date | None:
    """The day of an ISO time; None where a plan made by hand gives none."""
    try:
        return date.fromisoformat(made[:10])
    except ValueError:
        return None


@rule("freight-divisor-unusual", "freight", Severity.NOTE)
def divisor(scope: Scope) -> Iterator[Found]:
    """The freight offer counts volume by another divisor than is usual.

    What: Divisor other than 6000 cm3 for one kilogram.
    Why: 5000 makes bulky pieces a fifth dearer; it may be a slip or a term of the offer.
    Source: IATA TACT practice (http://www.hlcargo.com, 6000); 5000 with some integrators
        (https://nimasabri.com/?page_id=1078); both as seen 2026.
    Fails: Divisor 5000.
    Passes: Divisor 6000.
    Limits: Either may be right.
    Decides: the forwarder's offer.
    """
    freight, usual = scope.trip.freight, shared.freight_figures().usual_divisor
    if freight is not None and freight.divisor != usual:
        yield Found(
            f"Found a divisor of {freight.divisor}; {usual} is usual.",
            freight.source.cell("divisor"),
            "freight",
            "Check it against the offer.",
        )
