"""Tables as data: typed rows and the columns that read them, rendered later by any renderer.

In come frozen rows (`packer.papers.tables`); out goes the same table as workbook sheet
(`book`), PDF (`pdf`), page (`page`) or CSV (`csv_text`). A column says what kind of figure it
holds, so that every renderer writes it with the right unit, decimals and alignment.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any, Generic, TypeVar

from packer.papers.units import date_text, kg_text, major_text

Row = TypeVar("Row")
Value = str | int | date | None


class Kind(StrEnum):
    """What a column holds; integers carry the unit named here."""

    TEXT = "text"
    ID = "id"  # an identifier: text, never a number
    COUNT = "count"
    GRAMS = "grams"
    CENTIMETRES = "mm shown as cm"
    MILLIMETRES = "mm"
    MONEY = "minor units"
    DATE = "date"
    BLANK = "left blank to be filled in by hand"

    @property
    def is_number(self) -> bool:
        """True where the value is an integer with a unit."""
        return self in _NUMBERS


_NUMBERS = frozenset(
    {Kind.COUNT, Kind.GRAMS, Kind.CENTIMETRES, Kind.MILLIMETRES, Kind.MONEY},
)


@dataclass(frozen=True, slots=True)
class Column(Generic[Row]):
    """One column: its heading, what it holds, how to read it off a row, its width in characters."""

    heading: str
    kind: Kind
    read: Callable[[Row], Value]
    width: int = 10
    summed: bool = False


@dataclass(frozen=True, slots=True)
class Table(Generic[Row]):
    """A table with its title, the currency of its money, and lines to stand above and below it.

    `name` is short (a sheet's name). `total_label` stands in the first column of the totals row,
    which exists where any column is summed.
    """

    name: str
    title: str
    columns: tuple[Column[Row], ...]
    rows: tuple[Row, ...]
    currency: str = ""
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    total_label: str = "Total"
    empty: str = "None."

    def cells(self) -> list[tuple[Value, ...]]:
        """The values of every row, in order."""
        return [tuple(column.read(row) for column in self.columns) for row in self.rows]

    def totals(self) -> tuple[Value, ...]:
        """The totals row: the label, then sums under the summed columns; () where none is."""
        if not any(column.summed for column in self.columns):
            return ()
        sums = tuple(_sum(column, self.rows) for column in self.columns)
        return (self.total_label, *sums[1:])

    def text(self, index: int, value: Value) -> str:
        """A value of the column at `index` as people read it, with its unit."""
        return value_text(value, self.columns[index].kind, self.currency)


AnyTable = Table[Any]


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and its value, as the head of a sheet shows them."""

    label: str
    value: Value
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of a paper: facts first, then tables. `name` is the tab's name."""

    name: str
    title: str
    facts: tuple[Fact, ...] = ()
    tables: tuple[AnyTable, ...] = ()
    currency: str = ""
    notes: tuple[str, ...] = ()
    landscape: bool = False
    one_page: bool = False
    picture_png: bytes | None = None


def value_text(value: Value, kind: Kind, currency: str = "") -> str:
    """A value as text with its unit; empty for None."""
    if value is None or kind is Kind.BLANK:
        return ""
    if isinstance(value, date):
        return date_text(value)
    if isinstance(value, str):
        return value
    return _number_text(value, kind, currency)


def _number_text(value: int, kind: Kind, currency: str) -> str:
    match kind:
        case Kind.GRAMS:
            return f"{kg_text(value)} kg"
        case Kind.CENTIMETRES:
            return f"{value / 10:.1f} cm"
        case Kind.MILLIMETRES:
            return f"{value} mm"
        case Kind.MONEY:
            return f"{major_text(value, currency)} {currency}".strip()
        case _:
            return f"{value:,}"


def _sum(column: Column[Row], rows: tuple[Row, ...]) -> Value:
    if not column.summed:
        return None
    values = (column.read(row) for row in rows)
    return sum(value for value in values if isinstance(value, int))
