"""Effort shared out by the clock, or not at all."""

from __future__ import annotations

import pytest

from packer.decide import pace
from packer.decide.pace import FIRST_RATE, Pace


class Clock:
    """Time that passes when told to."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def monotonic(self) -> float:
        """Seconds."""
        return self.now_s


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """In place of the machine's."""
    made = Clock()
    monkeypatch.setattr(pace, "time", made)
    return made


def test_without_a_limit_each_thing_gets_the_full_effort(clock: Clock) -> None:
    """However long it takes."""
    shared = Pace(None, 3, 500)
    for _ in range(4):
        with shared.one() as effort:
            assert effort == 500
            clock.now_s += 1_000


def test_time_is_shared_equally_and_what_is_saved_goes_to_the_rest() -> None:
    """Four things in two seconds: half a second each; the first takes none of it."""
    shared = Pace(2.0, 4, 10**9)
    with shared.one() as effort:
        assert effort == int(0.5 * FIRST_RATE)
    with shared.one() as effort:
        assert effort == int(2 / 3 * FIRST_RATE)


def test_a_slow_machine_is_noticed(clock: Clock) -> None:
    """A million took a second; one second is left for one thing."""
    shared = Pace(2.0, 2, 1_000_000)
    with shared.one() as effort:
        assert effort == 1_000_000
        clock.now_s += 1.0
    with shared.one() as effort:
        assert effort == 1_000_000
    slow = Pace(2.0, 2, 100_000)
    with slow.one() as effort:
        assert effort == 100_000
        clock.now_s += 1.9
    with slow.one() as effort:
        assert effort == pytest.approx(0.1 * 100_000 / 1.9, abs=1)


def test_when_time_is_over_nothing_but_the_least_is_done(clock: Clock) -> None:
    """No effort, never less."""
    shared = Pace(1.0, 2, 500)
    clock.now_s += 5.0
    with shared.one() as effort:
        assert effort == 0


def test_two_workers_have_twice_the_time() -> None:
    """Each works for itself."""
    with Pace(1.0, 4, 10**9, workers=2).one() as effort:
        assert effort == int(0.5 * FIRST_RATE)
