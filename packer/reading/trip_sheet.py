"""Reads the Trip sheet, where each row is a field and its value, into one record.

A Trip sheet with the fields as headings and the values below is read as well.
"""

from __future__ import annotations

from packer.model.source import Source
from packer.reading.cell_text import folded, one_line
from packer.reading.columns import Column
from packer.reading.grid import (
    HEADING_ROWS,
    Grid,
    Placed,
    find_grid,
    known_headings,
    log_hidden_sheet,
)
from packer.reading.headings import match_heading, unit_in
from packer.reading.log import Log
from packer.reading.schema import TRIP
from packer.reading.tables import Row, RowReader, read_table
from packer.reading.values import Raw, RawSheet, letters, shown
from packer.reading.words import as_text

_TITLES = frozenset({"field", "fields", "name", "item", "setting", "trip", "what"})


def read_trip_sheet(file: str, raw: RawSheet, is_text: bool, log: Log) -> Row:
    """The one record of the Trip sheet; its source knows the row of each field."""
    if any(known_headings(raw, TRIP, row) > 1 for row in list(raw.rows)[:10]):
        return _across(file, raw, is_text, log)
    log_hidden_sheet(file, raw, log)
    return _down(file, raw, is_text, log)


def _across(file: str, raw: RawSheet, is_text: bool, log: Log) -> Row:
    grid = find_grid(file, raw, TRIP, log)
    rows = read_table(grid, is_text, log).rows if grid else []
    if not rows:
        return Row(Source(file, raw.name, 1), bad=True)
    if len(rows) > 1:
        rows[1].fails(log, "trip-several", rows[1].source.columns[0][0], "one trip in a workbook")
    return rows[0]


def _down(file: str, raw: RawSheet, is_text: bool, log: Log) -> Row:
    fields = _fields(file, raw, log)
    source = Source(
        file,
        raw.name,
        next(iter(raw.rows), 1),
        tuple(
            (place.column.key, letters(value_column), place.heading)
            for place, _, value_column, _ in fields
        ),
        tuple((place.column.key, row) for place, row, _, _ in fields),
    )
    grid = Grid(file, raw, TRIP, 0, [place for place, _, _, _ in fields])
    reader = RowReader(grid, is_text, log)
    record = Row(source)
    for place, _, _, value in fields:
        if value is not None:
            reader.read_filled(record, place.column, value)
    reader.log_missing(record, TRIP.columns)
    return record


Field = tuple[Placed, int, int, Raw | None]


def _fields(file: str, raw: RawSheet, log: Log) -> list[Field]:
    """(place, row, column of the value, value) of each known field."""
    found: dict[str, Field] = {}
    value_column = _value_column(raw)
    for row, cells in raw.rows.items():
        first, *others = _field_first(cells, value_column)
        heading = one_line(as_text(cells[first]))
        match = match_heading(TRIP, heading)
        if match is None:
            has_more = any(number in cells for number in others)
            _log_unknown(file, raw, row, first, heading, has_more, log)
            continue
        column = match.column
        value = cells.get(others[0]) if others else None
        unit = match.unit or _unit_beside(column, [cells[number] for number in others[1:2]])
        place = Placed(column, first, heading, unit)
        if column.key in found:
            cell = Grid(file, raw, TRIP, 0, []).cell(row, first, heading)
            log.cell("heading-duplicate", cell, heading, "each field once", "Delete one row.")
            continue
        found[column.key] = (place, row, others[0] if others else first + 1, value)
    return list(found.values())


def _field_first(cells: dict[int, Raw], value_column: int) -> list[int]:
    """Column numbers: of the field's name, of its value (which may stand to its left), others.

    Where the sheet heads a column Value, nothing else is a value.
    """
    columns = sorted(cells)
    named = (each for each in columns if match_heading(TRIP, one_line(as_text(cells[each]))))
    first = next(named, columns[0])
    others = [each for each in columns if each != first]
    if not value_column:
        return [first, *others]
    return [first, value_column, *(each for each in others if each > value_column)]


def _value_column(raw: RawSheet) -> int:
    """The column headed Value, where the sheet has such a heading; else 0."""
    for row in list(raw.rows)[:HEADING_ROWS]:
        for column, value in raw.rows[row].items():
            if isinstance(value, str) and folded(value) in ("value", "values"):
                return column
    return 0


def _unit_beside(column: Column, cells: list[Raw]) -> str:
    text = as_text(cells[0]) if cells else ""
    return unit_in(column, text) if len(text) < 6 else ""


def _log_unknown(
    file: str, raw: RawSheet, row: int, number: int, heading: str, has_value: bool, log: Log
) -> None:
    if not has_value or folded(heading) in _TITLES:
        return  # a title or a remark
    cell = Grid(file, raw, TRIP, 0, []).cell(row, number, heading)
    log.add("column-unknown", f"Field {shown(heading)} is not known; it is not used.", "", cell)
