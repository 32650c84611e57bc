"""A case is lost: what the show lacks, stop by stop, what hiring costs, and what to claim."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.desk import Desk
from api.errors import ERRORS, Refusal
from api.routes import API
from api.routes.cases import piece_named
from api.routes.having import TheDesk, ThePlan
from api.routes.trips import XLSX_MEDIA, attachment
from api.shapes.road import (
    ClaimedOut,
    ClaimOut,
    DeadlineOut,
    GoneOut,
    LossesOut,
    LossOut,
    PurchaseOut,
    ShortOut,
    StopLossOut,
)
from api.shapes.texts import CaseId, Name
from api.store.plans import PlanRow
from packer.papers.on_the_road import claim_papers
from packer.papers.tables.customs import customs_list
from packer.papers.units import decimals_of
from packer.road.claim import Claim, claim
from packer.road.cover import Short
from packer.road.lost import Loss, StopLoss, lose, lose_each, lose_pairs, stops_ahead

router = APIRouter(prefix=API, tags=["losses"], responses=ERRORS)


Since = Annotated[date | None, Query(description="Only stops from this day on")]
Also = Annotated[list[Name], Query(max_length=50, description="Further cases that are gone")]
Day = Annotated[
    date | None, Query(description="When the goods should have come; the first flight otherwise")
]
SdrRate = Annotated[
    Decimal | None,
    Query(gt=0, le=10**6, description="Trip currency for one special drawing right"),
]
_PDF = "application/pdf"


@router.get("/plans/{plan}/losses")
def list_losses(plan: ThePlan, desk: TheDesk, since: Since = None) -> LossesOut:
    """What losing each single case would mean, the worst first."""
    return losses_out(desk, plan, since)


@router.get("/plans/{plan}/loss-pairs")
def list_pairs(
    plan: ThePlan,
    desk: TheDesk,
    since: Since = None,
    most: Annotated[int, Query(ge=1, le=1000, description="So many pairs")] = 20,
) -> LossesOut:
    """What losing any two cases at once would mean, the worst pairs first."""
    return pairs_out(desk, plan, since, most)


@router.get("/plans/{plan}/losses/{case}")
def get_loss(
    plan: ThePlan,
    case: CaseId,
    desk: TheDesk,
    since: Since = None,
    also: Also = [],  # noqa: B006 - read only
) -> LossOut:
    """What losing this case means, alone or with others."""
    return _loss_out(_lost(desk, plan, (case, *also), since))


@router.get("/plans/{plan}/claims/{case}")
def get_claim(
    plan: ThePlan,
    case: CaseId,
    desk: TheDesk,
    day: Day = None,
    sdr_rate: SdrRate = None,
    also: Also = [],  # noqa: B006 - read only
) -> ClaimOut:
    """What to claim for it: values, the convention's limit, the days to keep."""
    return claim_out(desk, plan, (case, *also), day, sdr_rate)


@router.get(
    "/plans/{plan}/claims/{case}/{form}",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}, _PDF: {}}}},
)
def get_claim_list(
    plan: ThePlan,
    case: CaseId,
    form: Literal["claim-list.xlsx", "claim-list.pdf"],
    desk: TheDesk,
    day: Day = None,
    sdr_rate: SdrRate = None,
    also: Also = [],  # noqa: B006 - read only
) -> Response:
    """The claim list to send, as workbook or PDF."""
    cases = tuple(dict.fromkeys((case, *also)))
    made = _claimed(desk, plan, cases, day or _arrival(desk, plan), sdr_rate)
    seconds = desk.settings.ceilings.paper_seconds
    papers: dict[str, bytes] = desk.run_reader(
        claim_papers, desk.trip_of_plan(plan), desk.plan_of(plan), made, cases, seconds=seconds
    )
    return attachment(papers[form], form, XLSX_MEDIA if form.endswith("xlsx") else _PDF)


