"""What a second plan does otherwise than a first, as rows for the API and the page."""

from __future__ import annotations

from collections.abc import Iterator

from api.shapes.plans import ChangeOut
from packer.model.plan import Plan, Route
from packer.road.differ import Difference, differ


def changes_between(first: Plan, second: Plan) -> list[ChangeOut]:
    """Differences by kind, then by name; identical units are counted, not named."""
    return list(_rows(differ(first, second)))


def _rows(found: Difference) -> Iterator[ChangeOut]:
    for line in found.flown:
        kind = "more fly" if line.more > 0 else "fewer fly"
        yield _change(kind, line.gear, line.before, line.after)
    for cover in found.covers:
        kind = f"{cover.supplier} at {cover.stop}"
        yield _change(kind, cover.gear, cover.before, cover.after)
    for case in found.cases:
        yield _change("case", case.case, _way(case.before), _way(case.after))
    for moved in found.moved:
        yield _change(f"{moved.units} packed elsewhere", moved.gear, moved.source, moved.target)


def _way(route: Route | None) -> str:
    return "stays home" if route is None else str(route)


def _change(kind: str, subject: str, before: object, after: object) -> ChangeOut:
    return ChangeOut(kind=kind, subject=subject, before=str(before), after=str(after))
