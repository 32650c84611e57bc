"""Shapes about the road: ticks and lids, weights off the scale, borders."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.texts import Name, Plain

Key = Annotated[
    str,
    Field(
        pattern="^[A-Za-z0-9_-]{8,64}$",
        description="Made by the sender; the same entry sent again under it counts once",
        examples=["f3b1c2d4e5f60718"],
    ),
]
Unit = Annotated[int, Field(ge=1, le=10**6, description="Counts from 1", examples=[1])]
Country = Annotated[
    str, Field(pattern="^[A-Z]{2}$", description="ISO 3166 alpha-2", examples=["PT"])
]


class UnitOut(BaseModel):
    """A unit of a gear line."""

    gear: str
    unit: int


class ExcuseIn(BaseModel):
    """A unit that may be missing from a closed case, and why."""

    gear: Name
    unit: Unit
    reason: Annotated[Plain, Field(max_length=500)]


class PackingIn(BaseModel):
    """A tick (a unit went in, or came out), or a lid (a case was closed, or opened)."""

    key: Key
    kind: Literal["tick", "lid"] = Field(examples=["tick"])
    case: Name = Field(examples=["TRUNK-2"])
    at: datetime = Field(description="When it was done, by the phone's own clock")
    gear: Name = Field(default="", description="For a tick", examples=["BASS-AMP"])
    unit: Unit = 1
    packed: bool = Field(default=True, description="For a tick: false takes it out again")
    closed: bool = Field(default=True, description="For a lid: false opens it again")
    excuses: list[ExcuseIn] = Field(default=[], max_length=1000, description="For a lid")


class PackingBatchIn(BaseModel):
    """What a phone has to tell, in the order done; each is taken or refused by itself."""

    entries: list[PackingIn] = Field(max_length=2000)


class RefusedOut(BaseModel):
    """An entry that was not taken, and why."""

    key: str
    findings: list[FindingOut]


class CaseProgressOut(BaseModel):
    """How far one case is."""

    case: str
    planned: int
    packed: list[UnitOut]
    out: list[UnitOut]
    strangers: list[UnitOut] = Field(description="In it by a tick, but not planned for it")
    closed: bool


class RoleProgressOut(BaseModel):
    """Units of a role that are not in their case yet."""

    role: str
    planned: int
    out: list[UnitOut]


class PackingOut(BaseModel):
    """How far packing is, and what became of the entries just sent."""

    plan: str
    planned: int = Field(description="Units that the plan packs")
    packed: int = Field(description="Units in the case the plan has for them")
    cases: list[CaseProgressOut]
    roles: list[RoleProgressOut]
    doubles: list[FindingOut] = Field(description="Units ticked in two cases")
    taken: list[str] = Field(default=[], description="Keys that stand now")
    refused: list[RefusedOut] = Field(default=[], description="Keys that do not")


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

    key: Key
    reference: Annotated[Plain, Field(max_length=100)] = Field(
        default="", examples=["INV/2027/0042"]
    )
    issued: date
    last_day: date = Field(description="Last valid day, as printed on the document")


class CrossingIn(BaseModel):
    """One stamp."""

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
