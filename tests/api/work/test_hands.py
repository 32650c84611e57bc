"""Other processes: they answer, pass on what was raised, and are ended when they take too long."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator

import pytest

from api.work.hands import HandLostError, Hands, HandSlowError
from api.work.tiny import EXPECTED_MINOR, plan_tiny_trip


@pytest.fixture
def hands() -> Iterator[Hands]:
    """Two hands."""
    made = Hands(2)
    yield made
    made.end()


def test_they_answer_from_another_process(hands: Hands) -> None:
    """The answer comes back, and from elsewhere."""
    assert hands.run(divmod, 17, 5, seconds=30) == (3, 2)
    assert hands.run(os.getpid, seconds=30) != os.getpid()


def test_what_was_raised_there_is_raised_here(hands: Hands) -> None:
    """Kind and words of the error are kept."""
    with pytest.raises(ZeroDivisionError):
        hands.run(divmod, 1, 0, seconds=30)


def test_who_takes_too_long_is_ended_and_the_next_call_works(hands: Hands) -> None:
    """An hour's sleep ends after half a second, and the hand is there again."""
    begun = time.monotonic()
    with pytest.raises(HandSlowError):
        hands.run(time.sleep, 3600, seconds=0.5)
    assert time.monotonic() - begun < 10
    assert hands.run(abs, -1, seconds=30) == 1


def test_who_dies_is_replaced(hands: Hands) -> None:
    """A process that ends itself is reported, and the next call works."""
    with pytest.raises(HandLostError):
        hands.run(os._exit, 3, seconds=30)
    assert hands.run(abs, -1, seconds=30) == 1


def test_the_tiny_trip_is_planned_as_known_beforehand() -> None:
    """One horn in one case on one free piece: it flies, for nothing."""
    health = plan_tiny_trip()
    assert (health.well, health.objective_minor) == (True, EXPECTED_MINOR)
