"""What real weights break, and the menu of moves that mends it; run in another process.

Also the user's workbook with the measured weights in it.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from api.work.uploads import lay_out
from packer.model.plan import Plan
from packer.model.plan_json import plan_to_json
from packer.model.trip import Trip

Words = dict[str, str]


@dataclass(frozen=True, slots=True)
class MoveFound:
    """One object that ends in another case; `target` is empty where it stays behind."""

    gear: str
    unit: int
    source: str
    target: str


@dataclass(frozen=True, slots=True)
class OrderFound:
    """Units that a supplier covers at a stop more than before; below 0 fewer."""

    gear: str
    stop: str
    supplier: str
    units: int


@dataclass(frozen=True, slots=True)
class ChoiceFound:
    """A legal plan so many moves away; `proved`: fewer moves cannot do, as many no cheaper."""

    moves: tuple[MoveFound, ...]
    orders: tuple[OrderFound, ...]
    cash_minor: int
    worth_minor: int
    proved: bool
    plan_json: str


@dataclass(frozen=True, slots=True)
class Weighed:
    """What came of a weigh-in. `tares`: grams that each case weighs more than its list."""

    legal: bool
    dearer_minor: int
    breaks: tuple[Words, ...]
    doubts: tuple[Words, ...]
    tares: tuple[tuple[str, int], ...]
    choices: tuple[ChoiceFound, ...]
    impossible: bool


def weigh(
    trip: Trip, plan: Plan, cases_g: dict[str, int], objects_g: dict[str, int], leave: bool = True
) -> Weighed:
    """Put the scale's figures (grams: packed cases, single objects) in place, look for least work.

    Without `leave` nothing may stay behind.
    """
    from packer.pipeline import signed
    from packer.road.repair import Mending, mend
    from packer.road.scales import weigh_in
    from packer.rules import check_plan

    found = weigh_in(trip, plan, cases_g, objects_g)
    menu = mend(found.trip, found.plan, leave=leave)

    def choice(one: Mending) -> ChoiceFound:
        whole = signed(one.plan, found.trip, check_plan(found.trip, one.plan))
        moves = tuple(MoveFound(m.gear, m.unit, m.source, m.target) for m in one.moves)
        orders = tuple(
            OrderFound(h.gear, h.stop, h.supplier, h.units) for h in one.hires(found.plan)
        )
        worth_minor = one.verdict.costs.worth_minor
        text = json.dumps(plan_to_json(whole), ensure_ascii=False)
        return ChoiceFound(moves, orders, one.cash_minor, worth_minor, one.proved, text)

    return Weighed(
        found.legal,
        found.dearer_minor,
        tuple(
            {"code": b.code, "severity": "error", "message": b.message, "subject": b.subject}
            for b in found.breaks
        ),
        tuple(doubt.to_json() for doubt in found.findings),
        tuple((one.case, one.more_g) for one in found.differences),
        tuple(choice(one) for one in menu.choices),
        menu.impossible,
    )


def weighed_workbook(
    content: bytes, form: str, cases_g: Mapping[str, int], gear_g: Mapping[str, int]
) -> bytes:
    """The workbook of an upload with these weights in their cells (grams: empty cases, objects)."""
    from packer.reading.weighed_workbook import write_weighed

    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        source = lay_out(content, form, Path(name))
        return write_weighed(source, cases_g, gear_g, Path(name) / "weighed.xlsx").read_bytes()


def touched_sheets(
    trip: Trip, plan: Plan, weighed: Mapping[str, dict[str, int]], new_json: str, touched: list[str]
) -> dict[str, bytes]:
    """The case sheets of the cases that a way opens, as they were and as they are then, by name."""
    from packer.model.plan_json import plan_from_json
    from packer.papers.case_sheets import case_sheets_pdf
    from packer.road.scales import weigh_in

    found = weigh_in(trip, plan, weighed["cases"], weighed["objects"])
    new = plan_from_json(json.loads(new_json))
    only = frozenset(touched)
    return {
        f"case-sheets-{name}.pdf": case_sheets_pdf(found.trip, whole, only)
        for name, whole in (("old", found.plan), ("new", new))
        if any(piece.case in only for piece in whole.pieces)
    }
