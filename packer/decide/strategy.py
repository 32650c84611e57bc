"""The order of work: a start, ruin and recreate on one core, bound and proof on the other.

By the clock both run side by side and either ends the other. With a deterministic limit they
take turns with counted work, so that equal questions have equal answers on any machine.
"""

from __future__ import annotations

import atexit
import itertools
import threading

from packer.decide.bounding import bound_by_classes
from packer.decide.improve import (
    EXCHANGE_EFFORT,
    NONE_YET,
    Exchanger,
    Improver,
    Mood,
    begun,
    completed,
    first_sketches,
    warm_up,
)
from packer.decide.neighbours import search_neighbours
from packer.decide.search import Search, solve_joint
from packer.decide.sketch import Draft, Sketch
from packer.decide.turns import Turns
from packer.decide.watch import GRACE_S

WALK, EXCHANGE = "walk", "exchange"
PHASES_S = (0.25, 0.5, 1.0, 2.0, 2.0, 4.0, 4.0, 8.0)  # then as the last, until the end
PHASE_HOMES = 1_500  # pairs of line and case for which phases are so long; longer for more
LONGEST = 20  # times so long at most
MOODS = (Mood(1_000, 0.01), Mood(4_000, 0.003), Mood(1_000, 0.003), Mood(2_000, 0.01))
HURRIED = (Mood(500, 0.003), Mood(1_000, 0.003))  # for more than HURRY pairs
HURRY = 4_000
PATIENT = (Mood(500, 0.0003),)  # for more than MOST_HOMES: one step changes little of so much
START_S = 0.5  # for further first plans: walking on from one is better
OFFER_S = 0.05  # between two plans offered while a walk goes on
SEED_SLACK = 0.06  # how much dearer than the best a plan may be that is improved
EXCHANGES_EACH = 300  # steps of one exchange for each pair of a line and a case that takes it
LEAST_EXCHANGES, MOST_EXCHANGES = 200_000, 3_000_000
MOST_HOMES = 60_000  # above this no model names single cases: the classes alone give a bound
SMALL_JOINT = 600  # variables of units by case up to which the joint model proves soonest
NEIGHBOUR_SHARE = 0.35
FAR_SHARE = 0.6  # where the joint model is too far from a proof
JOINT_GAP = 0.002
BOUND_SHARES = (0.9, 0.6, 0.35)  # of the time for the class model: small, medium, large trips
MEDIUM = 2_500  # pairs of line and case up to which a trip is medium
WORK_EACH_DETERMINISTIC_S = 20_000_000  # pairs of line and case times steps
MOST_STEPS_EACH_S = 20_000
IDLE_STEPS = 100
LOOK_S = 0.02  # between two looks at the clock, about
LEAVE_S = 2.0  # at the end of the program, which would trip over a solver still at work


def run(search: Search) -> None:
    """Works until the best plan is proved, nothing more can be said, or time is over."""
    warm_up()
    if search.watch.limits.deterministic is not None:
        _start(search)
        _in_turns(search)
    else:
        _side_by_side(search)


def _homes(search: Search) -> int:
    """How many pairs of a line and a case that takes it there are: the size of the models."""
    return sum(len(line.cases) for line in search.problem.lines if line.most)


def _start(search: Search) -> None:
    def late() -> bool:
        clocked = search.watch.limits.deterministic is None
        return search.watch.over() or (clocked and search.watch.seconds > START_S)

    for found in first_sketches(search.problem, search.given, late):
        search.offer(found, "a first plan")


