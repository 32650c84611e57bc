"""Many things to do, each the better the more effort it gets, in what time is left.

In: seconds, or None where the clock must not matter; how many things; the effort of one where
time does not press. Out: an effort for each, less where the earlier ones took long.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

FIRST_RATE = 4_000_000.0  # effort a second, until it is measured; machines are faster
WORTH_MEASURING = 20_000  # of effort: below, what every thing needs hides the rate


class Pace:
    """Shares out what time is left; may be asked from several threads."""

    def __init__(self, seconds: float | None, things: int, full: int, workers: int = 1) -> None:
        self._deadline = None if seconds is None else time.monotonic() + seconds
        self._left = things
        self._full = full
        self._workers = max(1, workers)
        self._rate = FIRST_RATE
        self._lock = threading.Lock()

    @contextmanager
    def one(self) -> Iterator[int]:
        """The effort for the next thing, which is done within the block."""
        effort = self._next()
        begun = time.monotonic()
        yield effort
        took = time.monotonic() - begun
        if effort >= WORTH_MEASURING and took > 0:
            self._rate = effort / took

    def _next(self) -> int:
        with self._lock:
            left, self._left = max(1, self._left), self._left - 1
        if self._deadline is None:
            return self._full
        each_s = max(0.0, self._deadline - time.monotonic()) * self._workers / left
        return min(self._full, int(each_s * self._rate))
