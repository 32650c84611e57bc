"""Time kept: a deadline, a stop asked for from outside, and a count of deterministic work."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

from ortools.sat.python import cp_model

from packer.model.solving import Limits, ShouldStop

HEARTBEAT_S = 0.05
GRACE_S = 0.1  # what may still be taken once time is over
MOST_RESERVED = 0.2  # of the limit


class Watch:
    """How much may still be spent. With a deterministic limit the clock is not asked."""

    def __init__(self, limits: Limits, should_stop: ShouldStop) -> None:
        self.limits = limits
        self._should_stop = should_stop
        self._started = time.monotonic()
        self._reserved_s = 0.0
        self.spent = 0.0

    def reserve(self, seconds: float) -> None:
        """Keeps so much of the limit, at most a share, for what follows the search."""
        self._reserved_s = min(seconds, MOST_RESERVED * self.limits.seconds)

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._started

    @property
    def work(self) -> float:
        """What has been spent in the measure that limits: deterministic seconds, or seconds."""
        return self.seconds if self.limits.deterministic is None else self.spent

    @property
    def left_s(self) -> float:
        """Seconds left by the clock for the search, never below 0."""
        return max(0.0, self.limits.seconds - self._reserved_s - self.seconds)

    @property
    def finish_s(self) -> float | None:
        """Seconds for what follows the search; None, as long as it takes, for counted work."""
        if self.limits.deterministic is not None:
            return None
        left_s = 0.0 if self._should_stop() else self.limits.seconds - self.seconds
        return max(GRACE_S, left_s)

    @property
    def left_deterministic(self) -> float:
        """Deterministic seconds left; endless where no such limit is set."""
        limit = self.limits.deterministic
        return float("inf") if limit is None else max(0.0, limit - self.spent)

    def over(self) -> bool:
        """True when nothing more may be started."""
        if self._should_stop():
            return True
        if self.limits.deterministic is not None:
            return self.left_deterministic <= 0.0
        return self.left_s <= 0.0

    def configure(self, solver: cp_model.CpSolver, share_s: float | None = None) -> None:
        """Gives a solver what is left, at most `share_s` seconds (deterministic or by clock)."""
        parameters = solver.parameters
        parameters.random_seed = self.limits.seed
        # Full linear relaxations: alone they prove in seconds what the default set never does.
        parameters.linearization_level = 2
        parameters.catch_sigint_signal = False  # Ctrl-C reaches us through should_stop
        if self.limits.deterministic is None:
            left = self.left_s if share_s is None else min(share_s, self.left_s)
            parameters.max_time_in_seconds = max(0.01, left)
            parameters.num_workers = max(1, self.limits.workers - 1)  # one improves meanwhile
            return
        left = self.left_deterministic if share_s is None else min(share_s, self.left_deterministic)
        parameters.max_deterministic_time = max(0.001, left)
        parameters.num_workers = 1

    def ending(self, stop: Callable[[], None]) -> AbstractContextManager[None]:
        """Calls `stop` when time is over; by counted work only when the user asks for an end."""
        return self.guarding(stop, self.over)

    @contextmanager
    def guarding(
        self, stop: Callable[[], None], done: Callable[[], bool] = lambda: False
    ) -> Iterator[None]:
        """Calls `stop` from a thread of its own when the user asks for an end or all is done."""
        finished = threading.Event()

        def look() -> None:
            while not finished.wait(HEARTBEAT_S):
                if self._should_stop() or (self.limits.deterministic is None and done()):
                    stop()

        thread = threading.Thread(target=look, daemon=True)
        thread.start()
        try:
            yield
        finally:
            finished.set()
            thread.join()
