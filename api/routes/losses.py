"""A case is lost: what the show lacks, stop by stop, and what hiring it costs."""

from __future__ import annotations

from fastapi import APIRouter

from api.desk import Desk
from api.errors import ERRORS
from api.routes import API
from api.routes.cases import piece_named
from api.routes.having import TheDesk, ThePlan
from api.shapes.road import (
    GoneOut,
    LossesOut,
    LossOut,
    PurchaseOut,
    ShortOut,
    StopLossOut,
)
from api.shapes.texts import CaseId
from api.store.plans import PlanRow
from packer.papers.units import decimals_of
from packer.road.cover import Short
from packer.road.lost import Loss, StopLoss, lose, lose_each

router = APIRouter(prefix=API, tags=["losses"], responses=ERRORS)


@router.get("/plans/{plan}/losses")
def list_losses(plan: ThePlan, desk: TheDesk) -> LossesOut:
    """What losing each single case would mean, the worst first."""
    return losses_out(desk, plan)


@router.get("/plans/{plan}/losses/{case}")
def get_loss(plan: ThePlan, case: CaseId, desk: TheDesk) -> LossOut:
    """What losing this case means."""
    made = desk.plan_of(plan)
    piece_named(made, case)
    return _loss_out(lose(desk.trip_of_plan(plan), made, (case,)))


def losses_out(desk: Desk, plan: PlanRow) -> LossesOut:
    """Every case lost in turn; worked out in another process and kept, since it never changes."""
    made, trip = desk.plan_of(plan), desk.trip_of_plan(plan)
    seconds = desk.settings.ceilings.read_seconds
    found: tuple[Loss, ...] = desk.kept(
        ("losses", plan.id), lambda: desk.run_reader(lose_each, trip, made, seconds=seconds)
    )
    return LossesOut(
        plan=plan.id,
        currency=made.currency,
        decimals=decimals_of(made.currency),
        losses=[_loss_out(loss) for loss in found],
    )


def _loss_out(loss: Loss) -> LossOut:
    return LossOut(
        case=loss.cases[0],
        value_minor=loss.value_minor,
        cover_minor=loss.cover_minor,
        unmet_units=loss.unmet_units,
        gone=[
            GoneOut(
                name=gone.name,
                unit=gone.unit,
                description=gone.description,
                serial=gone.serial,
                value_minor=gone.value_minor,
            )
            for gone in loss.gone
        ],
        stops=[_stop_out(stop) for stop in loss.stops],
    )


def _stop_out(stop: StopLoss) -> StopLossOut:
    return StopLossOut(
        stop=stop.stop,
        plays=stop.plays,
        short=_shorts(stop.short),
        unmet=_shorts(stop.cover.unmet),
        hire=[
            PurchaseOut(
                supplier=one.supplier,
                target=one.target,
                units=one.units,
                cost_minor=one.cost_minor,
            )
            for one in stop.cover.purchases
        ],
        cost_minor=stop.cover.cost_minor,
        no_spare_left=list(stop.no_spare_left),
    )


def _shorts(shorts: tuple[Short, ...]) -> list[ShortOut]:
    return [ShortOut(label=short.label, units=short.units) for short in shorts]
