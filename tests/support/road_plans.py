"""Small invented trips and plans for tests of what happens on the road.

`band` is a hand-made trip with known answers; `random_trip` and `random_plan` make small ones
from a seed. Such a plan states no figures: `packer.judge.settle` puts them in.
"""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from packer.model.plan import (
    UNSTATED,
    Costs,
    Cover,
    Decision,
    Packed,
    Piece,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.trip import (
    Band,
    Box,
    Case,
    CaseKind,
    Concept,
    Delivery,
    Gear,
    Leg,
    Offer,
    Price,
    Rule,
    Stop,
    Trip,
)

SHELL = Box(700, 450, 350)
INSIDE = Box(680, 430, 330)
THING = Box(200, 150, 100)


def price(minor: int) -> Price:
    return Price(minor, Decimal(minor) / 100, "EUR")


def stop(number: int) -> Stop:
    return Stop(f"Stop {number}", "NO", date(2026, 6, 1) + timedelta(days=number))


def box_case(name: str, **more: object) -> Case:
    values: dict[str, object] = {"empty_g": 6000, "inside": INSIDE, "value": price(30_000)}
    return Case(name, name, CaseKind.BOX, SHELL, **{**values, **more})  # type: ignore[arg-type]


def piece_rule(**more: object) -> Rule:
    values: dict[str, object] = {
        "free_weight_g": 23_000,
        "most_weight_g": 32_000,
        "extra_minor": (5000, 8000, 10_000),
        "bands": (Band(23_000, 32_000, 9000),),
        "currency": "EUR",
    }
    return Rule("Northwind", Concept.PIECE, **{**values, **more})  # type: ignore[arg-type]


def leg(number: int = 1, **more: object) -> Leg:
    values: dict[str, object] = {"free_pieces": 2, "people": 3, "rule": "Northwind"}
    return Leg(
        f"Leg {number}",
        "AAA",
        "BBB",
        date(2026, 6, number),
        **{**values, **more},  # type: ignore[arg-type]
    )


def a_plan(
    trip: Trip,
    contents: dict[str, list[tuple[str, int]]],
    covers: dict[str, list[Cover]] | None = None,
    routes: dict[str, Route] | None = None,
) -> Plan:
    """A plan without figures: units by case, covers by gear, `hold` unless `routes` says else."""
    flown = Counter(gear for units in contents.values() for gear, _ in units)
    decisions = tuple(
        Decision(line.name, flown[line.name], tuple((covers or {}).get(line.name, ())))
        for line in trip.gear
    )
    pieces = tuple(
        Piece(
            case,
            (routes or {}).get(case, Route.HOLD),
            UNSTATED,
            UNSTATED,
            UNSTATED,
            tuple(Packed(gear, unit) for gear, unit in units),
        )
        for case, units in contents.items()
        if units
    )
    return Plan(
        "",
        trip.name,
        "",
        "",
        Status.FEASIBLE,
        trip.currency,
        Costs(UNSTATED, UNSTATED, UNSTATED, UNSTATED, UNSTATED),
        0,
        decisions,
        pieces,
        (),
        (),
        SolverNote(0.0, 0, 0, "", 0.0),
    )


def band() -> Trip:
    """Two keyboards in one role, horns in a kit, tape without a role; two stops."""
    return Trip(
        name="Invented band",
        home_country="GB",
        currency="EUR",
        stops=(stop(1), stop(2)),
        legs=(leg(),),
        rules=(piece_rule(),),
        gear=(
            _gear("KEY-A", 1, role="keys", role_needs=1, kit="KEYS", value=price(200_000)),
            _gear("KEY-B", 1, role="keys", role_needs=1, value=price(90_000)),
            _gear("HORN", 3, role="brass", role_needs=2, value=price(50_000), serials=("H1", "H2")),
            _gear("TAPE", 2),
            _gear("PEDAL", 1, kit="KEYS"),
        ),
        cases=(box_case("A"), box_case("B"), box_case("C", value=None)),
        offers=(
            Offer("Stop 1", "KEY-A", False, "Fjordlyd", price(8000)),
            Offer("Stop 1", "KEY-B", False, "Fjordlyd", price(6000)),
            Offer("Stop 1", "HORN", False, "Fjordlyd", price(3000), 1),
            Offer("Stop 1", "HORN", False, "Blikk", price(2500), 2),
            Offer("Stop 1", "KEYS", True, "Blikk", price(9000)),
            Offer("Stop 1", "PEDAL", False, "Fjordlyd", price(4000)),
            Offer("Stop 2", "KEY-B", False, "house", price(0)),
        ),
        deliveries=(
            Delivery("Fjordlyd", "Stop 1", price(5000)),
            Delivery("Blikk", "Stop 1", price(4000)),
        ),
    )


def _gear(name: str, quantity: int, **more: object) -> Gear:
    values: dict[str, object] = {"size": THING, "needed_at": ("Stop 1", "Stop 2")}
    return Gear(name, name.lower(), quantity, 1500, **{**values, **more})  # type: ignore[arg-type]


def random_trip(seed: int, lines: int = 4, cases: int = 3, stops: int = 2) -> Trip:
    """A small invented trip: roles, kits, several suppliers, some offers that run out."""
    random = Random(seed)
    names = [stop(n + 1).name for n in range(stops)]
    gear = tuple(_random_line(random, n, names) for n in range(lines))
    kits = {line.kit for line in gear if line.kit}
    targets = [(line.name, False) for line in gear] + [(kit, True) for kit in sorted(kits)]
    offers = [
        Offer(
            where,
            target,
            is_kit,
            supplier,
            price(random.randrange(0, 60) * 100),
            random.choice([None, 1, 2, 3]),
        )
        for where in names
        for target, is_kit in targets
        for supplier in random.sample(["house", "Fjordlyd", "Blikk"], random.randrange(0, 3))
    ]
    deliveries = [
        Delivery(supplier, where, price(random.randrange(0, 40) * 100))
        for where in names
        for supplier in ("Fjordlyd", "Blikk")
        if random.random() < 0.8
    ]
    return Trip(
        name=f"Invented {seed}",
        home_country="GB",
        currency="EUR",
        stops=tuple(stop(n + 1) for n in range(stops)),
        legs=(leg(1), leg(2, free_pieces=random.randrange(0, 3))),
        rules=(piece_rule(),),
        gear=gear,
        cases=tuple(box_case(f"C{n}") for n in range(cases)),
        offers=tuple(offers),
        deliveries=tuple(deliveries),
    )


def _random_line(random: Random, number: int, stops: list[str]) -> Gear:
    role = random.choice([None, "lead", "rhythm"])
    return _gear(
        f"G{number}",
        random.randrange(1, 4),
        role=role,
        role_needs=random.randrange(1, 4) if role else None,
        kit=random.choice([None, None, "RIG"]),
        needed_at=tuple(name for name in stops if random.random() < 0.8),
        worth_minor=random.randrange(0, 10) * 100,
    )


def random_plan(trip: Trip, seed: int) -> Plan:
    """Random flown units in random cases; what stays is covered from offers as far as they go."""
    random = Random(seed)
    contents: dict[str, list[tuple[str, int]]] = {case.name: [] for case in trip.cases}
    covers: dict[str, list[Cover]] = {}
    for line in trip.gear:
        flown = random.randrange(0, line.quantity + 1)
        for unit in range(1, flown + 1):
            contents[random.choice(sorted(contents))].append((line.name, unit))
        for where in line.needed_at:
            covers.setdefault(line.name, []).extend(
                _random_covers(random, trip, line, where, line.quantity - flown)
            )
    return a_plan(trip, contents, covers)


def _random_covers(random: Random, trip: Trip, line: Gear, where: str, units: int) -> list[Cover]:
    offers = [o for o in trip.offers if o.stop == where and o.target == line.name and not o.is_kit]
    random.shuffle(offers)
    covers = []
    for offer in offers:
        taken = units if offer.available is None else min(units, offer.available)
        if taken:
            cost = taken * offer.price.minor
            covers.append(Cover(where, offer.supplier, line.name, taken, cost))
        units -= taken
    return covers
