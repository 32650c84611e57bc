"""Rows that places impose on any one case: scaled volumes, by separation.

For functions f, g, h that are dual feasible on the three axes, the sum of the smallest value
f(length) g(width) h(height) over the turns of each packed box is at most f(L) g(W) h(H) (Fekete &
Schepers 2004, as in `packer.geometry.scaling`). Each such row holds for one case, and summed for
many. Of the thousands that there are, those are used that an answer violates.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packer.decide.problem import Problem
from packer.geometry.items import Item, turns_inside
from packer.geometry.scaling import scales
from packer.model.trip import CaseKind

MOST_FUNCTIONS = 14  # on each axis
MOST_ROWS_AT_ONCE = 4

Sides = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class SpaceRow:
    """In one case of inside size `inside`: the sum of value x units is at most `whole`."""

    inside: Sides
    values: tuple[tuple[int, int], ...]
    whole: int


@dataclass(frozen=True, slots=True)
class _Family:
    """All rows for one inside size: values by (row, line) and the room's value by row."""

    lines: tuple[int, ...]
    values: NDArray[np.int64]
    wholes: NDArray[np.int64]


class RowMaker:
    """Finds rows of the families that a proposed content violates."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._families: dict[Sides, _Family | None] = {}

    def violated(self, inside: Sides, content: Mapping[int, float], cases: float) -> list[SpaceRow]:
        """Rows that `content` (units by line) breaks when spread over so many cases."""
        family = self._family(inside)
        if family is None or cases <= 0:
            return []
        units = np.array([content.get(line, 0) for line in family.lines], dtype=np.float64)
        excess = family.values @ units / family.wholes - cases
        order = np.argsort(-excess, kind="stable")[:MOST_ROWS_AT_ONCE]
        return [self._row(inside, family, int(k)) for k in order if excess[k] > 1e-6]

    def _row(self, inside: Sides, family: _Family, k: int) -> SpaceRow:
        values = tuple(
            (line, int(v)) for line, v in zip(family.lines, family.values[k], strict=True) if v
        )
        return SpaceRow(inside, values, int(family.wholes[k]))

    def _family(self, inside: Sides) -> _Family | None:
        if inside not in self._families:
            self._families[inside] = _family(self._problem, inside)
        return self._families[inside]


def _family(problem: Problem, inside: Sides) -> _Family | None:
    clearance = problem.trip.clearance_mm
    turned = {
        line.index: turns_inside(Item(line.gear.size.sides, line.gear.upright), inside, clearance)
        for line in problem.lines
        if line.is_boxed and line.most and line.gear.size is not None
    }
    lines = tuple(i for i, sizes in turned.items() if sizes)
    if not lines:
        return None
    tables = [_axis(inside, axis, [turned[i] for i in lines]) for axis in range(3)]
    whole = np.einsum(
        "i,j,k->ijk", *(np.array([w for _, w in of], dtype=np.int64) for of in tables)
    ).ravel()
    columns = [_column(tables, turned[i]) for i in lines]
    values = np.stack(columns, axis=1)
    area = _fragile_area(problem, lines)
    values = np.concatenate([values, area[None, :]])
    return _Family(lines, values, np.append(whole, inside[0] * inside[1]))


def _axis(
    inside: Sides, axis: int, sizes: list[tuple[Sides, ...]]
) -> list[tuple[dict[int, int], int]]:
    """Functions on one axis, as tables from length to value, with the value of the room."""
    lengths = sorted({size[axis] for of in sizes for size in of})
    found = scales(inside[axis], lengths)
    step = max(1, -(-len(found) // MOST_FUNCTIONS))
    return [(dict(zip(lengths, values, strict=True)), whole) for values, whole in found[::step]]


def _column(
    tables: list[list[tuple[dict[int, int], int]]], sizes: tuple[Sides, ...]
) -> NDArray[np.int64]:
    """One line's value in every row: the smallest over its turns."""
    best: NDArray[np.int64] | None = None
    for size in sizes:
        x, y, z = (
            np.array([values[size[axis]] for values, _ in tables[axis]], dtype=np.int64)
            for axis in range(3)
        )
        product = np.einsum("i,j,k->ijk", x, y, z).ravel()
        best = product if best is None else np.minimum(best, product)
    if best is None:
        raise ValueError("a line without turns has no values")
    return best


def _fragile_area(problem: Problem, lines: tuple[int, ...]) -> NDArray[np.int64]:
    """Plan views of fragile objects never overlap (own sizes), so their areas add up."""
    areas: list[int] = []
    for i in lines:
        gear = problem.lines[i].gear
        if not gear.fragile or gear.size is None:
            areas.append(0)
        elif gear.upright:
            areas.append(gear.size.length_mm * gear.size.width_mm)
        else:
            short, middle, _ = sorted(gear.size.sides)
            areas.append(short * middle)
    return np.array(areas, dtype=np.int64)


def inside_of(problem: Problem, case: int) -> Sides | None:
    """The inside size of a box, None for other kinds."""
    spec = problem.cases[case].case
    return spec.inside.sides if spec.kind is CaseKind.BOX and spec.inside else None
