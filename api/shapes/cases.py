"""Shapes about cases: weights against limits, and what goes in, step by step."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field


class LimitOut(BaseModel):
    """A weight that the case must not exceed, or above which it costs more."""

    grams: int
    origin: str = Field(description="Who sets it: the case, a leg, the freight offer")
    refused: bool = Field(description="True: refused above it; false: a fee above it")


class CaseOut(BaseModel):
    """A case that travels."""

    case: str = Field(examples=["TRUNK-2"])
    description: str
    number: int = Field(description="n of `count`")
    count: int
    route: Literal["hold", "cabin", "freight"]
    objects: int
    empty_g: int
    contents_g: int
    margin_g: int = Field(description="Scale margin, g")
    planning_g: int = Field(description="Empty + contents + margin, g")
    limits: list[LimitOut] = Field(description="Refusals first, the tightest first")
    left_g: int | None = Field(description="To the tightest limit, g; null without a limit")
    outside_mm: list[int] = Field(description="Length, width, height")


class StepOut(BaseModel):
    """One object, in packing order."""

    number: int = Field(description="Counts from 1: the first goes in first")
    gear: str
    unit: int = Field(description="Counts from 1")
    label: str
    description: str
    serial: str
    weight_g: int
    turn: str = Field(description="How it lies")
    at_mm: list[int] | None = Field(description="Corner nearest the origin: x, y, z; null if soft")
    size_mm: list[int] | None = Field(description="Length, width, height as turned")
    marks: str = Field(description="F fragile, U upright, B battery, S soft")
    role: str


class CasesOut(BaseModel):
    """All cases of a plan that travel."""

    plan: str
    cases: list[CaseOut]


class CaseContentsOut(BaseModel):
    """One case with its contents."""

    plan: str
    case: CaseOut
    inside_mm: list[int] | None = Field(description="Length, width, height; null without a box")
    steps: list[StepOut]


class CustomsItemOut(BaseModel):
    """A line of identical goods: items `first` to `last`, weight and value of the line."""

    first: int
    last: int
    description: str
    marks: str
    pieces: int
    weight_g: int
    value_minor: int | None = Field(description="Minor units; null where no value was given")
    origin: str = Field(description="ISO 3166 alpha-2; empty where none was given")
    cases: list[str] = Field(description="Cases that the pieces travel in")


class CustomsOut(BaseModel):
    """The list of goods for customs, with its totals."""

    plan: str
    currency: str
    decimals: int
    items: list[CustomsItemOut]
    pieces: int
    weight_g: int
    value_minor: int
    problems: list[str] = Field(description="What is missing in it")
    note: str


class PaperOut(BaseModel):
    """A file of a plan."""

    name: str = Field(examples=["manifest.xlsx"])
    size: int = Field(description="Bytes")
    sha256: str
    path: str = Field(description="Where to fetch it")


class PapersOut(BaseModel):
    """All files of a plan."""

    plan: str
    papers: list[PaperOut]
