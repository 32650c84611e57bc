"""Why there is no plan, where no single line shows it: the fewest named limits to relax.

Every limit that may be to blame (a role's cap, a bundle, the cabin pieces, the cases owned of a
kind, the weight limit, the units of a line that must fly) gets a slack, and the joint model,
loosened so far, minimises first how many limits are relaxed and then by how much (an elastic
programme, as in Chinneck 2008, "Feasibility and Infeasibility in Optimization", ch. 6). Loads that
the geometry refuses come back as cuts, so what is relaxed really leads to a packing. Since a trip
without a plan needs at least one limit relaxed, one that suffices alone is a smallest set.
In: a problem that has no plan. Out: a `Conflict`; `packer.decide.shortfalls` puts it in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from packer.decide.cuts import Cut
from packer.decide.elastic import Elastic, elastic
from packer.decide.evident import evident
from packer.decide.improve import begun, pack
from packer.decide.loosening import (
    Limit,
    Named,
    Relaxed,
    loosest,
    relaxed,
    roles_of,
)
from packer.decide.problem import Problem
from packer.decide.rows import RowMaker, SpaceRow, inside_of
from packer.decide.ruin.given import given_of
from packer.decide.search import Search
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.decide.strategy import run
from packer.decide.watch import Watch

SOLVE_S = 6.0  # for one question, by the clock or deterministic
SOLVE_SHARE = 0.3  # or this part of the time that is left, if more
MOST_ROUNDS = 40
SEARCH_S = 4.0  # for a search with one limit relaxed
SEARCH_SHARE = 0.25  # or this part of the time that is left, if more
MOST_SEARCHED = 3  # such searches
MOST_OTHERS = 3
MOST_HOMES = 30_000  # pairs of a line and a case that takes it
OTHERS_S = 4.0  # for what would do as well, in all
TOLD_BEST = (Limit.ROLE, Limit.BUNDLE, Limit.CABIN)  # tried first, one by one


@dataclass(frozen=True, slots=True)
class Conflict:
    """Limits that together admit a plan once relaxed by their amounts.

    `smallest`: proved that no fewer limits do. `least`: proved that no smaller amounts do (in
    sum, for the same limits). `fits`: a packing with places was found. `sketch` is that packing,
    None where only counting shows that these limits are broken, whatever else is.
    """

    parts: tuple[Relaxed, ...]
    smallest: bool
    least: bool
    fits: bool
    sketch: Sketch | None

    @property
    def counted(self) -> bool:
        """Whether counting alone shows it, and not whether anything else is in the way."""
        return self.sketch is None


class _Finder:
    """Solves the elastic model with cuts from geometry until what it relaxes really packs."""

    def __init__(self, problem: Problem, watch: Watch, cuts: Sequence[Cut]) -> None:
        self._problem = problem
        self._watch = watch
        self.loose = loosest(problem)
        self._space = Space(self.loose, watch.limits.seed)
        self._rows = RowMaker(self.loose)
        self._kept_rows: list[SpaceRow] = []
        self.cuts = [_for_copies(self.loose, cut) for cut in cuts if cut.proved]

    def smallest(self, without: frozenset[Named] = frozenset()) -> Conflict | None:
        """The fewest limits, not among `without`; None where time ran out or nothing suffices."""
        last: Conflict | None = None
        for _ in range(MOST_ROUNDS):
            found = None if self._watch.over() else self._relaxed(without)
            if found is None:
                break
            sketch = _packed(self._problem, found.parts)
            if sketch is not None:
                return replace(found, fits=True, sketch=sketch)
            last = found
            cuts = self._misfits(found.sketch) if found.sketch is not None else []
            if not cuts:
                return replace(found, fits=not self._watch.over())
            self.cuts += cuts
        return last

    def _relaxed(self, without: frozenset[Named]) -> Conflict | None:
        """One answer of the model: first the number of limits, then the amounts."""
        model = self._model(without)
        switches, amounts = model.switches, model.amounts
        whole = 10 * len(switches)
        count = sum(switches.values())
        model.joint.model.minimize(
            whole * count + sum(named.limit * on for named, on in switches.items())
        )
        first = self._solve(model)
        if first is None:
            return None
        solver, _ = first
        chosen = [named for named, on in switches.items() if solver.value(on)]
        smallest = len(chosen) == 1 or int(solver.best_objective_bound // whole) >= len(chosen)
        for named, on in switches.items():
            model.joint.model.add(on == (named in chosen))
        _hint(model, solver)
        model.joint.model.minimize(sum(amounts[named] for named in chosen))
        solver, least = self._solve(model) or (solver, False)
        used = {named: solver.value(amounts[named]) for named in chosen}
        parts = tuple(Relaxed(named, amount) for named, amount in used.items() if amount)
        honest = all(cut.proved for cut in self.cuts)
        return Conflict(
            parts, (smallest and honest) or len(parts) == 1, least and honest, fits=False,
            sketch=model.joint.sketch(solver),
        )  # fmt: skip

    def _solve(self, model: Elastic) -> tuple[cp_model.CpSolver, bool] | None:
        solver = cp_model.CpSolver()
        left_s = self._watch.left_s if self._watch.limits.deterministic is None else 0.0
        self._watch.configure(solver, max(SOLVE_S, SOLVE_SHARE * left_s))
        with self._watch.guarding(solver.stop_search):
            status = solver.solve(model.joint.model)
        self._watch.spent += solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        return solver, status == cp_model.OPTIMAL

    def _model(self, without: frozenset[Named]) -> Elastic:
        model = elastic(self._problem, self.loose)
        for cut in self.cuts:
            model.joint.forbid(cut)
        for row in self._kept_rows:
            model.joint.limit_space(row)
        for named in without & model.switches.keys():
            model.joint.model.add(model.switches[named] == 0)
        return model

    def _misfits(self, found: Sketch) -> list[Cut]:
        """Cuts for loads without a packing; what rows tell of them is kept as well."""
        cuts: list[Cut] = []
        for load in found.loads:
            cut = None if self._watch.over() else self._space.misfit_cut(load)
            if cut is None:
                continue
            cuts.append(cut)
            inside = inside_of(self.loose, load.case)
            if inside is not None:
                rows = self._rows.violated(inside, dict(load.counts), 1)
                self._kept_rows += [row for row in rows if row not in self._kept_rows]
        return cuts


def _packed(problem: Problem, parts: Sequence[Relaxed]) -> Sketch | None:
    """What must fly, packed by hand with places, once the limits are relaxed; None if not so."""
    eased = relaxed(problem, parts)
    sketch = pack(eased, given_of(eased, 0), [line.least for line in eased.lines])
    if sketch is None or any(_homes(problem, sketch, part) > part.amount + 1 for part in parts):
        return None
    return sketch


def _homes(problem: Problem, sketch: Sketch, part: Relaxed) -> int:
    """In how many cases a relaxed bundle is, since it was dissolved whole; 0 for other limits."""
    if part.named.limit is not Limit.BUNDLE:
        return 0
    bundle = problem.bundles[part.named.index]
    return sum(any(i in bundle for i, _ in load.counts) for load in sketch.loads)


def _for_copies(loose: Problem, cut: Cut) -> Cut:
    """A cut of the problem as owned, for the further cases too."""
    groups = {loose.cases[c].group for c in cut.cases}
    return replace(cut, cases=tuple(c for g in sorted(groups) for c in loose.groups[g]))


def _hint(model: Elastic, solver: cp_model.CpSolver) -> None:
    proto = model.joint.model
    for index, value in enumerate(solver.response_proto.solution):
        proto.add_hint(proto.get_int_var_from_proto_index(index), value)


def conflicts(problem: Problem, watch: Watch, cuts: Sequence[Cut] = ()) -> tuple[Conflict, ...]:
    """The smallest set of limits to relax, then others as small, each of other kinds of limits.

    () where time ran out before any was found. Needs a problem of which it is proved that it has
    no plan, and of which no line by itself is to blame (`packer.decide.causes`).
    """
    counted = evident(problem)
    if counted and _is_huge(problem):
        return (_counted(counted),)
    finder = _Finder(problem, watch, cuts)
    first = _enough(problem, watch, counted) if counted else _alone(problem, watch, TOLD_BEST)
    first = first or finder.smallest()
    if first is not None and len(first.parts) > 1 and not first.smallest:
        first = _alone(problem, watch, (Limit.CASES,)) or _without_idle(problem, watch, first)
    if first is None or not (first.fits or first.smallest):
        first = _counted(counted) if counted else first
    if first is None:
        return ()
    found = [first]
    later = _short(watch, OTHERS_S)
    others = _Finder(problem, later, finder.cuts)
    while len(found) <= MOST_OTHERS and first.fits and len(first.parts) == 1:
        kinds = {part.named.limit for conflict in found for part in conflict.parts}
        left = tuple(limit for limit in (*TOLD_BEST, Limit.CASES) if limit not in kinds)
        other = _alone(problem, later, left)
        other = other or others.smallest(_of_kinds(problem, kinds))
        if other is None or not other.fits or len(other.parts) > 1:
            break
        found.append(other)
    watch.spent += later.spent
    return tuple(found)


def _is_huge(problem: Problem) -> bool:
    """True where the model of all limits would not even be built in the time."""
    return sum(len(line.cases) for line in problem.lines if line.least) > MOST_HOMES


def _enough(problem: Problem, watch: Watch, counted: Sequence[Relaxed]) -> Conflict | None:
    """What counting shows, if it is one limit and a plan packs once that is relaxed; else None."""
    if len(counted) != 1 or watch.over():
        return None
    sketch = _packed(problem, counted) or _searched(problem, counted[0], watch)
    return None if sketch is None else _proved(counted[0], sketch)


def _counted(counted: Sequence[Relaxed]) -> Conflict:
    return Conflict(tuple(counted), smallest=False, least=False, fits=False, sketch=None)


def _alone(problem: Problem, watch: Watch, limits: Sequence[Limit]) -> Conflict | None:
    """The first limit with which, relaxed by one alone, what must fly packs; or None.

    Quick where the model is slow: first by hand, then, where relaxing leaves less over than there
    was, by a short search. One limit by one is the least there is, so all of it is proved.
    """
    parts = [
        Relaxed(Named(limit, index), 1)
        for limit in limits
        for index in range(_count(problem, limit))
    ]
    usual = _left_over(problem, ())
    hopeful: list[tuple[int, Relaxed]] = []
    for part in parts:
        if watch.over():
            return None
        left = _left_over(problem, (part,))
        sketch = _packed(problem, (part,)) if not left else None
        if sketch is not None:
            return _proved(part, sketch)
        if left < usual:
            hopeful.append((left, part))
    for _, part in sorted(hopeful, key=lambda pair: pair[0])[:MOST_SEARCHED]:
        sketch = _searched(problem, part, watch)
        if sketch is not None:
            return _proved(part, sketch)
    return None


def _proved(part: Relaxed, sketch: Sketch) -> Conflict:
    return Conflict((part,), smallest=True, least=True, fits=True, sketch=sketch)


def _left_over(problem: Problem, parts: Sequence[Relaxed]) -> int:
    """How much of what must fly finds no case when packed by hand."""
    eased = relaxed(problem, parts)
    wanted = [line.least for line in eased.lines]
    return begun(eased, given_of(eased, 0), wanted)[1]


def _searched(problem: Problem, part: Relaxed, watch: Watch) -> Sketch | None:
    """The first plan that a short search finds once a limit is relaxed; None if it finds none."""
    search = Search(relaxed(problem, (part,)), _short(watch, _search_s(watch)), lambda _: None)
    search.watch = Watch(search.watch.limits, lambda: search.best is not None or watch.over())
    run(search)
    watch.spent += search.watch.spent
    found = search.best
    fits = found is not None and _homes(problem, found, part) <= part.amount + 1
    return found if fits else None


def _search_s(watch: Watch) -> float:
    """More than the usual where much is left by the clock, which a counted budget does not ask."""
    if watch.limits.deterministic is not None:
        return SEARCH_S
    return max(SEARCH_S, SEARCH_SHARE * watch.left_s)


def _short(watch: Watch, seconds: float) -> Watch:
    """A watch for a part of the work, by the clock or deterministic."""
    counted = watch.limits.deterministic
    limits = replace(
        watch.limits, seconds=min(seconds, watch.left_s),
        deterministic=None if counted is None else min(seconds, watch.left_deterministic),
    )  # fmt: skip
    return Watch(limits, watch.over)


def _count(problem: Problem, limit: Limit) -> int:
    counts = {
        Limit.ROLE: len(roles_of(problem)), Limit.BUNDLE: len(problem.bundles),
        Limit.CABIN: 1, Limit.CASES: len(problem.groups), Limit.LINE: len(problem.lines),
        Limit.WEIGHT: 1,
    }  # fmt: skip
    return counts[limit]


def _without_idle(problem: Problem, watch: Watch, found: Conflict) -> Conflict:
    """A set that is not proved smallest, without what turns out not to be needed."""
    for part in found.parts:
        rest = tuple(other for other in found.parts if other is not part)
        sketch = None if watch.over() or not rest else _packed(problem, rest)
        if sketch is not None:
            found = replace(found, parts=rest, smallest=len(rest) == 1, fits=True, sketch=sketch)
    return found


def _of_kinds(problem: Problem, kinds: set[Limit]) -> frozenset[Named]:
    return frozenset(Named(kind, n) for kind in kinds for n in range(_count(problem, kind)))
