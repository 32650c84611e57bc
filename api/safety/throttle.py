"""Slows down guessing: a few failures per caller and per name, then a wait."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable


class Throttle:
    """Counts failures under keys; more than `most` within `seconds` and a key must wait."""

    def __init__(
        self, most: int, seconds: float, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._most = most
        self._seconds = seconds
        self._clock = clock
        self._failures: dict[str, deque[float]] = {}
        self._lock = threading.Lock()

    def wait(self, *keys: str) -> int:
        """Whole seconds until all of these keys may try again; 0 for now."""
        with self._lock:
            waits = [self._wait_of(key) for key in keys]
        return max(waits, default=0)

    def failed(self, *keys: str) -> None:
        """Count a failure under each key."""
        with self._lock:
            for key in keys:
                self._failures.setdefault(key, deque()).append(self._clock())
            self._forget_old()

    def succeeded(self, *keys: str) -> None:
        """Forget the failures of these keys."""
        with self._lock:
            for key in keys:
                self._failures.pop(key, None)

    def _wait_of(self, key: str) -> int:
        times = self._failures.get(key)
        if times is None or len(times) < self._most:
            return 0
        left = times[-self._most] + self._seconds - self._clock()
        return max(0, int(left) + 1) if left > 0 else 0

    def _forget_old(self) -> None:
        # A crowd of invented names must not fill the memory.
        edge = self._clock() - self._seconds
        for key in [key for key, times in self._failures.items() if times[-1] < edge]:
            del self._failures[key]
