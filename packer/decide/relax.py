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
from packer.decide.improve import begun, pack
from packer.decide.joint import JointModel, build_joint
from packer.decide.loosening import (
    MOST_OVER_G,
    Limit,
    Named,
    Relaxed,
    loosest,
    relaxed,
    roles_of,
    undominated,
)
from packer.decide.problem import Problem
from packer.decide.rows import RowMaker, SpaceRow, inside_of
from packer.decide.ruin.given import given_of
from packer.decide.search import Search
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.decide.strategy import run
from packer.decide.watch import Watch
from packer.model.plan import Route

SOLVE_S = 6.0  # for one question, by the clock or deterministic
SOLVE_SHARE = 0.3  # or this part of the time that is left, if more
MOST_ROUNDS = 40
SEARCH_S = 4.0  # for a search with one limit relaxed
SEARCH_SHARE = 0.25  # or this part of the time that is left, if more
MOST_SEARCHED = 3  # such searches
MOST_OTHERS = 3
TOLD_BEST = (Limit.ROLE, Limit.BUNDLE, Limit.CABIN)  # tried first, one by one


@dataclass(frozen=True, slots=True)
class Conflict:
    """Limits that together admit a plan once relaxed by their amounts.

    `smallest`: proved that no fewer limits do. `least`: proved that no smaller amounts do (in
    sum, for the same limits). `fits`: a packing with places was found. `sketch` is that packing.
    """

    parts: tuple[Relaxed, ...]
    smallest: bool
    least: bool
    fits: bool
    sketch: Sketch


@dataclass(frozen=True, slots=True)
class _Elastic:
    """The loosened joint model with a switch and an amount for each named limit."""

    joint: JointModel
    switches: dict[Named, cp_model.IntVar]
    amounts: dict[Named, cp_model.IntVar]


class _Finder:
    """Solves the elastic model with cuts from geometry until what it relaxes really packs."""

    def __init__(self, problem: Problem, watch: Watch, cuts: Sequence[Cut]) -> None:
        self._problem = problem
        self._watch = watch
        self.loose = loosest(problem)
        self._space = Space(self.loose, watch.limits.seed)
        self._rows = RowMaker(self.loose)
        self._kept_rows: list[SpaceRow] = []
        self._cuts = [_for_copies(self.loose, cut) for cut in cuts if cut.proved]

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
            cuts = self._misfits(found.sketch)
            if not cuts:
                return replace(found, fits=not self._watch.over())
            self._cuts += cuts
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
        honest = all(cut.proved for cut in self._cuts)
        return Conflict(
            parts, (smallest and honest) or len(parts) == 1, least and honest, fits=False,
            sketch=model.joint.sketch(solver),
        )  # fmt: skip

    def _solve(self, model: _Elastic) -> tuple[cp_model.CpSolver, bool] | None:
        solver = cp_model.CpSolver()
        left_s = self._watch.left_s if self._watch.limits.deterministic is None else 0.0
        self._watch.configure(solver, max(SOLVE_S, SOLVE_SHARE * left_s))
        with self._watch.guarding(solver.stop_search):
            status = solver.solve(model.joint.model)
        self._watch.spent += solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        return solver, status == cp_model.OPTIMAL

    def _model(self, without: frozenset[Named]) -> _Elastic:
        model = _elastic(self._problem, self.loose)
        for cut in self._cuts:
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


def _hint(model: _Elastic, solver: cp_model.CpSolver) -> None:
    proto = model.joint.model
    for index, value in enumerate(solver.response_proto.solution):
        proto.add_hint(proto.get_int_var_from_proto_index(index), value)


def _elastic(problem: Problem, loose: Problem) -> _Elastic:
    joint = build_joint(loose)
    model = _Elastic(joint, {}, {})
    _roles(model, problem)
    _bundles(model, problem)
    _cabin(model, problem, loose)
    _cases(model, problem, loose)
    _weights(model, problem, loose)
    _lines(model, problem)
    joint.model.add_bool_or(list(model.switches.values()))
    return model


def _slack(model: _Elastic, named: Named, most: int) -> cp_model.IntVar:
    name = f"{named.limit.name} {named.index}"
    amount = model.joint.model.new_int_var(0, most, f"amount {name}")
    switch = model.joint.model.new_bool_var(f"relax {name}")
    model.joint.model.add(amount <= most * switch)
    model.switches[named], model.amounts[named] = switch, amount
    return amount


