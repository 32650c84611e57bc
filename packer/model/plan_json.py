"""plan.json, to the letter of the contract (section 3): a plan as JSON and back.

In: a `Plan`, or the JSON of one, also one made by hand. Out: the other of the two.

A hand-made plan needs `decisions` and `pieces`, and of a piece only `case`, `route` and
`contents`. What it leaves out is filled in so:

- `holdall`, `trip`, `input_sha256`, `made`, `currency`: empty text;
- `status`: `feasible`; `bound_minor`: 0; `charges`, `findings`: none; `solver`: nothing known;
- every cost, every `cost_minor` and every weight: `UNSTATED`; the judge recomputes them, has
  nothing to compare them with, and `packer.judge.settle` puts the right figures in.
"""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path
from typing import Any, TypeVar

from packer.model.json_walk import Walker, WalkError, parse
from packer.model.plan import (
    UNSTATED,
    Charge,
    Costs,
    Cover,
    Decision,
    Packed,
    Piece,
    Place,
    Plan,
    Route,
    SolverNote,
    Status,
)

PLAN_KEYS = (
    "holdall",
    "trip",
    "input_sha256",
    "made",
    "status",
    "currency",
    "objective_minor",
    "bound_minor",
    "cash_minor",
    "worth_minor",
    "baggage_minor",
    "hire_minor",
    "delivery_minor",
    "freight_minor",
    "decisions",
    "pieces",
    "charges",
    "findings",
    "solver",
)
CHARGE_KEYS = (
    "leg",
    "pieces",
    "extra_minor",
    "overweight_minor",
    "oversize_minor",
    "weight_minor",
    "total_minor",
)
COVER_KEYS = ("stop", "supplier", "for", "units", "cost_minor")
PIECE_KEYS = ("case", "route", "empty_g", "contents_g", "planning_g", "contents")
SOLVER_KEYS = ("seconds", "workers", "seed", "ortools", "deterministic")
NO_SOLVER = SolverNote(seconds=0.0, workers=0, seed=0, ortools="", deterministic=0.0)
MOST_BYTES = 200_000_000

_Named = TypeVar("_Named", Route, Status)


class PlanError(ValueError):
    """A plan file that cannot be read; the message names the place and what was expected."""


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """The plan as plan.json holds it, keys in the contract's order; unstated figures left out."""
    stated = {
        "holdall": plan.holdall,
        "trip": plan.trip,
        "input_sha256": plan.input_sha256,
        "made": plan.made,
        "status": str(plan.status),
        "currency": plan.currency,
        **_money(plan),
        "decisions": [_decision(decision) for decision in plan.decisions],
        "pieces": [_piece(piece) for piece in plan.pieces],
        "charges": [_charge(charge) for charge in plan.charges],
        "findings": [dict(finding) for finding in plan.findings],
        "solver": _solver(plan.solver),
    }
    return _without_unstated(stated)


def plan_from_json(data: object) -> Plan:
    """The plan that parsed JSON holds; raises `PlanError`. See above for what may be left out."""
    try:
        return _read_plan(Walker(data).object(PLAN_KEYS))
    except WalkError as error:
        raise PlanError(str(error)) from None


def read_plan(path: str | Path) -> Plan:
    """The plan in a file; raises `PlanError` for what is no plan and for what cannot be opened."""
    file = Path(path)
    try:
        if file.stat().st_size > MOST_BYTES:
            raise PlanError(f"{file.name} is larger than any plan: over {MOST_BYTES} bytes")
        return plan_from_json(parse(file.read_text(encoding="utf-8-sig")).value)
    except OSError as error:
        raise PlanError(f"{file.name} cannot be read: {error.strerror}") from None
    except UnicodeDecodeError:
        raise PlanError(f"{file.name} is not UTF-8 text, so it is not a plan.json") from None
    except WalkError as error:
        raise PlanError(str(error)) from None


