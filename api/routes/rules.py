"""The catalogue of checks, and the server's health."""

from __future__ import annotations

import time
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from api.errors import ERRORS, not_found
from api.routes import API
from api.routes.having import Looker, TheDesk
from api.work.tiny import Health
from packer import __version__
from packer.model.outcome import Outcome
from packer.rules import catalogue, page

router = APIRouter(prefix=API, responses=ERRORS)
_FRESH_SECONDS = 30.0


class RuleOut(BaseModel):
    """The page of one rule."""

    code: str = Field(examples=["spare-battery-in-hold"])
    family: str
    severity: str = Field(description="error, warning or note")
    looks_at: str = Field(description="trip, plan or both")
    title: str
    what: str
    why: str
    source: str
    fails: str = Field(description="An example that fails")
    passes: str = Field(description="An example that passes")
    limits: str = Field(description="What it does not see")
    decides: str = Field(description="Who decides in the end")


class RulesOut(BaseModel):
    """All rules by family and code."""

    rules: list[RuleOut]


class HealthOut(BaseModel):
    """Whether a tiny trip could really be planned and judged."""

    well: bool
    version: str
    code: int = Field(description="Outcome of planning the tiny trip; 0 is well")
    objective_minor: int | None = Field(description="Of the tiny trip; known beforehand to be 0")
    seconds: float = Field(description="Time the solver took, s")
    planned_at: float = Field(description="When it was planned, seconds since 1970")
    waiting: int = Field(description="Plans in the queue")


RuleCode = Annotated[str, Path(pattern="^[a-z0-9-]{1,80}$", examples=["spare-battery-in-hold"])]


@router.get("/rules", tags=["rules"])
def list_rules(_person: Looker) -> RulesOut:
    """Every check that a trip and a plan go through."""
    return RulesOut(rules=[RuleOut(**one.to_json()) for one in catalogue()])


@router.get("/rules/{code}", tags=["rules"])
def get_rule(code: RuleCode, _person: Looker) -> RuleOut:
    """What a rule checks, why, by what source, and who decides in the end."""
    try:
        return RuleOut(**page(code).to_json())
    except KeyError:
        raise not_found("rule", code) from None


@router.get(
    "/health", tags=["health"], response_model=HealthOut, responses={503: {"model": HealthOut}}
)
def get_health(desk: TheDesk) -> JSONResponse:
    """Plan a tiny trip for real; the answer is at most half a minute old. Open to all."""
    at, health = desk.fresh("health", _FRESH_SECONDS, lambda: (time.time(), desk.health()))
    body = health_out(health, at, len(desk.store.plans.waiting()))
    status = Outcome.DONE.http_status if health.well else 503
    return JSONResponse(body.model_dump(), status)


def health_out(health: Health, at: float, waiting: int) -> HealthOut:
    """The health as a shape."""
    return HealthOut(
        well=health.well,
        version=__version__,
        code=health.code,
        objective_minor=health.objective_minor,
        seconds=health.seconds,
        planned_at=at,
        waiting=waiting,
    )