def _roles(model: _Elastic, problem: Problem) -> None:
    joint = model.joint
    for n, role in enumerate(roles_of(problem)):
        caps = [cap for cap in problem.roles if cap.role == role]
        units = sum(problem.lines[i].most for i in caps[0].lines)
        if not units:
            continue
        slack = _slack(model, Named(Limit.ROLE, n), units)
        for cap in caps:
            swing = sum(joint.flown[i] for i in cap.swing)
            for c in range(len(joint.used)):
                here = [joint.x[i, c] for i in cap.lines if (i, c) in joint.x]
                if here:
                    joint.model.add(sum(here) <= cap.base + swing + slack)


def _bundles(model: _Elastic, problem: Problem) -> None:
    joint = model.joint
    for n, bundle in enumerate(problem.bundles):
        cases = sorted({c for i, c in joint.x if i in bundle})
        if not cases:
            continue
        slack = _slack(model, Named(Limit.BUNDLE, n), len(cases))
        homes = {c: joint.model.new_bool_var(f"bundle {n},{c}") for c in cases}
        joint.model.add(sum(homes.values()) <= 1 + slack)
        for (i, c), var in joint.x.items():
            if i in bundle:
                joint.model.add(var == 0).only_enforce_if(~homes[c])


def _cabin(model: _Elastic, problem: Problem, loose: Problem) -> None:
    ways = [
        way
        for spec in loose.cases
        for option, way in zip(spec.options, model.joint.ways[spec.index], strict=True)
        if option.route is Route.CABIN
    ]
    if len(ways) > problem.cabin_pieces:
        slack = _slack(model, Named(Limit.CABIN), len(ways))
        model.joint.model.add(sum(ways) <= problem.cabin_pieces + slack)


def _cases(model: _Elastic, problem: Problem, loose: Problem) -> None:
    """Cases of a group are used in their order, so the further ones only after all owned."""
    for g, group in enumerate(loose.groups):
        further = [model.joint.used[c] for c in group if c >= len(problem.cases)]
        if further:
            slack = _slack(model, Named(Limit.CASES, g), len(further))
            model.joint.model.add(sum(further) <= slack)


def _weights(model: _Elastic, problem: Problem, loose: Problem) -> None:
    """Contents within what is allowed as owned, plus the slack."""
    joint = model.joint
    slack = _slack(model, Named(Limit.WEIGHT), MOST_OVER_G)
    for spec in loose.cases:
        owned = undominated(problem.cases[loose.groups[spec.group][0]].options)
        ways = zip(owned, joint.ways[spec.index], strict=True)
        room = sum((option.upto_g - spec.tare_g) * way for option, way in ways)
        joint.model.add(joint.content_g[spec.index] <= room + slack)


def _lines(model: _Elastic, problem: Problem) -> None:
    for line in problem.lines:
        if line.least:
            slack = _slack(model, Named(Limit.LINE, line.index), line.least)
            model.joint.model.add(model.joint.flown[line.index] >= line.least - slack)


def conflicts(problem: Problem, watch: Watch, cuts: Sequence[Cut] = ()) -> tuple[Conflict, ...]:
    """The smallest set of limits to relax, then others as small, each of other kinds of limits.

    () where time ran out before any was found. Needs a problem of which it is proved that it has
    no plan, and of which no line by itself is to blame (`packer.decide.causes`).
    """
    finder = _Finder(problem, watch, cuts)
    first = _alone(problem, watch, TOLD_BEST) or finder.smallest()
    if first is not None and len(first.parts) > 1 and not first.smallest:
        first = _alone(problem, watch, (Limit.CASES,)) or _without_idle(problem, watch, first)
    if first is None:
        return ()
    found = [first]
    while len(found) <= MOST_OTHERS and first.fits and len(first.parts) == 1:
        kinds = {part.named.limit for conflict in found for part in conflict.parts}
        left = tuple(limit for limit in (*TOLD_BEST, Limit.CASES) if limit not in kinds)
        other = _alone(problem, watch, left)
        other = other or finder.smallest(_of_kinds(problem, kinds))
        if other is None or not other.fits or len(other.parts) > 1:
            break
        found.append(other)
    return tuple(found)


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
    share = max(SEARCH_S, SEARCH_SHARE * watch.left_s)
    counted = watch.limits.deterministic
    limits = replace(
        watch.limits, seconds=min(share, watch.left_s),
        deterministic=None if counted is None else min(SEARCH_S, watch.left_deterministic),
    )  # fmt: skip
    search = Search(relaxed(problem, (part,)), Watch(limits, watch.over), lambda _: None)
    search.watch = Watch(limits, lambda: search.best is not None or watch.over())
    run(search)
    watch.spent += search.watch.spent
    found = search.best
    fits = found is not None and _homes(problem, found, part) <= part.amount + 1
    return found if fits else None


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
