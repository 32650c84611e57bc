"""The bound from the class model, raised as the solver raises it; and plans its answers suggest.

Rounds: solve, look which space rows the answer violates, add them, solve again, until none is
violated or the share of time is spent. Every round's bound holds.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from packer.decide.classes import ClassModel, build_classes
from packer.decide.search import Search, whole_minor
from packer.decide.sketch import sketch_of
from packer.decide.space import Space
from packer.decide.start import pack
from packer.decide.unfold import DockCut, Unfolder
from packer.geometry import Verdict
from packer.model.plan import Route

DOING = "counting cases by class"
FIRST_SHARE, NEXT_SHARE = 0.6, 0.2  # of the time for one round: the first raises the bound


class _Suggester(cp_model.CpSolverSolutionCallback):
    """Packs what each answer of the class model flies; now and then that is a better plan."""

    def __init__(self, search: Search, classes: ClassModel, space: Space) -> None:
        super().__init__()
        self._search = search
        self._classes = classes
        self._space = space

    def on_solution_callback(self) -> None:
        flown = [self.value(var) for var in self._classes.flown]
        built = pack(self._search.problem, self._space, flown)
        if built is not None:
            self._search.offer(built, "packing what the bound flies")


def bound_by_classes(search: Search, share_s: float) -> None:
    """Solves the class model for at most `share_s` seconds and raises the search's bound.

    Ends early when the class model's optimum is unfolded into a plan: that plan is proved.
    """
    master = _Master(search)
    begun = search.watch.work
    share = FIRST_SHARE
    while not search.watch.over() and not search.proved:
        left_s = share_s - (search.watch.work - begun)
        if left_s <= 0 or not master.round(min(left_s, share * share_s)):
            return
        share = NEXT_SHARE


class _Master:
    """The rounds of the decomposition, with what they have learned so far."""

    def __init__(self, search: Search) -> None:
        self._search = search
        self._space = Space(search.problem, search.watch.limits.seed)
        self._unfolder = Unfolder(search.problem, search.space, search.cuts, search.rows)
        self._dock_cuts: list[DockCut] = []
        self._hint: list[int] = []

    def round(self, left_s: float) -> bool:
        """Solves once; True if something was learned that changes the model."""
        search = self._search
        classes = build_classes(search.problem, search.rows)
        for index, value in enumerate(self._hint):
            classes.model.add_hint(classes.model.get_int_var_from_proto_index(index), value)
        size = len(classes.model.proto.variables)
        for cut in self._dock_cuts:
            classes.forbid(cut)
        if search.bound_minor:
            classes.model.add(classes.cost >= search.bound_minor)
        solver = cp_model.CpSolver()
        search.watch.configure(solver, left_s)
        solver.best_bound_callback = self._hear
        suggester = _Suggester(search, classes, self._space)
        with search.watch.guarding(solver.stop_search, lambda: search.proved):
            status = solver.solve(classes.model, suggester)
        search.watch.spent += solver.response_proto.deterministic_time
        if status == cp_model.INFEASIBLE and all(cut.proved for cut in self._dock_cuts):
            self._conclude_nothing_below()
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return False
        self._hint = list(solver.response_proto.solution)[:size]
        self._hear(solver.best_objective_bound)
        rows = search.add_rows(classes.violated(search.row_maker, solver.value))
        return rows or self._unfold(classes, solver)

    def _conclude_nothing_below(self) -> None:
        """The model has no answer at all: then there is no plan."""
        if self._search.best is None:
            self._search.impossible = True

    def _hear(self, bound: float) -> None:
        """A bound counts only while every cut of the model is proved."""
        if all(cut.proved for cut in self._dock_cuts):
            self._search.raise_bound(whole_minor(bound), DOING)

    def _unfold(self, classes: ClassModel, solver: cp_model.CpSolver) -> bool:
        """Spreads the answer over single cases; True if a cut was learned instead."""
        search = self._search
        flown = [solver.value(var) for var in classes.flown]
        loads: dict[int, tuple[Route, dict[int, int]]] = {}
        failed = False
        taken = [0] * len(search.problem.groups)
        for dock, counts in classes.docks(solver.value):
            if search.watch.over():
                return False
            spread = self._unfolder.spread(dock, counts, flown)
            contents = spread.contents or ({},) * len(dock.rooms_g)
            for group, content in zip(dock.groups, contents, strict=True):
                loads[search.problem.groups[group][taken[group]]] = (dock.route, content)
                taken[group] += 1
            if spread.verdict is not Verdict.YES:
                failed = True
                most = [line.most for line in search.problem.lines]
                self._dock_cuts.append(self._unfolder.smallest(dock, counts, most))
        if failed:
            self._patch(flown, loads)
        else:
            search.offer(sketch_of(loads), "spreading classes over cases")
        return failed

    def _patch(self, flown: list[int], loads: dict[int, tuple[Route, dict[int, int]]]) -> None:
        """A plan from what could be spread: the rest packed by hand, a start for improvement."""
        patched = pack(self._search.problem, self._space, flown, sketch_of(loads))
        if patched is not None:
            self._search.offer(patched, "mending what the bound flies")
            self._search.seeds.append(patched)
