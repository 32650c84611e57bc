"""Time kept: by the clock or by counted work, and an end when someone asks for it."""

from __future__ import annotations

import threading
import time

from ortools.sat.python import cp_model
from support.trips import generate

from packer.decide import decide
from packer.decide.watch import GRACE_S, Watch
from packer.judge import judge
from packer.model.outcome import Outcome
from packer.model.solving import Limits, Progress

PATIENCE_S = 8.0  # what a busy machine may take on top; half a second on a quiet one


def never() -> bool:
    """Nobody asks for an end."""
    return False


def test_by_the_clock_it_is_over_when_the_seconds_are() -> None:
    """A limit of nothing is over at once, a long one is not."""
    assert Watch(Limits(seconds=0.0), never).over()
    assert not Watch(Limits(seconds=60.0), never).over()
    assert Watch(Limits(seconds=0.0), never).left_s == 0.0


def test_with_counted_work_the_clock_is_not_asked() -> None:
    """No seconds, two units of work: over when two are spent."""
    watch = Watch(Limits(seconds=0.0, deterministic=2.0), never)
    assert not watch.over()
    watch.spent += 1.5
    assert (watch.work, watch.left_deterministic) == (1.5, 0.5)
    watch.spent += 0.5
    assert watch.over()


def test_an_end_asked_for_is_an_end_either_way() -> None:
    """Time left does not matter."""
    assert Watch(Limits(seconds=60.0), lambda: True).over()
    assert Watch(Limits(deterministic=60.0), lambda: True).over()
    assert Watch(Limits(seconds=60.0), never).left_deterministic == float("inf")


def test_a_solver_is_given_its_share_of_what_is_left() -> None:
    """One worker of three stays with the improver; counted work runs on one alone."""
    solver = cp_model.CpSolver()
    Watch(Limits(seconds=60.0, workers=3, seed=5), never).configure(solver, 2.0)
    assert solver.parameters.max_time_in_seconds == 2.0
    assert (solver.parameters.num_workers, solver.parameters.random_seed) == (2, 5)
    counted = cp_model.CpSolver()
    Watch(Limits(workers=3, deterministic=4.0), never).configure(counted, 9.0)
    assert counted.parameters.max_deterministic_time == 4.0
    assert counted.parameters.num_workers == 1


def test_what_is_guarded_is_stopped_when_asked() -> None:
    """The stop comes from a thread of its own, soon after it is asked for."""
    stopped, asked = threading.Event(), threading.Event()
    with Watch(Limits(), asked.is_set).guarding(stopped.set):
        assert not stopped.wait(0.12)
        asked.set()
        assert stopped.wait(PATIENCE_S)


def test_what_is_guarded_is_stopped_when_all_is_done() -> None:
    """By the clock; counted work never ends by chance."""
    stopped = threading.Event()
    with Watch(Limits(), never).guarding(stopped.set, lambda: True):
        assert stopped.wait(PATIENCE_S)
    stopped.clear()
    with Watch(Limits(deterministic=1.0), never).guarding(stopped.set, lambda: True):
        assert not stopped.wait(0.2)


def test_a_time_limit_is_kept_with_the_best_plan_so_far() -> None:
    """A medium trip in one second: a judged plan with an honest bound."""
    trip = generate("tangled-fees", "medium", 2)
    begun = time.monotonic()
    plan = decide(trip, Limits(seconds=1.0, workers=2)).plan
    assert time.monotonic() - begun < 1.0 + PATIENCE_S
    assert plan is not None
    assert judge(trip, plan).breaches == ()
    assert plan.bound_minor <= plan.objective_minor


def test_who_asks_for_an_end_gets_the_best_plan_so_far_and_soon() -> None:
    """An end is asked for at the first plan, with a minute left."""
    trip = generate("weight-bound", "medium", 3)
    first: list[float] = []

    def hear(news: Progress) -> None:
        if news.best_minor is not None and not first:
            first.append(time.monotonic())

    answer = decide(trip, Limits(seconds=60.0, workers=2), on_progress=hear,
                    should_stop=lambda: bool(first))  # fmt: skip
    assert time.monotonic() - first[0] < PATIENCE_S
    assert answer.outcome is Outcome.DONE
    assert answer.plan is not None
    assert judge(trip, answer.plan).breaches == ()


def test_an_end_asked_for_before_any_plan_leaves_at_most_the_first() -> None:
    """Asked for from the beginning: no long work, and no plan that is not one."""
    trip = generate("racks", "small", 1)
    begun = time.monotonic()
    answer = decide(trip, Limits(seconds=60.0), should_stop=lambda: True)
    assert time.monotonic() - begun < PATIENCE_S
    if answer.plan is None:
        assert answer.outcome is Outcome.OUT_OF_TIME
    else:
        assert judge(trip, answer.plan).breaches == ()


def test_what_is_reserved_is_not_left_for_the_search() -> None:
    """Two of sixty seconds for the end; never more than a fifth."""
    watch = Watch(Limits(seconds=60.0), never)
    watch.reserve(2.0)
    assert 57.0 < watch.left_s <= 58.0
    assert watch.finish_s is not None
    assert 59.0 < watch.finish_s <= 60.0
    watch.reserve(50.0)
    assert 47.0 < watch.left_s <= 48.0


def test_the_end_gets_a_moment_even_when_time_is_over() -> None:
    """Also when the user asks for it; with counted work it takes what it takes."""
    assert Watch(Limits(seconds=0.0), never).finish_s == GRACE_S
    assert Watch(Limits(seconds=60.0), lambda: True).finish_s == GRACE_S
    assert Watch(Limits(deterministic=1.0), never).finish_s is None


def test_what_is_long_ends_when_time_is_over() -> None:
    """By the clock; counted work goes on until it is asked to end."""
    stopped = threading.Event()
    with Watch(Limits(seconds=0.1), never).ending(stopped.set):
        assert stopped.wait(PATIENCE_S)
    stopped.clear()
    with Watch(Limits(seconds=0.0, deterministic=1.0), never).ending(stopped.set):
        assert not stopped.wait(0.2)


def test_an_end_is_kept_on_a_large_trip() -> None:
    """Sixty cases in two seconds, the geometry's exact answers and all included."""
    trip = generate("bulky", "large", 1)
    begun = time.monotonic()
    plan = decide(trip, Limits(seconds=2.0)).plan
    assert time.monotonic() - begun < 2.0 + PATIENCE_S
    assert plan is not None
    assert judge(trip, plan).breaches == ()
