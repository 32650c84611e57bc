"""The scale: real weights, what they break, the fewest moves that mend it, and taking them."""

from __future__ import annotations

import json
import secrets
from dataclasses import asdict, replace
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path
from fastapi.responses import Response

from api.books import SCALE, TICKS, border_plan, entries_of, issued_list
from api.desk import Desk, ask_of_plan, edits_of_plan, edits_to_json
from api.errors import ERRORS, FindingOut, Refusal, not_found
from api.routes import API
from api.routes.cases import piece_named
from api.routes.having import Packer, TheDesk, ThePlan
from api.routes.showing import plan_out
from api.routes.trips import XLSX_MEDIA, attachment
from api.shapes.plans import PlanOut
from api.shapes.road import (
    MendOut,
    MoveOut,
    OrderOut,
    ScaleOut,
    TakeIn,
    WeighedCaseIn,
    WeighedObjectIn,
    WeighIn,
)
from api.store.events import EventRow
from api.store.plans import Ending, PlanRow
from api.work.weighing import Weighed, touched_sheets, weigh, weighed_workbook
from packer.model.outcome import Outcome
from packer.model.plan_json import plan_from_json
from packer.papers.units import decimals_of
from packer.road.journal import Entry
from packer.road.scales import CAUTION

router = APIRouter(prefix=API, tags=["scale"], responses=ERRORS)
_SECONDS = 40.0


@router.get("/plans/{plan}/scale")
def get_scale(plan: ThePlan, desk: TheDesk) -> ScaleOut:
    """The last weigh-in of this plan, with what it broke and what mends it."""
    return scale_out(desk, plan)


@router.post("/plans/{plan}/scale", status_code=201)
def weigh_cases(plan: ThePlan, told: WeighIn, desk: TheDesk, person: Packer) -> ScaleOut:
    """Tell what the scale says of packed cases; those not named weigh what the list says."""
    made, trip = desk.plan_of(plan), desk.trip_of_plan(plan)
    weights = {one.case: one.grams for one in told.cases}
    for case in weights:
        piece_named(made, case)
    objects = {one.gear: one.grams for one in told.objects}
    lines = {line.name for line in trip.gear}
    for gear in objects:
        if gear not in lines:
            raise not_found("gear line", gear)
    if not weights and not objects:
        raise Refusal(422, "no-weight", "Nothing was weighed.", remedy="Give one weight at least.")
    found: Weighed = desk.run_thinker(
        weigh, trip, made, weights, objects, not told.all_fly, seconds=_SECONDS
    )
    entry = {
        "weights": weights,
        "objects": objects,
        "before_minor": made.costs.cash_minor,
        **asdict(found),
    }

    def entries(rows: tuple[EventRow, ...]) -> list[tuple[str, str]]:
        return [(f"{len(rows) + 1}", json.dumps(entry, ensure_ascii=False))]

    desk.store.events.enter(plan.trip, plan.id, SCALE, entries, person.name)
    return scale_out(desk, plan)


@router.get(
    "/plans/{plan}/scale/workbook",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}}}},
)
def get_weighed_workbook(plan: ThePlan, desk: TheDesk) -> Response:
    """The workbook with the empty weights that the scale found: the mended plan is for this one."""
    trip, last = desk.trip_of_plan(plan), _last(desk, plan)
    empty_g = {case.name: case.empty_g for case in trip.cases}
    measured = dict(edits_of_plan(plan).tares)
    for case, more in last["tares"] if last else ():
        measured[case], empty_g[case] = more, empty_g[case] + more
    gear_g = {**dict(edits_of_plan(plan).weights), **(last.get("objects", {}) if last else {})}
    if not measured and not gear_g:
        raise Refusal(409, "nothing-weighed", "Nothing was weighed for this plan yet.")
    upload = desk.store.trips.upload(plan.trip, plan.upload)
    content: bytes = desk.run_reader(
        weighed_workbook,
        desk.store.trips.original(upload),
        upload.form,
        {case: empty_g[case] for case in measured},
        gear_g,
        seconds=desk.settings.ceilings.read_seconds,
    )
    return attachment(content, "weighed.xlsx", XLSX_MEDIA)


@router.get(
    "/plans/{plan}/scale/ways/{number}/{form}",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {}}}},
)
def get_touched_sheets(
    plan: ThePlan,
    number: Annotated[int, Path(ge=1, le=100, description="Of the way", examples=[1])],
    form: Literal["case-sheets-old.pdf", "case-sheets-new.pdf"],
    desk: TheDesk,
) -> Response:
    """Sheets of the cases that a way opens, and of no others: as they were, or as they will be."""
    last = _last(desk, plan)
    choice = _choice(last, number)
    touched = {move[end] for move in choice["moves"] for end in ("source", "target")} - {""}
    sheets: dict[str, bytes] = desk.run_reader(
        touched_sheets,
        desk.trip_of_plan(plan),
        desk.plan_of(plan),
        {"cases": (last or {})["weights"], "objects": (last or {}).get("objects", {})},
        choice["plan_json"],
        sorted(touched),
        seconds=desk.settings.ceilings.paper_seconds,
    )
    if form not in sheets:
        raise Refusal(409, "nothing-touched", "This way opens no case.")
    return Response(sheets[form], media_type="application/pdf")


