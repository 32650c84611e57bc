"""A trip as read and validated: every value frozen, every figure an integer with its unit.

The reader makes these; nothing else does, except tests and generators. Weights carried are
rounded up to the gram, limits down; outside and object lengths up, inside lengths and limits
down to the millimetre; each price is converted to minor units of the trip currency by itself,
half up (contract, section 1).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from packer.model.source import NOWHERE, Source

DEFAULT_MOST_WEIGHT_G = 32_000  # contract, section 1: "32 kg where empty"
DEFAULT_SCALE_MARGIN_G = 500
DEFAULT_CLEARANCE_MM = 5
DEFAULT_DIVISOR = 6000


class Concept(StrEnum):
    """How a carrier counts baggage: by the piece or by total weight."""

    PIECE = "piece"
    WEIGHT = "weight"


class Carry(StrEnum):
    """Where an object or a case may travel aboard."""

    EITHER = "either"
    HOLD = "hold"
    CABIN = "cabin"


class Choice(StrEnum):
    """What the user allows for a gear line: decide, always fly, or never fly."""

    EITHER = "either"
    FLY = "fly"
    HIRE = "hire"


class CaseKind(StrEnum):
    """What a case is built to take."""

    BOX = "box"
    RACK = "rack"
    SLOTS = "slots"


class WeightBasis(StrEnum):
    """How a weight is known."""

    WEIGHED = "weighed"
    MAKER = "maker"
    ESTIMATE = "estimate"


class Chemistry(StrEnum):
    """Battery chemistries that the workbook knows."""

    LITHIUM_ION = "lithium ion"
    LITHIUM_METAL = "lithium metal"
    NIMH = "NiMH"
    ALKALINE = "alkaline"
    LEAD_ACID = "lead acid"

    @property
    def is_lithium(self) -> bool:
        """True for lithium ion and lithium metal."""
        return self in (Chemistry.LITHIUM_ION, Chemistry.LITHIUM_METAL)


@dataclass(frozen=True, slots=True)
class Price:
    """A price: `minor` in minor units of the trip currency, and as the user gave it."""

    minor: int
    amount: Decimal
    currency: str


@dataclass(frozen=True, slots=True)
class Box:
    """Three lengths in mm: length, width, height (up)."""

    length_mm: int
    width_mm: int
    height_mm: int

    def __post_init__(self) -> None:
        if min(self.length_mm, self.width_mm, self.height_mm) <= 0:
            raise ValueError(f"lengths must be above 0 mm: {self}")

    @property
    def volume_mm3(self) -> int:
        """Length x width x height."""
        return self.length_mm * self.width_mm * self.height_mm

    @property
    def linear_mm(self) -> int:
        """Length + width + height, the airlines' linear size."""
        return self.length_mm + self.width_mm + self.height_mm

    @property
    def sides(self) -> tuple[int, int, int]:
        """(length, width, height)."""
        return (self.length_mm, self.width_mm, self.height_mm)


@dataclass(frozen=True, slots=True)
class Battery:
    """The battery of one unit, per battery: watt-hours in thousandths, lithium in milligrams."""

    chemistry: Chemistry
    energy_mwh: int | None = None
    lithium_mg: int | None = None
    spare: bool = False


@dataclass(frozen=True, slots=True)
class RadioRange:
    """A range of radio frequencies in kHz, both ends included."""

    low_khz: int
    high_khz: int


@dataclass(frozen=True, slots=True)
class Stop:
    """A show. `radio_ranges` is what the stop's own data allows; None where it says nothing."""

    name: str
    country: str
    date: date
    venue: str = ""
    radio_ranges: tuple[RadioRange, ...] | None = None
    radio_source: str = ""
    notes: str = ""
    source: Source = field(default=NOWHERE, compare=False, repr=False)
    extras: tuple[tuple[str, str], ...] = ()  # unknown columns: (heading, text)


@dataclass(frozen=True, slots=True)
class Leg:
    """A flight. Free pieces and the like are the whole party's. `ticket` None: its own charge."""

    name: str
    origin: str
    destination: str
    date: date
    rule: str
    free_pieces: int
    free_cabin_pieces: int = 0
    people: int = 1
    ticket: str | None = None
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Band:
    """An overweight band: above `above_g`, up to and with `upto_g`, a fee per piece."""

    above_g: int
    upto_g: int
    fee_minor: int


