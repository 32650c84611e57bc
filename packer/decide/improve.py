"""First plans and their improvement: the front door of the compiled walk in `packer.decide.ruin`.

Every state on the way is a real packing: the geometry has found a place for each object added.
In: a problem, its tables, a start. Out: sketches, and what they cost.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from packer.decide.problem import Problem
from packer.decide.ranking import hardness, saving_per_share
from packer.decide.ruin import walk
from packer.decide.ruin.exchange import ALL, FIRST, LAST
from packer.decide.ruin.money import MISSING_MINOR as MISSING_MINOR
from packer.decide.ruin.money import total_minor
from packer.decide.ruin.state import (
    BEST,
    BEST_INSIDE,
    BEST_SUMS,
    MEMO,
    OPTION,
    RANDOM,
    SHORT,
    SUMS,
    TOTALS,
    UNITS,
    new_state,
)
from packer.decide.ruin.state import EFFORT as EFFORT_ROW
from packer.decide.ruin.tables import FIXED, KIT_PRICES, OPTION_FROM, OPTIONS, ROUTE, table
from packer.decide.sketch import Draft, Load, Sketch, planning_g, sketch_of
from packer.geometry import warm_up as warm_up_geometry
from packer.geometry.beside import compiling_beside, is_compiled, note_compiled
from packer.geometry.spaces import Ints, as_ints
from packer.model.plan import Route

CONSTRUCT_EFFORT = 4_000  # looks at empty spaces for one question
EXCHANGE_EFFORT = 1_000
EXCHANGES_AT_ONCE = 20_000  # between two looks at the clock
HOT_SHARE, COLD_SHARE = 0.02, 0.0005  # of what a plan costs by case: how much dearer a step may be
OVERFULL = 2.0  # times that: what it costs at first to overfill a case by all its room
NONE_YET = 10**15
STEPS_FOR_ROOM = 5_000  # of ruin and recreate, to find room for what must fly
STEPS_AT_ONCE = 50  # between two looks at the clock
SHARES = (0.0, 0.15, 0.3, 0.5, 0.7, 0.85, 1.0)
MOST_ROUNDS = 12
NOTHING = Sketch(())
_WALK = Path(walk.__file__).resolve().parent
ROUTES = (Route.HOLD, Route.CABIN, Route.FREIGHT)  # in the order of ruin.tables


@dataclass(frozen=True, slots=True)
class Mood:
    """How a walk goes: looks at empty spaces for one question, and how much dearer (a share of
    the cost) a step may be at first."""

    effort: int = 1_000
    warmth: float = 0.01


@dataclass(frozen=True, slots=True)
class Memory:
    """What the geometry has answered to questions asked with one effort."""

    effort: int
    answers: Ints


def _shared(state: Ints, memory: Memory | None, effort: int) -> Memory:
    """The answers of a new state, which begin with those of a memory of the same effort."""
    answers = table(state, MEMO)[:, 0]
    if memory is not None and memory.effort == effort:
        answers[:] = memory.answers
    return Memory(effort, answers)


class _Packer:
    """A state that compiled steps change, and the best packing on their way."""

    def __init__(
        self, problem: Problem, given: Ints, start: Sketch, effort: int, memory: Memory | None
    ) -> None:
        self._given = given
        self._state = loaded(problem, given, start, effort)
        self.memory = _shared(self._state, memory, effort)

    @property
    def best(self) -> Sketch:
        """The cheapest packing so far that holds."""
        return _sketch(self._given, self._state)

    @property
    def best_minor(self) -> int:
        """What it costs, with MISSING_MINOR for each unit that must fly and has no case;
        NONE_YET where there is none."""
        return int(self._state[self._state[TOTALS] + BEST])

    @property
    def complete(self) -> bool:
        """True once everything that must fly has a case."""
        return self.best_minor < MISSING_MINOR

    def _seed(self, seed: int) -> None:
        self._state[self._state[TOTALS] + RANDOM] = seed


class Improver(_Packer):
    """Improves a sketch step by step; deterministic for a seed and a number of steps."""

    def __init__(
        self,
        problem: Problem,
        given: Ints,
        start: Sketch,
        seed: int,
        mood: Mood = Mood(),
        memory: Memory | None = None,
    ) -> None:
        """`memory`: what the geometry has answered to others who ask with the same effort."""
        super().__init__(problem, given, start, mood.effort, memory)
        self._warmth = mood.warmth
        self._seed(seed * 7_919 + 12_345)
        walk.stand(given, self._state)

    def run(
        self,
        steps: int,
        share_done: Callable[[int], float],
        stop: Callable[[], bool],
        at_once: int = STEPS_AT_ONCE,
    ) -> int:
        """Takes up to `steps` steps; `share_done(step)` in [0, 1] cools the threshold down, and
        is asked, as `stop` is, after every `at_once`."""
        done = 0
        while done < steps and not stop():
            count = min(at_once, steps - done)
            warmth = self._warmth * (1 - min(1.0, share_done(done))) ** 2
            walk.walk(self._given, self._state, count, int(warmth * self.best_minor))
            done += count
        return done


class Exchanger(_Packer):
    """Exchanges the units of a sketch; it may get worse on the way, the best is kept."""

    def __init__(
        self,
        problem: Problem,
        given: Ints,
        start: Sketch | Draft,
        seed: int,
        steps: int,
        memory: Memory | None = None,
    ) -> None:
        """`steps`: how many are to be taken in all, on which the cooling depends."""
        held = start if isinstance(start, Sketch) else NOTHING
        super().__init__(problem, given, held, EXCHANGE_EFFORT, memory)
        self._seed(seed * 7_919 + 54_321)
        if isinstance(start, Sketch):
            walk.stand(given, self._state)
        else:
            _lay(problem, given, self._state, start)
        self._mood = self._mood_of(steps)

    def _mood_of(self, steps: int) -> Ints:
        used = max(1, int((table(self._state, SUMS)[:, UNITS] > 0).sum()))
        short = int(self._state[self._state[TOTALS] + SHORT])
        each = (total_minor(self._given, self._state) - short * MISSING_MINOR) / used
        hot, cold = max(2, int(HOT_SHARE * each)), max(1, int(COLD_SHARE * each))
        return as_ints([0, 0, steps, hot, cold, max(1, int(OVERFULL * each))])

    def run(self, stop: Callable[[], bool] = lambda: False) -> None:
        """Takes all steps, unless told to stop."""
        while self._mood[LAST] < self._mood[ALL] and not stop():
            self._mood[FIRST] = self._mood[LAST]
            self._mood[LAST] = min(self._mood[ALL], self._mood[LAST] + EXCHANGES_AT_ONCE)
            walk.trade(self._given, self._state, self._mood)


def completed(
    problem: Problem, given: Ints, found: Sketch, seed: int, stop: Callable[[], bool]
) -> Sketch | None:
    """A packing from which some of what must fly is left out, walked on from until there is room
    for all of it; None where none was found."""
    walker = Improver(problem, given, found, seed)
    walker.run(STEPS_FOR_ROOM, lambda _: 1.0, lambda: walker.complete or stop())
    return walker.best if walker.complete else None


def _lay(problem: Problem, given: Ints, state: Ints, draft: Draft) -> None:
    """Spreads what a draft says over its cases, hardest first."""
    state[state[TOTALS] + BEST] = NONE_YET
    first = table(given, OPTION_FROM)
    bundle_of = {i: n for n, bundle in enumerate(problem.bundles) for i in bundle}
    for bay in draft:
        cases = as_ints([case for case, _ in bay.cases])
        options = as_ints([first[case, 0] + option for case, option in bay.cases])
        lines = [line for line, count in bay.counts for _ in range(count)]
        lines.sort(key=lambda i: (-bundle_of.get(i, -1), -hardness(problem, problem.lines[i]), i))
        walk.lay(given, state, cases, options, as_ints(lines))


@cache
def warm_up() -> None:
    """Compiles the packing code on two processors, or loads it: some seconds once, else under one.

    What was compiled stays on disk for this machine.
    """
    if not is_warm():
        with compiling_beside(warm_up_places):
            walk.compiled()
    walk.compiled()
    warm_up_places()
    note_compiled(_WALK)


def warm_up_places() -> None:
    """The half of it that knows places."""
    warm_up_geometry()
    walk.asking()


def is_warm() -> bool:
    """True where the packing code was compiled before and is only to be loaded."""
    return is_compiled(_WALK)


def first_sketches(
    problem: Problem, given: Ints, stop: Callable[[], bool] = lambda: False
) -> Iterator[Sketch]:
    """Complete plans that really pack, for growing shares of what could fly, until told to stop."""
    ranked = sorted(
        (line for line in problem.lines if line.most > line.least),
        key=lambda line: (-saving_per_share(problem, line), line.index),
    )
    for share in SHARES:
        chosen = {line.index for line in ranked[: round(share * len(ranked))]}
        flown = [line.most if line.index in chosen else line.least for line in problem.lines]
        found = pack(problem, given, flown, stop=stop)
        if found is not None:
            yield found
        if stop():
            return


def pack(
    problem: Problem,
    given: Ints,
    flown: Sequence[int],
    start: Sketch = NOTHING,
    stop: Callable[[], bool] = lambda: False,
) -> Sketch | None:
    """Packs what is to fly; what finds no case is hired instead if it can be, else None.

    `start` holds loads that stand already and are filled up.
    """
    wanted = list(flown)
    for _ in range(MOST_ROUNDS):
        found, missing = begun(problem, given, wanted, start)
        if not missing:
            return found
        got = found.flown(len(wanted))
        fewer = [
            max(line.least, min(n, had))
            for line, n, had in zip(problem.lines, wanted, got, strict=True)
        ]
        if fewer == wanted or stop():
            return None
        wanted = fewer
    return None


def begun(
    problem: Problem, given: Ints, flown: Sequence[int], start: Sketch = NOTHING
) -> tuple[Sketch, int]:
    """What is to fly, packed as far as it goes, and how many units that must fly are left out."""
    state = loaded(problem, given, start, CONSTRUCT_EFFORT)
    had = start.flown(len(flown))
    more = [max(0, n - m) for n, m in zip(flown, had, strict=True)]
    walk.construct(given, state, as_ints(more))
    walk.stand(given, state)
    return _sketch(given, state), int(state[state[TOTALS] + SHORT])


def loaded(problem: Problem, given: Ints, start: Sketch, effort: int) -> Ints:
    """A state that holds a sketch."""
    state = new_state(
        {
            "lines": len(problem.lines),
            "cases": len(problem.cases),
            "roles": len(problem.roles),
            "choices": len(table(given, FIXED)),
            "kits": len(table(given, KIT_PRICES)),
            "units": sum(line.most for line in problem.lines),
        }
    )
    state[state[TOTALS] + EFFORT_ROW] = effort
    walk.empty(given, state)
    for each in start.loads:
        lines = as_ints([i for i, count in each.counts for _ in range(count)])
        walk.load(given, state, each.case, _option(problem, given, each), lines)
    return state


def _option(problem: Problem, given: Ints, load: Load) -> int:
    """The cheapest option of the load's route that takes its weight, as a row of OPTIONS."""
    spec, weight = problem.cases[load.case], planning_g(problem, load)
    fitting = [
        (option.cost_minor, k)
        for k, option in enumerate(spec.options)
        if option.route is load.route and option.above_g < weight <= option.upto_g
    ]
    return int(table(given, OPTION_FROM)[load.case, 0]) + min(fitting)[1]


def _sketch(given: Ints, state: Ints) -> Sketch:
    loads: dict[int, tuple[Route, Counter[int]]] = {}
    options, inside = table(given, OPTIONS), table(state, BEST_INSIDE)
    for case, row in enumerate(table(state, BEST_SUMS).tolist()):
        if row[UNITS]:
            lines = inside[case, : row[UNITS]].tolist()
            loads[case] = (ROUTES[options[row[OPTION], ROUTE]], Counter(lines))
    return sketch_of(loads)