def _in_turns(search: Search) -> None:
    budget = search.watch.limits.deterministic or 0.0
    if _homes(search) <= MOST_HOMES or search.best is not None:
        improver = _improver(search, _next_start(search), 0)
        each = min(MOST_STEPS_EACH_S, WORK_EACH_DETERMINISTIC_S // max(1, _homes(search)))
        steps = max(200, int(each * budget * 0.25))
        improver.run(steps, lambda step: step / steps, search.watch.over)
        if improver.complete:
            search.offer(improver.best, "packing anew")
        search.watch.spent += 0.25 * budget
    _prove(search, budget)


def _prove(search: Search, total_s: float) -> None:
    """The bound by classes, then plans nearer to it, then the proof case by case."""
    if _homes(search) > MOST_HOMES:
        bound_by_classes(search, total_s)
        return
    small, large = _homes(search) <= SMALL_JOINT, _homes(search) > MEDIUM
    bound_by_classes(search, BOUND_SHARES[0 if small else 2 if large else 1] * total_s)
    if not small and not search.proved and not search.impossible:
        far = search.gap > JOINT_GAP and not large
        search_neighbours(search, (FAR_SHARE if far else NEIGHBOUR_SHARE) * total_s)
    if not search.proved and not search.impossible:
        solve_joint(search)


def _side_by_side(search: Search) -> None:
    failed: list[BaseException] = []

    def prove() -> None:
        try:
            _prove(search, search.watch.limits.seconds)
        except BaseException as error:  # handed on below, in the thread that waits
            failed.append(error)

    prover = threading.Thread(target=prove, name="holdall-prover", daemon=True)
    prover.start()
    _start(search)
    _improve(search, prover)
    prover.join(GRACE_S)
    search.close()
    if prover.is_alive():  # left behind in what does not look at the clock; it finds all closed
        atexit.register(prover.join, LEAVE_S)
    if failed:
        raise failed[0]


def _improve(search: Search, prover: threading.Thread) -> None:
    """Ruin and recreate in phases, from the best plan or from one that the bound suggested."""
    turns = Turns((WALK, EXCHANGE))
    for phase in itertools.count():
        if search.ended():
            return
        if search.best is None and not prover.is_alive() and _homes(search) <= MOST_HOMES:
            return
        start = _packed_draft(search, phase) or _next_start(search)
        before, begun_s = search.best_minor, search.watch.seconds
        turn = WALK if search.best is None else turns.next()
        if turn == WALK:
            longer = min(LONGEST, max(1.0, _homes(search) / PHASE_HOMES))
            phase_s = longer * PHASES_S[min(phase, len(PHASES_S) - 1)]
            _one_phase(search, _improver(search, start, phase), phase_s)
        else:
            _exchanged(search, start, phase, "exchanging units")
        gain = 0 if before is None or search.best_minor is None else before - search.best_minor
        turns.note(turn, gain, search.watch.seconds - begun_s)


def _packed_draft(search: Search, phase: int) -> Sketch | None:
    """The newest answer of the class model, packed, if that is near the best plan."""
    if not search.drafts:
        return None
    draft = search.drafts.pop()
    search.drafts.clear()
    return _exchanged(search, draft, phase, "packing what the bound flies")


def _exchanged(search: Search, start: Sketch | Draft, phase: int, doing: str) -> Sketch | None:
    """What exchanging units makes of a start, offered; None if it is not worth going on from."""
    steps = min(MOST_EXCHANGES, max(LEAST_EXCHANGES, EXCHANGES_EACH * _homes(search)))
    seed = search.watch.limits.seed * 1000 + phase
    memory = search.memories.get(EXCHANGE_EFFORT)
    exchanger = Exchanger(search.problem, search.given, start, seed, steps, memory)
    exchanger.run(search.ended)
    search.memories[EXCHANGE_EFFORT] = exchanger.memory
    found: Sketch | None = exchanger.best if exchanger.best_minor < NONE_YET else None
    if found is not None and not exchanger.complete:
        found = completed(search.problem, search.given, found, seed, search.ended)
    if found is None:
        return None
    search.offer(found, doing)
    return found if _near(search, found) else None


def _next_start(search: Search) -> Sketch:
    """The newest plan that the bound suggested if it is near the best, else the best there is."""
    if search.best is None:
        least = [line.least for line in search.problem.lines]
        return begun(search.problem, search.given, least)[0]
    while search.seeds:
        seed = search.seeds.pop()
        if _near(search, seed):
            search.seeds.clear()
            return seed
    return search.best


def _near(search: Search, found: Sketch) -> bool:
    """True for a sketch that is worth going on from: not much dearer than the best plan."""
    best = search.best_minor
    return best is None or search.price(found) <= best * (1 + SEED_SLACK)


def _one_phase(search: Search, improver: Improver, phase_s: float) -> None:
    begun_s = search.watch.seconds
    length_s = min(phase_s, search.watch.left_s)

    def done(_: int) -> float:
        return (search.watch.seconds - begun_s) / max(length_s, 1e-3)

    offered_s, offered = begun_s, improver.best_minor
    steps = IDLE_STEPS
    while not search.ended() and done(0) < 1.0:
        looked_s = search.watch.seconds
        improver.run(steps, done, search.ended, steps)
        # Seldom enough that the proof, in Python, does not make each look wait for its turn.
        soon = search.watch.seconds - looked_s < LOOK_S
        steps = 2 * steps if soon else max(IDLE_STEPS, steps // 2)
        waited = search.watch.seconds - offered_s >= OFFER_S
        if waited and improver.best_minor < offered and improver.complete:
            search.offer(improver.best, "packing anew")
            offered_s, offered = search.watch.seconds, improver.best_minor
    if improver.best_minor < offered and improver.complete:
        search.offer(improver.best, "packing anew")


def _improver(search: Search, start: Sketch, phase: int) -> Improver:
    homes = _homes(search)
    moods = PATIENT if homes > MOST_HOMES else HURRIED if homes > HURRY else MOODS
    seed = search.watch.limits.seed * 1000 + phase
    mood = moods[phase % len(moods)]
    memory = search.memories.get(mood.effort)
    improver = Improver(search.problem, search.given, start, seed, mood, memory)
    search.memories[mood.effort] = improver.memory
    return improver
