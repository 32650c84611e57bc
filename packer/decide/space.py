"""Does what the model put in a case really fit there, and if not, which few objects are to blame.

Only rigid objects in boxes need places; soft goods are in the model exactly, by volume. A set
that does not fit is shrunk to a smallest set that does not fit, and becomes a cut for every case
that is no roomier (minimal infeasible subsets, as in logic-based Benders decomposition).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import permutations

from packer.decide.cuts import Cut, lifted
from packer.decide.problem import Problem
from packer.decide.sketch import Load, Sketch
from packer.geometry import Fit, Fitter, Item, Verdict
from packer.geometry.exact import Guard, unguarded
from packer.model.trip import CaseKind, Gear

Counts = tuple[tuple[int, int], ...]
Check = Callable[[int, Counts], Fit]

EXACT_LIMIT = 2.0  # deterministic seconds of the exact model for one question
SHRINK_LIMIT = 0.3


class Space:
    """Answers about places, remembered.

    `over`: asked before anything long is begun; `guard`: stops what is long when time is over.
    """

    def __init__(
        self,
        problem: Problem,
        seed: int = 0,
        over: Callable[[], bool] = lambda: False,
        guard: Guard = unguarded,
    ) -> None:
        self._problem = problem
        self._over = over
        self._fitter = Fitter(problem.trip.clearance_mm, seed, guard)
        self._items = [_item(line.gear) if line.is_boxed else None for line in problem.lines]
        # Items are learned in one order, so that every Space answers alike.
        self._fitter.quick((1, 1, 1), [item for item in self._items if item is not None])

    def rigid(self, counts: Sequence[tuple[int, int]]) -> Counts:
        """The part of a load that needs places."""
        return tuple((i, n) for i, n in counts if self._items[i] is not None)

    def units(self, counts: Counts) -> list[Item]:
        """The items of a load, unit by unit, line by line."""
        found: list[Item] = []
        for line, count in counts:
            item = self._items[line]
            if item is not None:
                found += [item] * count
        return found

    def quick(self, case: int, counts: Sequence[tuple[int, int]], effort: int = 40_000) -> Fit:
        """A quick answer: YES, or NO by volume, or UNKNOWN."""
        inside = self._inside(case)
        rigid = self.rigid(counts)
        if inside is None or not rigid:
            return Fit(Verdict.YES, ())
        return self._fitter.quick(inside, self.units(rigid), effort)

    def check(
        self, case: int, counts: Sequence[tuple[int, int]], limit: float = EXACT_LIMIT
    ) -> Fit:
        """The best answer there is within a deterministic limit; a quick one when time is over."""
        inside = self._inside(case)
        rigid = self.rigid(counts)
        if inside is None or not rigid:
            return Fit(Verdict.YES, ())
        if self._over():
            return self._fitter.quick(inside, self.units(rigid))
        return self._fitter.decide(inside, self.units(rigid), deterministic_limit=limit)

    def swift(self, case: int, counts: Sequence[tuple[int, int]]) -> Fit:
        """The answer within some milliseconds: of few objects nearly always exact."""
        inside = self._inside(case)
        rigid = self.rigid(counts)
        if inside is None or not rigid:
            return Fit(Verdict.YES, ())
        return self._fitter.swift(inside, self.units(rigid))

    def misfits(self, sketch: Sketch) -> list[Cut]:
        """A cut for every load of a sketch for which no packing is known; [] if all fit."""
        found = (self.misfit_cut(load) for load in sketch.loads)
        return [cut for cut in found if cut is not None]

    def misfit_cut(self, load: Load) -> Cut | None:
        """A cut for a load for which no packing is known; None if it fits."""
        verdict = self.check(load.case, load.counts).verdict
        return (
            None if verdict is Verdict.YES else self._cut(load, verdict is Verdict.NO, self._soon)
        )

    def swift_cut(self, load: Load) -> Cut | None:
        """A cut for a load that is refused within some milliseconds; None for all others."""
        if self.swift(load.case, load.counts).verdict is not Verdict.NO:
            return None
        return self._cut(load, True, self.swift)

    def misfit(self, sketch: Sketch) -> bool:
        """True if for some load of a sketch no packing is known."""
        return any(
            self.check(load.case, load.counts).verdict is not Verdict.YES for load in sketch.loads
        )

    def _inside(self, case: int) -> tuple[int, int, int] | None:
        spec = self._problem.cases[case].case
        if spec.kind is not CaseKind.BOX or spec.inside is None:
            return None
        return spec.inside.sides

    def _soon(self, case: int, counts: Counts) -> Fit:
        return self.check(case, counts, SHRINK_LIMIT)

    def _cut(self, load: Load, proved: bool, check: Check) -> Cut:
        counts = self._shrink(load.case, dict(self.rigid(load.counts)), proved, check)
        return Cut(lifted(self._problem, counts), self._no_roomier(load.case), proved)

    def _shrink(
        self, case: int, counts: dict[int, int], proved: bool, check: Check
    ) -> dict[int, int]:
        """Takes units away one by one as long as the rest still (provably) does not fit."""
        for line in sorted(counts, key=lambda i: self._problem.lines[i].own_mm3):
            while counts.get(line, 0) and not self._over():
                fewer = {i: n - (i == line) for i, n in counts.items()}
                fewer = {i: n for i, n in fewer.items() if n}
                verdict = check(case, tuple(sorted(fewer.items()))).verdict
                if verdict is Verdict.YES or (proved and verdict is not Verdict.NO):
                    break
                counts = fewer
        return counts

    def _no_roomier(self, case: int) -> tuple[int, ...]:
        """The boxes inside which are within this one when turned about the vertical."""
        room = self._inside(case)
        if room is None:
            return (case,)
        return tuple(
            spec.index
            for spec in self._problem.cases
            if (other := self._inside(spec.index)) is not None and _within(other, room)
        )


def _within(small: tuple[int, int, int], large: tuple[int, int, int]) -> bool:
    flat = small[2] <= large[2]
    return flat and any(a <= large[0] and b <= large[1] for a, b in permutations(small[:2]))


def _item(gear: Gear) -> Item:
    if gear.size is None:
        raise ValueError(f"{gear.name}: box gear must have all three lengths")
    return Item(gear.size.sides, gear.upright, gear.fragile, gear.weight_g)
