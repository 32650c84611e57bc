"""What a changed problem costs, at least and at most, within a second or so.

The lower end is the bound of the class model, which is proved; the upper end is a plan that really
packs: the one known before if it still serves, or one packed anew from what an answer of the class
model flies. In: a problem and a sketch to start from. Out: a `Range`.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from packer.decide.classes import ClassModel, build_classes
from packer.decide.cover import Coverer
from packer.decide.improve import pack
from packer.decide.problem import CaseSpec, Problem
from packer.decide.rows import RowMaker, SpaceRow
from packer.decide.ruin.given import given_of
from packer.decide.search import Search, whole_minor
from packer.decide.sketch import Load, Sketch, costs, planning_g, sketch_of
from packer.decide.strategy import run
from packer.decide.watch import Watch
from packer.model.plan import Plan, Route
from packer.model.solving import Limits, ShouldStop

MODEL_SHARE = 0.6  # of the time that is left, for the class model; the rest for whole searches
LEAST_S = 0.15  # for one question, whatever the hurry
MOST_PACKED = 3  # answers of the class model that are packed for one question


@dataclass(frozen=True, slots=True)
class Range:
    """An optimum in minor units: proved to be at least `least_minor`, and a plan at `most_minor`.

    `most_minor` and `sketch` are None where no plan was found; `impossible` where none exists.
    """

    least_minor: int
    most_minor: int | None
    sketch: Sketch | None = None
    impossible: bool = False

    @property
    def exact(self) -> bool:
        """Whether both ends meet."""
        return self.least_minor == self.most_minor

    @property
    def width_minor(self) -> int:
        """How far the ends are apart; endless where no plan is known."""
        return 10**15 if self.most_minor is None else self.most_minor - self.least_minor


@dataclass(frozen=True, slots=True)
class Question:
    """A problem to be estimated; `start` a sketch that may serve, `floor_minor` a known bound."""

    problem: Problem
    start: Sketch | None = None
    floor_minor: int = 0


def sketch_of_plan(problem: Problem, plan: Plan) -> Sketch:
    """A plan's loads in the solver's terms; names that the trip does not know are left out."""
    lines = {line.gear.name: line.index for line in problem.lines}
    cases = {spec.case.name: spec.index for spec in problem.cases}
    loads: dict[int, tuple[Route, dict[int, int]]] = {}
    for piece in plan.pieces:
        counts: dict[int, int] = {}
        for packed in piece.contents:
            if packed.gear in lines:
                counts[lines[packed.gear]] = counts.get(lines[packed.gear], 0) + 1
        if piece.case in cases:
            loads[cases[piece.case]] = (piece.route, counts)
    return sketch_of(loads)


def serves(problem: Problem, sketch: Sketch) -> bool:
    """True if a sketch whose loads have places keeps every other limit of a problem."""
    flown = sketch.flown(len(problem.lines))
    if not all(
        line.least <= count <= line.most for line, count in zip(problem.lines, flown, strict=True)
    ):
        return False
    cabin = sum(load.route is Route.CABIN for load in sketch.loads)
    return (
        cabin <= problem.cabin_pieces
        and all(_may_travel(problem, load) for load in sketch.loads)
        and all(_keeps_roles(problem, load, flown) for load in sketch.loads)
        and all(_shares(sketch, bundle) for bundle in problem.bundles)
    )


def _may_travel(problem: Problem, load: Load) -> bool:
    spec: CaseSpec = problem.cases[load.case]
    weight_g = planning_g(problem, load)
    allowed = any(
        option.route is load.route and option.above_g < weight_g <= option.upto_g
        for option in spec.options
    )
    return allowed and all(
        load.case in problem.lines[i].cases and load.route in problem.lines[i].routes
        for i, _ in load.counts
    )


def _keeps_roles(problem: Problem, load: Load, flown: Sequence[int]) -> bool:
    return all(
        sum(n for i, n in load.counts if i in cap.lines)
        <= cap.base + sum(flown[i] for i in cap.swing)
        for cap in problem.roles
    )


def _shares(sketch: Sketch, bundle: tuple[int, ...]) -> bool:
    return sum(any(i in bundle for i, _ in load.counts) for load in sketch.loads) <= 1


class Estimator:
    """Answers questions about variants of one trip, several at once.

    The variants must have the same gear lines and packing clearance; prices, cases, limits and
    what must fly may differ.
    """

    def __init__(self, problem: Problem, limits: Limits, should_stop: ShouldStop) -> None:
        self._limits = limits
        self._should_stop = should_stop
        self._watch = Watch(limits, should_stop)
        self._base = problem
        self._row_maker = RowMaker(problem)
        self._rows: list[SpaceRow] = []

    def learn(self, known: Sketch, share_s: float) -> Range:
        """The range of the trip as it stands; on the way, what space forbids is learned."""
        least = 0
        begun = self._watch.seconds
        while (left_s := share_s - (self._watch.seconds - begun)) > 0 and not self._watch.over():
            solver, classes, _ = self._run(self._base, left_s, max(1, self._limits.workers))
            least = max(least, _bound_of(solver))
            found = solver.response_proto.solution
            rows = classes.violated(self._row_maker, solver.value) if found else []
            rows = [row for row in rows if row not in self._rows]
            if not rows:
                break
            self._rows += rows
        return self._range(Question(self._base, known, least), least, [], False)

    def estimate(
        self, questions: Sequence[Question], on_done: Callable[[int], None] = lambda _: None
    ) -> list[Range]:
        """The range of each question, the time that is left shared between them.

        First all by the class model; then, while time is left, those that are not exact are
        searched as a trip is, the narrowest first.
        """
        until_s = self._watch.seconds + MODEL_SHARE * self._watch.left_s
        asked = _Asked(len(questions), max(1, self._limits.workers), until_s)
        with ThreadPoolExecutor(asked.workers) as pool:
            solved = list(pool.map(lambda q: self._solve(q, asked, on_done), questions))
        found = [self._range(q, *each) for q, each in zip(questions, solved, strict=True)]
        unsure = sorted(
            (n for n, each in enumerate(found) if not each.exact and not each.impossible),
            key=lambda n: (found[n].width_minor, n),
        )
        for k, n in enumerate(unsure):
            if self._watch.over():
                break
            share_s = self._watch.left_s / (len(unsure) - k)
            found[n] = self._searched(questions[n].problem, found[n], share_s)
        return found

    def _searched(self, problem: Problem, known: Range, share_s: float) -> Range:
        """The range after a search like that of a trip."""
        watch = Watch(replace(self._limits, seconds=share_s), self._should_stop)
        search = Search(problem, watch, lambda _: None)
        search.bound_minor = known.least_minor
        if known.sketch is not None:
            search.offer(known.sketch, "the plan at hand")
        run(search)
        if search.impossible and search.best is None:
            return Range(known.least_minor, None, impossible=True)
        most = search.best_minor
        least = search.bound_minor if most is None else min(most, search.bound_minor)
        return Range(least, most, search.best)

    def _solve(
        self, question: Question, asked: _Asked, on_done: Callable[[int], None]
    ) -> tuple[int, list[tuple[int, ...]], bool]:
        """(bound, what good answers fly, proved impossible)."""
        solver, _, seen = self._run(question.problem, asked.share_s(self._watch.seconds), 1)
        on_done(asked.done())
        if solver.response_proto.status == cp_model.INFEASIBLE:
            return question.floor_minor, [], True
        return max(question.floor_minor, _bound_of(solver)), seen.flown[-MOST_PACKED:], False

    def _run(
        self, problem: Problem, seconds: float, workers: int
    ) -> tuple[cp_model.CpSolver, ClassModel, _Seen]:
        """Solves the class model; full linear relaxations, since the bound is what matters."""
        classes = build_classes(problem, self._rows)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.random_seed = self._limits.seed
        solver.parameters.catch_sigint_signal = False
        solver.parameters.linearization_level = 2
        solver.parameters.max_time_in_seconds = max(LEAST_S, seconds)
        seen = _Seen(classes)
        with self._watch.guarding(solver.stop_search):
            solver.solve(classes.model, seen)
        return solver, classes, seen

    def _range(
        self, question: Question, least: int, answers: list[tuple[int, ...]], impossible: bool
    ) -> Range:
        if impossible:
            return Range(least, None, impossible=True)
        problem = question.problem
        if question.start is not None:
            answers = [*answers, _clamped(problem, question.start)]
        given = given_of(problem, self._limits.seed)
        found = [pack(problem, given, flown) for flown in answers]
        sketches = [sketch for sketch in (question.start, *found) if sketch is not None]
        coverer = Coverer(problem.trip, problem.hires)
        priced = [
            (costs(problem, sketch, coverer).objective_minor, sketch)
            for sketch in sketches
            if serves(problem, sketch) and coverer.cover(sketch.flown(len(problem.lines))).possible
        ]
        if not priced:
            return Range(least, None)
        most, sketch = min(priced, key=lambda pair: pair[0])
        return Range(min(least, most), most, sketch)


def _clamped(problem: Problem, start: Sketch) -> tuple[int, ...]:
    """What a sketch flies, as near as what must and may fly allows."""
    flown = start.flown(len(problem.lines))
    return tuple(
        min(line.most, max(line.least, n)) for line, n in zip(problem.lines, flown, strict=True)
    )


def _bound_of(solver: cp_model.CpSolver) -> int:
    """The proved bound, 0 where there is none yet."""
    return max(0, whole_minor(max(-1.0, solver.best_objective_bound)))


class _Asked:
    """How many questions are still open, and so how long the next may take."""

    def __init__(self, questions: int, workers: int, until_s: float) -> None:
        self._until_s = until_s
        self.workers = min(workers, max(1, questions))
        self._questions = questions
        self._started = 0
        self._done = 0
        self._lock = threading.Lock()

    def share_s(self, now_s: float) -> float:
        """Seconds for the question that is begun now."""
        with self._lock:
            waiting = self._questions - self._started
            self._started += 1
        return max(LEAST_S, (self._until_s - now_s) * self.workers / max(waiting, self.workers))

    def done(self) -> int:
        """Counts one more as answered; how many are."""
        with self._lock:
            self._done += 1
            return self._done


class _Seen(cp_model.CpSolverSolutionCallback):
    """Keeps what each answer flies."""

    def __init__(self, classes: ClassModel) -> None:
        super().__init__()
        self._classes = classes
        self.flown: list[tuple[int, ...]] = []

    def on_solution_callback(self) -> None:
        self.flown.append(tuple(self.value(var) for var in self._classes.flown))
