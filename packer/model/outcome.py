"""The outcomes of any command, in one table with three faces: exit code, JSON code, HTTP status."""

from __future__ import annotations

from enum import IntEnum


class Outcome(IntEnum):
    """What came of a command; the value is the exit code and the `code` in JSON."""

    DONE = 0
    FAULT = 1
    BAD_INPUT = 2
    IMPOSSIBLE = 3
    OUT_OF_TIME = 4

    @property
    def http_status(self) -> int:
        """The HTTP status that the API answers with for this outcome."""
        return _HTTP[self]

    @property
    def meaning(self) -> str:
        """One sentence for people."""
        return _MEANING[self]


_HTTP = {
    Outcome.DONE: 200,
    Outcome.FAULT: 500,
    Outcome.BAD_INPUT: 422,
    Outcome.IMPOSSIBLE: 409,
    Outcome.OUT_OF_TIME: 504,
}

_MEANING = {
    Outcome.DONE: "a judged plan, or a clean check",
    Outcome.FAULT: "a fault of the program",
    Outcome.BAD_INPUT: "the input has errors",
    Outcome.IMPOSSIBLE: "the input is fine and no plan satisfies it",
    Outcome.OUT_OF_TIME: "time ran out with no plan",
}
