"""Flights, baggage rules and freight of generated trips; carriers are invented."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Protocol

from packer.model.trip import Band, Concept, Freight, Leg, Rule
from support.trip_money import Purse


class HasLegs(Protocol):
    """Anything that says how many legs, cases and stops a trip has."""

    @property
    def legs(self) -> int: ...
    @property
    def cases(self) -> int: ...


PIECE, OTHER_PIECE, WEIGHT = "Northgull piece", "Pampa Star piece", "Ostrava Blue weight"
MIXED = ("weight-bound", "tangled-fees", "messy", "bulky", "batteries")


def make_legs(
    rng: Random, figures: HasLegs, flavour: str, places: Sequence[str], first: date
) -> tuple[Leg, ...]:
    """Flights in a ring from home, two days apart, in flying order."""
    rules = [PIECE, OTHER_PIECE] + ([WEIGHT] if flavour in MIXED else [])
    ticketed = flavour == "tangled-fees"
    people = max(1, figures.cases // 6)
    legs = []
    for i in range(figures.legs):
        here, there = places[i % len(places)], places[(i + 1) % len(places)]
        legs.append(
            Leg(
                name=f"L{i + 1}",
                origin=here,
                destination=there,
                date=first + timedelta(days=3 * (i // 2) + i % 2),
                rule=rng.choice(rules),
                free_pieces=rng.randint(0, max(1, figures.cases // 3)),
                free_cabin_pieces=rng.randint(1, max(2, people)),
                people=people,
                ticket=f"T{i // 2 + 1}" if ticketed and rng.random() < 0.7 else None,
            )
        )
    return tuple(legs)


def make_rules(rng: Random, flavour: str, purse: Purse) -> tuple[Rule, ...]:
    """Two rules by the piece and one by weight; dearer and tangled where the flavour says so."""
    codes = purse.codes if flavour == "tangled-fees" else (purse.home,)
    return (
        _piece_rule(rng, PIECE, rng.choice(codes), purse, tangled=flavour == "tangled-fees"),
        _piece_rule(rng, OTHER_PIECE, rng.choice(codes), purse, tangled=rng.random() < 0.5),
        _weight_rule(rng, rng.choice(codes), purse),
    )


def _piece_rule(rng: Random, name: str, code: str, purse: Purse, tangled: bool) -> Rule:
    first = rng.randint(35, 75)
    fees = [first, first + rng.randint(0, 40), first + rng.randint(-10, 80)]
    prices = [purse.about(euros, code) for euros in fees]
    most = rng.choice((32_000, 32_000, 30_000))
    middle = rng.choice((26_000, 28_000)) if tangled else None
    cuts = [23_000, *([middle] if middle else []), most]
    bands, said = [], []
    fee = 0
    for low, high in pairwise(cuts):
        fee += rng.randint(30, 70)
        price = purse.about(fee, code)
        bands.append(Band(low, high, price.minor))
        said.append(f"{low // 1000}-{high // 1000}: {price.amount}")
    oversize = purse.about(rng.randint(40, 90), code) if tangled else purse.price(Decimal(0), code)
    return Rule(
        name=name,
        concept=Concept.PIECE,
        free_weight_g=23_000,
        most_weight_g=most,
        free_linear_mm=1580 if tangled else None,
        most_linear_mm=rng.choice((2920, 2100)) if tangled else None,
        extra_minor=tuple(price.minor for price in prices),
        bands=tuple(bands),
        oversize_minor=oversize.minor,
        cabin_weight_g=rng.choice((8_000, 10_000)),
        cabin_mm=(230, 400, 550),
        currency=code,
        published=(
            *((field, str(price.amount)) for field, price in zip(EXTRAS, prices, strict=True)),
            ("overweight_bands", "; ".join(said)),
            ("oversize_fee", str(oversize.amount) if tangled else ""),
        ),
    )


EXTRAS = ("extra_piece_1", "extra_piece_2", "further_pieces")


def _weight_rule(rng: Random, code: str, purse: Purse) -> Rule:
    fee = purse.about(rng.randint(6, 13), code)
    return Rule(
        name=WEIGHT,
        concept=Concept.WEIGHT,
        free_weight_g=rng.choice((40_000, 80_000, 150_000)),
        most_weight_g=32_000,
        per_kg_minor=fee.minor,
        cabin_weight_g=8_000,
        cabin_mm=(230, 400, 550),
        currency=code,
        published=(("fee_per_kg", str(fee.amount)),),
    )


def make_freight(rng: Random, flavour: str, purse: Purse) -> Freight | None:
    """A freight offer for some trips, dear enough that it is not always taken."""
    if rng.random() > (0.8 if flavour == "tangled-fees" else 0.45):
        return None
    code = rng.choice(purse.codes)
    rate = purse.price((Decimal(rng.randint(90, 600)) / 100), code)
    return Freight(
        rate_per_kg=rate,
        minimum=purse.about(rng.randint(20, 120), code),
        handling=purse.about(rng.randint(10, 80), code),
        most_weight_g=rng.choice((None, 70_000)),
        cut_off=date(2026, 5, 20),
    )
