"""Papers of a plan, one by one and all as a zip, and the customs list as rows."""

from __future__ import annotations

import io
import mimetypes
import zipfile
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response
from pydantic import AfterValidator

from api.desk import Desk
from api.errors import ERRORS
from api.routes import API
from api.routes.having import TheDesk, ThePlan
from api.routes.trips import attachment
from api.shapes.cases import CustomsItemOut, CustomsOut, PaperOut, PapersOut
from api.shapes.texts import plain
from api.store.plans import PlanRow
from packer.papers.tables.customs import OWN_DRAWING, CustomsRow, customs_list
from packer.papers.units import decimals_of

router = APIRouter(prefix=API, tags=["papers"], responses=ERRORS)
PaperName = Annotated[
    str,
    Path(max_length=200, description="Name in the list of papers", examples=["manifest.xlsx"]),
    AfterValidator(plain),
]
_SHOWN = frozenset({"application/pdf", "image/png", "image/svg+xml", "application/json"})


@router.get("/plans/{plan}/papers")
def list_papers(plan: ThePlan, desk: TheDesk) -> PapersOut:
    """Every file of a plan; they are written at the first asking and kept."""
    return papers_out(desk, plan)


@router.get("/plans/{plan}/papers.zip", response_class=Response)
def get_all_papers(plan: ThePlan, desk: TheDesk) -> Response:
    """All files of a plan in one zip."""
    desk.papers_of(plan)
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for paper in desk.store.papers.of_plan(plan.id):
            archive.writestr(paper.name, desk.store.papers.content(plan.id, paper.name))
    return attachment(target.getvalue(), f"papers-{plan.id}.zip", "application/zip")


@router.get("/plans/{plan}/papers/{name:path}", response_class=Response)
def get_paper(plan: ThePlan, name: PaperName, desk: TheDesk) -> Response:
    """One file. PDFs and pictures open in the browser, workbooks are saved."""
    desk.papers_of(plan)
    content = desk.store.papers.content(plan.id, name)
    last = name.rsplit("/", 1)[-1]
    media = mimetypes.guess_type(last)[0] or "application/octet-stream"
    if media in _SHOWN:
        return Response(content, media_type=media)
    return attachment(content, last, media)


@router.get("/plans/{plan}/customs")
def get_customs(plan: ThePlan, desk: TheDesk) -> CustomsOut:
    """The list of goods for customs as rows."""
    goods = customs_list(desk.trip_of_plan(plan), desk.plan_of(plan))
    return CustomsOut(
        plan=plan.id,
        currency=goods.currency,
        decimals=decimals_of(goods.currency),
        items=[_item(row) for row in goods.rows],
        pieces=goods.pieces,
        weight_g=goods.weight_g,
        value_minor=goods.value_minor,
        problems=list(goods.problems),
        note=OWN_DRAWING,
    )


def papers_out(desk: Desk, row: PlanRow) -> PapersOut:
    """The files of a plan, written now where they were not yet."""
    desk.papers_of(row)
    return PapersOut(
        plan=row.id,
        papers=[
            PaperOut(
                name=paper.name,
                size=paper.size,
                sha256=paper.sha256,
                path=f"{API}/plans/{row.id}/papers/{paper.name}",
            )
            for paper in desk.store.papers.of_plan(row.id)
        ],
    )


def _item(row: CustomsRow) -> CustomsItemOut:
    return CustomsItemOut(
        first=row.first,
        last=row.last,
        description=row.description,
        marks=row.marks,
        pieces=row.pieces,
        weight_g=row.weight_g,
        value_minor=row.value_minor,
        origin=row.origin,
        cases=list(dict.fromkeys(case for _, _, case in row.members)),
    )
