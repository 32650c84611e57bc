"""Shapes about decisions: every line with what each way costs."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field


class OfferOut(BaseModel):
    """A price for a line at a stop, in force (edited or as in the workbook)."""

    stop: str
    target: str = Field(description="Gear id, or the kit that the offer covers")
    supplier: str
    price_minor: int = Field(description="Each, minor units of the trip currency")
    available: int | None = Field(description="Units (for a kit: kits); null for no end")
    edited: bool = Field(description="True where the price is not the workbook's")


class CoverOut(BaseModel):
    """Units that an offer covers at a stop."""

    stop: str
    supplier: str
    target: str = Field(description="Gear id, or the kit")
    units: int
    cost_minor: int = Field(description="Minor units of the trip currency")


class OtherWayOut(BaseModel):
    """What forcing the line the other way costs, by solving again."""

    gear: str
    forced: Literal["fly", "hire"]
    code: int = Field(description="Outcome of the forced solve: 0 planned, 3 impossible, 4 no time")
    least_minor: int | None = Field(
        description="Proved: the total rises by no less than this, minor units; null if impossible"
    )
    most_minor: int | None = Field(
        description="A plan was found that raises the total by this, minor units"
    )
    exact: bool = Field(description="True where both are the same, so the cost is proved exactly")
    turns_least_minor: int | None = Field(
        default=None,
        description="The hire price, a unit and stop, at which the choice turns is no less than"
        " this, minor units; null where not asked or not known",
    )
    turns_most_minor: int | None = Field(default=None, description="And no more than this")
    message: str


class OtherWaysOut(BaseModel):
    """What forcing each line the other way costs; a line of which some fly is there twice."""

    plan: str
    ways: list[OtherWayOut]


class DecisionOut(BaseModel):
    """A gear line: what was decided, what it costs, what is locked."""

    gear: str
    description: str
    category: str
    quantity: int
    flown: int
    way: Literal["fly", "hire", "house", "part", "home"] = Field(
        description="All fly; all hired; all lent by the house; some of each; stays, not needed"
    )
    source: Literal["either", "fly", "hire"] = Field(description="What the workbook allows")
    lock: Literal["fly", "hire", ""] = Field(description="What is locked now")
    weight_g: int = Field(description="Of one unit, g")
    worth_minor: int = Field(description="Of playing one's own, per unit and stop, minor units")
    worth_edited: bool
    needed_at: list[str] = Field(description="Stops that need it")
    covers: list[CoverOut]
    cost_minor: int = Field(description="Hire of this line in the plan, minor units")
    worth_given_up_minor: int = Field(description="Worth lost where it is covered, minor units")
    cheapest_hire_minor: int | None = Field(
        description="Cheapest offers for all units at all stops, without delivery, minor units;"
        " null where a stop has no offer"
    )
    offers: list[OfferOut]
    other_ways: list[OtherWayOut] = Field(
        description="What was asked for so far; two where some units fly: all of them, and none"
    )


class DecisionsOut(BaseModel):
    """Every line of the trip by row."""

    plan: str
    currency: str
    decimals: int
    decisions: list[DecisionOut]