@dataclass(frozen=True, slots=True)
class Rule:
    """A baggage rule with every empty cell resolved as the contract says (section 5.2).

    `free_weight_g`: of one piece (piece concept; Most weight where empty) or of the party
    (weight concept). `extra_minor` holds Extra piece 1, Extra piece 2, Further pieces, each
    resolved; () for the weight concept. None for a linear or cabin limit means no such limit.
    `cabin_mm` holds the cabin lengths given, sorted; () for none.
    """

    name: str
    concept: Concept
    free_weight_g: int
    most_weight_g: int = DEFAULT_MOST_WEIGHT_G
    free_linear_mm: int | None = None
    most_linear_mm: int | None = None
    extra_minor: tuple[int, ...] = ()
    bands: tuple[Band, ...] = ()
    oversize_minor: int = 0
    per_kg_minor: int = 0
    cabin_weight_g: int | None = None
    cabin_mm: tuple[int, ...] = ()
    currency: str = ""
    published: tuple[tuple[str, str], ...] = ()  # (field, the text of the cell as published)
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Gear:
    """A line of `quantity` (at least 1) identical objects; figures are of one object.

    `size` is None for gear without all three lengths; rack gear needs `depth_mm` only.
    `rack_half_units` counts halves of a rack unit. `only_in` holds ids of single cases (a run's
    id is resolved to all of its cases) or None for any. `needed_at` holds stop names, resolved.
    `carry` is as the row says; what the law makes of it is decided in `packer.law`.
    """

    name: str
    description: str
    quantity: int
    weight_g: int
    category: str = ""
    size: Box | None = None
    depth_mm: int | None = None
    weight_basis: WeightBasis | None = None
    upright: bool = False
    fragile: bool = False
    soft: bool = False
    rack_half_units: int | None = None
    slot: str | None = None
    kit: str | None = None
    pack_with: str | None = None
    only_in: tuple[str, ...] | None = None
    carry: Carry = Carry.EITHER
    role: str | None = None
    role_needs: int | None = None
    needed_at: tuple[str, ...] = ()
    choice: Choice = Choice.EITHER
    worth_minor: int = 0
    value: Price | None = None
    origin: str = ""
    hs: str = ""
    serials: tuple[str, ...] = ()
    consumable: bool = False
    battery: Battery | None = None
    radio: tuple[RadioRange, ...] = ()
    mains: str = ""
    plug: str = ""
    material: str = ""
    extras: tuple[tuple[str, str], ...] = ()  # unknown columns: (heading, text)
    source: Source = field(default=NOWHERE, compare=False, repr=False)

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise ValueError(f"gear {self.name!r}: quantity must be at least 1, is {self.quantity}")
        if self.weight_g < 0:
            raise ValueError(f"gear {self.name!r}: weight must not be below 0 g")

    @property
    def case_kind(self) -> CaseKind:
        """The only kind of case that this gear may fly in."""
        if self.rack_half_units is not None:
            return CaseKind.RACK
        return CaseKind.SLOTS if self.slot is not None else CaseKind.BOX


@dataclass(frozen=True, slots=True)
class Case:
    """One single case. `run` is the id of its row; `name` differs where the row has several."""

    name: str
    run: str
    kind: CaseKind
    outside: Box
    empty_g: int
    description: str = ""
    inside: Box | None = None
    most_gross_g: int | None = None
    rack_half_units: int | None = None
    rack_depth_mm: int | None = None
    slot: str | None = None
    slots: int | None = None
    carry: Carry = Carry.HOLD
    value: Price | None = None
    origin: str = ""
    hs: str = ""
    serial: str = ""
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Offer:
    """A price at a stop, for a gear line (`is_kit` False) or a whole kit. `available` None: no end.

    `available` counts units, for a kit's offer kits. The supplier `house` is the festival itself.
    """

    stop: str
    target: str
    is_kit: bool
    supplier: str
    price: Price
    available: int | None = None
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Delivery:
    """What a supplier charges once at a stop where anything is hired from it."""

    supplier: str
    stop: str
    price: Price
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Freight:
    """The one freight offer. The rate is per kg in minor units, converted and rounded by itself."""

    rate_per_kg: Price
    minimum: Price
    handling: Price
    divisor: int = DEFAULT_DIVISOR
    most_weight_g: int | None = None
    cut_off: date | None = None
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Rate:
    """Trip currency for one unit of `currency`, both in major units."""

    currency: str
    rate: Decimal
    date: date | None = None
    source: Source = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Carnet:
    """What the Trip sheet says of a carnet."""

    holder: str = ""
    number: str = ""
    issued: date | None = None


@dataclass(frozen=True, slots=True)
class Trip:
    """Everything about a trip. Legs stand in flying order (date, then row); the rest by row."""

    name: str
    home_country: str
    currency: str
    stops: tuple[Stop, ...]
    legs: tuple[Leg, ...]
    rules: tuple[Rule, ...]
    gear: tuple[Gear, ...]
    cases: tuple[Case, ...]
    offers: tuple[Offer, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    freight: Freight | None = None
    rates: tuple[Rate, ...] = ()
    carnet: Carnet = Carnet()
    scale_margin_g: int = DEFAULT_SCALE_MARGIN_G
    clearance_mm: int = DEFAULT_CLEARANCE_MM
    one_case_lost: bool = True
    file: str = ""
    input_sha256: str = ""
    source: Source = field(default=NOWHERE, compare=False, repr=False)

    def rule_of(self, leg: Leg) -> Rule:
        """The baggage rule of a leg; KeyError if the trip has none of that name."""
        return _named(self.rules, leg.rule)

    def gear_named(self, name: str) -> Gear:
        """The gear line with this id; KeyError if there is none."""
        return _named(self.gear, name)

    def case_named(self, name: str) -> Case:
        """The single case with this id; KeyError if there is none."""
        return _named(self.cases, name)

    def stop_named(self, name: str) -> Stop:
        """The stop with this name; KeyError if there is none."""
        return _named(self.stops, name)

    def needed(self, stop: str) -> tuple[Gear, ...]:
        """The gear lines that a stop needs, by row."""
        return tuple(line for line in self.gear if stop in line.needed_at)


_Named = TypeVar("_Named", Rule, Gear, Case, Stop)


def _named(values: tuple[_Named, ...], name: str) -> _Named:
    for value in values:
        if value.name == name:
            return value
    raise KeyError(name)
