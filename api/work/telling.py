"""How a working process tells what it does: one pipe for several threads, and better plans made
beside the solver, so that it never waits for them."""

from __future__ import annotations

import json
import threading
import time
import traceback
from collections.abc import Callable
from multiprocessing.connection import Connection

from packer.model.plan import Plan
from packer.model.plan_json import plan_to_json
from packer.model.solving import Progress

MakePlan = Callable[[], Plan | None]
RESTS = 4  # times as long as a plan took to make: a fifth of one thread's time at most


class Line:
    """The sending end of a pipe that several threads use."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._lock = threading.Lock()

    def send(self, *what: object) -> None:
        """Send one piece of news whole."""
        with self._lock:
            self._pipe.send(what)


class Keeper(threading.Thread):
    """Makes the best plan so far and sends `("better", minor, plan.json)` once the judge let it
    pass; after each plan it rests, and then takes the newest only."""

    def __init__(self, line: Line) -> None:
        super().__init__(name="keeper", daemon=True)
        self._line = line
        self._wake = threading.Condition()
        self._newest: tuple[int, MakePlan] | None = None
        self._made: int | None = None
        self._ended = False

    def hear(self, progress: Progress) -> None:
        """Remember a better plan, to be made when there is time."""
        minor, make = progress.best_minor, progress.plan
        if minor is None or make is None:
            return
        with self._wake:
            if self._newest is None or minor < self._newest[0]:
                self._newest = (minor, make)
                self._wake.notify()

    def end(self) -> None:
        """The solver has answered: nothing is made any more."""
        with self._wake:
            self._ended = True
            self._wake.notify()

    def run(self) -> None:
        """Make and send until the end."""
        while (make := self._next()) is not None:
            begun = time.monotonic()
            try:
                self._send(make())
            except Exception:  # the solve goes on; its end brings the plan
                traceback.print_exc()
            time.sleep(RESTS * (time.monotonic() - begun))

    def _next(self) -> MakePlan | None:
        with self._wake:
            self._wake.wait_for(lambda: self._ended or self._is_news())
            if self._ended or self._newest is None:
                return None
            self._made, make = self._newest
            return make

    def _is_news(self) -> bool:
        return self._newest is not None and (self._made is None or self._newest[0] < self._made)

    def _send(self, plan: Plan | None) -> None:
        if plan is not None:
            text = json.dumps(plan_to_json(plan), ensure_ascii=False)
            self._line.send("better", plan.objective_minor, text)
