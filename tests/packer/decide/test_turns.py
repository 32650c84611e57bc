"""Who pays goes on; nobody waits for ever."""

from __future__ import annotations

from packer.decide.turns import PATIENCE, Turns


def test_each_is_tried_then_the_best_goes_on() -> None:
    """100 minor units in 1 s are more than 150 in 2 s."""
    turns = Turns(("walk", "exchange"))
    assert turns.next() == "walk"
    turns.note("walk", 150, 2.0)
    assert turns.next() == "exchange"
    turns.note("exchange", 100, 1.0)
    assert turns.next() == "exchange"
    turns.note("exchange", 10, 1.0)
    assert turns.next() == "walk"


def test_nobody_waits_for_ever() -> None:
    """However well another one pays."""
    turns = Turns(("walk", "exchange"))
    turns.note("exchange", 0, 1.0)
    turns.note("walk", 500, 1.0)
    seen = []
    for _ in range(PATIENCE + 1):
        seen.append(turns.next())
        turns.note(seen[-1], 500 if seen[-1] == "walk" else 0, 1.0)
    assert seen.count("exchange") == 1


def test_equal_ones_take_turns() -> None:
    """Where nothing is gained any more."""
    turns = Turns(("walk", "exchange"))
    seen = []
    for _ in range(6):
        seen.append(turns.next())
        turns.note(seen[-1], 0, 1.0)
    assert seen == ["walk", "exchange"] * 3
