"""From counts by class to single cases: can these units be spread over so many like cases?

This is the subproblem of a logic-based Benders decomposition (Hooker & Ottosson 2003) whose
master is the class model: a yes is a plan that costs what the master says; a proved no is shrunk
to few lines and becomes a cut of the master.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.cuts import Cut, Demand, lifted_by_weight
from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Problem
from packer.decide.rows import SpaceRow, inside_of
from packer.decide.sketch import Load
from packer.decide.space import Space
from packer.decide.watch import Watch
from packer.geometry import Verdict
from packer.model.plan import Route
from packer.model.solving import Limits
from packer.model.trip import CaseKind

LIMIT = 1.0  # deterministic seconds for one question
SHRINK_LIMIT = 0.1
MOST_ROUNDS = 60

Counts = dict[int, int]


@dataclass(frozen=True, slots=True)
class Dock:
    """Cases alike inside on one route: the group of each, and what each may take in grams,
    largest first."""

    groups: tuple[int, ...]
    route: Route
    rooms_g: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DockCut:
    """Demands (lines, at least so many units) that overfill the dock's cases and tighter ones.

    `proved` False: no way to spread them was found, and none excluded.
    """

    dock: Dock
    demands: tuple[Demand, ...]
    proved: bool


@dataclass(frozen=True, slots=True)
class Spread:
    """An answer: YES with the contents of each room, NO proved, or UNKNOWN."""

    verdict: Verdict
    contents: tuple[Counts, ...] = ()


class Unfolder:
    """Spreads contents over docks; learns geometry cuts on the way, kept in `cuts`."""

    def __init__(
        self,
        problem: Problem,
        space: Space,
        cuts: list[Cut],
        rows: list[SpaceRow],
        watch: Watch | None = None,
        over: Callable[[], bool] | None = None,
        known: list[Cut] | None = None,
    ) -> None:
        """`over`, asked often, ends the work early; by itself the watch does.

        `known`: cuts that count besides; what is learned is added here too.
        """
        self._problem = problem
        self._watch = watch or Watch(Limits(seconds=float("inf")), lambda: False)
        self._over = over or self._watch.over
        self._space = space
        self._cuts = cuts
        self._known = cuts if known is None else known
        self._rows = rows

    def spread(
        self, dock: Dock, counts: Counts, flown: Sequence[int] | None, limit: float = LIMIT
    ) -> Spread:
        """Spreads; with `flown` None roles and bundles are left out, for proofs that hold wider."""
        spec = self._problem.cases[self._problem.groups[dock.groups[0]][0]]
        if len(dock.rooms_g) == 1:
            return self._single(spec, dock, counts, flown, limit)
        return self._several(spec, dock, counts, flown, limit)

    def smallest(self, dock: Dock, counts: Counts, most: Sequence[int]) -> DockCut:
        """A small part of `counts` that cannot be spread, as a cut for the master.

        Without roles and bundles if that can be proved, and then widened to all that dominates;
        else with roles at their loosest (`most` units of each line fly); else as a guess.
        """
        if self.spread(dock, counts, None).verdict is Verdict.NO:
            part = self._shrink(dock, counts, None)
            return DockCut(dock, lifted_by_weight(self._problem, part), proved=True)
        proved = self.spread(dock, counts, most).verdict is Verdict.NO
        part = self._shrink(dock, counts, most) if proved else counts
        demands = tuple((frozenset({i}), n) for i, n in sorted(part.items()))
        return DockCut(dock, demands, proved)

    def _shrink(self, dock: Dock, counts: Counts, flown: Sequence[int] | None) -> Counts:
        for line in sorted(counts, key=self._hardness):
            if self._over():
                break
            for fewer in (0, counts[line] // 2, counts[line] - 1):
                rest = {i: n for i, n in {**counts, line: fewer}.items() if n}
                if (
                    fewer < counts[line]
                    and rest
                    and (self.spread(dock, rest, flown, SHRINK_LIMIT).verdict is Verdict.NO)
                ):
                    counts = rest
                    break
        return counts

    def _hardness(self, line: int) -> tuple[int, int]:
        row = self._problem.lines[line]
        return (row.grown_mm3 + row.soft_mm3, row.gear.weight_g)

    def _caps(self, flown: Sequence[int] | None) -> list[tuple[frozenset[int], int]]:
        if flown is None:
            return []
        return [
            (frozenset(cap.lines), cap.base + sum(flown[i] for i in cap.swing))
            for cap in self._problem.roles
        ]

    def _single(
        self, spec: CaseSpec, dock: Dock, counts: Counts, flown: Sequence[int] | None, limit: float
    ) -> Spread:
        if not _sums_hold(self._problem, spec, dock.rooms_g[0], counts):
            return Spread(Verdict.NO)
        for lines, most in self._caps(flown):
            if sum(n for i, n in counts.items() if i in lines) > most:
                return Spread(Verdict.NO)
        if flown is not None and any(
            spec.index not in self._problem.lines[i].cases for i in counts
        ):
            return Spread(Verdict.NO)
        verdict = self._space.check(spec.index, sorted(counts.items()), limit).verdict
        return Spread(verdict, (counts,) if verdict is Verdict.YES else ())

    def _several(
        self, spec: CaseSpec, dock: Dock, counts: Counts, flown: Sequence[int] | None, limit: float
    ) -> Spread:
        proved = True
        for _ in range(MOST_ROUNDS):
            model, x = self._model(spec, dock, counts, flown)
            solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.catch_sigint_signal = False
            solver.parameters.max_deterministic_time = limit
            with self._watch.guarding(solver.stop_search, self._over):
                status = solver.solve(model)
            self._watch.spent += solver.response_proto.deterministic_time
            if status == cp_model.INFEASIBLE:
                return Spread(Verdict.NO if proved else Verdict.UNKNOWN)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                return Spread(Verdict.UNKNOWN)
            contents = tuple(
                {i: n for i in counts if (n := solver.value(x[i, c]))}
                for c in range(len(dock.rooms_g))
            )
            learned = self._misfits(spec, dock, contents)
            if self._over():
                return Spread(Verdict.UNKNOWN)
            if not learned:
                return Spread(Verdict.YES, contents)
            proved = proved and all(cut.proved for cut in learned)
            for kept in {id(self._cuts): self._cuts, id(self._known): self._known}.values():
                kept += [cut for cut in learned if cut not in kept]
            if not proved:
                return Spread(Verdict.UNKNOWN)
        return Spread(Verdict.UNKNOWN)

    def _misfits(self, spec: CaseSpec, dock: Dock, contents: Sequence[Counts]) -> list[Cut]:
        found: list[Cut] = []
        for content in contents:
            if self._over():
                break
            load = Load(spec.index, dock.route, tuple(sorted(content.items())))
            cut = self._space.misfit_cut(load)
            if cut is not None:
                found.append(cut)
        return found

    def _model(
        self, spec: CaseSpec, dock: Dock, counts: Counts, flown: Sequence[int] | None
    ) -> tuple[cp_model.CpModel, dict[tuple[int, int], cp_model.IntVar]]:
        model = cp_model.CpModel()
        lines = self._problem.lines
        rooms = range(len(dock.rooms_g))
        x = {(i, c): model.new_int_var(0, n, f"{i},{c}") for i, n in counts.items() for c in rooms}
        for i, n in counts.items():
            model.add(sum(x[i, c] for c in rooms) == n)
        weights = [sum(lines[i].gear.weight_g * x[i, c] for i in counts) for c in rooms]
        for c in rooms:
            model.add(weights[c] <= dock.rooms_g[c])
            if flown is not None:
                model.add(sum(x[i, c] for i in counts) >= 1)
            _kind_rows(model, self._problem, spec, {i: x[i, c] for i in counts})
            for members, most in self._caps(flown):
                model.add(sum(x[i, c] for i in counts if i in members) <= most)
            if flown is not None:
                self._barred(model, dock, x, c)
            if c and (dock.rooms_g[c], dock.groups[c]) == (dock.rooms_g[c - 1], dock.groups[c - 1]):
                model.add(weights[c - 1] >= weights[c])
            self._space_rows(model, spec, {i: x[i, c] for i in counts})
            self._cut_rows(model, spec, {i: x[i, c] for i in counts}, counts)
        for bundle in self._problem.bundles if flown is not None else ():
            _bundle_rows(model, [i for i in bundle if i in counts], x, rooms)
        return model, x

    def _barred(
        self, model: cp_model.CpModel, dock: Dock, x: dict[tuple[int, int], cp_model.IntVar], c: int
    ) -> None:
        """Lines that may not go in this case of the dock, though others alike take them."""
        first = self._problem.groups[dock.groups[c]][0]
        for (i, room), var in x.items():
            if room == c and first not in self._problem.lines[i].cases:
                model.add(var == 0)

    def _space_rows(
        self, model: cp_model.CpModel, spec: CaseSpec, inside: dict[int, cp_model.IntVar]
    ) -> None:
        size = inside_of(self._problem, spec.index)
        for row in self._rows:
            if row.inside == size:
                model.add(sum(v * inside[i] for i, v in row.values if i in inside) <= row.whole)

    def _cut_rows(
        self,
        model: cp_model.CpModel,
        spec: CaseSpec,
        inside: dict[int, cp_model.IntVar],
        counts: Counts,
    ) -> None:
        """The cuts whose demands the contents could meet at all."""
        flags: dict[tuple[tuple[int, ...], int], cp_model.IntVar] = {}
        for cut in self._known:
            if spec.index not in cut.cases or not cut.proved:
                continue
            met = [(tuple(sorted(lines & counts.keys())), n) for lines, n in cut.demands]
            if any(sum(counts[i] for i in lines) < n for lines, n in met):
                continue
            for lines, n in met:
                if (lines, n) not in flags:
                    flags[lines, n] = model.new_bool_var(f"fewer than {n} of {len(lines)}")
                    units = sum(inside[i] for i in lines)
                    model.add(units <= n - 1).only_enforce_if(flags[lines, n])
            model.add_bool_or([flags[demand] for demand in met])


def _bundle_rows(
    model: cp_model.CpModel,
    lines: list[int],
    x: dict[tuple[int, int], cp_model.IntVar],
    rooms: range,
) -> None:
    if not lines:
        return
    homes = [model.new_bool_var(f"home {c}") for c in rooms]
    model.add_exactly_one(homes)
    for c in rooms:
        for i in lines:
            model.add(x[i, c] == 0).only_enforce_if(~homes[c])


def _kind_rows(
    model: cp_model.CpModel, problem: Problem, spec: CaseSpec, inside: dict[int, cp_model.IntVar]
) -> None:
    lines = problem.lines
    if spec.case.kind is CaseKind.RACK:
        halves = sum((lines[i].gear.rack_half_units or 0) * var for i, var in inside.items())
        model.add(halves <= (spec.case.rack_half_units or 0))
    elif spec.case.kind is CaseKind.SLOTS:
        model.add(sum(inside.values()) <= (spec.case.slots or 0))
    else:
        grown = sum(lines[i].grown_mm3 * var for i, var in inside.items())
        model.add(grown <= spec.volume_mm3)
        filled = sum(lines[i].filled * var for i, var in inside.items())
        if any(lines[i].soft_mm3 for i in inside):
            model.add(filled <= SOFT_SHARE_PERCENT * spec.volume_mm3)


def _sums_hold(problem: Problem, spec: CaseSpec, room_g: int, counts: Mapping[int, int]) -> bool:
    lines = problem.lines
    if sum(n * lines[i].gear.weight_g for i, n in counts.items()) > room_g:
        return False
    if spec.case.kind is CaseKind.RACK:
        halves = sum(n * (lines[i].gear.rack_half_units or 0) for i, n in counts.items())
        return halves <= (spec.case.rack_half_units or 0)
    if spec.case.kind is CaseKind.SLOTS:
        return sum(counts.values()) <= (spec.case.slots or 0)
    filled = sum(n * lines[i].filled for i, n in counts.items())
    soft = any(lines[i].soft_mm3 for i in counts)
    return not soft or filled <= SOFT_SHARE_PERCENT * spec.volume_mm3
