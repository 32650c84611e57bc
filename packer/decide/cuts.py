"""Sets of objects that cannot share a case, learned from geometry, as cuts for every like case.

A set that does not fit also does not fit with any object swapped for one at least as large. So a
cut speaks of families: "of these lines at least n". The families of one cut are nested or apart;
then, by Hall's theorem, meeting all demands means that each object of the set has a stand-in of
its own, and the case is overfull.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from packer.decide.problem import Line, Problem

Demand = tuple[frozenset[int], int]


@dataclass(frozen=True, slots=True)
class Cut:
    """In none of `cases` are all `demands` (lines, at least so many units) met together.

    `proved` is False where the geometry only failed to find a packing: such a cut may guide the
    search but no bound may rest on it.
    """

    demands: tuple[Demand, ...]
    cases: tuple[int, ...]
    proved: bool


def lifted(problem: Problem, counts: Mapping[int, int]) -> tuple[Demand, ...]:
    """The demands of a set (units by line) of which only the places matter, widened."""
    boxed = [line.index for line in problem.lines if line.is_boxed and line.most]
    return _widened(problem, counts, lambda j, i: j in boxed and _covers(problem, j, i), boxed)


def lifted_by_weight(problem: Problem, counts: Mapping[int, int]) -> tuple[Demand, ...]:
    """The demands of a set of which places, volume, units and weight matter, widened."""
    flying = [line.index for line in problem.lines if line.most]
    return _widened(problem, counts, lambda j, i: _outweighs(problem, j, i), flying)


def _widened(
    problem: Problem,
    counts: Mapping[int, int],
    dominates: Callable[[int, int], bool],
    candidates: list[int],
) -> tuple[Demand, ...]:
    lines = sorted(
        counts, key=lambda i: (problem.lines[i].own_mm3, problem.lines[i].gear.weight_g, i)
    )
    families: list[frozenset[int]] = []
    for i in lines:
        family = frozenset(j for j in candidates if dominates(j, i)) | {i}
        for other in families:
            family = family & other if i in other else family - other
        families.append(family)
    return tuple(
        (
            family,
            sum(counts[i] for i, inner in zip(lines, families, strict=True) if inner <= family),
        )
        for family in dict.fromkeys(families)
    )


def _outweighs(problem: Problem, large: int, small: int) -> bool:
    one, other = problem.lines[large], problem.lines[small]
    if one.gear.weight_g < other.gear.weight_g or one.gear.case_kind is not other.gear.case_kind:
        return False
    if one.gear.soft != other.gear.soft or one.soft_mm3 < other.soft_mm3:
        return False
    if (one.gear.rack_half_units or 0) < (other.gear.rack_half_units or 0):
        return False
    return not other.is_boxed or _covers(problem, large, small)


def _covers(problem: Problem, large: int, small: int) -> bool:
    """True if an object of one line, put where one of the other is, needs at least its room."""
    if large == small:
        return True
    one, other = problem.lines[large], problem.lines[small]
    if other.gear.fragile and not one.gear.fragile:
        return False
    return _at_least(one, other)


def _at_least(one: Line, other: Line) -> bool:
    if one.gear.size is None or other.gear.size is None:
        return False
    if not other.gear.upright:
        # Whatever way the large one is turned, the small one can be turned inside it.
        pairs = zip(sorted(one.gear.size.sides), sorted(other.gear.size.sides), strict=True)
        return all(a >= b for a, b in pairs)
    if not one.gear.upright:
        return min(one.gear.size.sides) >= max(other.gear.size.sides)
    flat = zip(sorted(one.gear.size.sides[:2]), sorted(other.gear.size.sides[:2]), strict=True)
    return one.gear.size.height_mm >= other.gear.size.height_mm and all(a >= b for a, b in flat)
