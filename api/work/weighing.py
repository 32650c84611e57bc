"""What real weights break, and the menu of moves that mends it; run in another process."""

from __future__ import annotations

import json
from dataclasses import dataclass

from packer.model.plan import Plan
from packer.model.plan_json import plan_to_json
from packer.model.trip import Trip

Words = dict[str, str]


@dataclass(frozen=True, slots=True)
class MoveFound:
    """One object that ends in another case."""

    gear: str
    unit: int
    source: str
    target: str


@dataclass(frozen=True, slots=True)
class ChoiceFound:
    """A legal plan so many moves away; `proved`: fewer moves cannot do, as many no cheaper."""

    moves: tuple[MoveFound, ...]
    cash_minor: int
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


def weigh(trip: Trip, plan: Plan, cases_g: dict[str, int]) -> Weighed:
    """Put the scale's figures (grams, packed cases) in place and look for the least work."""
    from packer.pipeline import signed
    from packer.road.repair import Mending, mend
    from packer.road.scales import weigh_in
    from packer.rules import check_plan

    found = weigh_in(trip, plan, cases_g)
    menu = mend(found.trip, found.plan)

    def choice(one: Mending) -> ChoiceFound:
        whole = signed(one.plan, found.trip, check_plan(found.trip, one.plan))
        moves = tuple(MoveFound(m.gear, m.unit, m.source, m.target) for m in one.moves)
        text = json.dumps(plan_to_json(whole), ensure_ascii=False)
        return ChoiceFound(moves, one.cash_minor, one.proved, text)

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
