"""What a parser says when a cell cannot be read, and what it may note when it can."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field


class Mistake(ValueError):  # noqa: N818 - it is the user's, and becomes a finding
    """A cell that cannot be read: the finding's code, what was expected, what to do."""

    def __init__(self, code: str, expected: str, remedy: str = "") -> None:
        super().__init__(expected)
        self.code = code
        self.expected = expected
        self.remedy = remedy


def _no() -> bool:
    return False


@dataclass(slots=True)
class Hints:
    """What a parser may know beside the cell, and the notes it leaves: (code, sentence).

    `unit` stands in the heading ('' for none). `commas_are_decimal` looks through the sheet for
    numbers that can only have decimal commas; `is_text` says that the file knows only text.
    """

    unit: str = ""
    is_text: bool = False
    commas_are_decimal: Callable[[], bool] = _no
    notes: list[tuple[str, str]] = field(default_factory=list)
