"""Tiny invented trips for repairs, and every packing of them by enumeration, each judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import combinations_with_replacement, product
from random import Random

from packer.decide import decide
from packer.geometry import Fitter
from packer.judge import Verdict, judge, settle
from packer.model.plan import Cover, Plan, Route
from packer.model.solving import Limits
from packer.model.trip import (
    Battery,
    Box,
    Carry,
    Case,
    CaseKind,
    Chemistry,
    Choice,
    Concept,
    Delivery,
    Freight,
    Gear,
    Offer,
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
    trip = Trip(
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
    return _with_offers(trip, seed) if seed % 2 else trip


def _with_offers(trip: Trip, seed: int) -> Trip:
    """Two stops, offers that run out, a kit, deliveries, worth; a line may be needed nowhere."""
    random = Random(f"offers {seed}")
    stops = (stop(1), stop(2))
    gear = tuple(
        replace(
            line,
            needed_at=tuple(s.name for s in stops if random.random() < 0.8),
            worth_minor=random.choice([700, 2500, 6000]),
            kit="SET" if random.random() < 0.3 else None,
            choice=Choice.FLY if random.random() < 0.3 else Choice.EITHER,
        )
        for line in trip.gear
    )
    offers = [
        Offer(s.name, line.name, False, supplier, price(minor), random.choice([None, 1, 1]))
        for s in stops
        for line in gear
        if s.name in line.needed_at
        for supplier, minor in _some_prices(random)
    ]
    offers += [Offer(s.name, "SET", True, "Blikk", price(random.choice([0, 6000]))) for s in stops]
    deliveries = tuple(Delivery("Blikk", s.name, price(1500)) for s in stops)
    return replace(trip, stops=stops, gear=gear, offers=tuple(offers), deliveries=deliveries)


def _some_prices(random: Random) -> list[tuple[str, int]]:
    prices = [("Blikk", 500), ("Blikk", 4000), ("house", 0), ("Fjordlyd", 2200)]
    return random.sample(prices, random.choice([0, 1, 1, 2]))


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


def all_packings(trip: Trip, plan: Plan, beyond: int = 3) -> Iterator[tuple[int, Plan, Verdict]]:
    """(moves, plan, verdict) of every way to pack or leave what flies that the judge accepts.

    By number of moves; up to `beyond` more than the fewest. Cases in use keep their route; empty
    ones go in hold or cabin, whichever is accepted. Of all ways to hire what stays behind, the
    cheapest, by enumeration.
    """
    fitter = Fitter(trip.clearance_mm)
    hired: dict[tuple[tuple[str, int], ...], Plan | None] = {}
    last: int | None = None
    for count, wanted, left in _by_moves(trip, plan):
        if last is not None and count > last:
            return
        if left not in hired:
            hired[left] = cheapest_hire(trip, plan, dict(left))
        covered = hired[left]
        if covered is None:
            continue
        for new in _packed(trip, plan, covered, wanted, fitter):
            verdict = judge(trip, new)
            if verdict.accepted:
                last = count + beyond if last is None else last
                yield count, new, verdict


def _by_moves(
    trip: Trip, plan: Plan
) -> list[tuple[int, dict[str, dict[str, int]], tuple[tuple[str, int], ...]]]:
    """(moves, units by case and gear, units left behind) of every packing, fewest moves first."""
    flown = [(d.gear, d.flown) for d in plan.decisions if d.flown]
    names = [case.name for case in trip.cases]
    ways = [list(combinations_with_replacement([*names, ""], count)) for _, count in flown]
    found = []
    for choice in product(*ways):
        wanted: dict[str, dict[str, int]] = {}
        for (gear, _), places in zip(flown, choice, strict=True):
            for case in filter(None, places):
                inside = wanted.setdefault(case, {})
                inside[gear] = inside.get(gear, 0) + 1
        if not _kinds_agree(trip, wanted):
            continue
        if any(_heavy(trip, case, inside) for case, inside in wanted.items()):
            continue
        left = tuple(
            (gear, places.count(""))
            for (gear, _), places in zip(flown, choice, strict=True)
            if "" in places
        )
        found.append((len(moves_between(plan, wanted)), wanted, left))
    return sorted(found, key=lambda each: each[0])


def _packed(
    trip: Trip, plan: Plan, covered: Plan, wanted: dict[str, dict[str, int]], fitter: Fitter
) -> Iterator[Plan]:
    """The plan so packed, with each choice of routes for the cases that were empty before."""
    moves = moves_between(plan, wanted)
    lighter = _without(covered, {(move.gear, move.unit) for move in moves if move.stays})
    staying = tuple(move for move in moves if not move.stays)
    fresh = sorted(set(wanted) - {piece.case for piece in plan.pieces})
    for routes in product((Route.HOLD, Route.CABIN), repeat=len(fresh)):
        try:
            yield repacked(trip, lighter, staying, dict(zip(fresh, routes, strict=True)), fitter)
        except NoPlaceError:
            return


def _without(plan: Plan, gone: set[tuple[str, int]]) -> Plan:
    pieces = tuple(
        replace(p, contents=tuple(c for c in p.contents if (c.gear, c.unit) not in gone))
        for p in plan.pieces
    )
    return replace(plan, pieces=pieces)


_ABOUT_HIRE = {
    "must-fly-stays",
    "units-uncovered",
    "units-overcovered",
    "covered-where-not-needed",
    "no-such-offer",
    "offer-overdrawn",
    "cover-without-units",
    "kit-offer-incomplete",
}


def cheapest_hire(trip: Trip, plan: Plan, left: dict[str, int]) -> Plan | None:
    """The plan with units left behind and every way to hire tried at the stops that lack more."""
    gone = {
        (gear, unit)
        for gear, count in left.items()
        for unit in [p.unit for piece in plan.pieces for p in piece.contents if p.gear == gear][
            -count:
        ]
    }
    bare = _without(plan, gone)
    lines = {line.name: line for line in trip.gear}
    anew = {s for gear in left for s in lines[gear].needed_at}
    best: tuple[int, Plan] | None = None
    for choice in product(*(_hires_at(trip, plan, left, s) for s in sorted(anew))):
        chosen = [cover for covers in choice for cover in covers]
        decisions = tuple(
            replace(
                d,
                flown=d.flown - left.get(d.gear, 0),
                covers=tuple(c for c in d.covers if c.stop not in anew)
                + tuple(c for gear, c in chosen if gear == d.gear),
            )
            for d in plan.decisions
        )
        new = settle(trip, replace(bare, decisions=decisions))
        verdict = judge(trip, new)
        if not any(b.code in _ABOUT_HIRE for b in verdict.breaches):
            cost = verdict.costs.objective_minor
            if best is None or cost < best[0]:
                best = (cost, replace(plan, decisions=decisions))
    return best[1] if best else None


def _hires_at(
    trip: Trip, plan: Plan, left: dict[str, int], where: str
) -> list[list[tuple[str, Cover]]]:
    """Every way to hire what a stop lacks: each line from unit offers, or by its kit."""
    flown = {d.gear: d.flown for d in plan.decisions}
    ways = []
    for line in trip.needed(where):
        missing = line.quantity - flown[line.name] + left.get(line.name, 0)
        offers = [o for o in trip.offers if o.stop == where and o.target == line.name]
        suppliers = sorted({o.supplier for o in offers})
        options = [
            [
                (line.name, Cover(where, s, line.name, mix.count(s), 0))
                for s in suppliers
                if mix.count(s)
            ]
            for mix in combinations_with_replacement(suppliers, missing)
        ]
        if line.kit and missing:
            options.append([(line.name, Cover(where, "Blikk", line.kit, missing, 0))])
        ways.append(options)
    return [[pair for part in parts for pair in part] for parts in product(*ways)]


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
    """The solver's plan (without offers it flies everything); None where there is none."""
    return decide(trip, Limits(seconds=10, workers=1, deterministic=0.2)).plan
