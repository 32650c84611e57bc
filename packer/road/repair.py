"""The least work that makes a plan legal again, and what a little more work would save.

In: a trip (with real weights) and a plan that was packed for it. Out: a `Menu`: the fewest moved
objects that make everything legal, and what one, two, three moves more would save.

A move is one object that ends in another case, or stays behind, where offers cover it at every
stop that needs it. Nothing that is at home comes along, and every case in use keeps its way of
travel; an empty case may be taken along, in hold or cabin. Cost is cash and worth given up.
Places are settled by the packing core, case by case, and sets that do not fit come back to the
model as cuts (logic-based Benders decomposition, Hooker & Ottosson 2003). The judge has the last
word on every plan.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.geometry import Fitter, Item
from packer.geometry import Verdict as Fits
from packer.judge import Verdict, judge, settle
from packer.model.plan import Plan
from packer.model.trip import Case, CaseKind, Trip
from packer.road.berths import berths, fewest_out
from packer.road.differ import CoverChange, differ
from packer.road.dominance import Counts, lifted, no_smaller
from packer.road.leaving import most_left
from packer.road.repacking import Move, contents_of, is_rigid, item_of, moves_between, repacked
from packer.road.repair_model import Found, RepairModel
from packer.road.scales import unproved

Sides = tuple[int, int, int]
Refuted = Callable[[Sides, Counts], bool]

SECONDS = 10.0
"""The most that a whole menu may take; trips of 150 units need well under one."""

FURTHER = 3
"""Rows after the first: what one, two and three moves more would save."""

FURTHER_SECONDS = 0.9
"""Counted from the start: until then the rows after the first are looked for."""

_AT_LEAST = 0.2
"""Seconds for the rows after the first, however long the first took."""

_FIT_LIMIT = 0.3
"""Deterministic seconds for one question to the packing core."""


@dataclass(frozen=True, slots=True)
class Mending:
    """A legal plan at most `allowed` moves away.

    `proved`: no plan with fewer moves is legal (first of a menu), none with as many is cheaper.
    """

    allowed: int
    moves: tuple[Move, ...]
    plan: Plan
    verdict: Verdict
    proved: bool

    @property
    def cash_minor(self) -> int:
        """What the plan costs in cash, trip currency minor units."""
        return self.verdict.costs.cash_minor

    @property
    def cost_minor(self) -> int:
        """Cash and worth given up, by which choices are compared."""
        return self.verdict.costs.objective_minor

    def hires(self, before: Plan) -> tuple[CoverChange, ...]:
        """What is ordered anew or no longer, against the plan from before."""
        return differ(before, self.plan).covers

    @property
    def left(self) -> tuple[Move, ...]:
        """The objects that stay behind."""
        return tuple(move for move in self.moves if move.stays)

    @property
    def touched(self) -> tuple[str, ...]:
        """The cases that are opened, by name."""
        return tuple(sorted({case for move in self.moves for case in move.cases}))


@dataclass(frozen=True, slots=True)
class Menu:
    """The choices, fewest moves first, each cheaper than the one before.

    Without choices, `impossible` says whether it is proved that no moves help.
    """

    choices: tuple[Mending, ...]
    impossible: bool = False
    seconds: float = 0.0

    @property
    def fewest(self) -> Mending | None:
        """The least work that makes everything legal, at the least cost for so much work."""
        return self.choices[0] if self.choices else None

    @property
    def pay_instead(self) -> Mending | None:
        """The plan with nothing moved, where paying the fees is all it takes."""
        return next((choice for choice in self.choices if not choice.moves), None)


def mend(
    trip: Trip,
    plan: Plan,
    further: int = FURTHER,
    seconds: float = SECONDS,
    further_seconds: float = FURTHER_SECONDS,
    seed: int = 0,
    *,
    leave: bool = True,
) -> Menu:
    """The menu for a plan under the trip's real weights. A plan that is legal costs no move.

    Rows after the first are left out where they are not found within `further_seconds` from the
    start. Without `leave`, all that flies must fly on.
    """
    started = time.monotonic()
    plan = unproved(settle(trip, plan))
    bench = _Bench(trip, plan, started + seconds, seed, leave=leave)
    as_it_is = judge(trip, plan)
    least = bench.fewest() if not as_it_is.accepted else None
    choices: list[Mending] = []
    if as_it_is.accepted:
        choices.append(Mending(0, (), plan, as_it_is, proved=True))
    elif least is not None:
        choices += bench.mending(least.moves, least, proved=bench.least_proved)
    if choices:
        latest = max(started + further_seconds, time.monotonic() + _AT_LEAST)
        bench.deadline = min(bench.deadline, latest)
        choices += bench.cheaper(choices[0], further)
    return Menu(tuple(choices), bench.impossible, time.monotonic() - started)


class _Bench:
    """Asks the model, then the packing core, until the two agree or time is over."""

    def __init__(
        self, trip: Trip, plan: Plan, deadline: float, seed: int, *, leave: bool = True
    ) -> None:
        self.trip, self.plan, self.deadline, self.seed = trip, plan, deadline, seed
        self.fitter = Fitter(trip.clearance_mm, seed)
        self.stay = most_left(trip, plan) if leave else {}
        self.before = contents_of(plan)
        self.flown = sum(self.before.values(), Counter[str]())
        self.lines = tuple(line for line in trip.gear if line.name in self.flown)
        self.harder = no_smaller(self.lines)
        self.cuts: list[tuple[Counts, frozenset[str]]] = []
        self.probed: set[str] = set()
        self.guessed = False
        self.impossible = False
        self.least_proved = False
        costs = judge(trip, plan).costs
        self._other_minor = costs.hire_minor + costs.delivery_minor + costs.worth_minor

    def fewest(self) -> Found | None:
        """A legal packing with the fewest moves, the cheapest of these; None if none was found.

        Few moves are nearly always enough, and a model that may move little is solved sooner. So
        numbers are tried one by one, first the one that the weights ask for, then in leaps.
        """
        refuted = self._least_by_weight()
        for most in _to_try(refuted, self.flown.total()):
            found, sure = self._within(most, one_by_one=most == refuted)
            if found is not None:
                self.least_proved = sure
                return found
            if not sure:
                return None
            refuted = most + 1
        self.impossible = True
        return None

    def cheaper(self, first: Mending, further: int) -> list[Mending]:
        """What more moves would save: each row is cheaper than the one before."""
        rows = [first]
        for allowed in range(first.allowed + 1, first.allowed + further + 1):
            below = rows[-1].verdict.costs.objective_minor - self._other_minor
            if below + self._other_minor <= 0:
                break  # nothing costs less than nothing
            model = self._model(allowed)
            model.cost.with_domain(cp_model.Domain(-self._other_minor, below - 1))
            found, proved = self._settled(model, model.cost)
            if found is not None:
                rows += self.mending(allowed, found, proved=proved and first.proved)
            elif not proved:
                break
        return rows[1:]

    def _least_by_weight(self) -> int:
        """Moves that no mending can do without: each case must lose what it weighs too much."""
        weights = {line.name: line.weight_g for line in self.lines}
        return sum(
            fewest_out(berth, [weights[gear] for gear in self.before[berth.case.name].elements()])
            for berth in berths(self.trip, self.plan)
            if berth.in_use
        )

    def _within(self, most: int, *, one_by_one: bool) -> tuple[Found | None, bool]:
        """The cheapest of the fewest moves, at most so many; whether both are proved.

        `one_by_one`: fewer than `most` moves are known not to do.
        """
        model = self._model(most)
        if one_by_one:
            return self._settled(model, model.cost)
        least, sure = self._settled(model, model.moves)
        if least is None:
            return None, sure
        model = self._model(least.moves)
        cheapest, proved = self._settled(model, model.cost)
        return cheapest or least, proved and sure

    def _model(self, most: int) -> RepairModel:
        """A model for at most so many moves that knows what does not fit where."""
        model = RepairModel(self.trip, self.plan, most, self.stay)
        for counts, cases in self.cuts:
            model.forbid(counts, cases)
        return model

    def mending(self, allowed: int, found: Found, *, proved: bool) -> list[Mending]:
        """The plan of a solution, once the judge accepts it."""
        moves = moves_between(self.plan, found.contents)
        plan = repacked(self.trip, self.plan, moves, found.routes, self.fitter)
        verdict = judge(self.trip, plan)
        return [Mending(allowed, moves, plan, verdict, proved)] if verdict.accepted else []

    def _settled(self, model: RepairModel, aim: cp_model.IntVar) -> tuple[Found | None, bool]:
        """The best solution for which all places are known, and whether it is proved best."""
        while (left := self.deadline - time.monotonic()) > 0:
            found, proved = model.solve(aim, left, self.seed)
            misfits = self._misfits(found) if found else []
            if not misfits:
                return found, proved and not self.guessed
            known = len(self.cuts)
            for case, counts, sure in misfits:
                self._forbid(case, counts, sure=sure)
                self._probe(case.name, found)
            for cut in self.cuts[known:]:
                model.forbid(*cut)
        return None, False

    def _forbid(self, case: Case, counts: Counts, *, sure: bool) -> None:
        """Keep a set out of all boxes no roomier, and sets of larger things too, if it is sure."""
        self.guessed = self.guessed or not sure
        cases = frozenset(c.name for c in self.trip.cases if _no_roomier(c, case))
        for each in lifted(counts, self.harder) if sure else (counts,):
            self.cuts.append((each, cases))

    def _misfits(self, found: Found) -> list[tuple[Case, Counts, bool]]:
        """Cases that gain objects for which no packing is known: which, and is that proved."""
        misfits = []
        for name, inside in found.contents.items():
            case = self.trip.case_named(name)
            if case.kind is CaseKind.BOX and case.inside and self._gains(name, inside):
                rigid = self._rigid(inside)
                verdict = self._fits(case.inside.sides, rigid)
                if verdict is Fits.NO:
                    rigid = self._shrunk(case.inside.sides, rigid, self._refuted)
                if verdict is not Fits.YES:
                    misfits.append((case, rigid, verdict is Fits.NO))
        return misfits

    def _probe(self, case: str, found: Found | None) -> None:
        """Ask at once of every other box whether it takes what this one could not: fewer rounds."""
        before = self.before.get(case)
        inside = found.contents[case] if found else {}
        for gear, count in inside.items():
            if gear not in self.probed and count > (before[gear] if before else 0):
                self.probed.add(gear)
                for other in self.trip.cases:
                    self._probe_one(gear, other)

    def _probe_one(self, gear: str, case: Case) -> None:
        """Whether one more unit fits a case beside all that is in it now; a cut if it is proved."""
        if case.kind is not CaseKind.BOX or case.inside is None:
            return
        now = dict(self.before.get(case.name) or {})
        rigid = self._rigid({**now, gear: now.get(gear, 0) + 1})
        if self._bounded(case.inside.sides, rigid):
            self._forbid(case, self._shrunk(case.inside.sides, rigid, self._bounded), sure=True)

    def _gains(self, case: str, inside: Mapping[str, int]) -> bool:
        before = self.before.get(case)
        return not before or any(count > before[gear] for gear, count in inside.items())

    def _rigid(self, inside: Mapping[str, int]) -> Counts:
        return tuple(
            (i, inside[line.name])
            for i, line in enumerate(self.lines)
            if line.name in inside and is_rigid(line)
        )

    def _bounded(self, inside: Sides, rigid: Counts) -> bool:
        """True where a quick look proves that a set does not fit."""
        if self.fitter.quick(inside, self._items(rigid)).verdict is Fits.YES:
            return False
        return self.fitter.bound(inside, self._items(rigid)).verdict is Fits.NO

    def _refuted(self, inside: Sides, rigid: Counts) -> bool:
        """True where it is proved that a set does not fit, with some effort."""
        return self._fits(inside, rigid) is Fits.NO

    def _items(self, rigid: Counts) -> list[Item]:
        return [item_of(self.lines[i]) for i, count in rigid for _ in range(count)]

    def _fits(self, inside: Sides, rigid: Counts) -> Fits:
        items = self._items(rigid)
        return self.fitter.decide(inside, items, deterministic_limit=_FIT_LIMIT).verdict

    def _shrunk(self, inside: Sides, rigid: Counts, refuted: Refuted) -> Counts:
        """A smaller set that is proved not to fit either: a stronger cut."""
        counts = dict(rigid)
        for i, _ in rigid:
            while counts.get(i):
                fewer = {j: n - (j == i) for j, n in counts.items() if n - (j == i)}
                if not refuted(inside, tuple(fewer.items())):
                    break
                counts = fewer
        return tuple(sorted(counts.items()))


def _to_try(first: int, last: int) -> Iterator[int]:
    """Numbers of moves to allow: the least, the next two, then in leaps, at last all."""
    yield from range(first, min(first + 3, last))
    leap = 4
    while first + leap < last:
        yield first + leap
        leap *= 2
    yield last


def _no_roomier(case: Case, box: Case) -> bool:
    if case.kind is not CaseKind.BOX or case.inside is None or box.inside is None:
        return False
    return all(a <= b for a, b in zip(case.inside.sides, box.inside.sides, strict=True))
