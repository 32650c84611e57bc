"""Does this set of boxes fit this case: the exact answer, by constraint programming.

Each box has a turn and a corner; each pair of boxes is separated on some axis, on one side. A
fragile box adds what the contract asks (section 5.7), on own sizes: another box may be above it
only where their own plan views do not overlap. One worker and a deterministic limit: the same
question has the same answer on every machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.geometry.items import Fit, Item, Place, Sides, Verdict, turns_inside

AXES = range(3)

Guard = Callable[[Callable[[], None]], AbstractContextManager[None]]


def unguarded(_stop: Callable[[], None]) -> AbstractContextManager[None]:
    """Nobody stops the solver."""
    return nullcontext()


@dataclass(frozen=True, slots=True)
class _Box:
    """The variables of one item: corner and grown size by axis, a boolean for each turn."""

    item: Item
    at: tuple[cp_model.IntVar, ...]
    size: tuple[cp_model.LinearExpr, ...]
    turned: tuple[tuple[Sides, cp_model.IntVar], ...]


def solve_exactly(
    inside: Sides,
    items: Sequence[Item],
    clearance_mm: int,
    seed: int = 0,
    deterministic_limit: float = 5.0,
    guard: Guard = unguarded,
) -> Fit:
    """YES with places, NO with proof, or UNKNOWN when the limit is reached.

    `deterministic_limit` is in the solver's own seconds of repeatable work. `guard` is entered
    while the solver works, with a function that stops it.
    """
    if any(not turns_inside(item, inside, clearance_mm) for item in items):
        return Fit(Verdict.NO)
    model = cp_model.CpModel()
    boxes = [_box(model, inside, item, clearance_mm) for item in items]
    for k, one in enumerate(boxes):
        for other in boxes[:k]:
            _separate(model, other, one, clearance_mm)
    _fill_each_axis(model, inside, boxes)
    _order_equals(model, boxes)
    if boxes and not any(item.fragile for item in items):
        _break_mirrors(model, inside, boxes, AXES)
    elif boxes:
        _break_mirrors(model, inside, boxes, range(2))
    return _solve(model, boxes, clearance_mm, seed, deterministic_limit, guard)


def _box(model: cp_model.CpModel, inside: Sides, item: Item, clearance_mm: int) -> _Box:
    sizes = turns_inside(item, inside, clearance_mm)
    flags = [model.new_bool_var("") for _ in sizes]
    model.add_exactly_one(flags)
    size = tuple(_weighted(flags, [s[a] for s in sizes]) for a in AXES)
    at = tuple(model.new_int_var(0, inside[a] - min(s[a] for s in sizes), "") for a in AXES)
    for a in AXES:
        model.add(at[a] + size[a] <= inside[a])
    return _Box(item, at, size, tuple(zip(sizes, flags, strict=True)))


def _weighted(flags: Sequence[cp_model.IntVar], lengths: Sequence[int]) -> cp_model.LinearExpr:
    total: cp_model.LinearExpr = cp_model.LinearExpr.weighted_sum(list(flags), list(lengths))
    return total


def _separate(model: cp_model.CpModel, one: _Box, other: _Box, clearance_mm: int) -> None:
    """The two are apart on some axis; where one is fragile, not by lying above it."""
    ways = [_after(model, one, other, a) for a in range(2)]
    ways += [_after(model, other, one, a) for a in range(2)]
    ways += _above(model, one, other, clearance_mm)
    ways += _above(model, other, one, clearance_mm)
    model.add_bool_or(ways)


def _after(model: cp_model.CpModel, low: _Box, high: _Box, axis: int) -> cp_model.IntVar:
    """A literal that puts `high` beyond `low` on `axis`."""
    literal = model.new_bool_var("")
    model.add(low.at[axis] + low.size[axis] <= high.at[axis]).only_enforce_if(literal)
    return literal


def _above(
    model: cp_model.CpModel, low: _Box, high: _Box, clearance_mm: int
) -> list[cp_model.IntVar]:
    """Literals that put `high` above `low`: one, or for a fragile `low` one for each free side."""
    if not low.item.fragile:
        return [_after(model, low, high, 2)]
    if clearance_mm == 0:
        return []
    ways = []
    for a in range(2):
        for first, second in ((low, high), (high, low)):
            literal = _after(model, low, high, 2)
            own = first.size[a] - clearance_mm
            model.add(first.at[a] + own <= second.at[a]).only_enforce_if(literal)
            ways.append(literal)
    return ways


def _fill_each_axis(model: cp_model.CpModel, inside: Sides, boxes: Sequence[_Box]) -> None:
    """Implied: at every point of an axis the cross sections of the boxes there fit together."""
    for a in AXES:
        b, c = [other for other in AXES if other != a]
        intervals, areas = [], []
        for box in boxes:
            for size, flag in box.turned:
                intervals.append(
                    model.new_optional_fixed_size_interval_var(box.at[a], size[a], flag, "")
                )
                areas.append(size[b] * size[c])
        model.add_cumulative(intervals, areas, inside[b] * inside[c])


def _order_equals(model: cp_model.CpModel, boxes: Sequence[_Box]) -> None:
    """Equal items may be numbered along the length of the case."""
    latest: dict[Item, _Box] = {}
    for box in boxes:
        before = latest.get(box.item)
        if before is not None:
            model.add(before.at[0] <= box.at[0])
        latest[box.item] = box


def _break_mirrors(
    model: cp_model.CpModel, inside: Sides, boxes: Sequence[_Box], axes: Sequence[int]
) -> None:
    """A case can be mirrored: the largest item without a twin lies in the nearer half."""
    items = [box.item for box in boxes]
    alone = [box for box in boxes if items.count(box.item) == 1]
    if not alone:
        return
    chosen = max(alone, key=lambda box: (_volume(box.item.sides_mm), box.item.sides_mm))
    for a in axes:
        model.add(2 * chosen.at[a] + chosen.size[a] <= inside[a])


def _volume(sides: Sides) -> int:
    return sides[0] * sides[1] * sides[2]


def _solve(
    model: cp_model.CpModel,
    boxes: Sequence[_Box],
    clearance_mm: int,
    seed: int,
    deterministic_limit: float,
    guard: Guard,
) -> Fit:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = deterministic_limit
    with guard(solver.stop_search):
        status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return Fit(Verdict.NO)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Fit(Verdict.UNKNOWN)
    return Fit(Verdict.YES, tuple(_place(solver, box, clearance_mm) for box in boxes))


def _place(solver: cp_model.CpSolver, box: _Box, clearance_mm: int) -> Place:
    x, y, z = (solver.value(at) for at in box.at)
    size = next(size for size, flag in box.turned if solver.value(flag))
    length, width, height = (side - clearance_mm for side in size)
    return Place((x, y, z), (length, width, height))
