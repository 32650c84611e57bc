"""Shapes about trips: uploads, findings, edits."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.texts import Amount, Name, Why, pasted

TRIP_ID = "k3m9x2p7qd"


class StopOut(BaseModel):
    """A show."""

    name: str = Field(examples=["Quayside"])
    country: str = Field(description="ISO 3166 alpha-2", examples=["PT"])
    date: str = Field(description="ISO date", examples=["2027-06-12"])


class FactsOut(BaseModel):
    """What a trip holds, in numbers."""

    currency: str = Field(default="", description="Trip currency, ISO 4217", examples=["EUR"])
    stops: list[StopOut] = Field(default=[])
    legs: int = Field(default=0, description="Flights")
    lines: int = Field(default=0, description="Gear lines")
    units: int = Field(default=0, description="Objects on all gear lines")
    cases: int = Field(default=0, description="Single cases owned")


class UploadOut(BaseModel):
    """One upload of a trip; earlier ones are kept byte for byte."""

    number: int = Field(description="Counts from 1; the highest is the one in force", examples=[1])
    file: str = Field(description="The name it was sent under", examples=["summer.xlsx"])
    form: Literal["xlsx", "csv-zip"]
    sha256: str = Field(description="Of the bytes as sent")
    code: int = Field(description="0 clean, 2 has errors", examples=[0])
    errors: int = Field(description="How many findings are errors")
    warnings: int = Field(description="How many findings are warnings")
    notes: int = Field(description="How many findings are notes")
    made: str
    made_by: str


class TripOut(BaseModel):
    """A trip with its newest upload."""

    id: str = Field(examples=[TRIP_ID])
    name: str
    made: str
    made_by: str
    away: str | None = Field(description="When it was put away, out of the list; null: it is not")
    upload: UploadOut
    facts: FactsOut


class TripsOut(BaseModel):
    """All trips, newest first."""

    trips: list[TripOut]


class AwayIn(BaseModel):
    """Put a trip away, or take it out again."""

    model_config = pasted({"away": False})

    away: bool = Field(description="True: out of the list, everything kept", examples=[True])


class UploadsOut(BaseModel):
    """Every upload of a trip, newest first."""

    trip: str
    uploads: list[UploadOut]


class FindingsOut(BaseModel):
    """What was found in an upload, in fixed order: severity, place, code."""

    trip: str
    upload: int
    code: int = Field(description="0 clean, 2 has errors")
    findings: list[FindingOut]


class LockIn(BaseModel):
    """Hold a gear line to one way, or let it go again."""

    model_config = pasted({"lock": "fly", "why": "our own sound"})

    lock: Literal["fly", "hire", ""] = Field(description="Empty lets the line go", examples=["fly"])
    why: Why = ""


class WorthIn(BaseModel):
    """What it is worth to play one's own, per unit and stop."""

    model_config = pasted({"worth": "45.00", "why": ""})

    worth: Amount = Field(
        description="In trip currency, major units; empty goes back to the workbook's",
        examples=["45.00"],
    )
    why: Why = ""


class PriceIn(BaseModel):
    """Another price for an offer in the workbook."""

    model_config = pasted(
        {"stop": "Quayside", "target": "BASS-AMP", "supplier": "Harbour Hire", "price": "80.00"}
    )

    stop: Name = Field(examples=["Quayside"])
    target: Name = Field(description="Gear id or kit", examples=["BASS-AMP"])
    supplier: Name = Field(examples=["Harbour Hire"])
    price: Amount = Field(
        description="In trip currency, major units; empty goes back to the workbook's",
        examples=["80.00"],
    )
    why: Why = ""


class EditOut(BaseModel):
    """One entry on top of the workbook; what holds is the last one for its subject."""

    seq: int
    what: Literal["lock", "worth", "price"]
    subject: list[str] = Field(description="Gear id; for a price: stop, gear or kit, supplier")
    setting: str = Field(description="fly or hire, or minor units; empty: taken back")
    why: str
    made: str
    made_by: str


class EditsOut(BaseModel):
    """The entries of a trip in the order made, and those that hold now."""

    trip: str
    standing: list[EditOut]
    history: list[EditOut]


class NextTripOut(BaseModel):
    """A trip that was started from an old one, and what to look at before planning it."""

    trip: TripOut
    from_trip: str = Field(description="The trip it was started from")
    look_at: list[FindingOut] = Field(description="What no longer fits, lacks a price, was kept")


class HistoryEntryOut(BaseModel):
    """One thing that happened to a trip."""

    at: str
    who: str
    kind: Literal["sent", "changed", "planned"]
    what: str
    why: str = Field(default="", description="Empty where nobody said")
    plan: str | None = Field(default=None, description="The plan that came of it")
    objective_minor: int | None = Field(default=None, description="What it costs, minor units")


class HistoryOut(BaseModel):
    """What happened to a trip, the newest first."""

    trip: str
    entries: list[HistoryEntryOut]
