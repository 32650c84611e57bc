"""What a second plan does otherwise than a first: cases packed, lines flown or hired, moves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from api.shapes.plans import ChangeOut
from packer.model.plan import Plan


def changes_between(first: Plan, second: Plan) -> list[ChangeOut]:
    """Differences by kind, then by name; identical units are counted, not named."""
    return [*_flown(first, second), *_routes(first, second), *_moved(first, second)]


def _flown(first: Plan, second: Plan) -> Iterator[ChangeOut]:
    before = {decision.gear: decision.flown for decision in first.decisions}
    after = {decision.gear: decision.flown for decision in second.decisions}
    for gear in sorted(before.keys() | after.keys()):
        was, now = before.get(gear, 0), after.get(gear, 0)
        if was != now:
            yield _change("more fly" if now > was else "fewer fly", gear, was, now)


def _routes(first: Plan, second: Plan) -> Iterator[ChangeOut]:
    before = {piece.case: str(piece.route) for piece in first.pieces}
    after = {piece.case: str(piece.route) for piece in second.pieces}
    for case in sorted(before.keys() | after.keys()):
        was, now = before.get(case, "stays home"), after.get(case, "stays home")
        if was != now:
            yield _change("case", case, was, now)


def _moved(first: Plan, second: Plan) -> Iterator[ChangeOut]:
    before, after = _whereabouts(first), _whereabouts(second)
    for gear in sorted(before.keys() & after.keys()):
        if before[gear] != after[gear]:
            yield _change("packed elsewhere", gear, _words(before[gear]), _words(after[gear]))


def _whereabouts(plan: Plan) -> dict[str, Counter[str]]:
    found: dict[str, Counter[str]] = {}
    for piece in plan.pieces:
        for packed in piece.contents:
            found.setdefault(packed.gear, Counter())[piece.case] += 1
    return found


def _words(cases: Counter[str]) -> str:
    return ", ".join(f"{count} in {case}" for case, count in sorted(cases.items()))


def _change(kind: str, subject: str, before: object, after: object) -> ChangeOut:
    return ChangeOut(kind=kind, subject=subject, before=str(before), after=str(after))