@router.post("/plans/{plan}/scale/take", status_code=201)
def take_mend(plan: ThePlan, take: TakeIn, desk: TheDesk, person: Packer) -> PlanOut:
    """Take one of the ways: a new plan with the real weights; ticks of what stays go along."""
    last = _last(desk, plan)
    choice = _choice(last, take.number)
    return plan_out(desk, adopt(desk, plan, last or {}, choice, person.name))


def _choice(last: dict[str, Any] | None, number: int) -> dict[str, Any]:
    choices: list[dict[str, Any]] = last["choices"] if last else []
    if number > len(choices):
        raise Refusal(409, "no-such-way", "The last weigh-in has no such way.")
    return choices[number - 1]


def adopt(
    desk: Desk, plan: PlanRow, weighed: dict[str, Any], choice: dict[str, Any], who: str
) -> PlanRow:
    """The mended plan as a plan of the trip, with the weights it was mended for."""
    edits = edits_of_plan(plan)
    tares = dict(edits.tares)
    for case, more in weighed["tares"]:
        tares[case] = tares.get(case, 0) + more
    weights = {**dict(edits.weights), **weighed.get("objects", {})}
    real = replace(
        edits, tares=tuple(sorted(tares.items())), weights=tuple(sorted(weights.items()))
    )
    asked = {"ask": _ask_json(desk, plan), "edits": edits_to_json(real)}
    made = plan_from_json(json.loads(choice["plan_json"]))
    moves = len(choice["moves"])
    ending = Ending(
        "done",
        int(Outcome.DONE),
        f"Mended after weighing: {moves} object{'' if moves == 1 else 's'} moved.",
        "[]",
        choice["plan_json"],
        made.objective_minor,
        made.bound_minor,
    )
    row = desk.store.plans.adopt(plan.trip, plan.upload, json.dumps(asked), ending, who)
    _carry_ticks(desk, plan, row, {(move["gear"], move["unit"]) for move in choice["moves"]}, who)
    return row


def _ask_json(desk: Desk, plan: PlanRow) -> dict[str, Any]:
    """As the plan before was asked for; a list that was issued for it goes on to hold."""
    holder = border_plan(desk, plan)
    ask = ask_of_plan(plan).model_copy(update={"why": "weighed"})
    if issued_list(desk, holder) is not None:
        ask = ask.model_copy(update={"issued": holder.id})
    return ask.model_dump()


def _carry_ticks(
    desk: Desk, old: PlanRow, new: PlanRow, moved: set[tuple[str, int]], who: str
) -> None:
    """Ticks of objects that stay where they are hold for the new plan; lids are open again."""
    kept = [entry for entry in entries_of(desk, old, TICKS) if _stays(entry, moved)]
    if kept:
        pairs = [(secrets.token_hex(16), json.dumps(entry.event)) for entry in kept]
        desk.store.events.enter(new.trip, new.id, TICKS, lambda _: pairs, who)


def _stays(entry: Entry, moved: set[tuple[str, int]]) -> bool:
    event = entry.event
    return event["kind"] == "tick" and (event["gear"], event["unit"]) not in moved


def scale_out(desk: Desk, plan: PlanRow) -> ScaleOut:
    """The last weigh-in; number 0 before the first."""
    made = desk.plan_of(plan)
    currency, worth = made.currency, made.costs.worth_minor
    count = len(desk.store.events.of(plan.id, SCALE))
    last = _last(desk, plan) or _NOTHING
    before = last["before_minor"]
    return ScaleOut(
        plan=plan.id,
        number=count,
        weighed=[WeighedCaseIn(case=case, grams=g) for case, g in last["weights"].items()],
        objects=[
            WeighedObjectIn(gear=gear, grams=g) for gear, g in last.get("objects", {}).items()
        ],
        currency=currency,
        decimals=decimals_of(currency),
        legal=last["legal"],
        dearer_minor=last["dearer_minor"],
        breaks=[FindingOut(**found) for found in last["breaks"]],
        doubts=[FindingOut(**found) for found in last["doubts"]],
        mends=[
            MendOut(
                number=number,
                moves=[MoveOut(**move) for move in choice["moves"]],
                # weigh-ins from before anything could stay behind say nothing of it
                orders=[OrderOut(**order) for order in choice.get("orders", ())],
                cash_minor=choice["cash_minor"],
                dearer_minor=choice["cash_minor"] - before,
                worth_minor=choice.get("worth_minor", worth) - worth,
                proved=choice["proved"],
            )
            for number, choice in enumerate(last["choices"], start=1)
        ],
        impossible=last["impossible"],
        pay_minor=_pay_minor(last),
        caution=CAUTION,
    )


def _pay_minor(last: dict[str, Any]) -> int | None:
    """What the way with nothing moved costs more than before; None where there is none."""
    for choice in last["choices"]:
        if not choice["moves"]:
            return int(choice["cash_minor"] - last["before_minor"])
    return None


def _last(desk: Desk, plan: PlanRow) -> dict[str, Any] | None:
    rows = desk.store.events.of(plan.id, SCALE)
    last: dict[str, Any] | None = json.loads(rows[-1].entry) if rows else None
    return last


_NOTHING: dict[str, Any] = {
    "weights": {},
    "before_minor": 0,
    "legal": True,
    "dearer_minor": 0,
    "breaks": [],
    "doubts": [],
    "choices": [],
    "impossible": False,
}
