"""What one case of a bay holds at best, in truth: by weight, volume, roles and places.

A choice that geometry refuses is shrunk to a smallest set that does not fit and learned as a cut,
then the next best is looked for; cuts are widened to all that dominates and shared among all
cases. Where geometry has no swift verdict a choice counts as one that fits, so that no answer is
ever too low. Source: the pricing of branch and price with the packing checked apart, as Pisinger
& Sigurd 2007, "Using decomposition techniques and constraint programming for solving the
two-dimensional bin-packing problem".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations_with_replacement

import numpy as np

from packer.decide.cuts import Cut
from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Problem
from packer.decide.rows import SpaceRow, inside_of
from packer.decide.sketch import Load
from packer.decide.space import Space
from packer.geometry.choosing import Bars, Things, best_choice
from packer.geometry.spaces import Ints, as_ints
from packer.model.plan import Route
from packer.model.trip import CaseKind

MOST_NODES = 100_000  # of one search: some 20 ms
MOST_LOOKS = 200  # at geometry for one answer
VOLUME_UNITS = 500  # of a box, in the table that bounds the search
DETERMINISTIC_S_EACH_LOOK = 0.002

Values = tuple[list[int], int]


class Ground:
    """What all the stowers of a search share: answers of geometry, and what was learned."""

    def __init__(
        self,
        problem: Problem,
        space: Space,
        rows: list[SpaceRow],
        over: Callable[[], bool] = lambda: False,
    ) -> None:
        """`rows` and `cuts` may grow meanwhile; `over` ends the work early."""
        self.problem = problem
        self.space = space
        self.cuts: list[Cut] = []
        self.rows = rows
        self.over = over
        self.spent = 0.0


class Stower:
    """The best choices of `lines`, at most `most` units of each, for the cases of one bay."""

    def __init__(
        self,
        ground: Ground,
        spec: CaseSpec,
        lines: Sequence[Line],
        most: Sequence[int],
        rooms_g: Sequence[int],
    ) -> None:
        """`rooms_g`: what each kind of case in the bay takes; `spec` is any one of them."""
        self._ground = ground
        self._spec = spec
        self._lines = lines
        unit = max(1, int(np.gcd.reduce([line.gear.weight_g for line in lines])))
        self.weights = as_ints([line.gear.weight_g // unit for line in lines])
        self._most = as_ints(most)
        whole = int(self.weights @ self._most)
        self.rooms = as_ints([min(room_g // unit, whole) for room_g in rooms_g])
        rows = _rows(ground.problem, spec, lines)
        self._sizes = np.array([values for values, _ in rows], dtype=np.int64).T.copy()
        self._lead = as_ints(rows[0][0])
        self._caps = as_ints([cap for _, cap in rows])
        self._bars = _Barring(ground, spec.index, lines)
        self._read_rows = 0
        self._learn_pairs()

    def best(
        self, prices: Ints, kind: int, first: Sequence[int] = (), floor: int = 0
    ) -> tuple[int, Ints] | None:
        """The worth and the units of the best choice for a case of a kind, with `first` in it.

        The floor and nothing where none is worth more; None where the search was given up.
        """
        least = as_ints(first or [0] * len(self._lines))
        order = np.lexsort((-self.weights, -prices))
        most = np.where(prices > 0, self._most, least)
        for _ in range(MOST_LOOKS):
            if self._ground.over():
                return None
            self._ground.spent += DETERMINISTIC_S_EACH_LOOK
            self._read_new_rows()
            limits = (self._sizes, self._lead, self._caps)
            things = Things(prices, self.weights, most, *limits, order)
            room = int(self.rooms[kind])
            worth, chosen, complete = best_choice(
                things, self._bars.read(), room, least, floor, MOST_NODES
            )
            if not complete:
                return None
            if worth <= floor or not self._refused(chosen):
                return int(worth), chosen
        return None

    def _refused(self, units: Ints) -> bool:
        """True if geometry refuses these units: then a cut was learned that bars them."""
        counts = tuple(
            (line.index, int(n)) for line, n in zip(self._lines, units, strict=True) if n
        )
        cut = self._ground.space.swift_cut(Load(self._spec.index, Route.HOLD, counts))
        if cut is None or cut in self._ground.cuts:
            return False
        self._ground.cuts.append(cut)
        return True

    def _learn_pairs(self) -> None:
        """Which two objects never share a case: the cuts that most others would contain."""
        rigid = [i for i, line in enumerate(self._lines) if line.is_boxed]
        rigid.sort(key=lambda i: self._lines[i].own_mm3)
        for i, j in combinations_with_replacement(rigid, 2):
            units = np.bincount([i, j], minlength=len(self._lines))
            if (units <= self._most).all() and not self._bars.bars(units):
                self._refused(units)

    def _read_new_rows(self) -> None:
        new = self._ground.rows[self._read_rows :]
        self._read_rows += len(new)
        inside = inside_of(self._ground.problem, self._spec.index)
        for row in new:
            if row.inside == inside:
                values = dict(row.values)
                column = as_ints([values.get(line.index, 0) for line in self._lines])
                self._sizes = np.column_stack([self._sizes, column])
                self._caps = np.append(self._caps, row.whole)


class _Barring:
    """The proved cuts that speak of one case, as the compiled search reads them."""

    def __init__(self, ground: Ground, case: int, lines: Sequence[Line]) -> None:
        self._cuts = ground.cuts
        self._case = case
        self._here = {line.index: i for i, line in enumerate(lines)}
        self._read = 0
        self._demands: list[tuple[list[int], int, int]] = []
        self._by_line: list[list[int]] = [[] for _ in lines]
        self._made = 0
        self._bars = self._arrays()

    def read(self) -> Bars:
        """All cuts so far."""
        self._read_new()
        if len(self._bars.demands) < self._made:
            self._bars = self._arrays()
        return self._bars

    def bars(self, units: Ints) -> bool:
        """True if some cut bars these units."""
        self._read_new()
        met = [True] * self._made
        for lines, count, cut in self._demands:
            met[cut] = met[cut] and int(units[lines].sum()) >= count
        return any(met)

    def _read_new(self) -> None:
        new = self._cuts[self._read :]
        self._read += len(new)
        for cut in new:
            self._take(cut)

    def _take(self, cut: Cut) -> None:
        if not cut.proved or self._case not in cut.cases:
            return
        met = [([self._here[i] for i in of if i in self._here], n) for of, n in cut.demands]
        if not all(lines for lines, _ in met):
            return
        for lines, count in met:
            for i in lines:
                self._by_line[i].append(len(self._demands))
            self._demands.append((lines, count, self._made))
        self._made += 1

    def _arrays(self) -> Bars:
        cuts = as_ints([cut for _, _, cut in self._demands])
        ends = np.cumsum([0, *(len(demands) for demands in self._by_line)])
        return Bars(
            as_ints(ends),
            as_ints([d for demands in self._by_line for d in demands]),
            as_ints([count for _, count, _ in self._demands]),
            cuts,
            as_ints(np.bincount(cuts, minlength=self._made)),
        )


def _rows(problem: Problem, spec: CaseSpec, lines: Sequence[Line]) -> list[Values]:
    """What contents take of one case: units or rounded volume first, then volumes, then roles."""
    rows = _kind_rows(spec, lines)
    for cap in problem.roles:
        members = [int(line.index in cap.lines) for line in lines]
        if any(members):
            rows.append((members, cap.base + sum(problem.lines[i].most for i in cap.swing)))
    return rows


def _kind_rows(spec: CaseSpec, lines: Sequence[Line]) -> list[Values]:
    case = spec.case
    if case.kind is CaseKind.RACK:
        halves = [line.gear.rack_half_units or 0 for line in lines]
        return [(halves, case.rack_half_units or 0)]
    if case.kind is CaseKind.SLOTS:
        return [([1] * len(lines), case.slots or 0)]
    whole = SOFT_SHARE_PERCENT * spec.volume_mm3
    filled = [line.filled for line in lines]
    grown = [line.grown_mm3 for line in lines]
    rounded = [each * VOLUME_UNITS // max(1, whole) for each in filled]
    if not any(line.soft_mm3 for line in lines):
        rounded = [each * VOLUME_UNITS // max(1, spec.volume_mm3) for each in grown]
    return [(rounded, VOLUME_UNITS), (grown, spec.volume_mm3), (filled, whole)]
