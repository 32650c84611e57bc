"""The bound from the class model, raised as the solver raises it; and plans its answers suggest.

First the linear relaxation, with rows of space and of fillings added where its answer breaks
them, until it breaks none: a bound within moments, also of the largest trips. Then rounds of the
whole model: solve, look which rows of space and of fillings the answer violates, spread an answer
that violates none over single cases, learn what does not go, solve again, until nothing is
learned or the share of time is spent. Every bound on the way holds.
"""

from __future__ import annotations

from collections.abc import Callable

from ortools.sat.python import cp_model

from packer.decide.classes import ClassModel, StoppedError, Value, build_classes
from packer.decide.filling import BayFiller, Terms, fillers_of
from packer.decide.improve import Improver, begun, pack
from packer.decide.relaxed import Relaxation
from packer.decide.rows import SpaceRow
from packer.decide.search import Search, whole_minor
from packer.decide.sketch import Sketch, sketch_of
from packer.decide.stowing import Ground
from packer.decide.unfold import DockCut, Unfolder
from packer.geometry import Verdict
from packer.model.plan import Route

DOING = "counting cases by class"
FIRST_SHARE, NEXT_SHARE = 0.6, 0.2  # of the time for one round: the first raises the bound
MOST_IDLE = 2  # rounds of the relaxation that hardly raise it
HARDLY = 2e-5  # of the bound
ITERATIONS_EACH_DETERMINISTIC_S = 20_000
STEPS_FOR_ROOM = 5_000  # of ruin and recreate, to find room for what must fly
ROUNDINGS = (0.1, 0.5, 0.9)  # added to what the relaxation flies before fractions are cut off
FILL_SHARE = 0.5  # of the time for rows of fillings
LEAST_BELOW_S = 0.2  # for rows at one answer, or as long as it took to find it
WORTH_FILLING = 1e-3  # of the bound: what rows of fillings must bring to stay
BINDING = 1.0  # in the units of such a row, whose prices go up to 1000
DETERMINISTIC_S_EACH_FILLER = 0.02  # besides what its looks at geometry take
MOST_SPREAD = 100  # cases above which answers are not spread: no packing of so many is proved
MOST_SUGGESTED = 40  # cases above which packing each answer on the way takes too long
MOST_FILLED = 40  # cases above which rows of fillings slow the whole model more than they raise it


