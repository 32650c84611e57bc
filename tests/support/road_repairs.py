"""Tiny invented trips for repairs, and every packing of them by enumeration, each judged."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations_with_replacement, product
from random import Random

from packer.decide import decide
from packer.geometry import Fitter
from packer.judge import Verdict, judge
from packer.model.plan import Plan, Route
from packer.model.solving import Limits
from packer.model.trip import (
    Battery,
    Box,
    Carry,
    Case,
    CaseKind,
    Chemistry,
    Concept,
    Freight,
    Gear,
    Price,
    Rule,
    Trip,
)
from packer.road.repacking import NoPlaceError, moves_between, repacked
from support.road_plans import box_case, leg, piece_rule, price, stop


def tiny_trip(seed: int) -> Trip:
    """Three or four cases, four to six units; racks, soft goods, roles, bundles, fees by seed."""
    random = Random(seed)
    rules = (
        piece_rule(most_weight_g=random.choice([24_000, 32_000]), cabin_weight_g=15_000),
        Rule("Heavyside", Concept.WEIGHT, 40_000, per_kg_minor=700, currency="EUR"),
    )
    legs = (
        leg(1, free_pieces=random.randrange(1, 3), free_cabin_pieces=1),
        leg(2, rule=random.choice(["Northwind", "Heavyside"]), free_cabin_pieces=2),
    )
    return Trip(
        name=f"Invented repair {seed}",
        home_country="GB",
        currency="EUR",
        stops=(stop(1),),
        legs=legs,
        rules=rules,
        gear=tuple(_lines(random)),
        cases=tuple(_cases(random)),
        freight=_freight() if random.random() < 0.4 else None,
        one_case_lost=random.random() < 0.7,
    )


def _freight() -> Freight:
    rate = Price(300, Decimal(3), "EUR")
    return Freight(rate, price(2000), price(1500), most_weight_g=40_000)


def _lines(random: Random) -> Iterator[Gear]:
    shapes = [Box(300, 200, 150), Box(330, 210, 160), Box(400, 300, 100), Box(200, 200, 200)]
    for n, quantity in enumerate([2, *random.choice([[1, 1, 1], [1, 1], [2, 1]])]):
        spare = random.random() < 0.1
        yield Gear(
            f"G{n}",
            f"thing {n}",
            quantity,
            random.randrange(2500, 8500),
            size=random.choice(shapes),
            upright=random.random() < 0.2,
            fragile=random.random() < 0.2,
            soft=random.random() < 0.2,
            pack_with="rig" if random.random() < 0.25 else None,
            carry=random.choice([Carry.EITHER] * 4 + [Carry.HOLD]),
            role="lead" if random.random() < 0.4 else None,
            role_needs=1,
            needed_at=("Stop 1",),
            battery=Battery(Chemistry.LITHIUM_ION, 50_000, spare=True) if spare else None,
        )
    if random.random() < 0.4:
        yield Gear("RACKED", "rack thing", 1, 4000, depth_mm=300, rack_half_units=3)


def _cases(random: Random) -> Iterator[Case]:
    outside = Box(450, 350, 260)
    for n in range(3):
        inside = Box(
            random.choice([450, 660]), random.choice([320, 420]), random.choice([220, 330])
        )
        carry = Carry.EITHER if n == 2 else Carry.HOLD
        gross = random.choice([None, None, 20_000])
        yield box_case(f"C{n}", inside=inside, empty_g=4000, carry=carry, most_gross_g=gross)
    yield Case("RACK", "RACK", CaseKind.RACK, outside, 5000, rack_half_units=4, rack_depth_mm=350)


def all_packings(trip: Trip, plan: Plan) -> Iterator[tuple[int, Plan, Verdict]]:
    """(moves, plan, verdict) of every way to pack what flies that the judge accepts.

    Cases in use keep their route; empty ones go in hold or cabin, whichever is accepted.
    """
    fitter = Fitter(trip.clearance_mm)
    in_use = {piece.case for piece in plan.pieces}
    flown = [(d.gear, d.flown) for d in plan.decisions if d.flown]
    names = [case.name for case in trip.cases]
    ways = [list(combinations_with_replacement(names, count)) for _, count in flown]
    for choice in product(*ways):
        wanted: dict[str, dict[str, int]] = {}
        for (gear, _), places in zip(flown, choice, strict=True):
            for case in places:
                inside = wanted.setdefault(case, {})
                inside[gear] = inside.get(gear, 0) + 1
        if not _kinds_agree(trip, wanted):
            continue
        if any(_heavy(trip, case, inside) for case, inside in wanted.items()):
            continue
        moves = moves_between(plan, wanted)
        fresh = sorted(set(wanted) - in_use)
        for routes in product((Route.HOLD, Route.CABIN), repeat=len(fresh)):
            try:
                new = repacked(trip, plan, moves, dict(zip(fresh, routes, strict=True)), fitter)
            except NoPlaceError:
                break
            verdict = judge(trip, new)
            if verdict.accepted:
                yield len(moves), new, verdict


def _heavy(trip: Trip, case: str, inside: dict[str, int]) -> bool:
    """True where no route at all takes the weight."""
    weight = sum(trip.gear_named(gear).weight_g * count for gear, count in inside.items())
    holds = min(trip.rule_of(leg).most_weight_g for leg in trip.legs)
    freight = trip.freight.most_weight_g if trip.freight else None
    return weight + trip.case_named(case).empty_g + trip.scale_margin_g > max(holds, freight or 0)


def _kinds_agree(trip: Trip, wanted: dict[str, dict[str, int]]) -> bool:
    lines = {line.name: line for line in trip.gear}
    return all(
        lines[gear].case_kind is trip.case_named(case).kind
        for case, inside in wanted.items()
        for gear in inside
    )


def some_packing(trip: Trip) -> Plan | None:
    """The solver's plan, which flies everything (there are no offers); None where there is none."""
    return decide(trip, Limits(seconds=10, workers=1)).plan
