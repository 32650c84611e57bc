"""Hands work out to processes of their own: a bounded number at once, the rest wait in order.

A `Work` says what waits, what runs it and how its news are kept: plans (`PlanWork`) here, studies
in `api.work.studying`. Everything that matters stands in the store before it is acknowledged:
this part may be killed at any moment and a new one goes on from there.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import threading
import time
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection
from typing import Any, Generic, Protocol, TypeVar

from api.safety.logs import LOG
from api.store import Store
from api.store.plans import Ending, PlanRow
from api.work.keeping import cut_off, settled, stopped
from api.work.solving import Order, solve_order
from packer.model.outcome import Outcome

_SPAWN = multiprocessing.get_context("spawn")
_LOOK_SECONDS = 0.2
_NOTE_SECONDS = 0.5
# Over and above the time asked for: start, reading, compiling on a first run, the judge.
GRACE_SECONDS = 120.0

MakeOrder = Callable[[PlanRow], Order]
Target = Callable[[Connection, Any], None]


class WorkRow(Protocol):
    """Something asked for: its id, and whether somebody asked to stop it."""

    @property
    def id(self) -> str: ...
    @property
    def stop_asked(self) -> int: ...


Row = TypeVar("Row", bound=WorkRow)


class Work(ABC, Generic[Row]):
    """One kind of work; every method may be called from any thread."""

    target: Target

    @abstractmethod
    def waiting(self) -> Sequence[Row]:
        """What waits, the next one first."""

    @abstractmethod
    def begin(self, row: Row) -> bool:
        """Take it to be worked on; False when it no longer waits."""

    @abstractmethod
    def order(self, row: Row) -> tuple[Any, float]:
        """What its process is told, and the seconds that it may take."""

    @abstractmethod
    def hear(self, row: Row, kind: str, what: tuple[Any, ...]) -> None:
        """Keep a piece of news from its process; signs of life (`progress`) come thinned out."""

    @abstractmethod
    def end(self, row: Row, ending: Any) -> None:
        """Keep what its process answered."""

    @abstractmethod
    def fail(self, row: Row, message: str) -> None:
        """It could not be done."""

    @abstractmethod
    def end_stopped(self, row: Row) -> None:
        """It was stopped while it waited."""

    @abstractmethod
    def cut_off(self, row: Row) -> None:
        """Its process was killed: it ends or waits again."""

    @abstractmethod
    def put_back(self, row: Row) -> None:
        """The server ends in order: it waits again, as if not begun."""

    @abstractmethod
    def take_up_again(self) -> Sequence[Row]:
        """At a server's start: whatever was begun ends or waits again."""

    @abstractmethod
    def ask_stop(self, key: str) -> bool:
        """Remember the wish to stop; False when there is nothing to stop."""


class PlanWork(Work[PlanRow]):
    """Plans to be solved."""

    target = staticmethod(solve_order)

    def __init__(self, store: Store, make_order: MakeOrder) -> None:
        self._plans = store.plans
        self._make_order = make_order

    def waiting(self) -> Sequence[PlanRow]:
        """As `Work`."""
        return self._plans.waiting()

    def begin(self, row: PlanRow) -> bool:
        """As `Work`."""
        return self._plans.begin(row.id)

    def order(self, row: PlanRow) -> tuple[Order, float]:
        """As `Work`."""
        order = self._make_order(row)
        return order, order.limits.seconds

    def hear(self, row: PlanRow, kind: str, what: tuple[Any, ...]) -> None:
        """As `Work`; a better plan is shown only once it stands in the store."""
        if kind == "better":
            self._plans.note_best(row.id, *what)
        else:
            self._plans.note_progress(row.id, *what)

    def end(self, row: PlanRow, ending: Ending) -> None:
        """As `Work`."""
        self._plans.end(row.id, settled(self._plans.get(row.id), ending))

    def fail(self, row: PlanRow, message: str) -> None:
        """As `Work`."""
        self.end(row, Ending("failed", int(Outcome.FAULT), message))

    def end_stopped(self, row: PlanRow) -> None:
        """As `Work`."""
        self._plans.end(row.id, stopped(row))

    def cut_off(self, row: PlanRow) -> None:
        """As `Work`."""
        self._plans.cut_off(self._plans.get(row.id), cut_off)

    def put_back(self, row: PlanRow) -> None:
        """As `Work`."""
        self._plans.put_back(row.id)

    def take_up_again(self) -> Sequence[PlanRow]:
        """As `Work`."""
        return self._plans.take_up_again(cut_off)

    def ask_stop(self, key: str) -> bool:
        """As `Work`."""
        return self._plans.ask_stop(key)


