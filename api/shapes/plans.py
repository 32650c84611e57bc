"""Shapes about plans: asking for one, following it, what it came to, two side by side."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, Field

from api.errors import FindingOut
from api.shapes.texts import Name, Plain, pasted

PLAN_ID = "w8c4t6n2rb"
State = Literal["waiting", "solving", "done", "impossible", "out-of-time", "failed"]
Way = Literal["fly", "hire", "part"]


class PlanAsk(BaseModel):
    """How to solve. The locks, worths and prices that hold at the time are taken along."""

    model_config = pasted({"seconds": 30})

    seconds: float = Field(
        default=30, ge=1, le=3600, description="Time for the search", examples=[30]
    )
    seed: int = Field(default=0, ge=0, le=2**31 - 1, description="Start of the search's chance")
    keep: str | None = Field(
        default=None,
        pattern="^[a-z0-9]{1,40}$",
        description="A plan to stay close to, by its id",
        examples=[None],
    )
    keep_slack_minor: int = Field(
        default=0, ge=0, le=10**12, description="What staying closer may cost, minor units"
    )
    issued: str | None = Field(
        default=None,
        pattern="^[a-z0-9]{1,40}$",
        description="The plan whose customs list was issued: only what is on it may fly",
        examples=[None],
    )
    most_pieces: int | None = Field(
        default=None,
        ge=0,
        le=10_000,
        description="No plan with more hold pieces than this; null for any number",
        examples=[None],
    )
    why: Annotated[Plain, Field(max_length=500)] = Field(
        default="", description="Kept in the trip's history", examples=[""]
    )
    fly: list[Name] = Field(
        default=[], max_length=10_000, description="Gear ids that fly, besides locks", examples=[[]]
    )
    hire: list[Name] = Field(
        default=[],
        max_length=10_000,
        description="Gear ids that are hired, besides locks",
        examples=[[]],
    )


class MoneyOut(BaseModel):
    """A plan's money, minor units of `currency`."""

    currency: str = Field(examples=["EUR"])
    decimals: int = Field(description="Decimals of the currency (ISO 4217)", examples=[2])
    objective_minor: int = Field(description="Cash + worth given up; what is made smallest")
    bound_minor: int = Field(description="Proved: no plan costs less than this")
    cash_minor: int = Field(description="Baggage + hire + delivery + freight")
    worth_minor: int = Field(description="Worth given up by playing hired gear")
    baggage_minor: int
    hire_minor: int
    delivery_minor: int
    freight_minor: int


class SummaryOut(BaseModel):
    """What a plan came to."""

    status: Literal["optimal", "feasible", "impossible"]
    money: MoneyOut
    pieces: int = Field(description="Cases that travel, by any route")
    hold: int = Field(description="Of these in the hold")
    cabin: int = Field(description="Of these in the cabin")
    freight: int = Field(description="Of these by freight")
    flown: int = Field(description="Units that travel")
    weight_g: int = Field(description="Planning weight of all pieces, g")


class PlanOut(BaseModel):
    """A plan asked for: where it stands, and what came of it."""

    id: str = Field(examples=[PLAN_ID])
    trip: str
    upload: int = Field(description="Number of the upload it was made from")
    state: State
    ahead: int = Field(description="How many wait before it; 0 when next or begun")
    seconds: float = Field(description="Time solved so far, s")
    best_minor: int | None = Field(description="Objective of the best plan so far, minor units")
    bound_minor: int | None = Field(description="Proved lower bound so far, minor units")
    gap: float | None = Field(description="(best - bound) / best; 0 when proved")
    doing: str = Field(description="What the solver is doing")
    stopping: bool = Field(description="Somebody asked to stop and keep the best")
    code: int | None = Field(description="The outcome as the command's exit code; null while open")
    message: str
    causes: list[FindingOut] = Field(description="Why there is no plan, where there is none")
    asked: PlanAsk
    summary: SummaryOut | None = Field(description="Null unless done")
    made: str
    made_by: str
    begun: str | None
    ended: str | None


class PlansOut(BaseModel):
    """Plans of a trip, newest first."""

    trip: str
    plans: list[PlanOut]


class ChangeOut(BaseModel):
    """One difference from the first plan to the second."""

    kind: str = Field(description="What changed", examples=["moved"])
    subject: str = Field(description="Gear id or case")
    before: str
    after: str


class ComparisonOut(BaseModel):
    """Two plans side by side; differences are second minus first."""

    first: PlanOut
    second: PlanOut
    objective_minor: int = Field(description="Difference in minor units; below 0: second cheaper")
    cash_minor: int = Field(description="Difference in minor units")
    pieces: int = Field(description="Difference in pieces")
    changes: list[ChangeOut]


class NearerStepOut(BaseModel):
    """A legal plan with fewer objects moved, and what it costs more."""

    moves: int
    more_minor: int = Field(description="Against the plan made, minor units")
    proved: bool = Field(description="None with so few moves costs less")


class NearerOut(BaseModel):
    """How far a plan moved from the one it should stay near, and what nearer still would cost."""

    plan: str
    keep: str = Field(description="The plan it should stay near")
    currency: str
    decimals: int
    moved: int = Field(description="Objects in another case, or flying anew or no longer")
    steps: list[NearerStepOut] = Field(description="Fewest moves first, each cheaper")
