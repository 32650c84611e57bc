"""Turns raw sheets into rows of typed values, each with its source, and finds what cannot be read.

In: a `Book`. Out: for each sheet of the schema a `Table` whose rows hold parsed values by column
key. Cross-references and sense are not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from packer.model.source import Cell, Source
from packer.reading.columns import Column, Kind, Sheet
from packer.reading.grid import Grid
from packer.reading.kinds import parse
from packer.reading.log import Log
from packer.reading.mistakes import Hints, Mistake
from packer.reading.numerals import shows_decimal_comma
from packer.reading.values import CellError, Raw, Uncalculated

_DASHES = frozenset({"-", "–", "—", "n/a", "N/A"})
_NUMERIC = frozenset(
    {Kind.MASS_UP, Kind.MASS_DOWN, Kind.LENGTH_UP, Kind.LENGTH_DOWN, Kind.MONEY, Kind.RATE}
    | {Kind.ENERGY, Kind.LITHIUM, Kind.HALVES}
)


@dataclass(slots=True)
class Row:
    """One record: parsed values by column key. `bad` where a cell of it could not be read."""

    source: Source
    values: dict[str, Any] = field(default_factory=dict)
    raws: dict[str, Raw] = field(default_factory=dict)
    extras: tuple[tuple[str, str], ...] = ()
    bad: bool = False
    units: Mapping[str, str] = field(default_factory=dict)  # stated in headings, by column key

    def get(self, key: str, default: Any = None) -> Any:
        """The value of a column, or the default where the cell is empty or unreadable."""
        return self.values.get(key, default)

    def cell(self, key: str) -> Cell:
        """The cell of a column."""
        return self.source.cell(key)

    def fails(self, log: Log, code: str, key: str, expected: str, remedy: str = "") -> None:
        """Add a finding about this row's cell; an error makes the row bad."""
        where = self.cell(key)
        subject = str(self.get(_first_key(self), ""))
        if key in self.raws:
            log.cell(code, where, self.raws[key], expected, remedy, subject)
        else:
            log.add(code, f"{_title(key)} is empty; expected {expected}.", remedy, where, subject)
        self.bad = True

    def says(self, log: Log, code: str, key: str, message: str, remedy: str = "") -> None:
        """Add a warning or note about this row."""
        log.add(code, message, remedy, self.cell(key), str(self.get(_first_key(self), "")))


def _first_key(row: Row) -> str:
    return next((name for name, _, _ in row.source.columns if name == "name"), "")


def _title(key: str) -> str:
    return key.replace("_", " ").capitalize()


@dataclass(slots=True)
class Table:
    """The rows of one sheet; `is_read` is False where it has no headings, or no names."""

    sheet: Sheet
    rows: list[Row] = field(default_factory=list)
    is_read: bool = True


def read_table(grid: Grid, is_text: bool, log: Log) -> Table:
    """Parse every filled cell of a grid's known columns."""
    reader = RowReader(grid, is_text, log)
    rows = [reader.row(number) for number in grid.data_rows]
    has_keys = any(place.column is grid.sheet.columns[0] for place in grid.places)
    return Table(grid.sheet, rows, has_keys)


class RowReader:
    """Parses rows of one grid; what is the same for all rows is worked out once."""

    def __init__(self, grid: Grid, is_text: bool, log: Log) -> None:
        self.grid = grid
        self.is_text = is_text
        self.log = log
        self._evidence: bool | None = None
        self.hints = {
            place.column.key: Hints(place.unit, is_text, self._commas_are_decimal)
            for place in grid.places
        }
        self.required: list[Column] = [
            place.column for place in grid.places if place.column.must_fill
        ]

        self.units = {place.column.key: place.unit for place in grid.places if place.unit}
        present = {place.column.key for place in grid.places}
        self.lacks_column = any(
            column.must_fill and column.key not in present for column in grid.sheet.columns
        )

    def row(self, number: int) -> Row:
        """The row with this number, its findings logged."""
        grid = self.grid
        cells = grid.raw.rows[number]
        row = Row(grid.source(number), bad=self.lacks_column, units=self.units)
        for place in grid.places:
            raw = cells.get(place.number)
            if raw is not None:
                self.read_filled(row, place.column, raw)
        self.log_missing(row, self.required)
        row.extras = grid.extras(number)
        return row

    def log_missing(self, row: Row, columns: Iterable[Column]) -> None:
        """Log each cell that no row may leave empty and this one does."""
        for column in columns:
            if column.must_fill and column.key not in row.raws:
                self._missing(row, column)

    def read_filled(self, row: Row, column: Column, raw: Raw) -> None:
        """Parse one cell into the row, unless a dash or the like stands for nothing."""
        if _is_empty(raw, column):
            return
        key = column.key
        row.raws[key] = raw
        hints = self.hints[key]
        try:
            if isinstance(raw, CellError | Uncalculated):
                raise _unusable(raw)
            value = parse(raw, column, hints)
        except Mistake as mistake:
            row.fails(self.log, mistake.code, key, mistake.expected, mistake.remedy)
            return
        row.values[key] = value
        if hints.notes:
            self._notes(row, key, hints)
        if column is self.grid.sheet.columns[0]:
            row.values["name"] = value

    def _notes(self, row: Row, key: str, hints: Hints) -> None:
        for code, sentence in hints.notes:
            row.says(self.log, code, key, sentence)
        hints.notes.clear()

    def _missing(self, row: Row, column: Column) -> None:
        where = row.cell(column.key)
        name = row.get("name")
        of = f" of {name}" if name else ""
        self.log.add(
            "cell-missing",
            f"{column.heading}{of} is empty; expected {_expected(column)}.",
            "Fill the cell in.",
            where,
            str(name or ""),
        )
        row.bad = True

    def _commas_are_decimal(self) -> bool:
        if self._evidence is None:
            self._evidence = any(
                isinstance(raw := cells.get(place.number), str) and shows_decimal_comma(raw)
                for place in self.grid.places
                if place.column.kind in _NUMERIC
                for cells in map(self.grid.raw.rows.__getitem__, self.grid.data_rows)
            )
        return self._evidence


def _is_empty(raw: Raw, column: Column) -> bool:
    if not isinstance(raw, str):
        return False
    text = raw.strip()
    return not text or (text in _DASHES and column.kind is not Kind.TEXT)


def _unusable(raw: CellError | Uncalculated) -> Mistake:
    if isinstance(raw, CellError):
        return Mistake("cell-error", "a value, not an error", "Mend the formula.")
    return Mistake(
        "formula-uncalculated",
        "a formula with a stored result",
        "Open the workbook in a spreadsheet program and save it once, or write the value.",
    )


def _expected(column: Column) -> str:
    return f"one of {', '.join(column.choices)}" if column.choices else f"a {column.kind}"
