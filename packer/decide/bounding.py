"""The bound from the class model, raised as the solver raises it; and plans its answers suggest."""

from __future__ import annotations

from ortools.sat.python import cp_model

from packer.decide.classes import ClassModel, build_classes
from packer.decide.search import Search, whole_minor
from packer.decide.space import Space
from packer.decide.start import pack


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


def bound_by_classes(search: Search, share_s: float, workers: int) -> None:
    """Solves the class model for at most `share_s` seconds and raises the search's bound."""
    problem = search.problem
    classes = build_classes(problem)
    solver = cp_model.CpSolver()
    search.watch.configure(solver, share_s)
    if search.watch.limits.deterministic is None:
        solver.parameters.num_workers = workers
    solver.best_bound_callback = lambda bound: search.raise_bound(
        whole_minor(bound), "counting cases by class"
    )
    suggester = _Suggester(search, classes, Space(problem, search.watch.limits.seed))
    with search.watch.guarding(solver.stop_search, lambda: search.proved):
        status = solver.solve(classes.model, suggester)
    search.watch.spent += solver.response_proto.deterministic_time
    if status == cp_model.INFEASIBLE:
        search.impossible = True
    elif status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
        search.raise_bound(whole_minor(solver.best_objective_bound), "counting cases by class")
