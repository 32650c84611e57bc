"""A seeded generator of realistic trips, in ten flavours and six sizes. Everything is invented.

`generate(flavour, size, seed)` gives the same `Trip` for the same arguments, always. Both flying
and hiring are reasonable for most lines; except in the two impossible flavours a plan exists,
since a witness packs all that has to fly, and the rest has an offer at every stop. Tiny and
compact trips have cramped boxes and more fragile and upright gear, so that places matter.
`support.trip_sheets` turns a trip into the rows of a workbook.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from packer.model.trip import (
    Battery,
    Box,
    Carry,
    Case,
    CaseKind,
    Chemistry,
    Choice,
    Gear,
    Stop,
    Trip,
    WeightBasis,
)
from support.trip_groups import with_finer_points, with_groups, with_roles
from support.trip_impossible import make_impossible
from support.trip_money import Purse, rate_rows
from support.trip_parts import (
    BAG,
    BOXED,
    CABIN,
    CRATE,
    GRIP,
    HAND,
    HORNS,
    LONG,
    RACK4,
    RACK6,
    RACKED,
    SLOTTED,
    SOFT,
    TRUNK,
    TUB,
    VAULT,
    CaseKindOf,
    Kind,
)
from support.trip_prices import make_deliveries, make_offers
from support.trip_rules import make_freight, make_legs, make_rules
from support.trip_witness import Witness

FLAVOURS = (
    "weight-bound",
    "bulky",
    "racks",
    "tangled-fees",
    "tangled-hires",
    "roles",
    "batteries",
    "impossible-weight",
    "impossible-role",
    "messy",
)
PLACES = ("Orrevik", "Sablemouth", "Tarnhof", "Villa Quiebra", "Lumeso", "Prahovna", "Esterhaven")
COUNTRIES = ("NO", "NL", "AT", "ES", "PT", "CZ", "DK")
ORIGINS = ("DE", "JP", "CN", "US", "FR", "CZ", "NL")
POWERED = ("keys", "amplifiers", "radio", "playback", "effects", "lights")
FIRST_DAY = date(2026, 6, 4)


@dataclass(frozen=True)
class Size:
    """How large a trip is; `stops` shows, `legs` flights."""

    lines: int
    units: int
    cases: int
    legs: int
    stops: int


SIZES = {
    "small": Size(35, 60, 12, 2, 2),
    "medium": Size(80, 150, 28, 4, 3),
    "large": Size(180, 350, 60, 6, 5),
    "huge": Size(1000, 2500, 300, 6, 5),
}


@dataclass(frozen=True)
class Taste:
    """What a flavour changes: shares of kinds (percent of lines), scales, how much must fly."""

    boxed: int = 62
    soft: int = 12
    racked: int = 14
    slotted: int = 8
    cabin: int = 4
    weight_percent: int = 100
    length_percent: int = 100
    must_fly_percent: int = 40
    roles: int = 2
    currencies: tuple[str, ...] = ("EUR",)


TASTES = {
    "weight-bound": Taste(
        boxed=80, soft=4, racked=10, slotted=4, cabin=2,
        weight_percent=165, length_percent=72, must_fly_percent=62,
    ),
    "bulky": Taste(
        boxed=72, soft=18, racked=4, slotted=4, cabin=2,
        weight_percent=45, length_percent=108, must_fly_percent=45,
    ),
    "racks": Taste(boxed=28, soft=6, racked=60, slotted=4, cabin=2, must_fly_percent=45),
    "tangled-fees": Taste(currencies=("EUR", "USD", "SEK", "JPY", "TND")),
    "tangled-hires": Taste(must_fly_percent=20, currencies=("EUR", "NOK", "CZK")),
    "roles": Taste(roles=9),
    "batteries": Taste(boxed=52, soft=8, racked=12, slotted=6, cabin=22),
}  # fmt: skip


def size_of(size: str, rng: Random) -> Size:
    """The figures of a named size.

    `tiny` is 3 to 6 lines, 2 or 3 cases, 1 or 2 legs and stops; `compact` some 10 lines, 4 or 5
    cases, 2 legs and stops.
    """
    if size == "compact":
        lines = rng.randint(8, 11)
        return Size(lines, lines + rng.randint(0, 4), rng.randint(4, 5), 2, 2)
    if size != "tiny":
        return SIZES[size]
    lines = rng.randint(3, 6)
    return Size(lines, lines + rng.randint(0, 3), rng.randint(2, 3), rng.randint(1, 2),
                rng.randint(1, 2))  # fmt: skip


def generate(flavour: str, size: str, seed: int) -> Trip:
    """The trip of a flavour (one of FLAVOURS), a size and a seed.

    The sizes are `tiny`, `compact`, `small`, `medium`, `large` and `huge`.
    """
    rng = Random(f"{flavour}/{size}/{seed}")
    figures, taste = size_of(size, rng), TASTES.get(flavour, Taste())
    purse = Purse("EUR", rate_rows("EUR", taste.currencies))
    stops = make_stops(rng, figures.stops)
    legs = make_legs(rng, figures, flavour, PLACES, FIRST_DAY)
    rules = make_rules(rng, flavour, purse)
    cases = make_cases(rng, taste, figures.cases, purse)
    lines = make_gear(rng, taste, figures, stops, purse)
    if size in ("tiny", "compact"):
        cases, lines = make_cramped(rng, cases, lines)
    lines = with_roles(rng, taste.roles, lines)
    lines = must_fly(rng, taste, lines, cases, min(leg.free_cabin_pieces for leg in legs))
    lines = with_groups(rng, flavour, lines, cases)
    offers = make_offers(rng, flavour, lines, stops, purse)
    trip = Trip(
        name=f"Invented {flavour} trip {seed}, {size}",
        home_country="DE",
        currency="EUR",
        stops=stops,
        legs=legs,
        rules=rules,
        gear=lines,
        cases=cases,
        offers=offers,
        deliveries=make_deliveries(rng, flavour, offers, purse),
        freight=make_freight(rng, flavour, purse),
        rates=purse.rates,
    )
    trip = with_finer_points(Random(f"finer {flavour}/{size}/{seed}"), trip)
    return make_impossible(rng, flavour, trip)


def make_stops(rng: Random, count: int) -> tuple[Stop, ...]:
    """Shows some days apart, each in a place that does not exist."""
    start = rng.randrange(len(PLACES))
    return tuple(
        Stop(
            PLACES[(start + i) % len(PLACES)],
            COUNTRIES[(start + i) % len(PLACES)],
            FIRST_DAY + timedelta(days=1 + 3 * i),
            venue="Invented field",
        )
        for i in range(count)
    )


def make_cases(rng: Random, taste: Taste, count: int, purse: Purse) -> tuple[Case, ...]:
    """Single cases, in runs of identical ones, of the kinds that the flavour's gear asks for."""
    racks = round(count * taste.racked / 100)
    slots = round(count * taste.slotted / 100)
    cabin = max(1, round(count * taste.cabin / 100)) if count > 3 else rng.randint(0, 1)
    boxes = max(1, count - racks - slots - cabin)
    wanted = rng.choices((TRUNK, CRATE, TUB, LONG, BAG), (3, 4, 3, 2, 1), k=boxes)
    wanted += [rng.choice((RACK4, RACK6)) for _ in range(racks)]
    wanted += [rng.choice((VAULT, HORNS)) for _ in range(slots)]
    wanted += [rng.choice((HAND, GRIP)) for _ in range(cabin)]
    wanted = wanted[:count]
    runs = []
    for kind in dict.fromkeys(wanted):
        left = wanted.count(kind)
        while left:
            size = min(left, rng.choice((1, 2, 4, 8)))
            runs.append((kind, size))
            left -= size
    names: dict[str, int] = {}
    cases: list[Case] = []
    for kind, size in runs:
        names[kind.name] = names.get(kind.name, 0) + 1
        suffix = "" if names[kind.name] == 1 else chr(ord("A") + names[kind.name] - 2)
        cases += _run(rng, kind, f"{kind.name}{suffix}", size, purse)
    return tuple(cases)