def losses_out(desk: Desk, plan: PlanRow, since: date | None = None) -> LossesOut:
    """Every case lost in turn; worked out in another process and kept, since it never changes."""
    return _kept(desk, plan, ("losses", plan.id, since), lose_each, _ahead(desk, plan, since))


def pairs_out(desk: Desk, plan: PlanRow, since: date | None = None, most: int = 20) -> LossesOut:
    """Any two cases lost at once, the worst first."""
    key = ("pairs", plan.id, since, most)
    return _kept(desk, plan, key, lose_pairs, _ahead(desk, plan, since), most)


def _kept(
    desk: Desk,
    plan: PlanRow,
    key: Hashable,
    lose_them: Callable[..., tuple[Loss, ...]],
    *more: object,
) -> LossesOut:
    made, trip = desk.plan_of(plan), desk.trip_of_plan(plan)
    seconds = desk.settings.ceilings.read_seconds
    found: tuple[Loss, ...] = desk.kept(
        key, lambda: desk.run_reader(lose_them, trip, made, *more, seconds=seconds)
    )
    return LossesOut(
        plan=plan.id,
        currency=made.currency,
        decimals=decimals_of(made.currency),
        losses=[_loss_out(loss) for loss in found],
    )


def claim_out(
    desk: Desk,
    plan: PlanRow,
    cases: tuple[str, ...],
    day: date | None = None,
    sdr_rate: Decimal | None = None,
) -> ClaimOut:
    """The claim for cases that are gone."""
    cases = tuple(dict.fromkeys(cases))
    day = day or _arrival(desk, plan)
    found, made = _claimed(desk, plan, cases, day, sdr_rate), desk.plan_of(plan)
    numbers = customs_list(desk.trip_of_plan(plan), made).numbers()
    return ClaimOut(
        plan=plan.id,
        cases=list(cases),
        day=day,
        currency=made.currency,
        decimals=decimals_of(made.currency),
        things=[
            ClaimedOut(
                item=numbers.get((thing.name, thing.unit)),
                name=thing.name,
                unit=thing.unit,
                description=thing.description,
                serial=thing.serial,
                case=thing.case,
                value_minor=thing.value_minor,
            )
            for thing in found.things
        ],
        value_minor=found.value_minor,
        without_value=list(found.without_value),
        people=found.people,
        limit_sdr=found.limit_sdr,
        limit_minor=found.limit_minor,
        beyond_minor=found.beyond_minor,
        limit_source=found.limit_source,
        deadlines=[
            DeadlineOut(by=each.by, what=each.what, source=each.source, label=each.label)
            for each in found.deadlines
        ],
        caution=found.caution,
    )


def _claimed(
    desk: Desk, plan: PlanRow, cases: tuple[str, ...], day: date, sdr_rate: Decimal | None
) -> Claim:
    loss = _lost(desk, plan, cases, None)
    try:
        return claim(desk.trip_of_plan(plan), desk.plan_of(plan), loss, day, sdr_rate)
    except OverflowError as error:  # a day at the edge of the calendar has no deadline after it
        raise Refusal(422, "no-such-day", f"From {day} on no deadline can be counted.") from error


def _lost(desk: Desk, plan: PlanRow, cases: tuple[str, ...], since: date | None) -> Loss:
    made = desk.plan_of(plan)
    for case in cases:
        piece_named(made, case)
    ahead = _ahead(desk, plan, since)
    return lose(desk.trip_of_plan(plan), made, dict.fromkeys(cases), ahead)


def _ahead(desk: Desk, plan: PlanRow, since: date | None) -> tuple[str, ...] | None:
    return stops_ahead(desk.trip_of_plan(plan), since) if since else None


def _arrival(desk: Desk, plan: PlanRow) -> date:
    """The day of the first flight: the earliest on which a case can go missing."""
    legs = desk.trip_of_plan(plan).legs
    return legs[0].date if legs else datetime.now(UTC).date()


def _loss_out(loss: Loss) -> LossOut:
    return LossOut(
        case=loss.cases[0],
        cases=list(loss.cases),
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
