"""Rows that one case imposes exactly: no filling of a case is worth more than so much.

For any prices of the lines, the best filling of one case is a knapsack. What it is worth bounds
what any case holds, so that "the sum of price x units <= the sum of worth x cases" holds for a
bay. Prices that an answer breaks are found by columns: the answer is covered by known fillings as
far as it goes, the duals are the prices, and the knapsack finds the filling that is missing. Then
what the answer has none of gets prices too, as high as leaves the worths as they are. Sources:
Gilmore & Gomory 1961, "A linear programming approach to the cutting-stock problem"; Boyd 1994,
"Fenchel cutting planes for integer programs"; for the prices added, sequential lifting: Padberg
1975, "A note on zero-one programming".

Fillings are those of `packer.decide.stowing`, places and all. Where it gives up, or is not asked,
a table does: weights and volumes rounded down to units of a small share of a case, what is left
of rooms too, so that whatever packs in truth is a filling there. The worth is a whole number from
the search itself, whatever the prices are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model
from scipy.optimize import linprog

from packer.decide.classes import Bay, ClassModel, Value, takes
from packer.decide.joint import most_of_lines
from packer.decide.problem import SOFT_SHARE_PERCENT, Line
from packer.decide.stowing import Ground, Stower
from packer.geometry.knapsack import Fillings, best_fillings
from packer.geometry.spaces import Ints, as_ints
from packer.model.trip import CaseKind

MOST_UNITS = 4096  # of weight in the largest room
BULK_UNITS = 24  # of volume in a case
WHOLE_PRICE = 1000  # the largest price of a line
MOST_STEPS = 40
LEAST_EXCESS = 1e-3  # of what the fillings are worth
LEAST_CASES = 0.02  # fewer of a kind in an answer ask for no fillings of their own

Terms = list[tuple[cp_model.IntVar, int]]


@dataclass(frozen=True, slots=True)
class Stuff:
    """One line as the knapsack sees it; `most` units of it go in one case."""

    weight_g: int
    bulk: int
    most: int


class Filler:
    """Finds prices and worths for cases that take `stuff`, each `bulk` of it, `rooms_g` by kind."""

    def __init__(
        self,
        stuff: Sequence[Stuff],
        bulk: int,
        rooms_g: Sequence[int],
        stower: Stower | None = None,
    ) -> None:
        """`stower`: knows what goes in more exactly, for the same things and kinds."""
        unit = max(1, int(np.gcd.reduce([each.weight_g for each in stuff])))
        unit *= max(1, -(-max(rooms_g) // (unit * MOST_UNITS)))
        self._weights = as_ints([each.weight_g // unit for each in stuff])
        self._bulks = as_ints([each.bulk for each in stuff])
        self._most = as_ints([each.most for each in stuff])
        self._bulk = bulk
        self._rooms = as_ints([room // unit for room in rooms_g])
        self._stower = stower
        self._known: dict[tuple[int, tuple[int, ...]], None] = {}

    def violated(
        self, units: Sequence[float], cases: Sequence[float]
    ) -> tuple[list[int], list[int]] | None:
        """(price by line, worth by kind of case) that `units` in `cases` break; None if none."""
        wanted = [i for i, n in enumerate(units) if n > LEAST_EXCESS]
        used = [k for k, n in enumerate(cases) if n > LEAST_CASES]
        found: tuple[Ints, Ints] | None = None
        for _ in range(MOST_STEPS if wanted and used else 0):
            prices = self._prices(units, cases, wanted, used)
            if prices is None:
                break
            worths, fillings = self._best(prices)
            if prices @ np.asarray(units) > (worths @ np.asarray(cases)) * (1 + LEAST_EXCESS):
                found = prices, worths
            if not self._learn(fillings, used):
                break
        if found is None:
            return None
        prices, worths = self._lifted(*found, used)
        return prices.tolist(), worths.tolist()

    def _best(self, prices: Ints) -> tuple[Ints, Fillings]:
        """The worth and the filling of each kind of case at these prices."""
        by_stower = self._stowed(self._stower, prices) if self._stower else None
        return by_stower or best_fillings(
            prices, self._weights, self._bulks, self._most, self._rooms, self._bulk
        )

    def _stowed(self, stower: Stower, prices: Ints) -> tuple[Ints, Fillings] | None:
        worths = np.zeros(len(self._rooms), dtype=np.int64)
        fillings = np.zeros((len(self._rooms), len(prices)), dtype=np.int64)
        done: list[int] = []
        for k in map(int, np.argsort(-stower.rooms, kind="stable")):
            light = [n for n in done if stower.weights @ fillings[n] <= stower.rooms[k]]
            if light:  # the best for more room goes in less
                worths[k], fillings[k] = worths[light[0]], fillings[light[0]]
            else:
                answer = stower.best(prices, k)
                if answer is None:
                    return None
                worths[k], fillings[k] = answer
            done.append(k)
        return worths, fillings

    def _lifted(self, prices: Ints, worths: Ints, used: Sequence[int]) -> tuple[Ints, Ints]:
        """The row with prices for what the answer had none of, the heaviest first."""
        if self._stower is None:
            return prices, worths
        raised = prices.copy()
        for i in map(int, np.argsort(-self._weights, kind="stable")):
            if not raised[i]:
                raised[i] = self._spare(self._stower, raised, worths, used, i)
        if (raised == prices).all():
            return prices, worths
        return raised, self._best(raised)[0]

    def _spare(
        self, stower: Stower, prices: Ints, worths: Ints, used: Sequence[int], line: int
    ) -> int:
        """What a unit may be worth without a filling of the kinds used gaining by it."""
        spare = int(max(worths[k] for k in used))
        for k in used:
            for n in range(1, int(self._most[line]) + 1):
                first = [n * (i == line) for i in range(len(prices))]
                floor = int(worths[k]) - n * spare
                answer = stower.best(prices, k, first, floor)
                if answer is None:
                    return 0
                spare = min(spare, (int(worths[k]) - answer[0]) // n)
        return max(0, spare)

    def _learn(self, fillings: Fillings, used: Sequence[int]) -> bool:
        before = len(self._known)
        self._known.update({(k, tuple(fillings[k].tolist())): None for k in used})
        return len(self._known) > before

    def _prices(
        self,
        units: Sequence[float],
        cases: Sequence[float],
        wanted: Sequence[int],
        used: Sequence[int],
    ) -> Ints | None:
        """Prices at which the units are dearest while no known filling is worth more than its
        case and all cases together are worth 1; None where the fillings cover the answer."""
        place = {k: len(wanted) + n for n, k in enumerate(used)}
        known = [(k, filling) for k, filling in self._known if k in place]
        rows = np.zeros((len(known) + 1, len(wanted) + len(used)))
        for row, (k, filling) in zip(rows, known, strict=False):
            row[: len(wanted)] = [filling[i] for i in wanted]
            row[place[k]] = -1.0
        rows[-1, len(wanted) :] = [cases[k] for k in used]
        limits = np.append(np.zeros(len(known)), 1.0)
        goal = np.append([-units[i] for i in wanted], np.zeros(len(used)))
        found = linprog(goal, A_ub=rows, b_ub=limits, bounds=(0.0, 1 / LEAST_CASES), method="highs")
        if found.status != 0 or -found.fun <= 1 + LEAST_EXCESS:
            return None
        dual = found.x[: len(wanted)]
        prices = np.zeros(len(units), dtype=np.int64)
        prices[list(wanted)] = np.round(dual / dual.max() * WHOLE_PRICE)
        return prices


class BayFiller:
    """The fillings of one bay of a class model."""

    def __init__(self, classes: ClassModel, bay: int, ground: Ground | None = None) -> None:
        """With `ground` fillings are those that pack in truth, without it those of the table."""
        self.bay = bay
        self._berths = classes.bays[bay].berths
        inside = [(i, var) for (i, d), var in classes.units.items() if d == bay]
        self._vars = [var for _, var in inside]
        lines = [classes.problem.lines[i] for i, _ in inside]
        most = _most_in_bay(classes, classes.bays[bay], lines)
        stuff = [
            Stuff(line.gear.weight_g, _bulk(classes.bays[bay], line), n)
            for line, n in zip(lines, most, strict=True)
        ]
        rooms_g = [berth.room_g for berth in self._berths]
        spec = classes.bays[bay].spec
        stower = Stower(ground, spec, lines, most, rooms_g) if ground else None
        self._filler = Filler(stuff, _whole(classes.bays[bay]), rooms_g, stower)

    def violated(self, value: Value) -> Terms | None:
        """A row that an answer breaks: these terms add up to at most 0."""
        counts = [berth.count for berth in self._berths]
        found = self._filler.violated(list(map(value, self._vars)), list(map(value, counts)))
        if found is None:
            return None
        prices, worths = found
        terms = [(var, price) for var, price in zip(self._vars, prices, strict=True) if price]
        return terms + [(var, -worth) for var, worth in zip(counts, worths, strict=True)]


def fillers_of(classes: ClassModel, ground: Ground | None = None) -> list[BayFiller]:
    """A filler for each bay that takes anything."""
    bays = sorted({d for _, d in classes.units})
    return [BayFiller(classes, d, ground) for d in bays]


def _most_in_bay(classes: ClassModel, bay: Bay, lines: Sequence[Line]) -> list[int]:
    most = most_of_lines(classes.problem)
    return [
        max(most(line, b.spec, b.room_g) for b in bay.berths if takes(line, b)) for line in lines
    ]


def _whole(bay: Bay) -> int:
    case = bay.spec.case
    if case.kind is CaseKind.RACK:
        return case.rack_half_units or 0
    return (case.slots or 0) if case.kind is CaseKind.SLOTS else BULK_UNITS


def _bulk(bay: Bay, line: Line) -> int:
    """What one unit takes of `_whole`: half units, slots, or own volume (soft: by contract 2.4)."""
    kind = bay.spec.case.kind
    if kind is CaseKind.RACK:
        return line.gear.rack_half_units or 0
    if kind is CaseKind.SLOTS:
        return 1
    return line.filled * BULK_UNITS // max(1, SOFT_SHARE_PERCENT * bay.spec.volume_mm3)
