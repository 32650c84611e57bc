"""Finds the heading row of a raw sheet, the column of each heading, and the rows of data.

In: a `RawSheet` and the schema's sheet. Out: a `Grid`, with findings about headings that are
missing, repeated, unknown or misspelt, and about hidden rows and columns. On the Trip sheet, where
each field has a row of its own, the rows are turned into one record first.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from packer.model.source import Cell, Source
from packer.reading.cell_text import folded, one_line
from packer.reading.columns import Column, Sheet
from packer.reading.headings import Match, match_heading
from packer.reading.log import Log
from packer.reading.schema import PROBLEMS_HEADING
from packer.reading.values import RawSheet, letters, shown
from packer.reading.words import as_text

HEADING_ROWS = 10


@dataclass(frozen=True, slots=True)
class Placed:
    """A column of the schema where the user has it; `heading` is the user's."""

    column: Column
    number: int
    heading: str
    unit: str = ""


@dataclass
class Grid:
    """A raw sheet with its headings understood. `unknown` holds (column number, heading)."""

    file: str
    raw: RawSheet
    sheet: Sheet
    heading_row: int
    places: list[Placed]
    unknown: list[tuple[int, str]] = field(default_factory=list)

    @cached_property
    def columns(self) -> tuple[tuple[str, str, str], ...]:
        """The columns as a record's `Source` wants them; the key column also as `name`."""
        found = [(each.column.key, letters(each.number), each.heading) for each in self.places]
        first = self.sheet.columns[0].key
        alias = [("name", column, heading) for key, column, heading in found if key == first]
        return (*alias, *found)

    @cached_property
    def data_rows(self) -> list[int]:
        """The rows below the headings in which a known column is filled."""
        known = {each.number for each in self.places}
        return [
            number
            for number, cells in self.raw.rows.items()
            if number > self.heading_row and not known.isdisjoint(cells)
        ]

    def source(self, row: int) -> Source:
        """The source of a row."""
        return Source(self.file, self.raw.name, row, self.columns)

    def cell(self, row: int, number: int, heading: str = "") -> Cell:
        """A cell of this sheet."""
        return Cell(self.file, self.raw.name, row, letters(number), heading)

    def extras(self, row: int) -> tuple[tuple[str, str], ...]:
        """The filled cells of unknown columns: (heading, text)."""
        if not self.unknown:
            return ()
        cells = self.raw.rows[row]
        return tuple(
            (heading, as_text(cells[number])) for number, heading in self.unknown if number in cells
        )


def find_grid(file: str, raw: RawSheet, sheet: Sheet, log: Log) -> Grid | None:
    """The grid of a sheet; None, with a finding, where no row can be the headings."""
    row = _heading_row(raw, sheet)
    if row is None:
        _log_no_headings(file, raw, sheet, log)
        return None
    grid = Grid(file, raw, sheet, row, [])
    _place_headings(grid, log)
    _log_missing(grid, log)
    _log_hidden(grid, log)
    fill_merged(grid, log)
    return grid


def _heading_row(raw: RawSheet, sheet: Sheet) -> int | None:
    rows = [row for row in raw.rows if row <= HEADING_ROWS]
    best = max(rows, key=lambda row: (known_headings(raw, sheet, row), -row), default=None)
    if best is None:
        return None
    return best if known_headings(raw, sheet, best) >= _fewest(sheet) else None


def _fewest(sheet: Sheet) -> int:
    """How many known headings make a row the heading row."""
    return min(2, sum(column.required for column in sheet.columns))


def known_headings(raw: RawSheet, sheet: Sheet, row: int) -> int:
    """How many different columns of the schema the row names."""
    found = {
        match.column.key
        for value in raw.rows[row].values()
        if isinstance(value, str) and (match := match_heading(sheet, value))
    }
    return len(found)


def _log_no_headings(file: str, raw: RawSheet, sheet: Sheet, log: Log) -> None:
    required = ", ".join(column.heading for column in sheet.columns if column.required)
    later = [
        row
        for row in list(raw.rows)[:200]
        if row > HEADING_ROWS and known_headings(raw, sheet, row) > 1
    ]
    found = f" Row {later[0]} looks like one." if later else ""
    log.add(
        "heading-row-missing",
        f"Sheet {raw.name} has no heading row in its first ten rows; expected the headings "
        f"{required}.{found}",
        "Put the headings into one of the first ten rows.",
        Cell(file, raw.name, 1, "A"),
    )


def _place_headings(grid: Grid, log: Log) -> None:
    taken: dict[str, Placed] = {}
    for number, value in sorted(grid.raw.rows[grid.heading_row].items()):
        heading = one_line(as_text(value))
        match = match_heading(grid.sheet, heading)
        if heading == PROBLEMS_HEADING:
            continue
        if match is None:
            grid.unknown.append((number, heading))
        elif match.column.key in taken:
            _log_duplicate(grid, number, heading, taken[match.column.key], log)
        else:
            placed = Placed(match.column, number, heading, match.unit)
            taken[match.column.key] = placed
            grid.places.append(placed)
            _log_unit(grid, placed, match, log)
    _log_unknown(grid, taken, log)
    _log_unnamed(grid, log)


