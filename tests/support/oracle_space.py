"""Exact places in the oracle (constraint 4 and section 5.7): corners, turns, six ways apart."""

from __future__ import annotations

from itertools import combinations, permutations
from typing import Any

from packer.model.trip import Box, Case, CaseKind, Gear
from support.oracle_base import LINE_UNIT, Frame


def add_space(frame: Frame) -> None:
    """Corners and turns of all rigid box gear, soft goods, and what must not overlap."""
    boxes = [case for case in frame.trip.cases if case.kind is CaseKind.BOX]
    rigid = [unit for unit, line in frame.units.items() if _is_rigid(line)]
    for unit in rigid:
        _corner_and_turn(frame, unit, boxes)
    for case in boxes:
        _soft_goods(frame, case)
    for one, other in combinations(rigid, 2):
        _apart(frame, one, other, boxes)


def _is_rigid(line: Gear) -> bool:
    return line.case_kind is CaseKind.BOX and not line.soft


def _turns(line: Gear) -> list[tuple[int, int, int]]:
    assert line.size is not None
    sides = line.size.sides
    turns = sorted(set(permutations(sides)))
    return [turn for turn in turns if not line.upright or turn[2] == sides[2]]


def _corner_and_turn(frame: Frame, unit: LINE_UNIT, boxes: list[Case]) -> None:
    turns = _turns(frame.units[unit])
    longest = max(max(case.inside.sides) for case in boxes if case.inside) if boxes else 1
    frame.corner[unit] = [frame.count(longest) for _ in range(3)]
    chosen = [frame.flag() for _ in turns]
    frame.model.add_exactly_one(chosen)
    frame.lengths[unit] = [
        sum(turn[axis] * flag for turn, flag in zip(turns, chosen, strict=True))
        for axis in range(3)
    ]
    for case in boxes:
        assert case.inside is not None
        for axis in range(3):
            end = frame.corner[unit][axis] + frame.lengths[unit][axis] + frame.trip.clearance_mm
            frame.at_most(end, case.inside.sides[axis], frame.inside[unit, case.name])


def _apart(frame: Frame, one: LINE_UNIT, other: LINE_UNIT, boxes: list[Case]) -> None:
    gap = frame.trip.clearance_mm
    ways = [_before(frame, a, b, axis, gap) for a, b in ((one, other), (other, one))
            for axis in range(3)]  # fmt: skip
    spared = [_not_above(frame, a, b) for a, b in ((one, other), (other, one))
              if frame.units[a].fragile]  # fmt: skip
    for case in boxes:
        both = [frame.inside[one, case.name], frame.inside[other, case.name]]
        frame.model.add_bool_or(ways).only_enforce_if(both)
        for options in spared:
            frame.model.add_bool_or(options).only_enforce_if(both)


def _before(frame: Frame, first: LINE_UNIT, then: LINE_UNIT, axis: int, gap: int) -> Any:
    """A flag that, where set, has `first` end before `then` begins."""
    flag = frame.flag()
    end = frame.corner[first][axis] + frame.lengths[first][axis] + gap
    frame.model.add(end <= frame.corner[then][axis]).only_enforce_if(flag)
    return flag


def _not_above(frame: Frame, fragile: LINE_UNIT, other: LINE_UNIT) -> list[Any]:
    """Beside it in plan view by own sizes, or with its bottom below the fragile unit's top."""
    beside = [_before(frame, a, b, axis, 0) for a, b in ((fragile, other), (other, fragile))
              for axis in (0, 1)]  # fmt: skip
    lower = frame.flag()
    top = frame.corner[fragile][2] + frame.lengths[fragile][2]
    frame.model.add(frame.corner[other][2] <= top - 1).only_enforce_if(lower)
    return [*beside, lower]


def _soft_goods(frame: Frame, case: Case) -> None:
    assert case.inside is not None
    soft, rigid = [], []
    for unit, line in frame.units.items():
        if line.case_kind is not CaseKind.BOX or line.size is None:
            continue
        inside = frame.inside[unit, case.name]
        (soft if line.soft else rigid).append(line.size.volume_mm3 * inside)
        if line.soft and not _folds_into(line.size, case.inside):
            frame.model.add(inside == 0)
    if soft:
        frame.model.add(100 * sum(soft) <= 85 * (case.inside.volume_mm3 - sum(rigid)))


def _folds_into(size: Box, inside: Box) -> bool:
    pairs = zip(sorted(size.sides), sorted(inside.sides), strict=True)
    return all(side <= limit for side, limit in pairs)
