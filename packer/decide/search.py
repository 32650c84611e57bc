"""The search: a start, a bound, the joint model with cuts from geometry, until proof or time."""

from __future__ import annotations

import threading

from ortools.sat.python import cp_model

from packer.decide import sketch as sketching
from packer.decide.cover import Coverer
from packer.decide.cuts import Cut
from packer.decide.improve import Memory
from packer.decide.joint import JointModel, build_joint
from packer.decide.problem import Problem
from packer.decide.rows import RowMaker, SpaceRow, inside_of
from packer.decide.ruin.given import given_of
from packer.decide.sketch import Draft, Sketch, canonical
from packer.decide.space import Space
from packer.decide.tariff import Tariff
from packer.decide.watch import Watch
from packer.model.solving import OnProgress, Progress


class Search:
    """The state of one search: the best sketch, the bound, the cuts; anything may improve it."""

    def __init__(self, problem: Problem, watch: Watch, on_progress: OnProgress) -> None:
        self.problem = problem
        self.watch = watch
        self.space = Space(problem, watch.limits.seed, watch.over, watch.ending)
        self.tariffs = [Tariff(problem.trip, hire) for hire in problem.hires]
        self.given = given_of(problem, watch.limits.seed, self.tariffs)
        self.coverer = Coverer(problem.trip, problem.hires)
        self.best: Sketch | None = None
        self.best_minor: int | None = None
        self.bound_minor = 0
        self.seeds: list[Sketch] = []
        self.drafts: list[Draft] = []
        self.memories: dict[int, Memory] = {}
        self.cuts: list[Cut] = []
        self.rows: list[SpaceRow] = []
        self.row_maker = RowMaker(problem)
        self.impossible = False
        self._on_progress = on_progress
        self._lock = threading.RLock()
        self._closed = False

    def close(self) -> None:
        """Nothing changes from here on, whatever a thread that is still busy may find."""
        with self._lock:
            self._closed = True
            self.cuts, self.rows = list(self.cuts), list(self.rows)  # those others hold may grow

    def offer(self, found: Sketch, doing: str) -> bool:
        """Takes a sketch whose loads all fit, if it is cheaper than the best."""
        if self.space.misfit(found):
            return False
        with self._lock:
            minor = self.price(found)
            if self._closed:
                return False
            if self.best_minor is not None and minor >= self.best_minor:
                return False
            self.best, self.best_minor = found, minor
            self.report(doing)
            return True

    def worth(self, found: Sketch) -> int | float:
        """What a sketch costs in minor units; endless where some load has no known packing."""
        if self.space.misfit(found):
            return float("inf")
        return self.price(found)

    def price(self, found: Sketch) -> int:
        """What a sketch costs in minor units: by the tables of each stop where they are exact."""
        if all(tariff.exact for tariff in self.tariffs):
            return sketching.objective_minor(self.problem, found, self.tariffs)
        return sketching.costs(self.problem, found, self.coverer).objective_minor

    def raise_bound(self, minor: int, doing: str) -> None:
        """Takes a proved lower bound, if it is higher."""
        with self._lock:
            if minor > self.bound_minor and not self._closed:
                self.bound_minor = minor
                self.report(doing)

    def add_rows(self, rows: list[SpaceRow]) -> bool:
        """Keeps rows that are new; True if any was."""
        with self._lock:
            new = [row for row in rows if row not in self.rows and not self._closed]
            self.rows += new
            return bool(new)

    def add_cuts(self, cuts: list[Cut]) -> None:
        """Keeps cuts that the geometry taught."""
        with self._lock:
            if not self._closed:
                self.cuts += cuts

    def conclude_impossible(self) -> None:
        """There is no plan: proved."""
        with self._lock:
            self.impossible = self.impossible or not self._closed

    @property
    def proved(self) -> bool:
        """True when the best plan costs no more than the bound."""
        return self.best_minor is not None and self.best_minor <= self.bound_minor

    def ended(self) -> bool:
        """True where nothing more is to be found: time is over, or all is proved."""
        return self.watch.over() or self.proved or self.impossible

    @property
    def gap(self) -> float:
        """(best - bound) / best; 1.0 while there is no plan."""
        if not self.best_minor:
            return 0.0 if self.best_minor == 0 else 1.0
        return max(0.0, (self.best_minor - self.bound_minor) / self.best_minor)

    def report(self, doing: str) -> None:
        """Tells whoever waits how things stand."""
        bound = self.bound_minor
        if self.best_minor is not None:
            bound = min(bound, self.best_minor)
        self._on_progress(Progress(self.watch.seconds, self.best_minor, bound, doing))

    @property
    def honest(self) -> bool:
        """True while every cut in use is proved, so that the model's bound may be believed."""
        return all(cut.proved for cut in self.cuts)


