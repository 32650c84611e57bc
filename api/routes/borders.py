"""Borders: the list as issued, every stamp, and what is where; corrections are new entries."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Literal

from fastapi import APIRouter
from fastapi.responses import Response

from api.books import BORDER, border_plan, enter, entries_of, issued_list
from api.desk import Desk
from api.errors import ERRORS, FindingOut, Refusal
from api.routes import API
from api.routes.having import Manager, TheDesk, ThePlan
from api.routes.trips import XLSX_MEDIA, attachment
from api.shapes.road import (
    BorderOut,
    CorrectionIn,
    CrossingIn,
    IssueIn,
    OwedOut,
    PlaceOut,
    RefusedGoodsOut,
    StampOut,
)
from api.store.plans import PlanRow
from packer.model.finding import Finding
from packer.papers.on_the_road import beyond_papers
from packer.papers.tables.customs import CustomsRow, customs_list
from packer.road.border_book import draft_of, ledger_of, rule_on_border
from packer.road.crossings import Correction, Count, Crossing, Issued, LedgerEvent, Line, Step
from packer.road.item_text import ItemsError, items_text, parse_items
from packer.road.journal import Entry
from packer.road.ledger import CAUTION, Ledger, closed, counted, days_left, owed
from packer.road.listed import beyond_list, not_listed

router = APIRouter(prefix=API, tags=["borders"], responses=ERRORS)


@router.get("/plans/{plan}/border")
def get_border(plan: ThePlan, desk: TheDesk) -> BorderOut:
    """What went out, in, out, home; what is still owed, and how many days are left."""
    return border_out(desk, plan)


@router.post("/plans/{plan}/border/issue", status_code=201)
def issue(plan: ThePlan, entry: IssueIn, desk: TheDesk, person: Manager) -> BorderOut:
    """The list of this plan was issued; nothing is added to it from now on."""
    trip = desk.trip_of_plan(plan)
    goods = customs_list(trip, desk.plan_of(plan))
    event = Issued(
        entry.reference or trip.carnet.number,
        trip.carnet.holder,
        trip.home_country,
        entry.issued,
        entry.last_day,
        tuple(line for row in goods.rows for line in _lines(row)),
    )
    return _enter(desk, plan, event, person.name, entry.key)


@router.post("/plans/{plan}/border/crossings", status_code=201)
def cross(plan: ThePlan, entry: CrossingIn, desk: TheDesk, person: Manager) -> BorderOut:
    """Enter a stamp; refused in words where the numbers cannot be right."""
    event = _crossing(_ledger(desk, plan), entry)
    return _enter(desk, plan, event, person.name, entry.key)


@router.post("/plans/{plan}/border/corrections", status_code=201)
def correct(plan: ThePlan, entry: CorrectionIn, desk: TheDesk, person: Manager) -> BorderOut:
    """Put an earlier stamp right, or strike it; it stays readable."""
    instead = _crossing(_ledger(desk, plan), entry.instead) if entry.instead else None
    event = Correction(entry.entry, entry.reason, instead)
    return _enter(desk, plan, event, person.name, entry.key)


@router.get("/plans/{plan}/border/refused")
def get_refused(plan: ThePlan, desk: TheDesk) -> RefusedGoodsOut:
    """What this plan flies that the list issued does not have, and what to do about it."""
    return refused_out(desk, plan)


@router.get(
    "/plans/{plan}/border/{form}",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}, "application/pdf": {}}}},
)
def get_proforma(
    plan: ThePlan,
    form: Literal["proforma-not-on-list.xlsx", "proforma-not-on-list.pdf"],
    desk: TheDesk,
) -> Response:
    """The proforma by which goods travel that the list issued does not have."""
    goods = refused_out(desk, plan).goods
    if not goods:
        raise Refusal(409, "nothing-refused", "All that this plan flies is on the list.")
    seconds = desk.settings.ceilings.paper_seconds
    papers: dict[str, bytes] = desk.run_reader(
        beyond_papers, desk.trip_of_plan(plan), desk.plan_of(plan), goods, seconds=seconds
    )
    media = XLSX_MEDIA if form.endswith("xlsx") else "application/pdf"
    return attachment(papers[form], form, media)


def refused_out(desk: Desk, plan: PlanRow) -> RefusedGoodsOut:
    """What a plan flies beyond the list issued; nothing where none is."""
    issued = issued_list(desk, border_plan(desk, plan))
    if issued is None:
        return RefusedGoodsOut(plan=plan.id, issued=False, goods={}, findings=[])
    trip, made = desk.trip_of_plan(plan), desk.plan_of(plan)
    return RefusedGoodsOut(
        plan=plan.id,
        issued=True,
        goods=beyond_list(trip, made, issued),
        findings=[FindingOut(**found.to_json()) for found in not_listed(trip, made, issued)],
    )


def border_out(desk: Desk, plan: PlanRow, remarks: tuple[Finding, ...] = ()) -> BorderOut:
    """The ledger as it stands today."""
    entries = entries_of(desk, border_plan(desk, plan), BORDER)
    state, today = ledger_of(entries), datetime.now(UTC).date()
    issued = state.issued
    return BorderOut(
        plan=plan.id,
        issued=issued is not None,
        reference=issued.reference if issued else "",
        last_day=issued.last_day if issued else None,
        days_left=days_left(state, today),
        stamps=_stamps(state, entries),
        places=[
            PlaceOut(place=place, items=_text(counted(held)), pieces=sum(held.values()))
            for place, held in state.places().items()
        ],
        owed=[
            OwedOut(
                place=one.place,
                items=_text(one.items),
                pieces=one.pieces,
                by=one.by,
                days=one.days,
            )
            for one in owed(state, today)
        ],
        complete=closed(state),
        remarks=[FindingOut(**finding.to_json()) for finding in remarks],
        caution=CAUTION,
    )


def _enter(desk: Desk, plan: PlanRow, event: LedgerEvent, who: str, key: str) -> BorderOut:
    draft = draft_of(event, who, key)
    entered = enter(desk, border_plan(desk, plan), BORDER, (draft,), rule_on_border)[key]
    if entered.refused:
        findings = [finding.to_json() for finding in entered.findings]
        message = entered.findings[0].message
        raise Refusal(409, findings[0]["code"], message, findings=findings)
    return border_out(desk, plan, entered.findings)


def _ledger(desk: Desk, plan: PlanRow) -> Ledger:
    return ledger_of(entries_of(desk, border_plan(desk, plan), BORDER))


def _crossing(state: Ledger, entry: CrossingIn) -> Crossing:
    listed = {line.number: line.pieces for line in state.issued.lines} if state.issued else {}
    try:
        items = parse_items(entry.items, listed)
    except ItemsError as error:
        raise Refusal(422, "no-item-numbers", f"{error}.") from error
    return Crossing(Step(entry.step), entry.country, entry.on, items, entry.note, entry.back_by)


def _lines(row: CustomsRow) -> list[Line]:
    # Identical goods share a line of the list, and each keeps its own number.
    return [
        Line(row.first + index, 1, row.full_description, name, unit)
        for index, (name, unit, _) in enumerate(row.members)
    ]


def _stamps(state: Ledger, entries: tuple[Entry, ...]) -> list[StampOut]:
    made = {entry.number: entry for entry in entries}
    return [
        StampOut(
            number=stamp.number,
            step=str(stamp.crossing.step),  # type: ignore[arg-type]
            country=stamp.crossing.country,
            on=stamp.crossing.on,
            items=_text(stamp.crossing.items),
            note=stamp.crossing.note,
            back_by=stamp.crossing.back_by,
            made=made[stamp.by].at,
            made_by=made[stamp.by].who,
        )
        for stamp in state.in_order()
    ]


def _text(items: tuple[Count, ...]) -> str:
    return items_text(items)
