"""The exact model ends when it is told to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Timer
from time import monotonic

from packer.geometry import Fitter, Item, Verdict
from packer.geometry.exact import solve_exactly

PATIENCE_S = 8.0  # what a busy machine may take on top
HARD = [Item((31 + 7 * k, 42 + 5 * k, 53 + 3 * k)) for k in range(12)]


@contextmanager
def soon(stop: Callable[[], None]) -> Iterator[None]:
    """Stops after a moment."""
    timer = Timer(0.3, stop)
    timer.start()
    yield
    timer.cancel()


def test_the_exact_model_is_stopped_from_outside() -> None:
    """A hundred of the solver's own seconds were allowed."""
    begun = monotonic()
    found = solve_exactly((176, 177, 178), HARD, 1, 0, 100.0, soon)
    assert found.verdict is Verdict.UNKNOWN
    assert monotonic() - begun < PATIENCE_S


def test_the_fitter_hands_the_guard_on() -> None:
    """It was entered while the model was solved."""
    entered: list[Callable[[], None]] = []

    @contextmanager
    def note(stop: Callable[[], None]) -> Iterator[None]:
        entered.append(stop)
        yield

    Fitter(1, guard=note).decide((176, 177, 178), HARD, effort=0, deterministic_limit=0.01)
    assert len(entered) == 1