class Catcher(cp_model.CpSolverSolutionCallback):
    """Looks at each solution: keeps it if all fits, else learns cuts and stops the solver."""

    def __init__(self, search: Search, joint: JointModel, doing: str) -> None:
        super().__init__()
        self._search = search
        self._joint = joint
        self._doing = doing
        self.cuts: list[Cut] = []

    def on_solution_callback(self) -> None:
        """Called by the solver at each solution."""
        found = self._joint.sketch(self)
        cuts = self._search.space.misfits(found)
        if cuts:
            self.cuts += cuts
            learn_rows(self._search, found)
            self.stop_search()
        else:
            self._search.offer(found, self._doing)


def learn_rows(search: Search, found: Sketch) -> None:
    """Keeps the space rows that single loads of a sketch violate."""
    for load in found.loads:
        inside = inside_of(search.problem, load.case)
        if inside is not None:
            search.add_rows(search.row_maker.violated(inside, dict(load.counts), 1))


def solve_joint(search: Search) -> None:
    """Solves the joint model again and again, with the cuts learned, until proof or time.

    The bound of a round is believed only while every cut so far is proved by geometry.
    """
    while not search.ended():
        joint = build_joint(search.problem)
        for cut in search.cuts:
            joint.forbid(cut)
        for row in search.rows:
            joint.limit_space(row)
        ceiling = search.best_minor
        if search.best is not None and ceiling is not None:
            joint.hint(canonical(search.problem, search.best))
            joint.model.add(joint.cost <= ceiling - 1)
        if _one_round(search, joint, ceiling):
            return


def _one_round(search: Search, joint: JointModel, ceiling: int | None) -> bool:
    """Solves once; True when the model has nothing more to say."""
    solver = cp_model.CpSolver()
    search.watch.configure(solver)
    catcher = Catcher(search, joint, "packing case by case")
    honest = search.honest

    def heard(bound: float) -> None:
        if honest:
            search.raise_bound(min(whole_minor(bound), ceiling or 10**15), "proving")

    solver.best_bound_callback = heard
    with search.watch.guarding(solver.stop_search, lambda: search.proved):
        status = solver.solve(joint.model, catcher)
    search.watch.spent += solver.response_proto.deterministic_time
    if catcher.cuts:
        search.add_cuts(catcher.cuts)
        return False
    if status in (cp_model.OPTIMAL, cp_model.INFEASIBLE) and honest:
        _conclude(search, solver, status == cp_model.OPTIMAL, ceiling)
    return True


def _conclude(search: Search, solver: cp_model.CpSolver, found: bool, ceiling: int | None) -> None:
    """What a finished round proves: its optimum, or that nothing is below the ceiling."""
    if found:
        search.raise_bound(whole_minor(solver.objective_value), "proved")
    elif ceiling is not None:
        search.raise_bound(ceiling, "proved")
    else:
        search.conclude_impossible()


def whole_minor(bound: float) -> int:
    """A float bound as money: the smallest whole number at least it, safe to float noise."""
    return int(-(-(bound - 1e-6) // 1))
