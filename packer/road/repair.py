"""The least work that makes a plan legal again, and what a little more work would save.

In: a trip (with real weights) and a plan that was packed for it. Out: a `Menu`: the fewest moved
objects that make everything legal, and what one, two, three moves more would save.

What flies and what is hired stays as it is, and every case in use keeps its way of travel; an
empty case may be taken along, in hold or cabin. A move is one object that ends in another case.
The model is the solver's own joint model with the flown units fixed and moves counted; places are
settled by the packing core, case by case, and sets that do not fit come back as cuts (logic-based
Benders decomposition, Hooker & Ottosson 2003). The judge has the last word on every plan.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from packer.decide.cuts import Cut
from packer.decide.joint import build_joint
from packer.decide.problem import Problem, build
from packer.geometry import Fitter, Item
from packer.geometry import Verdict as Fits
from packer.judge import Verdict, judge
from packer.model.plan import Plan, Route
from packer.model.solving import Wishes
from packer.model.trip import CaseKind, Trip
from packer.road.repacking import (
    Contents,
    Move,
    contents_of,
    is_rigid,
    item_of,
    moves_between,
    repacked,
)

SECONDS = 10.0
"""The most that a whole menu may take; trips of 150 units need well under one."""

FURTHER = 3
"""Rows after the first: what one, two and three moves more would save."""

_MOST_MINOR = 10**12

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
    trip: Trip, plan: Plan, further: int = FURTHER, seconds: float = SECONDS, seed: int = 0
) -> Menu:
    """The menu for a plan under the trip's real weights. A plan that is legal costs no move."""
    started = time.monotonic()
    bench = _Bench(trip, plan, started + seconds, seed)
    least = bench.fewest()
    choices: list[Mending] = []
    cost: int | None = None
    for allowed in range(least.moves, least.moves + further + 1) if least else ():
        found = bench.cheapest(allowed, cost)
        if found is None and not choices:
            found = least  # time ran out before the cheapest of them was known
        if found is not None:
            cost = found.cost
            choices += bench.mending(allowed, found)
    return Menu(tuple(choices), bench.impossible, time.monotonic() - started)


@dataclass(frozen=True, slots=True)
class _Found:
    """A solution: contents by case, routes, its model cost, moves, and whether it is proved."""

    contents: Contents
    routes: Mapping[str, Route]
    cost: int
    moves: int
    proved: bool