def write_plan(plan: Plan, path: str | Path) -> None:
    """Write plan.json whole or not at all: to a file beside it, flushed, then renamed."""
    file = Path(path)
    handle, beside = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as out:
            out.write(plan_text(plan))
            out.flush()
            os.fsync(out.fileno())
        os.chmod(beside, 0o644)
        os.replace(beside, file)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def plan_text(plan: Plan) -> str:
    """plan.json as text, with a newline at the end."""
    return json.dumps(plan_to_json(plan), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _money(plan: Plan) -> dict[str, int]:
    costs = plan.costs
    parts = (
        costs.baggage_minor,
        costs.hire_minor,
        costs.delivery_minor,
        costs.freight_minor,
    )
    cash = UNSTATED if UNSTATED in parts else costs.cash_minor
    known = UNSTATED not in (cash, costs.worth_minor)
    return {
        "objective_minor": costs.objective_minor if known else UNSTATED,
        "bound_minor": plan.bound_minor,
        "cash_minor": cash,
        "worth_minor": costs.worth_minor,
        "baggage_minor": costs.baggage_minor,
        "hire_minor": costs.hire_minor,
        "delivery_minor": costs.delivery_minor,
        "freight_minor": costs.freight_minor,
    }


def _without_unstated(values: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value != UNSTATED}


def _decision(decision: Decision) -> dict[str, Any]:
    return {
        "gear": decision.gear,
        "flown": decision.flown,
        "stops": [_cover(cover) for cover in decision.covers],
    }


def _cover(cover: Cover) -> dict[str, Any]:
    return _without_unstated(
        {
            "stop": cover.stop,
            "supplier": cover.supplier,
            "for": cover.target,
            "units": cover.units,
            "cost_minor": cover.cost_minor,
        }
    )


def _piece(piece: Piece) -> dict[str, Any]:
    return _without_unstated(
        {
            "case": piece.case,
            "route": str(piece.route),
            "empty_g": piece.empty_g,
            "contents_g": piece.contents_g,
            "planning_g": piece.planning_g,
            "contents": [_packed(packed) for packed in piece.contents],
        }
    )


def _packed(packed: Packed) -> dict[str, Any]:
    unit: dict[str, Any] = {"gear": packed.gear, "unit": packed.unit}
    if packed.place is not None:
        unit["at_mm"] = list(packed.place.at_mm)
        unit["size_mm"] = list(packed.place.size_mm)
    return unit


def _charge(charge: Charge) -> dict[str, Any]:
    return {key: getattr(charge, key) for key in CHARGE_KEYS}


def _solver(note: SolverNote) -> dict[str, Any]:
    return {key: getattr(note, key) for key in SOLVER_KEYS}


def _read_plan(plan: Walker) -> Plan:
    return Plan(
        holdall=_text(plan, "holdall"),
        trip=_text(plan, "trip"),
        input_sha256=_text(plan, "input_sha256"),
        made=_text(plan, "made"),
        status=_one_of(plan.at("status"), Status) if plan.has("status") else Status.FEASIBLE,
        currency=_text(plan, "currency"),
        costs=_read_costs(plan),
        bound_minor=plan.at("bound_minor").whole() if plan.has("bound_minor") else 0,
        decisions=tuple(_read_decision(item) for item in plan.at("decisions").list()),
        pieces=tuple(_read_piece(item) for item in plan.at("pieces").list()),
        charges=tuple(_read_charge(item) for item in plan.items("charges")),
        findings=tuple(_read_finding(item) for item in plan.items("findings")),
        solver=_read_solver(plan.at("solver")) if plan.has("solver") else NO_SOLVER,
        stated_objective_minor=_stated_total(plan, "objective_minor"),
        stated_cash_minor=_stated_total(plan, "cash_minor"),
    )


def _read_costs(plan: Walker) -> Costs:
    return Costs(
        baggage_minor=_figure(plan, "baggage_minor"),
        hire_minor=_figure(plan, "hire_minor"),
        delivery_minor=_figure(plan, "delivery_minor"),
        freight_minor=_figure(plan, "freight_minor"),
        worth_minor=_figure(plan, "worth_minor"),
    )


def _read_decision(item: Walker) -> Decision:
    item.object(("gear", "flown", "stops"))
    return Decision(
        gear=item.at("gear").text(),
        flown=item.at("flown").whole(),
        covers=tuple(_read_cover(cover) for cover in item.items("stops")),
    )


def _read_cover(item: Walker) -> Cover:
    item.object(COVER_KEYS)
    return Cover(
        stop=item.at("stop").text(),
        supplier=item.at("supplier").text(),
        target=item.at("for").text(),
        units=item.at("units").whole(),
        cost_minor=_figure(item, "cost_minor"),
    )


def _read_piece(item: Walker) -> Piece:
    item.object(PIECE_KEYS)
    return Piece(
        case=item.at("case").text(),
        route=_one_of(item.at("route"), Route),
        empty_g=_figure(item, "empty_g"),
        contents_g=_figure(item, "contents_g"),
        planning_g=_figure(item, "planning_g"),
        contents=tuple(_read_packed(unit) for unit in item.at("contents").list()),
    )


def _read_packed(item: Walker) -> Packed:
    item.object(("gear", "unit", "at_mm", "size_mm"))
    return Packed(item.at("gear").text(), item.at("unit").whole(1), _read_place(item))


def _read_place(item: Walker) -> Place | None:
    if not (item.has("at_mm") or item.has("size_mm")):
        return None
    return Place(_three(item.at("at_mm"), 0), _three(item.at("size_mm"), 1))


def _three(item: Walker, least: int) -> tuple[int, int, int]:
    lengths = item.list()
    if len(lengths) != 3:
        raise item.fail("three lengths in mm: along length, width and height of the case")
    return (lengths[0].whole(least), lengths[1].whole(least), lengths[2].whole(least))


def _read_charge(item: Walker) -> Charge:
    item.object(CHARGE_KEYS)
    return Charge(item.at("leg").text(), *(item.at(key).whole() for key in CHARGE_KEYS[1:]))


def _read_finding(item: Walker) -> dict[str, str]:
    if not isinstance(item.value, dict):
        raise item.fail("an object { }")
    return {key: item.at(key).text() for key in item.value}


def _read_solver(item: Walker) -> SolverNote:
    item.object(SOLVER_KEYS)
    return SolverNote(
        seconds=item.at("seconds").number() if item.has("seconds") else 0.0,
        workers=item.at("workers").whole() if item.has("workers") else 0,
        seed=item.at("seed").whole() if item.has("seed") else 0,
        ortools=_text(item, "ortools"),
        deterministic=item.at("deterministic").number() if item.has("deterministic") else 0.0,
    )


def _text(item: Walker, key: str) -> str:
    return item.at(key).text() if item.has(key) else ""


def _figure(item: Walker, key: str) -> int:
    return item.at(key).whole() if item.has(key) else UNSTATED


def _stated_total(item: Walker, key: str) -> int | None:
    return item.at(key).whole() if item.has(key) else None


def _one_of(item: Walker, names: type[_Named]) -> _Named:
    try:
        return names(item.text())
    except ValueError:
        raise item.fail("one of " + ", ".join(f'"{name}"' for name in names)) from None
