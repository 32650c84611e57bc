"""Checks what the user holds fixed by `--fly` and `--hire` against the trip.

In: a trip and wishes. Out: findings, each an error, so that no time is spent solving for a gear
id that does not exist.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from packer.model.finding import Finding, Severity
from packer.model.solving import Wishes
from packer.model.trip import Choice, Gear, Trip


def check_wishes(trip: Trip, wishes: Wishes) -> tuple[Finding, ...]:
    """Wishes that name no gear line, contradict each other or contradict the line's Source."""
    lines = {line.name: line for line in trip.gear}
    return (
        *_unknown((*wishes.fly, *wishes.hire), lines),
        *_both(wishes),
        *_against(wishes.fly, Choice.HIRE, lines),
        *_against(wishes.hire, Choice.FLY, lines),
    )


def _unknown(names: tuple[str, ...], lines: dict[str, Gear]) -> Iterator[Finding]:
    for name in names:
        if name not in lines:
            near = get_close_matches(name, lines, n=1)
            remedy = f"Did you mean {near[0]!r}?" if near else "Use an id of the Gear sheet."
            yield _error("wish-unknown-gear", name, f"There is no gear line {name!r}.", remedy)


def _both(wishes: Wishes) -> Iterator[Finding]:
    for name in sorted(set(wishes.fly) & set(wishes.hire)):
        message = f"{name} is asked both to fly and to be hired."
        yield _error("wish-both-ways", name, message, "Ask for one of the two.")


def _against(names: tuple[str, ...], choice: Choice, lines: dict[str, Gear]) -> Iterator[Finding]:
    for name in names:
        line = lines.get(name)
        if line is not None and line.choice is choice:
            yield Finding(
                "wish-against-source",
                Severity.ERROR,
                f"{name} is marked {choice!s} under Source, and the wish asks for the opposite.",
                where=line.source.cell("choice"),
                subject=name,
                remedy="Change the Source cell or leave out the wish.",
            )


def _error(code: str, subject: str, message: str, remedy: str) -> Finding:
    return Finding(code, Severity.ERROR, message, subject=subject, remedy=remedy)