class Queue(Generic[Row]):
    """What runs of one kind of work on one server."""

    def __init__(self, work: Work[Row], at_once: int) -> None:
        self._work = work
        self._at_once = at_once
        self._running: dict[str, Run[Row]] = {}
        self._wake = threading.Condition()
        self._closing = False
        self._thread = threading.Thread(target=self._hand_out, name="queue", daemon=True)

    def start(self) -> None:
        """Take up what a former server left, and begin to hand out."""
        for row in self._work.take_up_again():
            LOG.info("%s was cut off and is taken up again", row.id)
        self._thread.start()

    def look(self) -> None:
        """Something new waits."""
        with self._wake:
            self._wake.notify_all()

    def stop(self, key: str) -> bool:
        """Ask for the best so far; False when it neither waits nor runs."""
        asked = self._work.ask_stop(key)
        with self._wake:
            running = self._running.get(key)
            self._wake.notify_all()
        if running is not None:
            running.stop()
        return asked

    def close(self) -> None:
        """End the running processes and put what they worked on back into the queue."""
        with self._wake:
            self._closing = True
            self._wake.notify_all()
            running = list(self._running.values())
        for run in running:
            run.give_back()
        self._thread.join(10)
        for run in running:
            run.join(10)

    def _hand_out(self) -> None:
        while True:
            with self._wake:
                if self._closing:
                    return
                self._begin_waiting()
                self._wake.wait(1.0)

    def _begin_waiting(self) -> None:
        try:
            for row in self._work.waiting():
                if row.stop_asked:
                    self._work.end_stopped(row)
                elif len(self._running) < self._at_once:
                    self._begin(row)
        except Exception:  # the queue must outlive a database that is away for a moment
            LOG.exception("the queue could not look")

    def _begin(self, row: Row) -> None:
        if self._work.begin(row):
            run = Run(self._work, row, self._ended)
            self._running[row.id] = run
            run.start()

    def _ended(self, key: str) -> None:
        with self._wake:
            self._running.pop(key, None)
            self._wake.notify_all()


class Run(threading.Thread, Generic[Row]):
    """Watches one working process from begin to end."""

    def __init__(self, work: Work[Row], row: Row, ended: Callable[[str], None]) -> None:
        super().__init__(name=f"run-{row.id}", daemon=True)
        self._work = work
        self._row = row
        self._ended = ended
        self._stop_asked = threading.Event()
        self._given_back = threading.Event()
        self._noted = 0.0

    def stop(self) -> None:
        """Ask for the best so far."""
        self._stop_asked.set()

    def give_back(self) -> None:
        """End the process and let the work wait again."""
        self._given_back.set()

    def run(self) -> None:
        """Start the process, follow it, write down what came of it."""
        try:
            self._follow_process()
        except Exception:
            LOG.exception("work %s", self._row.id)
            self._work.fail(self._row, "The program has a fault.")
        finally:
            self._ended(self._row.id)

    def _follow_process(self) -> None:
        order, seconds = self._work.order(self._row)
        pipe, there = _SPAWN.Pipe()
        process = _SPAWN.Process(target=self._work.target, args=(there, order), daemon=True)
        process.start()
        there.close()
        try:
            self._follow(pipe, time.monotonic() + seconds + GRACE_SECONDS)
        finally:
            process.kill()
            process.join(5)
            pipe.close()

    def _follow(self, pipe: Connection, deadline: float) -> None:
        told = False
        while time.monotonic() < deadline:
            if self._given_back.is_set():
                return self._work.put_back(self._row)
            if self._stop_asked.is_set() and not told:
                told = _tell_stop(pipe)
            try:
                news = pipe.recv() if pipe.poll(_LOOK_SECONDS) else None
            except (EOFError, OSError):
                return self._work.cut_off(self._row)
            if news is not None and self._take(*news):
                return None
        return self._work.fail(self._row, "It did not keep its time and was ended.")

    def _take(self, kind: str, *what: Any) -> bool:
        """Keep what the process sent; True for its answer."""
        if kind == "end":
            self._work.end(self._row, what[0])
            return True
        if kind != "progress":
            self._work.hear(self._row, kind, what)
        elif time.monotonic() - self._noted >= _NOTE_SECONDS:
            self._noted = time.monotonic()
            self._work.hear(self._row, kind, what)
        return False


def _tell_stop(pipe: Connection) -> bool:
    with contextlib.suppress(OSError):
        pipe.send("stop")
    return True
