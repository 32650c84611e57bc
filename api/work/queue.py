"""Hands solves out to processes of their own: a bounded number at once, the rest wait in order.

Everything that matters stands in the store before it is acknowledged: this part may be killed at
any moment and a new one goes on from there.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import threading
import time
from collections.abc import Callable
from multiprocessing.connection import Connection

from api.safety.logs import LOG
from api.store import Store
from api.store.plans import Ending, PlanRow
from api.work.solving import Order, solve_order
from packer.model.outcome import Outcome

_SPAWN = multiprocessing.get_context("spawn")
_LOOK_SECONDS = 0.2
_NOTE_SECONDS = 0.5
# Over and above the time asked for: start, reading, compiling on a first run, the judge.
GRACE_SECONDS = 120.0

MakeOrder = Callable[[PlanRow], Order]


class SolveQueue:
    """The queue and the running solves of one server."""

    def __init__(self, store: Store, at_once: int, make_order: MakeOrder) -> None:
        self._store = store
        self._at_once = at_once
        self._make_order = make_order
        self._running: dict[str, Solve] = {}
        self._wake = threading.Condition()
        self._closing = False
        self._thread = threading.Thread(target=self._hand_out, name="solve-queue", daemon=True)

    def start(self) -> None:
        """Take up what a former server left, and begin to hand out."""
        for row in self._store.plans.take_up_again():
            LOG.info("plan %s was cut off and is taken up again", row.id)
        self._thread.start()

    def look(self) -> None:
        """Something new waits."""
        with self._wake:
            self._wake.notify_all()

    def stop(self, plan: str) -> bool:
        """Ask for the best so far; False when the plan neither waits nor runs."""
        asked = self._store.plans.ask_stop(plan)
        with self._wake:
            running = self._running.get(plan)
            self._wake.notify_all()
        if running is not None:
            running.stop()
        return asked

    def close(self) -> None:
        """End the running processes and put what they solved back into the queue."""
        with self._wake:
            self._closing = True
            self._wake.notify_all()
            running = list(self._running.values())
        for solve in running:
            solve.give_back()
        self._thread.join(10)
        for solve in running:
            solve.join(10)

    def _hand_out(self) -> None:
        while True:
            with self._wake:
                if self._closing:
                    return
                self._begin_waiting()
                self._wake.wait(1.0)

    def _begin_waiting(self) -> None:
        try:
            for row in self._store.plans.waiting():
                if row.stop_asked:
                    self._store.plans.end(row.id, _STOPPED_EARLY)
                elif len(self._running) < self._at_once:
                    self._begin(row)
        except Exception:  # the queue must outlive a database that is away for a moment
            LOG.exception("the queue could not look")

    def _begin(self, row: PlanRow) -> None:
        if self._store.plans.begin(row.id):
            solve = Solve(self._store, row, self._make_order, self._ended)
            self._running[row.id] = solve
            solve.start()

    def _ended(self, plan: str) -> None:
        with self._wake:
            self._running.pop(plan, None)
            self._wake.notify_all()


_STOPPED_EARLY = Ending("out-of-time", int(Outcome.OUT_OF_TIME), "Stopped before it began.")


class Solve(threading.Thread):
    """Watches one solving process from begin to end."""

    def __init__(
        self, store: Store, row: PlanRow, make_order: MakeOrder, ended: Callable[[str], None]
    ) -> None:
        super().__init__(name=f"solve-{row.id}", daemon=True)
        self._store = store
        self._row = row
        self._make_order = make_order
        self._ended = ended
        self._stop_asked = threading.Event()
        self._given_back = threading.Event()
        self._noted = 0.0

    def stop(self) -> None:
        """Ask for the best so far."""
        self._stop_asked.set()

    def give_back(self) -> None:
        """End the process and let the plan wait again."""
        self._given_back.set()

    def run(self) -> None:
        """Start the process, follow it, write down what came of it."""
        try:
            ending = self._follow_process()
            if ending is None:
                self._store.plans.put_back(self._row.id)
            else:
                self._store.plans.end(self._row.id, ending)
        except Exception:
            LOG.exception("solve %s", self._row.id)
            self._store.plans.end(self._row.id, _failed("The program has a fault."))
        finally:
            self._ended(self._row.id)

    def _follow_process(self) -> Ending | None:
        order = self._make_order(self._row)
        pipe, there = _SPAWN.Pipe()
        process = _SPAWN.Process(target=solve_order, args=(there, order), daemon=True)
        process.start()
        there.close()
        try:
            return self._follow(pipe, time.monotonic() + order.limits.seconds + GRACE_SECONDS)
        finally:
            process.kill()
            process.join(5)
            pipe.close()

    def _follow(self, pipe: Connection, deadline: float) -> Ending | None:
        told = False
        while time.monotonic() < deadline:
            if self._given_back.is_set():
                return None
            if self._stop_asked.is_set() and not told:
                told = _tell_stop(pipe)
            try:
                if pipe.poll(_LOOK_SECONDS):
                    kind, *what = pipe.recv()
                    if kind == "end":
                        return _the_ending(what)
                    self._note(*what)
            except (EOFError, OSError):
                return _failed("The solving process ended before it answered.")
        return _failed("The solving process did not keep its time and was ended.")

    def _note(self, seconds: float, best: int | None, bound: int | None, doing: str) -> None:
        if time.monotonic() - self._noted >= _NOTE_SECONDS:
            self._noted = time.monotonic()
            self._store.plans.note_progress(self._row.id, seconds, best, bound, doing)


def _the_ending(what: list[object]) -> Ending:
    ending = what[0]
    assert isinstance(ending, Ending)
    return ending


def _failed(message: str) -> Ending:
    return Ending("failed", int(Outcome.FAULT), message)


def _tell_stop(pipe: Connection) -> bool:
    with contextlib.suppress(OSError):
        pipe.send("stop")
    return True