class _Bench:
    """The model of one repair, kept while its limits change from row to row of the menu."""

    def __init__(self, trip: Trip, plan: Plan, deadline: float, seed: int) -> None:
        self.trip, self.plan, self.deadline, self.seed = trip, plan, deadline, seed
        self.before = contents_of(plan)
        self.fitter = Fitter(trip.clearance_mm, seed)
        self.problem = _fixed(build(trip, Wishes()), self.before)
        self.index = {line.gear.name: line.index for line in self.problem.lines}
        self.joint = build_joint(self.problem, ordered=False)
        self.model = self.joint.model
        self.moves = self._counted("moves", self._leaving(), 10**6)
        self.cost = self._counted("cost", self.joint.cost, _MOST_MINOR)
        self.guessed = False
        self.impossible = False
        self._keep_routes()
        self._hint()

    def fewest(self) -> _Found | None:
        """A legal packing with the fewest moves; None where none was found."""
        self.model.minimize(self.moves)
        found, settled = self._solved()
        self.impossible = found is None and settled
        return found

    def cheapest(self, allowed: int, below: int | None) -> _Found | None:
        """The cheapest legal packing within so many moves, if it costs less than `below`."""
        self.moves.with_domain(cp_model.Domain(0, allowed))
        if below is not None:
            self.cost.with_domain(cp_model.Domain(0, below - 1))
        self.model.minimize(self.cost)
        return self._solved()[0]

    def mending(self, allowed: int, found: _Found) -> list[Mending]:
        """The plan of a solution, once the judge accepts it."""
        moves = moves_between(self.plan, found.contents)
        plan = repacked(self.trip, self.plan, moves, found.routes, self.fitter)
        verdict = judge(self.trip, plan)
        return [Mending(allowed, moves, plan, verdict, found.proved)] if verdict.accepted else []

    def _inside(self, case: str) -> Mapping[str, int]:
        return self.before.get(case) or {}

    def _counted(self, name: str, expression: cp_model.LinearExprT, most: int) -> cp_model.IntVar:
        var = self.model.new_int_var(0, most, name)
        self.model.add(var == expression)
        return var

    def _leaving(self) -> cp_model.LinearExprT:
        """The number of units that leave the case they are in."""
        terms: list[cp_model.LinearExprT] = [0]
        for spec in self.problem.cases:
            for gear, count in self._inside(spec.case.name).items():
                var = self.joint.x.get((self.index[gear], spec.index))
                if var is None:
                    terms.append(count)
                    continue
                left = self.model.new_int_var(0, count, f"left {gear},{spec.index}")
                self.model.add(left >= count - var)
                terms.append(left)
        return sum(terms)

    def _keep_routes(self) -> None:
        """A case in use travels as before or stays empty; no case takes to freight now."""
        routes = {piece.case: piece.route for piece in self.plan.pieces}
        for spec in self.problem.cases:
            kept = routes.get(spec.case.name)
            for option, way in zip(spec.options, self.joint.ways[spec.index], strict=True):
                if option.route is not kept and (kept or option.route is Route.FREIGHT):
                    self.model.add(way == 0)

    def _hint(self) -> None:
        """Start from what is packed now."""
        for (line, case), var in self.joint.x.items():
            inside = self._inside(self.problem.cases[case].case.name)
            self.model.add_hint(var, inside.get(self.problem.lines[line].gear.name, 0))

    def _solved(self) -> tuple[_Found | None, bool]:
        """Solve, ask for places, learn what does not fit, until all fits or time is over.

        Without a solution, the second value says whether it is proved that there is none.
        """
        while (left := self.deadline - time.monotonic()) > 0:
            solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.random_seed = self.seed
            solver.parameters.max_time_in_seconds = left
            status = solver.solve(self.model)
            if status == cp_model.INFEASIBLE:
                return None, not self.guessed
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                return None, False
            found = self._read(solver, status == cp_model.OPTIMAL and not self.guessed)
            cuts = self._misfits(found.contents)
            if not cuts:
                return found, False
            for cut in cuts:
                self.joint.forbid(cut)
                self.guessed = self.guessed or not cut.proved
        return None, False

    def _read(self, solver: cp_model.CpSolver, proved: bool) -> _Found:
        contents: dict[str, dict[str, int]] = {}
        for (line, case), var in self.joint.x.items():
            if count := solver.value(var):
                name = self.problem.cases[case].case.name
                contents.setdefault(name, {})[self.problem.lines[line].gear.name] = count
        routes = {
            spec.case.name: option.route
            for spec in self.problem.cases
            for option, way in zip(spec.options, self.joint.ways[spec.index], strict=True)
            if solver.value(way)
        }
        return _Found(contents, routes, solver.value(self.cost), solver.value(self.moves), proved)

    def _misfits(self, contents: Contents) -> list[Cut]:
        """A cut for every case that gains objects and for which no packing is known."""
        return [
            cut
            for spec in self.problem.cases
            if (inside := contents.get(spec.case.name)) and self._gains(spec.case.name, inside)
            if (cut := self._misfit(spec.index, inside)) is not None
        ]

    def _gains(self, case: str, inside: Mapping[str, int]) -> bool:
        before = self._inside(case)
        return any(count > before.get(gear, 0) for gear, count in inside.items())

    def _misfit(self, case: int, inside: Mapping[str, int]) -> Cut | None:
        box = self.problem.cases[case].case
        rigid = {gear: n for gear, n in inside.items() if self._is_rigid(gear)}
        if box.kind is not CaseKind.BOX or box.inside is None or not rigid:
            return None
        verdict = self._fits(box.inside.sides, rigid)
        if verdict is Fits.YES:
            return None
        blamed = self._shrunk(box.inside.sides, rigid) if verdict is Fits.NO else rigid
        counts = tuple(sorted((self.index[gear], n) for gear, n in blamed.items()))
        alike = tuple(s.index for s in self.problem.cases if s.case.inside == box.inside)
        return Cut(counts, alike, verdict is Fits.NO)

    def _is_rigid(self, gear: str) -> bool:
        return is_rigid(self.problem.lines[self.index[gear]].gear)

    def _fits(self, inside: tuple[int, int, int], rigid: Mapping[str, int]) -> Fits:
        items: list[Item] = []
        for gear, count in rigid.items():
            items += [item_of(self.problem.lines[self.index[gear]].gear)] * count
        return self.fitter.decide(inside, items, deterministic_limit=_FIT_LIMIT).verdict

    def _shrunk(self, inside: tuple[int, int, int], rigid: Mapping[str, int]) -> dict[str, int]:
        """A smaller set that is proved not to fit either: a stronger cut."""
        counts = dict(rigid)
        for gear in sorted(rigid):
            while counts.get(gear):
                fewer = {g: n - (g == gear) for g, n in counts.items() if n - (g == gear)}
                if self._fits(inside, fewer) is not Fits.NO:
                    break
                counts = fewer
        return counts


def _fixed(problem: Problem, before: Contents) -> Problem:
    """The problem in which exactly what flies now flies."""
    flown: dict[str, int] = {}
    for inside in before.values():
        for gear, count in inside.items():
            flown[gear] = flown.get(gear, 0) + count
    lines = (
        replace(line, least=flown.get(line.gear.name, 0), most=flown.get(line.gear.name, 0))
        for line in problem.lines
    )
    return replace(problem, lines=tuple(lines))