def _log_duplicate(grid: Grid, number: int, heading: str, first: Placed, log: Log) -> None:
    where = grid.cell(grid.heading_row, number, heading)
    log.add(
        "heading-duplicate",
        f"Heading {shown(heading)} means the same as {shown(first.heading)} in column "
        f"{letters(first.number)}; expected each once.",
        "Rename or delete one of the two columns.",
        where,
    )


def _log_unit(grid: Grid, placed: Placed, match: Match, log: Log) -> None:
    if not match.unknown_unit:
        return
    log.add(
        "unit-unknown",
        f"Heading {shown(placed.heading)} has the unit {match.unknown_unit!r}; expected one such "
        f"as {match.column.unit}.",
        f"Write {match.column.heading} ({match.column.unit}) and figures in it.",
        grid.cell(grid.heading_row, placed.number, placed.heading),
    )


def _log_unknown(grid: Grid, taken: dict[str, Placed], log: Log) -> None:
    absent = {
        folded(column.heading): column for column in grid.sheet.columns if column.key not in taken
    }
    own = {folded(heading) for heading in grid.sheet.own}
    for number, heading in grid.unknown:
        if folded(heading) in own:
            continue
        near = difflib.get_close_matches(folded(heading), absent, n=1, cutoff=0.75)
        where = grid.cell(grid.heading_row, number, heading)
        if near:
            wanted = absent[near[0]].heading
            log.add(
                "column-misspelt",
                f"Heading {shown(heading)} is not known; its column was not read.",
                f"Did you mean {wanted}? Then rename it.",
                where,
            )
        else:
            log.add(
                "column-unknown",
                f"Heading {shown(heading)} is not known; its column is kept and not used.",
                "",
                where,
            )


def _log_unnamed(grid: Grid, log: Log) -> None:
    named = grid.raw.rows[grid.heading_row]
    seen: dict[int, int] = {}
    for row in grid.data_rows:
        for number in grid.raw.rows[row]:
            if number not in named:
                seen.setdefault(number, row)
    for number, row in sorted(seen.items()):
        log.add(
            "column-unnamed",
            f"Column {letters(number)} has values and no heading; it was not read.",
            "Give it a heading if it matters.",
            grid.cell(row, number),
        )


def _log_missing(grid: Grid, log: Log) -> None:
    present = {each.column.key for each in grid.places}
    for column in grid.sheet.columns:
        if column.required and column.key not in present:
            log.add(
                "column-missing",
                f"Sheet {grid.raw.name} has no column {column.heading}; expected it in row "
                f"{grid.heading_row}.",
                f"Add a column headed {column.title}.",
                grid.cell(grid.heading_row, grid.places[0].number if grid.places else 1),
                column.heading,
            )


def _log_hidden(grid: Grid, log: Log) -> None:
    log_hidden_sheet(grid.file, grid.raw, log)
    rows = [row for row in grid.data_rows if row in grid.raw.hidden_rows]
    if rows:
        log.add(
            "rows-hidden",
            f"Sheet {grid.raw.name} has hidden rows, read like any other: {_some(rows)}.",
            "Delete what should not travel.",
            grid.cell(rows[0], grid.places[0].number),
        )
    spans = grid.raw.hidden_columns
    columns = [
        each for each in grid.places if any(low <= each.number <= high for low, high in spans)
    ]
    if columns:
        log.add(
            "columns-hidden",
            f"Sheet {grid.raw.name} has hidden columns, read like any other: "
            f"{', '.join(each.heading for each in columns)}.",
            "",
            grid.cell(grid.heading_row, columns[0].number, columns[0].heading),
        )


def log_hidden_sheet(file: str, raw: RawSheet, log: Log) -> None:
    """Note a hidden sheet that is read."""
    if raw.hidden:
        log.add(
            "sheet-hidden",
            f"Sheet {raw.name} is hidden; it was read like any other.",
            "Show it, or delete it if it should not count.",
            Cell(file, raw.name, 1, "A"),
        )


def fill_merged(grid: Grid, log: Log) -> None:
    """Give every row of a cell merged downwards its value, and note it."""
    known = {each.number: each for each in grid.places}
    for top, left, bottom, right in grid.raw.merges:
        if left != right or left not in known or top <= grid.heading_row or bottom <= top:
            continue
        value = grid.raw.rows.get(top, {}).get(left)
        below = [row for row in grid.data_rows if top < row <= bottom]
        if value is None or not below:
            continue
        for row in below:
            grid.raw.rows[row].setdefault(left, value)
        log.add(
            "merged-cells-filled",
            f"Cells {letters(left)}{top} to {letters(left)}{bottom} are merged; each row was read "
            f"with {shown(value)}.",
            "",
            grid.cell(top, left, known[left].heading),
        )


def _some(rows: Iterable[int]) -> str:
    listed = list(rows)
    more = f" and {len(listed) - 10} more" if len(listed) > 10 else ""
    return ", ".join(map(str, listed[:10])) + more
