"""Shapes about the road: weights off the scale, borders, what was lost."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.packing import Key
from api.shapes.texts import Name, Plain, pasted

Country = Annotated[
    str, Field(pattern="^[A-Z]{2}$", description="ISO 3166 alpha-2", examples=["PT"])
]


StepWord = Literal[
    "exportation",
    "importation",
    "re-exportation",
    "re-importation",
    "transit entry",
    "transit exit",
]


class IssueIn(BaseModel):
    """The customs list of this plan was issued: nothing can be added to it from now on."""

    model_config = pasted(
        {
            "key": "f3b1c2d4e5f60719",
            "reference": "INV/2026/0042",
            "issued": "2026-06-01",
            "last_day": "2027-05-31",
        }
    )

    key: Key
    reference: Annotated[Plain, Field(max_length=100)] = Field(
        default="", examples=["INV/2027/0042"]
    )
    issued: date
    last_day: date = Field(description="Last valid day, as printed on the document")


class CrossingIn(BaseModel):
    """One stamp."""

    model_config = pasted(
        {
            "key": "f3b1c2d4e5f60720",
            "step": "exportation",
            "country": "DE",
            "on": "2026-07-03",
            "items": "1-2",
        }
    )

    key: Key
    step: StepWord
    country: Country
    on: date
    items: Annotated[Plain, Field(max_length=5000)] = Field(
        description="Item numbers as written on the voucher; `12x2` means two pieces of 12",
        examples=["1-5, 8, 12x2"],
    )
    note: Annotated[Plain, Field(max_length=500)] = ""
    back_by: date | None = Field(
        default=None, description="Final date for re-exportation, where the officer wrote one"
    )


class CorrectionIn(BaseModel):
    """An earlier entry is wrong; it stays readable, and no longer counts."""

    model_config = pasted(
        {"key": "f3b1c2d4e5f60721", "entry": 2, "reason": "stamped on the wrong voucher"}
    )

    key: Key
    entry: int = Field(ge=1, le=10**9, description="Number of the crossing that is wrong")
    reason: Annotated[Plain, Field(max_length=500)]
    instead: CrossingIn | None = Field(default=None, description="What is right; null strikes it")


class StampOut(BaseModel):
    """A crossing that stands."""

    number: int
    step: StepWord
    country: str
    on: date
    items: str
    note: str
    back_by: date | None
    made: str
    made_by: str


class PlaceOut(BaseModel):
    """What is in a place now."""

    place: str = Field(description="home, under way, a territory, or transit there")
    items: str = Field(description="Item numbers")
    pieces: int


class OwedOut(BaseModel):
    """Pieces that must still leave a place."""

    place: str
    items: str
    pieces: int
    by: date
    days: int = Field(description="Left until then; below 0 is late")


class BorderOut(BaseModel):
    """The ledger of borders: own book; the form and the customs office govern."""

    plan: str
    issued: bool
    reference: str
    last_day: date | None
    days_left: int | None = Field(description="Until the last valid day; below 0 after it")
    stamps: list[StampOut] = Field(description="By date")
    places: list[PlaceOut]
    owed: list[OwedOut] = Field(description="What must still move, nearest day first")
    complete: bool = Field(description="Something went out and everything is home again")
    remarks: list[FindingOut] = Field(description="On the entry just made")
    caution: str


class WeighedCaseIn(BaseModel):
    """A packed case on the scale."""

    case: Name = Field(examples=["TRUNK-2"])
    grams: int = Field(
        ge=1, le=2_000_000, description="Gross, as the scale shows", examples=[23400]
    )


class WeighedObjectIn(BaseModel):
    """One object of a gear line on the scale."""

    gear: Name = Field(examples=["HORN"])
    grams: int = Field(ge=1, le=2_000_000, description="Of one object", examples=[2600])


class WeighIn(BaseModel):
    """What the scale says: of packed cases, of single objects, or both."""

    model_config = pasted({"cases": [{"case": "TRUNK-2", "grams": 31600}]})

    cases: list[WeighedCaseIn] = Field(default=[], max_length=1000)
    objects: list[WeighedObjectIn] = Field(default=[], max_length=1000)
    all_fly: bool = Field(default=False, description="Leave nothing behind, whatever it costs")


class MoveOut(BaseModel):
    """One object that ends in another case."""

    gear: str
    unit: int
    source: str = Field(description="The case it is in")
    target: str = Field(description="The case it goes to; empty: it stays behind")


class OrderOut(BaseModel):
    """What is ordered more, or below 0 less, in place of what stays behind."""

    gear: str
    stop: str
    supplier: str
    units: int


class MendOut(BaseModel):
    """A way to make everything legal; an object that stays behind and is hired counts as moved."""

    number: int = Field(description="Counts from 1; take it by this number")
    moves: list[MoveOut]
    orders: list[OrderOut]
    cash_minor: int = Field(description="Cash of the plan then, minor units")
    dearer_minor: int = Field(description="Cash against before weighing, minor units")
    worth_minor: int = Field(description="Worth given up against before weighing, minor units")
    proved: bool = Field(description="No fewer moves are legal; with as many, none is cheaper")


class ScaleOut(BaseModel):
    """What the real weights break, and the fewest moves that mend it."""

    plan: str
    number: int = Field(description="Of this weigh-in, from 1; 0 when nothing was weighed yet")
    weighed: list[WeighedCaseIn]
    objects: list[WeighedObjectIn]
    currency: str
    decimals: int
    legal: bool = Field(description="True where the plan holds as it stands, perhaps dearer")
    dearer_minor: int = Field(description="Cash as it stands against before, minor units")
    breaks: list[FindingOut] = Field(description="What was legal by the list and is not any more")
    doubts: list[FindingOut] = Field(description="Cases lighter than what is in them")
    mends: list[MendOut] = Field(description="Fewest moves first, each cheaper than before")
    impossible: bool = Field(description="Proved: no moves help")
    pay_minor: int | None = Field(
        description="What paying costs with nothing moved, minor units; null: no fee is enough"
    )
    caution: str


class TakeIn(BaseModel):
    """Which of the ways to take."""

    model_config = pasted({"number": 1})

    number: int = Field(ge=1, le=100, examples=[1])


class GoneOut(BaseModel):
    """An object that is gone; `unit` 0 is the case itself."""

    name: str
    unit: int
    description: str
    serial: str
    value_minor: int | None = Field(description="Minor units; null where none was given")


class ShortOut(BaseModel):
    """Units that a role or a line lacks."""

    label: str
    units: int


class PurchaseOut(BaseModel):
    """What to hire in its place."""

    supplier: str
    target: str = Field(description="Gear id, or the kit")
    units: int
    cost_minor: int


class StopLossOut(BaseModel):
    """One stop without the case."""

    stop: str
    plays: bool = Field(description="Nothing stays short once the cover is hired")
    short: list[ShortOut]
    unmet: list[ShortOut] = Field(description="What no offer covers")
    hire: list[PurchaseOut]
    cost_minor: int = Field(description="Hire and the deliveries it brings on, minor units")
    no_spare_left: list[str] = Field(description="Roles that play, with no spare left")


class LossOut(BaseModel):
    """What losing a case, or two, means, stop by stop."""

    case: str = Field(description="The first of `cases`")
    cases: list[str]
    value_minor: int = Field(description="Of all that is gone and has a value, minor units")
    cover_minor: int = Field(description="Cheapest cover at all stops, minor units")
    unmet_units: int = Field(description="Units, over all stops, that no offer covers")
    gone: list[GoneOut]
    stops: list[StopLossOut]


class LossesOut(BaseModel):
    """Cases lost in turn (or two at a time), the worst first."""

    plan: str
    currency: str
    decimals: int
    losses: list[LossOut]


class DeadlineOut(BaseModel):
    """A day by which something must be done, and how well the rule behind it is known."""

    by: date
    what: str
    source: str
    label: str = Field(description="How well the figure is known", examples=["from memory"])


class ClaimedOut(BaseModel):
    """A lost object with its number on the customs list; `unit` 0 is the case itself."""

    item: int | None = Field(description="Number on the customs list; null where it has none")
    name: str
    unit: int
    description: str
    serial: str
    case: str
    value_minor: int | None = Field(description="Minor units; null where none was given")


class ClaimOut(BaseModel):
    """What to claim from the carrier; its conditions and the law that applies decide."""

    plan: str
    cases: list[str]
    day: date = Field(description="On which the goods should have come")
    currency: str
    decimals: int
    things: list[ClaimedOut]
    value_minor: int
    without_value: list[str] = Field(description="Objects that no value was given for")
    people: int = Field(description="Passengers, for whom the limit counts each")
    limit_sdr: int = Field(description="The convention's limit, special drawing rights")
    limit_minor: int | None = Field(description="The same; null without a rate")
    beyond_minor: int | None = Field(description="Value above it, for the insurance")
    limit_source: str
    deadlines: list[DeadlineOut]
    caution: str


class RefusedGoodsOut(BaseModel):
    """What a plan flies that the issued list does not have."""

    plan: str
    issued: bool
    goods: dict[str, int] = Field(description="Units by gear id; 1 for a case's own id")
    findings: list[FindingOut]
