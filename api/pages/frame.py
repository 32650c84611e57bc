"""What every page stands in: templates, the seven steps, the plan being looked at.

In: a request and what a page shows. Out: HTML. Money, weights and times turn into text here and
nowhere else.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from api.desk import Desk, desk_of
from api.errors import Refusal
from api.safety.identity import Person, Role
from api.store.plans import PlanRow
from api.store.trips import TripRow
from packer.papers.units import kg_text, major_text

HERE = Path(__file__).parent
STATIC = HERE / "static"
STEPS = (
    ("", "Trip"),
    ("decisions", "Decisions"),
    ("solve", "Solve"),
    ("cases", "Cases"),
    ("scale", "Scale"),
    ("papers", "Papers"),
    ("borders", "Borders"),
)


@dataclass(frozen=True, slots=True)
class Looking:
    """What a page looks at: the trip, and the plan of it that was chosen or is newest."""

    trip: TripRow
    plan: PlanRow | None


def looking_at(desk: Desk, trip: TripRow, plan: str | None) -> Looking:
    """The trip with the plan asked for, or with its newest finished plan."""
    rows = desk.store.plans.of_trip(trip.id)
    if plan:
        chosen = next((row for row in rows if row.id == plan), None)
        if chosen is None:
            raise Refusal(404, "not-found", f"There is no plan {plan!r} of this trip.")
        return Looking(trip, chosen)
    return Looking(trip, next((row for row in rows if row.plan_json is not None), None))


def show(
    request: Request, template: str, looking: Looking | None = None, status: int = 200, **more: Any
) -> HTMLResponse:
    """Render a template in the frame."""
    person: Person | None = getattr(request.state, "person", None)
    values = {
        "person": person,
        "may_manage": bool(person and person.role >= Role.MANAGE),
        "may_pack": bool(person and person.role >= Role.PACK),
        "open_door": desk_of(request).door.is_open,
        "looking": looking,
        "trip": looking.trip if looking else None,
        "plan": looking.plan if looking else None,
        "steps": STEPS,
        "step": None,
        "version": static_version(),
        **_head(request, looking),
        **more,
    }
    return HTMLResponse(environment().get_template(template).render(values), status)


def _head(request: Request, looking: Looking | None) -> dict[str, Any]:
    """The plan in the head of the page, as money."""
    row = looking.plan if looking else None
    if row is None or row.plan_json is None:
        return {"made": None}
    return {"made": desk_of(request).plan_of(row)}


def step_url(trip: str, step: str, plan: str | None = None) -> str:
    """The address of a step, of the plan looked at."""
    path = f"/trips/{trip}" + (f"/{step}" if step else "")
    return f"{path}?plan={plan}" if plan else path


def go(path: str) -> Response:
    """Send the browser on after a form, so that loading again does not send it again."""
    return RedirectResponse(path, 303)


def show_error(request: Request, refusal: Refusal) -> Response:
    """A refusal as a page; strangers are sent to log in."""
    if refusal.status == 401 and request.url.path != "/log-in":
        return go(f"/log-in?next={quote(request.url.path, safe='')}")
    return show(request, "error.html", status=refusal.status, error=refusal.body, made=None)


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The templates; everything is escaped, and a name that is missing is a fault."""
    found = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters.update(
        money=money, kg=kg, moment=moment, cm=cm, percent=percent, plural=plural, change=change
    )
    found.globals.update(step_url=step_url)
    return found


@lru_cache(maxsize=1)
def static_version() -> str:
    """Changes whenever a static file changes, so that browsers fetch it anew."""
    digest = hashlib.sha256()
    for path in sorted(STATIC.iterdir()):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def money(minor: int | None, currency: str) -> str:
    """`1,234.50 EUR`; a dash where it is not known."""
    return "–" if minor is None else f"{major_text(minor, currency)} {currency}"


def change(minor: int, currency: str) -> str:
    """A difference with its sign: `+12.00 EUR`, `−3.50 EUR`, `no change`."""
    if minor == 0:
        return "no change"
    return ("+" if minor > 0 else "−") + money(abs(minor), currency)


def kg(grams: int | None, decimals: int = 1) -> str:
    """`23.4 kg`; a dash where it is not known. Rounded to show; the figures stay exact."""
    if grams is None:
        return "–"
    return f"{kg_text(grams)} kg" if decimals == 3 else f"{grams / 1000:,.{decimals}f} kg"


def moment(iso: str | None) -> str:
    """`25 Nov, 12:09 UTC`."""
    if not iso:
        return "–"
    then = datetime.fromisoformat(iso)
    return f"{then.day} {then:%b, %H:%M} UTC"


def cm(sides_mm: list[int] | tuple[int, ...] | None) -> str:
    """`40 x 30 x 20.5 cm`."""
    if not sides_mm:
        return ""
    return " × ".join(f"{side / 10:g}" for side in sides_mm) + " cm"


def percent(share: float | None) -> str:
    """`2.4 %`, rounded up so that a gap never looks closed; a dash where unknown."""
    if share is None:
        return "–"
    if share <= 0:
        return "0 %"
    return f"{-(-share * 1000 // 1) / 10:.1f} %"


def plural(count: int, one: str, many: str = "") -> str:
    """`1 case`, `3 cases`."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
