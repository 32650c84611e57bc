"""Shapes about packing: ticks and lids, and how far each case is."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.texts import Name, Plain, pasted

Key = Annotated[
    str,
    Field(
        pattern="^[A-Za-z0-9_-]{8,64}$",
        description="Made by the sender; the same entry sent again under it counts once",
        examples=["f3b1c2d4e5f60718"],
    ),
]
Unit = Annotated[int, Field(ge=1, le=10**6, description="Counts from 1", examples=[1])]


class UnitOut(BaseModel):
    """A unit of a gear line."""

    gear: str
    unit: int


class ExcuseIn(BaseModel):
    """A unit that may be missing from a closed case, and why."""

    gear: Name
    unit: Unit
    reason: Annotated[Plain, Field(max_length=500)]


class ExcuseOut(BaseModel):
    """A unit that is missing from a closed case, and why."""

    gear: str
    unit: int
    reason: str


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

    model_config = pasted(
        {
            "entries": [
                {
                    "key": "f3b1c2d4e5f60718",
                    "kind": "tick",
                    "case": "TRUNK-2",
                    "at": "2026-07-03T10:00:00Z",
                    "gear": "BASS-AMP",
                    "unit": 1,
                    "packed": True,
                }
            ]
        }
    )

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
    excused: list[ExcuseOut] = Field(description="Out of the closed case, by name, and why")
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
    entries: int = Field(description="How many entries led here; the higher is the newer state")
    cases: list[CaseProgressOut]
    roles: list[RoleProgressOut]
    doubles: list[FindingOut] = Field(description="Units ticked in two cases")
    taken: list[str] = Field(default=[], description="Keys that stand now")
    refused: list[RefusedOut] = Field(default=[], description="Keys that do not")
