"""Shows that long work is going on, and lets Ctrl-C end it with the best plan so far.

The work runs in a thread of its own, so that the main thread can redraw the line and hear
Ctrl-C while the solver is busy. On a terminal one line is redrawn; elsewhere a line is written
when the best plan changes, at most every few seconds.
"""

from __future__ import annotations

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

from packer.cli.talk import say, width
from packer.model.solving import COMPILING, OnProgress, Progress, ShouldStop

Result = TypeVar("Result")
Work = Callable[[OnProgress, ShouldStop], Result]

REDRAW_SECONDS = 0.2
SPARSE_SECONDS = 5.0


def watch(work: Work[Result], *, silent: bool = False) -> Result:
    """The result of `work(on_progress, should_stop)`, with signs of life on standard error.

    The first Ctrl-C makes `should_stop` true; the second raises KeyboardInterrupt.
    """
    stop = threading.Event()
    display = _Display(silent)
    task = _Task(lambda: work(display.take, stop.is_set))
    with _interrupts() as presses:
        task.start()
        while not task.finished.wait(REDRAW_SECONDS):
            if presses() > 1:
                raise KeyboardInterrupt
            if presses() and not stop.is_set():
                stop.set()
                display.clear()
                say("Stopping with the best plan so far; Ctrl-C again stops at once.")
            display.redraw()
    display.clear()
    return task.result()


@contextmanager
def _interrupts() -> Iterator[Callable[[], int]]:
    """Gives a function that tells how often Ctrl-C was pressed meanwhile.

    Each call sets the handler anew: solvers put their own in its place and leave none behind,
    and the program would die of the next Ctrl-C.
    """
    pressed: list[int] = []
    before = signal.getsignal(signal.SIGINT)

    def hear(number: int, _frame: object) -> None:
        pressed.append(number)

    def presses() -> int:
        signal.signal(signal.SIGINT, hear)
        return len(pressed)

    presses()
    try:
        yield presses
    finally:
        signal.signal(signal.SIGINT, before)


class _Task(threading.Thread, Generic[Result]):
    """A thread that keeps what the work returned or raised. A daemon: a second Ctrl-C ends it."""

    def __init__(self, work: Callable[[], Result]) -> None:
        super().__init__(name="holdall-work", daemon=True)
        # An event, not join(): an interrupted join() may take the thread for ended.
        self.finished = threading.Event()
        self._work = work
        self._results: list[Result] = []
        self._problem: BaseException | None = None

    def run(self) -> None:
        """Do the work."""
        try:
            self._results.append(self._work())
        except BaseException as problem:
            self._problem = problem
        finally:
            self.finished.set()

    def result(self) -> Result:
        """What the work returned; raises what it raised."""
        if self._problem is not None:
            raise self._problem
        return self._results[0]


class _Display:
    """The last sign of life, and when and how it was shown."""

    def __init__(self, silent: bool) -> None:
        self._silent = silent
        self._started = time.monotonic()
        self._last: Progress | None = None
        self._shown_best: int | None = None
        self._shown_at = 0.0
        self._warned = False
        self._terminal = sys.stderr.isatty()

    def take(self, progress: Progress) -> None:
        """Remember a sign of life; called from the working thread."""
        self._last = progress

    def redraw(self) -> None:
        """Show the last sign of life if it is time to."""
        if self._silent or self._last is None:
            return
        seconds = time.monotonic() - self._started
        text = progress_text(self._last, seconds)
        if self._terminal:
            if len(text) >= width():
                text = narrow_text(self._last, seconds)
            sys.stderr.write("\r\033[K" + text[: width() - 1])
            sys.stderr.flush()
        elif self._is_news(seconds):
            self._shown_best, self._shown_at = self._last.best_minor, seconds
            say(text)

    def clear(self) -> None:
        """Take the line off the terminal."""
        if self._terminal and not self._silent:
            sys.stderr.write("\r\033[K")
            sys.stderr.flush()

    def _is_news(self, seconds: float) -> bool:
        assert self._last is not None
        if self._last.doing == COMPILING and not self._warned:
            self._warned = True  # a log says at once why nothing comes
            return True
        waited = seconds - self._shown_at
        changed = self._last.best_minor != self._shown_best
        return waited >= SPARSE_SECONDS and (changed or waited >= 3 * SPARSE_SECONDS)


def progress_text(progress: Progress, seconds: float) -> str:
    """One line: time, best plan so far, what is proved, the gap between them, what is going on."""
    from packer.papers.units import money_text

    parts = [f"{seconds:.0f} s"]
    if progress.best_minor is not None:
        parts.append(f"best {money_text(progress.best_minor, progress.currency)}")
    else:
        parts.append("no plan yet")
    if progress.bound_minor is not None:
        parts.append(f"proved at least {money_text(progress.bound_minor, progress.currency)}")
    if progress.gap is not None:
        parts.append(f"gap {100 * progress.gap:.1f} %")
    return "  ".join([*parts, progress.doing]).rstrip()


def narrow_text(progress: Progress, seconds: float) -> str:
    """The same for a narrow terminal: `8 s  68.00 EUR  >= 61.00  gap 10.3 %  packing`."""
    from packer.papers.units import major_text

    parts = [f"{seconds:.0f} s"]
    if progress.best_minor is not None:
        parts.append(f"{major_text(progress.best_minor, progress.currency)} {progress.currency}")
    if progress.bound_minor is not None:
        parts.append(f">= {major_text(progress.bound_minor, progress.currency)}")
    if progress.gap is not None:
        parts.append(f"gap {100 * progress.gap:.1f} %")
    return "  ".join([*parts, progress.doing]).rstrip()
