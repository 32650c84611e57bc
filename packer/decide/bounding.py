"""The bound from the class model, raised as the solver raises it; and plans its answers suggest.

First the linear relaxation, with rows of space and of fillings added where its answer breaks
them, until it breaks none: a bound within moments, also of the largest trips. Then rounds of the
whole model: solve, look which rows of space and of fillings the answer violates, spread an answer
that violates none over single cases, learn what does not go, solve again, until nothing is
learned or the share of time is spent. Every bound on the way holds.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite

from ortools.sat.python import cp_model

from packer.decide.classes import StoppedError, Value, build_classes
from packer.decide.filling import BayFiller, Terms, fillers_of
from packer.decide.improve import begun, completed, pack
from packer.decide.linear import LinearRows
from packer.decide.relaxed import Relaxation
from packer.decide.rows import SpaceRow
from packer.decide.search import Search, whole_minor
from packer.decide.sketch import Sketch, sketch_of
from packer.decide.stowing import Ground
from packer.decide.unfold import DockCut, Unfolder
from packer.decide.whole import Listener, Status, Whole, solve_whole
from packer.geometry import Verdict
from packer.model.plan import Route

DOING = "counting cases by class"
GLANCE_SHARE = 0.12  # of the time for a first look at whole answers: they are starts for plans
FIRST_SHARE, NEXT_SHARE = 0.6, 0.2  # of the time for one round: the first raises the bound
MOST_IDLE = 5  # rounds of the relaxation that hardly raise it
HARDLY = 2e-5  # of the bound
ITERATIONS_EACH_DETERMINISTIC_S = 20_000
LOOKS_EACH_DETERMINISTIC_S = 500  # of the whole model
ROUNDINGS = (0.1, 0.5, 0.9)  # added to what the relaxation flies before fractions are cut off
FILL_SHARE = 0.5  # of the time for rows of fillings
BINDING = 1.0  # in the units of such a row, whose prices go up to 1000
LEAST_BELOW_S = 0.2  # for rows at one answer, or as long as it took to find it
DETERMINISTIC_S_EACH_FILLER = 0.02  # besides what its looks at geometry take
MOST_SPREAD = 100  # cases above which answers are not spread: no packing of so many is proved
MOST_BY_CLAUSES = 20  # cases up to which CP-SAT solves the whole model sooner than HiGHS
MOST_FILLED = 40  # cases above which rows of fillings slow the whole model more than they raise it


class _Drafter(cp_model.CpSolverSolutionCallback):
    """Hands on each answer on the way."""

    def __init__(self, take: Callable[[tuple[int, ...]], None]) -> None:
        super().__init__()
        self._take = take

    def on_solution_callback(self) -> None:
        """Called by the solver at each answer."""
        self._take(tuple(self.response_proto.solution))


def bound_by_classes(search: Search, share_s: float) -> None:
    """Solves the class model for at most `share_s` seconds and raises the search's bound.

    Ends early when the class model's optimum is unfolded into a plan: that plan is proved.
    """
    begun = search.watch.work

    def left_s() -> float:
        return share_s - (search.watch.work - begun)

    def over() -> bool:
        return search.watch.over() or search.proved or left_s() <= 0

    if over():
        return
    try:
        master = Master(search, over)
    except StoppedError:
        return
    while not over() and master.relax(left_s()):
        pass
    if not master.tiny:
        master.suggest()
        master.glance(GLANCE_SHARE * share_s)
    least_s = (1 - FILL_SHARE) * share_s
    while master.few and left_s() > least_s and not over() and master.fill(left_s() - least_s):
        pass
    if master.tiny:
        master.suggest()
    share = FIRST_SHARE
    while not over() and master.round(min(left_s(), share * share_s)):
        share = NEXT_SHARE


class Master:
    """The rounds of the decomposition, with what they have learned so far."""

    def __init__(self, search: Search, over: Callable[[], bool]) -> None:
        self._search = search
        self._over = over
        self._ground = Ground(search.problem, search.space, search.rows, over)
        learned = (search.cuts, search.rows)
        self._unfolder = Unfolder(
            search.problem, search.space, *learned, search.watch, over, self._ground.cuts
        )
        self.classes = build_classes(search.problem, search.rows, over)
        self._relaxation = Relaxation(self.classes.model, over)
        self._relaxed = 0.0
        self._idle = 0
        self._fillers: list[BayFiller] = []
        self._filled: list[Terms] = []
        self._values: list[float] = []
        self._honest = True
        self._small = len(search.problem.cases) <= MOST_SPREAD
        self.few = len(search.problem.cases) <= MOST_FILLED
        self.tiny = len(search.problem.cases) <= MOST_BY_CLAUSES

    @property
    def rows(self) -> LinearRows:
        """All linear rows so far: of the model, and of fillings."""
        return self._relaxation.rows

    def relax(self, left_s: float) -> bool:
        """Solves the linear relaxation once; True if rows of space may raise it further."""
        return self._relax(left_s) and self._learn_spaces() and self._idle < MOST_IDLE

    def fill(self, left_s: float) -> bool:
        """Adds rows of fillings to the relaxation and solves it; True if more may raise it."""
        if not self._values:
            return False
        if not self._fillers:
            self._idle = 0
        rows = self._broken(self._value)
        for terms in rows:
            self._relaxation.limit(terms)
        self._filled += rows
        if not rows or not self._relax(left_s):
            return False
        self._learn_spaces()
        return self._idle < MOST_IDLE

    def _broken(self, value: Value) -> list[Terms]:
        """The rows of fillings that an answer breaks, at most one for a bay."""
        watch, ground = self._search.watch, self._ground
        if not self._fillers:
            self._fillers = fillers_of(self.classes, ground)
        rows: list[Terms] = []
        for filler in self._fillers:
            if self._over():
                break
            terms = filler.violated(value)
            rows += [terms] if terms else []
            watch.spent += DETERMINISTIC_S_EACH_FILLER + ground.spent
            ground.spent = 0.0
        return rows

    def suggest(self) -> None:
        """Packs what the relaxation flies, rounded more and less: good starts, large trips most."""
        if not self._values:
            return
        flown = [self._value(var) for var in self.classes.flown]
        for up in ROUNDINGS:
            if self._over():
                return
            found = self._packed([int(n + up) for n in flown])
            if found is not None:
                self._search.offer(found, "packing what the relaxation flies")
                self._search.seeds.append(found)

    def _packed(self, flown: list[int]) -> Sketch | None:
        """What is to fly, packed; where what must fly is left out, room is looked for."""
        search = self._search
        found, missing = begun(search.problem, search.given, flown)
        if not missing:
            return found
        seed = search.watch.limits.seed
        return completed(search.problem, search.given, found, seed, self._over)

    def _value(self, var: cp_model.IntVar) -> float:
        return self._values[var.index]

    def _relax(self, left_s: float) -> bool:
        watch = self._search.watch
        clocked = watch.limits.deterministic is None
        found = self._relaxation.solve(min(left_s, watch.left_s) if clocked else None)
        if found is None:
            return False
        watch.spent += found.iterations / ITERATIONS_EACH_DETERMINISTIC_S
        self._hear(found.bound)
        self._idle = 0 if found.bound > self._relaxed * (1 + HARDLY) else self._idle + 1
        self._relaxed = max(self._relaxed, found.bound)
        self._values = found.values
        return True

    def _learn_spaces(self) -> bool:
        return self._learn(self.classes.violated(self._search.row_maker, self._value))

    def round(self, left_s: float) -> bool:
        """Solves the whole model once; True if something was learned that changes it."""
        search, classes = self._search, self.classes
        begun = search.watch.work
        found = self._by_clauses(left_s) if self.tiny else self._by_branches(left_s)
        if found.status is Status.INFEASIBLE and not self.tiny and search.best is None:
            found = self._by_clauses(left_s)  # in whole numbers alone: this ends the search
        if found.status is Status.INFEASIBLE and self._honest:
            self._conclude_nothing_below()
        if not found.values:
            return False
        self._hear(found.bound)
        learned = self._learn(classes.violated(search.row_maker, found.value))
        if self.few and self._learn_fillings(found.value):
            learned = True
            self._fill_below(found, max(LEAST_BELOW_S, search.watch.work - begun))
        if learned or not self._small:
            return learned
        return self._unfold(found) or found.status is Status.FEASIBLE

    def glance(self, left_s: float) -> None:
        """Solves the whole model as it is, for its answers on the way."""
        if not self._over():
            self._hear(self._by_branches(left_s).bound)

    def _by_branches(self, left_s: float) -> Whole:
        search = self._search
        clocked = search.watch.limits.deterministic is None
        looks = None if clocked else int(left_s * LOOKS_EACH_DETERMINISTIC_S)
        listener = Listener(self._hear, self._draft, lambda: self._over() or search.proved)
        found = solve_whole(self.rows, listener, left_s if clocked else None, looks)
        search.watch.spent += found.looks / LOOKS_EACH_DETERMINISTIC_S
        return found

    def _by_clauses(self, left_s: float) -> Whole:
        """By CP-SAT: with what costs too much cut off sooner by far, where few cases are."""
        search, classes = self._search, self.classes
        self._keep_fillings()
        classes.model.add(classes.cost >= search.bound_minor)
        if search.best_minor is not None:
            classes.model.add(classes.cost <= search.best_minor)
        solver = cp_model.CpSolver()
        search.watch.configure(solver, left_s)
        solver.best_bound_callback = self._hear
        with search.watch.guarding(solver.stop_search, self._over):
            status = solver.solve(classes.model, _Drafter(self._draft))
        search.watch.spent += solver.response_proto.deterministic_time
        values = tuple(solver.response_proto.solution)
        if status == cp_model.INFEASIBLE:
            return Whole(Status.INFEASIBLE, (), float("-inf"), 0)
        ended = Status.OPTIMAL if status == cp_model.OPTIMAL else Status.FEASIBLE
        bound = solver.best_objective_bound
        return Whole(ended, values, bound, 0) if values else Whole(Status.UNKNOWN, (), bound, 0)

    def _keep_fillings(self) -> None:
        """Gives the model itself the rows of fillings that bind in the relaxation."""
        for terms in self._filled:
            if sum(size * self._value(var) for var, size in terms) > -BINDING:
                self.classes.limit(terms)
        self._filled = []

    def _learn_fillings(self, value: Value) -> bool:
        """Adds to the whole model the rows of fillings that an answer breaks, if there are any."""
        rows = self._broken(value)
        for terms in rows:
            self.classes.limit(terms)
        return bool(rows)

    def _fill_below(self, answer: Whole, share_s: float) -> None:
        """Rows of fillings for the relaxation with as many cases of each kind as an answer has.

        Answers that differ in the units alone come one after the other; so most are cut off at
        once. Takes about `share_s` at most.
        """
        watch, best_minor = self._search.watch, self._search.best_minor
        counts = [berth.count for bay in self.classes.bays for berth in bay.berths]
        fixed = {var.index: answer.value(var) for var in counts}
        end = watch.work + share_s
        while watch.work < end and not self._over():
            found = self._relaxation.solve(fixed=fixed)
            if found is None:
                return
            watch.spent += found.iterations / ITERATIONS_EACH_DETERMINISTIC_S
            if best_minor is not None and found.bound > best_minor:
                return
            if not self._learn_fillings(lambda var, at=found.values: at[var.index]):  # type: ignore[misc]
                return

    def _draft(self, values: tuple[int, ...]) -> None:
        """Hands an answer of the whole model on, to be packed case by case."""
        self._search.drafts.append(self.classes.draft(lambda var: values[var.index]))

    def _learn(self, rows: list[SpaceRow]) -> bool:
        """Adds rows to the model; True if any is new."""
        new = [row for row in rows if row not in self._search.rows]
        for row in new:
            self.classes.limit_space(row)
        return self._search.add_rows(new)

    def _conclude_nothing_below(self) -> None:
        """The model has no answer at all: then there is no plan."""
        if self._search.best is None:
            self._search.conclude_impossible()

    def _hear(self, bound: float) -> None:
        """A bound counts only while every cut of the model is proved."""
        if self._honest and isfinite(bound):
            self._search.raise_bound(whole_minor(bound), DOING)

    def _unfold(self, solver: Whole) -> bool:
        """Spreads the answer over single cases; True if a cut was learned instead."""
        search = self._search
        flown = [solver.value(var) for var in self.classes.flown]
        loads: dict[int, tuple[Route, dict[int, int]]] = {}
        cuts: list[DockCut] = []
        taken = [0] * len(search.problem.groups)
        for dock, counts in self.classes.docks(solver.value):
            if self._over():
                return False
            spread = self._unfolder.spread(dock, counts, flown)
            contents = spread.contents or ({},) * len(dock.rooms_g)
            for group, content in zip(dock.groups, contents, strict=True):
                loads[search.problem.groups[group][taken[group]]] = (dock.route, content)
                taken[group] += 1
            if spread.verdict is not Verdict.YES:
                most = [line.most for line in search.problem.lines]
                cuts.append(self._unfolder.smallest(dock, counts, most))
        if self._over():
            return False
        for cut in cuts:
            self.classes.forbid(cut)
            self._honest = self._honest and cut.proved
        if cuts:
            self._patch(flown, loads)
        else:
            search.offer(sketch_of(loads), "spreading classes over cases")
        return bool(cuts)

    def _patch(self, flown: list[int], loads: dict[int, tuple[Route, dict[int, int]]]) -> None:
        """A plan from what could be spread: the rest packed by hand, a start for improvement."""
        patched = pack(self._search.problem, self._search.given, flown, sketch_of(loads))
        if patched is not None:
            self._search.offer(patched, "mending what the bound flies")
            self._search.seeds.append(patched)
