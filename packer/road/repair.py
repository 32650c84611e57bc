"""The least work that makes a plan legal again, and what a little more work would save.

In: a trip (with real weights) and a plan that was packed for it. Out: a `Menu`: the fewest moved
objects that make everything legal, and what one, two, three moves more would save.

What flies and what is hired stays as it is, and every case in use keeps its way of travel; an
empty case may be taken along, in hold or cabin. A move is one object that ends in another case.
Places are settled by the packing core, case by case, and sets that do not fit come back to the
model as cuts (logic-based Benders decomposition, Hooker & Ottosson 2003). The judge has the last
word on every plan.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.geometry import Fitter, Item
from packer.geometry import Verdict as Fits
from packer.judge import Verdict, judge
from packer.model.plan import Plan
from packer.model.trip import Case, CaseKind, Trip
from packer.road.dominance import Counts, lifted, no_smaller
from packer.road.repacking import Move, is_rigid, item_of, moves_between, repacked
from packer.road.repair_model import Found, RepairModel

Sides = tuple[int, int, int]
Refuted = Callable[[Sides, Counts], bool]

SECONDS = 10.0
"""The most that a whole menu may take; trips of 150 units need well under one."""

FURTHER = 3
"""Rows after the first: what one, two and three moves more would save."""

FURTHER_SECONDS = 1.0
"""The most that the rows after the first may take together."""

_FIRST_TRIED = (1, 2, 4)

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
    def touched(self) -> tuple[str, ...]:
        """The cases that are opened, by name."""
        return tuple(sorted({case for move in self.moves for case in (move.source, move.target)}))


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
) -> Menu:
    """The menu for a plan under the trip's real weights. A plan that is legal costs no move.

    Rows after the first are left out where they are not found within `further_seconds` in all.
    """
    started = time.monotonic()
    bench = _Bench(trip, plan, started + seconds, seed)
    least = bench.fewest()
    choices: list[Mending] = []
    below: int | None = None
    for allowed in range(least.moves, least.moves + further + 1) if least else ():
        found, proved = bench.cheapest(allowed, below)
        if found is None and below is None:
            found = least  # time ran out before the cheapest with as few moves was known
        if below is None:
            bench.deadline = min(bench.deadline, time.monotonic() + further_seconds)
        if found is not None:
            below = found.cost_minor
            sure = proved and (bool(choices) or bench.least_proved)
            choices += bench.mending(allowed, found, proved=sure)
    return Menu(tuple(choices), bench.impossible, time.monotonic() - started)


class _Bench:
    """Asks the model, then the packing core, until the two agree or time is over."""

    def __init__(self, trip: Trip, plan: Plan, deadline: float, seed: int) -> None:
        self.trip, self.plan, self.deadline, self.seed = trip, plan, deadline, seed
        self.fitter = Fitter(trip.clearance_mm, seed)
        self.repair = RepairModel(trip, plan)
        self.lines = self.repair.lines
        self.harder = no_smaller(self.lines)
        self.probed: set[str] = set()
        self.guessed = False
        self.impossible = False
        self.least_proved = False

    def fewest(self) -> Found | None:
        """A legal packing with the fewest moves; None where none was found.

        Few moves are nearly always enough, and a model that may move little is solved sooner; so
        small numbers are tried first.
        """
        proved = False
        for most in (*_FIRST_TRIED, sum(self.repair.flown.values())):
            self.repair.moves.with_domain(cp_model.Domain(0, most))
            found, proved = self._settled(self.repair.moves)
            if found is not None:
                self.least_proved = proved
                return found
        self.impossible = proved
        return None

    def cheapest(self, allowed: int, below: int | None) -> tuple[Found | None, bool]:
        """The cheapest legal packing within so many moves, if below a cost; whether proved."""
        self.repair.moves.with_domain(cp_model.Domain(0, allowed))
        if below is not None:
            if below <= 0:
                return None, True  # nothing costs less than nothing
            self.repair.cost.with_domain(cp_model.Domain(0, below - 1))
        return self._settled(self.repair.cost)

    def mending(self, allowed: int, found: Found, *, proved: bool) -> list[Mending]:
        """The plan of a solution, once the judge accepts it."""
        moves = moves_between(self.plan, found.contents)
        plan = repacked(self.trip, self.plan, moves, found.routes, self.fitter)
        verdict = judge(self.trip, plan)
        return [Mending(allowed, moves, plan, verdict, proved)] if verdict.accepted else []

    def _settled(self, aim: cp_model.IntVar) -> tuple[Found | None, bool]:
        """The best solution for which all places are known, and whether it is proved best."""
        while (left := self.deadline - time.monotonic()) > 0:
            found, proved = self.repair.solve(aim, left, self.seed)
            misfits = self._misfits(found) if found else []
            if not misfits:
                return found, proved and not self.guessed
            for case, counts, sure in misfits:
                self._forbid(case, counts, sure=sure)
                self._probe(case.name, found)
        return None, False

    def _forbid(self, case: Case, counts: Counts, *, sure: bool) -> None:
        """Keep a set out of all boxes no roomier, and sets of larger things too, if it is sure."""
        self.guessed = self.guessed or not sure
        cases = frozenset(c.name for c in self.trip.cases if _no_roomier(c, case))
        for each in lifted(counts, self.harder) if sure else (counts,):
            self.repair.forbid(each, cases)

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
        before = self.repair.before.get(case)
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
        now = dict(self.repair.before.get(case.name) or {})
        rigid = self._rigid({**now, gear: now.get(gear, 0) + 1})
        if self._bounded(case.inside.sides, rigid):
            self._forbid(case, self._shrunk(case.inside.sides, rigid, self._bounded), sure=True)

    def _gains(self, case: str, inside: Mapping[str, int]) -> bool:
        before = self.repair.before.get(case)
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


def _no_roomier(case: Case, box: Case) -> bool:
    if case.kind is not CaseKind.BOX or case.inside is None or box.inside is None:
        return False
    return all(a <= b for a, b in zip(case.inside.sides, box.inside.sides, strict=True))
