"""Shapes about studies of a plan: what if one thing changed, what a little more would save."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.texts import pasted

StudyKind = Literal["sweep", "margins"]
StudyState = Literal["waiting", "solving", "done", "failed"]


class StudyAsk(BaseModel):
    """A study, worked on beside everything else."""

    model_config = pasted({"kind": "margins", "seconds": 5})

    kind: StudyKind = Field(
        description="sweep: the trip solved again with one thing changed, many times over;"
        " margins: what a free piece, a kilogram or a case more would save",
        examples=["margins"],
    )
    seconds: float = Field(
        default=5, ge=1, le=60, description="Time for each plan, at most", examples=[5]
    )


class WhatIfOut(BaseModel):
    """The trip with one thing changed; money in minor units of the trip currency."""

    name: str = Field(examples=["1 free piece more on every flight"])
    code: int = Field(description="Outcome: 0 planned, 3 impossible, 4 no time")
    least_minor: int | None = Field(description="Proved: the total rises by no less; null: no plan")
    most_minor: int | None = Field(description="Proved: the total rises by no more")
    objective_minor: int | None = Field(description="Total of the plan found; null where none was")
    bound_minor: int | None = Field(description="Proved: no plan of the changed trip costs less")
    cash_minor: int | None
    worth_minor: int | None
    pieces: int | None = Field(description="Pieces of the plan found")
    flown: int | None = Field(description="Units that fly in it")
    causes: list[FindingOut] = Field(description="Why there is no plan, where there is none")


class MarginOut(BaseModel):
    """A little more of something, and what it would save, minor units of the trip currency."""

    name: str = Field(examples=["1 kg more free weight a piece, Invented Air"])
    saves_least_minor: int | None = Field(description="Found: so much at least; null: not known")
    saves_most_minor: int = Field(description="Proved: no more than this")


class StudyOut(BaseModel):
    """A study of a plan, as far as it has come."""

    id: str
    plan: str
    kind: StudyKind
    seconds: float = Field(description="Time for each plan, at most, s")
    state: StudyState
    doing: str = Field(description="What is being tried")
    stopping: bool = Field(description="Somebody asked to stop with what is there")
    code: int | None = Field(description="Outcome as the command's exit code; null while open")
    message: str
    currency: str = Field(examples=["EUR"])
    decimals: int = Field(description="Decimals of the currency (ISO 4217)", examples=[2])
    objective_minor: int = Field(description="Total of the plan it is about")
    what_ifs: list[WhatIfOut] = Field(description="Of a sweep, in the order tried")
    margins: list[MarginOut] = Field(description="Of margins, those that surely save most first")
    made: str
    made_by: str
    ended: str | None


class StudiesOut(BaseModel):
    """Studies of a plan, newest first."""

    plan: str
    studies: list[StudyOut]