def _run(rng: Random, kind: CaseKindOf, run: str, size: int, purse: Purse) -> list[Case]:
    case = Case(
        name=run,
        run=run,
        kind=CaseKind(kind.kind),
        outside=Box(*kind.outside_mm),
        inside=Box(*kind.inside_mm) if kind.inside_mm else None,
        empty_g=round_to(rng.randint(*kind.empty_g), 50),
        description=f"Invented {kind.name.lower()}",
        most_gross_g=rng.choice((None, None, 35_000, 40_000)),
        rack_half_units=kind.half_units,
        rack_depth_mm=kind.depth_mm,
        slot=kind.slot,
        slots=kind.slots,
        carry=Carry(kind.carry),
        value=purse.price(Decimal(rng.randint(40, 400))),
        origin=rng.choice(ORIGINS),
        hs="4202.12",
    )
    if size == 1:
        return [case]
    return [replace(case, name=f"{run}-{i}") for i in range(1, size + 1)]


def round_to(figure: int, step: int) -> int:
    """The figure to the nearest step."""
    return (figure + step // 2) // step * step


def make_gear(
    rng: Random,
    taste: Taste,
    figures: Size,
    stops: Sequence[Stop],
    purse: Purse,
) -> tuple[Gear, ...]:
    """Gear lines with quantities that sum to the size's units; all `either` to begin with."""
    shares = (taste.boxed, taste.soft, taste.racked, taste.slotted, taste.cabin)
    families = rng.choices((BOXED, SOFT, RACKED, SLOTTED, CABIN), shares, k=figures.lines)
    if figures.lines >= 20:
        families[: len(CABIN)] = [CABIN, CABIN, SOFT, RACKED]
    kinds = [rng.choice(family) for family in families]
    quantities = _quantities(rng, kinds, figures.units)
    return tuple(
        _line(rng, taste, kind, quantity, number, stops, purse)
        for number, (kind, quantity) in enumerate(zip(kinds, quantities, strict=True), start=1)
    )


def make_cramped(
    rng: Random, cases: tuple[Case, ...], lines: tuple[Gear, ...]
) -> tuple[tuple[Case, ...], tuple[Gear, ...]]:
    """Smaller boxes, and more gear that must stand upright or bear nothing."""
    cramped = []
    for case in cases:
        if case.inside is None or rng.random() < 0.2:
            cramped.append(case)
            continue
        sides = [side * rng.randint(60, 100) // 100 for side in case.inside.sides]
        cramped.append(replace(case, inside=Box(*sides)))
    fussy = []
    for line in lines:
        rigid = line.case_kind is CaseKind.BOX and not line.soft
        upright = line.upright or (rigid and rng.random() < 0.2)
        fragile = line.fragile or (rigid and rng.random() < 0.3)
        fussy.append(replace(line, upright=upright, fragile=fragile))
    return tuple(cramped), tuple(fussy)


def _quantities(rng: Random, kinds: Sequence[Kind], units: int) -> list[int]:
    quantities = [rng.randint(*kind.quantity) for kind in kinds]
    while sum(quantities) < units:
        quantities[rng.randrange(len(kinds))] += 1
    while sum(quantities) > units:
        i = rng.randrange(len(kinds))
        quantities[i] = max(1, quantities[i] - 1)
    return quantities


def _line(
    rng: Random,
    taste: Taste,
    kind: Kind,
    quantity: int,
    number: int,
    stops: Sequence[Stop],
    purse: Purse,
) -> Gear:
    rack_or_slot = kind.half_units is not None or kind.slot is not None
    percent = 100 if rack_or_slot else taste.length_percent
    lengths = [round_to(rng.randint(*each) * percent // 100, 5) for each in kind.size_mm]
    scale = 100 if rack_or_slot or "cabin" in kind.traits or kind.battery else taste.weight_percent
    weight = round_to(rng.randint(*kind.weight_g) * scale // 100, 10)
    hire = rng.randint(*kind.hire)
    powered = kind.category in POWERED
    box = Box(*(max(20, length) for length in lengths))
    return Gear(
        name=f"G{number:04d}",
        description=f"{kind.name}, invented make {rng.randint(2, 99)}",
        quantity=quantity,
        weight_g=weight,
        category=kind.category,
        size=box,
        depth_mm=box.length_mm if kind.half_units is not None else None,
        weight_basis=rng.choice(list(WeightBasis)),
        upright="upright" in kind.traits,
        fragile="fragile" in kind.traits and not rack_or_slot,
        soft="soft" in kind.traits,
        rack_half_units=rng.randint(*kind.half_units) if kind.half_units else None,
        slot=kind.slot,
        carry=_carry(kind),
        needed_at=_needed_at(rng, stops),
        worth_minor=hire * rng.randint(*kind.worth_percent),
        value=purse.price(Decimal(rng.randint(*kind.value))),
        origin=rng.choice(ORIGINS),
        hs=kind.hs,
        consumable="consumable" in kind.traits,
        battery=_battery(rng, kind),
        serials=tuple(f"INV{number:04d}{i:02d}" for i in range(1, quantity + 1)) if powered else (),
        mains="100-240 V 50/60 Hz" if powered else "",
        plug="F" if powered else "",
    )


def _carry(kind: Kind) -> Carry:
    if "cabin" in kind.traits:
        return Carry.CABIN
    return Carry.HOLD if "hold" in kind.traits else Carry.EITHER


def _needed_at(rng: Random, stops: Sequence[Stop]) -> tuple[str, ...]:
    names = [stop.name for stop in stops]
    if rng.random() < 0.8:
        return tuple(names)
    some = set(rng.sample(names, rng.randint(1, len(names))))
    return tuple(name for name in names if name in some)


def _battery(rng: Random, kind: Kind) -> Battery | None:
    if kind.battery is None:
        return None
    energy = rng.choice((10_000, 37_000, 74_000, 98_000, 100_000))
    return Battery(Chemistry.LITHIUM_ION, energy_mwh=energy, spare=kind.battery == "spare")


def must_fly(
    rng: Random, taste: Taste, lines: Sequence[Gear], cases: Sequence[Case], cabin_pieces: int
) -> tuple[Gear, ...]:
    """Mark lines `fly` as far as a witness can pack them, and a few others `hire`."""
    witness = Witness(rng, cases, cabin_pieces, taste.must_fly_percent)
    order = list(range(len(lines)))
    rng.shuffle(order)
    marked = list(lines)
    for i in order:
        if rng.random() < 0.7 and witness.takes(lines[i]):
            marked[i] = replace(lines[i], choice=Choice.FLY)
        elif rng.random() < 0.04:
            marked[i] = replace(lines[i], choice=Choice.HIRE)
    return tuple(marked)
