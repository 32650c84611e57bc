"""One case lost: every role with a spare survives the loss of any single case (section 5.6).

In: the plan laid beside its trip. Out: breaches, one for each role, stop and case.
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.judge.matched import Matched
from packer.judge.verdict import Breach
from packer.model.trip import Gear


def role_breaches(matched: Matched) -> Iterator[Breach]:
    """Roles that would lack units without some case; none where the trip does not ask for it."""
    if not matched.trip.one_case_lost:
        return
    for lines in roles(matched).values():
        needs = max((line.role_needs or 0 for line in lines), default=0)
        for stop in matched.trip.stops:
            if _has_spare(lines, stop.name, needs):
                yield from _without_each_case(matched, lines, stop.name, needs)


def roles(matched: Matched) -> dict[str, list[Gear]]:
    """The lines of each role, by row."""
    found: dict[str, list[Gear]] = {}
    for line in matched.trip.gear:
        if line.role is not None:
            found.setdefault(line.role, []).append(line)
    return found


def _has_spare(lines: list[Gear], stop: str, needs: int) -> bool:
    return sum(line.quantity for line in lines if stop in line.needed_at) > needs


def _without_each_case(
    matched: Matched, lines: list[Gear], stop: str, needs: int
) -> Iterator[Breach]:
    role = str(lines[0].role)
    flown = sum(matched.flown[line.name] for line in lines)
    covered = sum(matched.covered_units.get((line.name, stop), 0) for line in lines)
    for case, lost in _units_by_case(matched, role).items():
        left = flown - lost + covered
        if left < needs:
            message = (
                f"Without case {case}, {stop} has {left} of the {needs} units that the role "
                f"{role} needs ({flown - lost} fly elsewhere, {covered} are covered there)."
            )
            yield Breach("role-lost-with-case", role, message, left, needs)


def _units_by_case(matched: Matched, role: str) -> dict[str, int]:
    counts: dict[str, int] = {}
    for piece in matched.pieces:
        for unit in piece.units:
            if unit.gear.role == role:
                counts[piece.name] = counts.get(piece.name, 0) + 1
    return counts
