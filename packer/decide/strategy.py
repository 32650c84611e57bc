"""The order of work: a start, ruin and recreate on one core, bound and proof on the other.

By the clock both run side by side and either ends the other. With a deterministic limit they
take turns with counted work, so that equal questions have equal answers on any machine.
"""

from __future__ import annotations

import threading

from packer.decide.bounding import bound_by_classes
from packer.decide.improve import Improver
from packer.decide.search import Search, solve_joint
from packer.decide.space import Space
from packer.decide.start import first_sketches
from packer.decide.tariff import Tariff, tariff_of
from packer.geometry import warm_up

PHASES_S = (0.25, 1.0, 3.0, 8.0, 20.0, 60.0, 120.0)
BOUND_SHARE = 0.5  # of the time for the class model, at most
STEPS_EACH_DETERMINISTIC_S = 400
IDLE_STEPS = 20


def run(search: Search) -> None:
    """Works until the best plan is proved, nothing more can be said, or time is over."""
    warm_up()
    _start(search)
    if search.watch.limits.deterministic is not None:
        _in_turns(search)
    else:
        _side_by_side(search)


def _start(search: Search) -> None:
    for found in first_sketches(search.problem, search.space):
        search.offer(found, "a first plan")
        if search.watch.over():
            return


def _in_turns(search: Search) -> None:
    budget = search.watch.limits.deterministic or 0.0
    improver = _improver(search, 0)
    if improver is not None:
        steps = max(200, int(STEPS_EACH_DETERMINISTIC_S * budget * 0.25))
        improver.run(steps, lambda step: step / steps, lambda: search.watch.over())
        search.offer(improver.best, "packing anew")
        search.watch.spent += 0.25 * budget
    bound_by_classes(search, BOUND_SHARE * budget, search.watch.limits.workers)
    if not search.proved and not search.impossible:
        solve_joint(search)


def _side_by_side(search: Search) -> None:
    failed: list[BaseException] = []

    def prove() -> None:
        try:
            share_s = BOUND_SHARE * search.watch.limits.seconds
            bound_by_classes(search, share_s, search.watch.limits.workers)
            if not search.proved and not search.impossible:
                solve_joint(search)
        except BaseException as error:  # handed on below, in the thread that waits
            failed.append(error)

    prover = threading.Thread(target=prove, daemon=True)
    prover.start()
    _improve(search, prover)
    prover.join()
    if failed:
        raise failed[0]


def _improve(search: Search, prover: threading.Thread) -> None:
    """Ruin and recreate in phases of growing length, each from the best plan so far."""
    for seed, phase_s in enumerate(PHASES_S):
        while search.best is None and prover.is_alive():
            prover.join(0.05)
        improver = _improver(search, search.watch.limits.seed * 1000 + seed)
        if improver is None or search.watch.over() or search.proved:
            return
        _one_phase(search, improver, phase_s)


def _one_phase(search: Search, improver: Improver, phase_s: float) -> None:
    begun = search.watch.seconds
    length_s = min(phase_s, search.watch.left_s)

    def done(_: int) -> float:
        return (search.watch.seconds - begun) / max(length_s, 1e-3)

    while not search.watch.over() and not search.proved and done(0) < 1.0:
        known = improver.best_minor
        improver.run(IDLE_STEPS, done, search.watch.over)
        if improver.best_minor < known:
            search.offer(improver.best, "packing anew")


def _improver(search: Search, seed: int) -> Improver | None:
    if search.best is None:
        return None
    space = Space(search.problem, search.watch.limits.seed)
    return Improver(search.problem, space, _tariffs(search), search.best, seed)


def _tariffs(search: Search) -> list[Tariff]:
    return [tariff_of(search.problem.trip, hire) for hire in search.problem.hires]
