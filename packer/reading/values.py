"""What stands in a workbook before it means anything: sheets of typed cells.

`packer.reading.xlsx` and `packer.reading.csv_folder` make these; `packer.reading.tables` reads
them. A cell is text, a number, yes/no, a date, an error, or a formula nobody calculated.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class CellError:
    """An error value such as `#REF!`."""

    code: str

    def __str__(self) -> str:
        return self.code


@dataclass(frozen=True, slots=True)
class Uncalculated:
    """A formula without a stored result."""

    formula: str

    def __str__(self) -> str:
        return f"={self.formula}" if self.formula else "a formula"


Raw = str | Decimal | bool | date | CellError | Uncalculated


@dataclass(slots=True)
class RawSheet:
    """One sheet: filled cells by row and column, both from 1; `rows` stand in sheet order."""

    name: str
    rows: dict[int, dict[int, Raw]] = field(default_factory=dict)
    hidden: bool = False
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)  # r1, c1, r2, c2


@dataclass(slots=True)
class Book:
    """A workbook or CSV folder; `is_text` where every value was text (CSV)."""

    file: str
    sha256: str
    sheets: list[RawSheet]
    is_text: bool = False


class Unreadable(Exception):  # noqa: N818 - it is an outcome, told to the user as one finding
    """The file cannot be read at all; `code` is the finding's code."""

    def __init__(self, code: str, message: str, remedy: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.remedy = remedy


def letters(column: int) -> str:
    """A column number as letters: 1 -> `A`, 28 -> `AB`."""
    text = ""
    while column:
        column, rest = divmod(column - 1, 26)
        text = chr(65 + rest) + text
    return text


def column_number(text: str) -> int:
    """Column letters as a number: `AB` -> 28; ValueError for anything else."""
    number = 0
    for letter in text:
        if not "A" <= letter <= "Z":
            raise ValueError(f"{text!r} is no column")
        number = number * 26 + ord(letter) - 64
    return number


def shown(value: object) -> str:
    """A cell's value for a sentence, in quotes, shortened."""
    text = str(value)
    if isinstance(value, Decimal):
        text = plain(value)
    text = "".join(char if char.isprintable() else f"\\x{ord(char):02x}" for char in text)
    return f'"{text[:57]}..."' if len(text) > 60 else f'"{text}"'


def plain(number: Decimal) -> str:
    """A number without exponent or trailing zeros: 12.50 -> `12.5`, 1E+2 -> `100`."""
    if not -30 < number.adjusted() < 30:
        return str(number)
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