class _Suggester(cp_model.CpSolverSolutionCallback):
    """Packs what each answer of the class model flies; now and then that is a better plan."""

    def __init__(self, search: Search, classes: ClassModel) -> None:
        super().__init__()
        self._search = search
        self.classes = classes

    def on_solution_callback(self) -> None:
        flown = [self.value(var) for var in self.classes.flown]
        built = pack(self._search.problem, self._search.given, flown)
        if built is not None:
            self._search.offer(built, "packing what the bound flies")


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
    least_s = (1 - FILL_SHARE) * share_s
    while master.few and left_s() > least_s and not over() and master.fill(left_s() - least_s):
        pass
    master.suggest()
    master.keep_fillings()
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
        self._size = len(self.classes.model.proto.variables)
        self._relaxation = Relaxation(self.classes.model)
        self._relaxed = 0.0
        self._idle = 0
        self._fillers: list[BayFiller] = []
        self._filled: list[Terms] = []
        self._before_filling = 0.0
        self._values: list[float] = []
        self._honest = True
        self._small = len(search.problem.cases) <= MOST_SPREAD
        self.few = len(search.problem.cases) <= MOST_FILLED

    def relax(self, left_s: float) -> bool:
        """Solves the linear relaxation once; True if rows of space may raise it further."""
        return self._relax(left_s) and self._learn_spaces() and self._idle < MOST_IDLE

    def fill(self, left_s: float) -> bool:
        """Adds rows of fillings to the relaxation and solves it; True if more may raise it."""
        if not self._values:
            return False
        if not self._fillers:
            self._before_filling, self._idle = self._relaxed, 0
        rows = self._broken(self._value)
        for terms in rows:
            self._relaxation.limit(terms)
        self._filled += rows
        if not rows or not self._relax(left_s):
            return False
        self._learn_spaces()
        return self._idle < MOST_IDLE

    def _broken(self, value: Value) -> list[Terms]:
        """Rows of fillings that an answer breaks, at most one for each bay."""
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
        walk = Improver(search.problem, search.given, found, search.watch.limits.seed)
        walk.run(STEPS_FOR_ROOM, lambda _: 1.0, lambda: walk.complete or self._over())
        return walk.best if walk.complete else None

    def keep_fillings(self) -> None:
        """Gives the whole model the rows that bind, if they raised the relaxation by enough."""
        if self._relaxed < self._before_filling * (1 + WORTH_FILLING):
            return
        for terms in self._filled:
            if sum(size * self._value(var) for var, size in terms) > -BINDING:
                self.classes.limit(terms)

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
        if search.bound_minor:
            classes.model.add(classes.cost >= search.bound_minor)
        if search.best_minor is not None:  # what costs more is no use, and is cut off sooner so
            classes.model.add(classes.cost <= search.best_minor)
        begun = search.watch.work
        solver = cp_model.CpSolver()
        search.watch.configure(solver, left_s)
        solver.best_bound_callback = self._hear
        few = len(search.problem.cases) <= MOST_SUGGESTED
        suggester = _Suggester(search, classes) if few else None
        with search.watch.guarding(solver.stop_search, lambda: search.proved):
            status = solver.solve(classes.model, suggester)
        search.watch.spent += solver.response_proto.deterministic_time
        if status == cp_model.INFEASIBLE and self._honest:
            self._conclude_nothing_below()
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return False
        self._keep_as_hint(solver)
        self._hear(solver.best_objective_bound)
        learned = self._learn(classes.violated(search.row_maker, solver.value))
        learned = self._learn_fillings(solver, begun) or learned
        if learned or not self._small:
            return learned
        return self._unfold(solver) or status == cp_model.FEASIBLE

    def _learn_fillings(self, solver: cp_model.CpSolver, begun: float) -> bool:
        """Adds to the whole model the rows of fillings that its answer breaks."""
        rows = self._broken(solver.value) if self.few else []
        for terms in rows:
            self.classes.limit(terms)
        if rows:
            self._fill_below(solver, max(LEAST_BELOW_S, self._search.watch.work - begun))
        return bool(rows)

    def _fill_below(self, solver: cp_model.CpSolver, share_s: float) -> None:
        """The same for the relaxation with as many cases of each kind as the answer has.

        Answers that differ in the units alone come one after the other; so most are cut off at
        once. Takes about `share_s` at most.
        """
        end = self._search.watch.work + share_s
        search = self._search
        counts = [berth.count for bay in self.classes.bays for berth in bay.berths]
        fixed = {var.index: solver.value(var) for var in counts}
        while self._search.watch.work < end and not self._over():
            found = self._relaxation.solve(fixed=fixed)
            if found is None:
                return
            search.watch.spent += found.iterations / ITERATIONS_EACH_DETERMINISTIC_S
            if search.best_minor is not None and found.bound > search.best_minor:
                return
            values = found.values
            rows = self._broken(lambda var, values=values: values[var.index])  # type: ignore[misc]
            for terms in rows:
                self.classes.limit(terms)
            if not rows:
                return

    def _learn(self, rows: list[SpaceRow]) -> bool:
        """Adds rows to the model; True if any is new."""
        new = [row for row in rows if row not in self._search.rows]
        for row in new:
            self.classes.limit_space(row)
        return self._search.add_rows(new)

    def _keep_as_hint(self, solver: cp_model.CpSolver) -> None:
        model = self.classes.model
        model.clear_hints()  # type: ignore[no-untyped-call]
        for index, value in enumerate(list(solver.response_proto.solution)[: self._size]):
            model.add_hint(model.get_int_var_from_proto_index(index), value)

    def _conclude_nothing_below(self) -> None:
        """The model has no answer at all: then there is no plan."""
        if self._search.best is None:
            self._search.impossible = True

    def _hear(self, bound: float) -> None:
        """A bound counts only while every cut of the model is proved."""
        if self._honest:
            self._search.raise_bound(whole_minor(bound), DOING)

    def _unfold(self, solver: cp_model.CpSolver) -> bool:
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
