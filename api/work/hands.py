"""One other process that runs functions one at a time, and can be ended from here.

The function and its arguments go over by pickle; the answer, or what was raised, comes back.
When this process dies, by whatever means, the other one sees its pipe close and ends too.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

_SPAWN = multiprocessing.get_context("spawn")
Call = tuple[Callable[..., Any], tuple[Any, ...]]


class HandLostError(RuntimeError):
    """The other process ended before it answered."""


class HandSlowError(RuntimeError):
    """The other process did not answer in time, and was ended."""


class Hand:
    """A process at the ready; starts at the first call and again after it was ended."""

    def __init__(self, niceness: int = 0) -> None:
        self._niceness = niceness
        self._process: multiprocessing.process.BaseProcess | None = None
        self._pipe: Connection | None = None

    def run(self, function: Callable[..., Any], *args: Any, seconds: float) -> Any:
        """What `function(*args)` returns or raises there. Raises HandLostError, HandSlowError."""
        pipe = self._ready()
        try:
            pipe.send((function, args))
            if not pipe.poll(seconds):
                self.end()
                raise HandSlowError(f"no answer within {seconds:.0f} s")
            good, answer = pipe.recv()
        except (EOFError, OSError) as error:
            self.end()
            raise HandLostError("the working process ended") from error
        if not good:
            raise answer
        return answer

    def end(self) -> None:
        """End the process, if there is one."""
        if self._process is not None:
            self._process.kill()
            self._process.join(5)
        if self._pipe is not None:
            self._pipe.close()
        self._process = self._pipe = None

    def _ready(self) -> Connection:
        if self._process is None or not self._process.is_alive() or self._pipe is None:
            self.end()
            self._pipe, there = _SPAWN.Pipe()
            self._process = _SPAWN.Process(
                target=serve_calls, args=(there, self._niceness), daemon=True
            )
            self._process.start()
            there.close()
        return self._pipe


def serve_calls(pipe: Connection, niceness: int) -> None:
    """The other process: answer calls until the pipe closes."""
    be_nice(niceness)
    while True:
        try:
            function, args = pipe.recv()
        except (EOFError, OSError):
            return
        _answer(pipe, function, args)


def _answer(pipe: Connection, function: Callable[..., Any], args: tuple[Any, ...]) -> None:
    try:
        pipe.send((True, function(*args)))
    except (BrokenPipeError, KeyboardInterrupt):
        os._exit(0)
    except Exception as error:
        _send_error(pipe, error)


def _send_error(pipe: Connection, error: Exception) -> None:
    try:
        pipe.send((False, error))
    except Exception:  # what cannot be pickled goes over as its text
        pipe.send((False, RuntimeError(f"{type(error).__name__}: {error}")))


def be_nice(niceness: int) -> None:
    """Give way to the server's own process where the system knows how."""
    if niceness and hasattr(os, "nice"):
        with contextlib.suppress(OSError):
            os.nice(niceness)


class Hands:
    """A few hands; a call waits for a free one, within its seconds."""

    def __init__(self, count: int, niceness: int = 0) -> None:
        self._all = [Hand(niceness) for _ in range(count)]
        self._free = list(self._all)
        self._turn = threading.Condition()

    def run(self, function: Callable[..., Any], *args: Any, seconds: float) -> Any:
        """Run on the next free hand. Raises HandSlowError, HandLostError, or what it raised."""
        hand = self._take(seconds)
        try:
            return hand.run(function, *args, seconds=seconds)
        finally:
            self._give_back(hand)

    def end(self) -> None:
        """End all processes."""
        for hand in self._all:
            hand.end()

    def _take(self, seconds: float) -> Hand:
        with self._turn:
            if not self._turn.wait_for(lambda: bool(self._free), timeout=seconds):
                raise HandSlowError(f"nobody free within {seconds:.0f} s")
            return self._free.pop()

    def _give_back(self, hand: Hand) -> None:
        with self._turn:
            self._free.append(hand)
            self._turn.notify()
