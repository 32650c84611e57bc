"""The workbook of the next trip, from the cells of the old one and of the new stops and legs.

In: two raw books, and for each gear line the stops that need it now. Out: an `.xlsx` with the
sheets of the schema: Stops and Legs (and whatever else the new book has) are new; inventory, cases
and rules are the old cells as they stand; prices and deliveries are kept where the stop comes
again. The carnet and the freight offer belonged to the old trip and are left out. Text stays text.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from packer.model.finding import Finding
from packer.reading.cell_text import folded
from packer.reading.columns import Kind
from packer.reading.grid import Grid, find_grid
from packer.reading.headings import match_heading, match_sheet
from packer.reading.log import Log
from packer.reading.schema import SHEETS, sheet_named
from packer.reading.values import CellError, Raw, RawSheet, Uncalculated

Sheets = dict[str, RawSheet]
Row = list[Raw | None]

LEFT_OUT = ("Freight",)
OLD_FIELDS = ("carnet number", "carnet issued")
_NUMBERS = frozenset(
    {Kind.MASS_UP, Kind.MASS_DOWN, Kind.LENGTH_UP, Kind.LENGTH_DOWN, Kind.MONEY, Kind.RATE}
    | {Kind.WHOLE, Kind.HALVES, Kind.ENERGY, Kind.LITHIUM}
)


def by_name(sheets: list[RawSheet]) -> Sheets:
    """The sheets that the schema knows and that hold anything, by the schema's name."""
    found: Sheets = {}
    for raw in sheets:
        sheet = match_sheet(raw.name)
        if sheet is not None and _holds_data(sheet.name, raw):
            found.setdefault(sheet.name, raw)
    return found


def _holds_data(name: str, raw: RawSheet) -> bool:
    """False for a sheet with nothing but headings, as a workbook to fill in has it."""
    if name == "Trip" or not raw.rows:
        return bool(raw.rows)
    grid = find_grid("", raw, sheet_named(name), Log())
    return grid is None or bool(grid.data_rows)


def write_some(path: Path, sheets: Sheets, names: Iterable[str]) -> None:
    """A workbook of some sheets as they stand, whole or not at all. Raises OSError."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for name in names:
        if name in sheets:
            rows = _rows(name, sheets[name], {}, (), is_new=True)
            fill_sheet(workbook.create_sheet(name), rows)
    save_whole(workbook, path)


def stop_names(sheets: Sheets) -> tuple[str, ...]:
    """The names on a Stops sheet; () where it has none that can be read."""
    if "Stops" not in sheets:
        return ()
    grid = find_grid("", sheets["Stops"], sheet_named("Stops"), Log())
    return tuple(str(cells["stop"]) for cells in _records(grid) if "stop" in cells)


def write_next(
    path: Path, needs: Mapping[str, str], old_sheets: Sheets, new_sheets: Sheets
) -> None:
    """Write the workbook whole or not at all. Raises OSError.

    `needs`: by gear id, what Needed at becomes; empty for all stops.
    """
    stops = stop_names(new_sheets)
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for sheet in SHEETS:
        raw = new_sheets.get(sheet.name)
        if raw is None and sheet.name not in LEFT_OUT:
            raw = old_sheets.get(sheet.name)
        if sheet.name == "Trip" and raw is not None:
            rows = iter(_trip_rows(old_sheets.get("Trip"), new_sheets.get("Trip")))
            fill_sheet(workbook.create_sheet(sheet.name), rows)
        elif raw is not None:
            rows = _rows(sheet.name, raw, needs, stops, is_new=sheet.name in new_sheets)
            fill_sheet(workbook.create_sheet(sheet.name), rows)
    save_whole(workbook, path)


def add_page(path: Path, findings: tuple[Finding, ...]) -> None:
    """Add the page of what to look at. Raises OSError."""
    from openpyxl import load_workbook

    workbook = load_workbook(path)
    rows: list[Row] = [
        ["What to look at before planning", None, None],
        ["How grave", "About", "What"],
    ]
    rows += [[str(f.severity), f.subject, f"{f.message} {f.remedy}".strip()] for f in findings]
    sheet = workbook.create_sheet("To look at")
    fill_sheet(sheet, iter(rows))
    sheet.column_dimensions["C"].width = 100
    save_whole(workbook, path)


def _rows(
    name: str, raw: RawSheet, needs: Mapping[str, str], stops: tuple[str, ...], *, is_new: bool
) -> Iterator[Row]:
    grid = find_grid("", raw, sheet_named(name), Log())
    if grid is None:
        yield from ([cells.get(n) for n in range(1, max(cells) + 1)] for cells in raw.rows.values())
        return
    places = {each.number: each for each in grid.places}
    columns = sorted({*places, *(number for number, _ in grid.unknown)})
    yield [raw.rows[grid.heading_row].get(number) for number in columns]
    for row in grid.data_rows:
        cells = dict(raw.rows[row])
        if not is_new and not _still_there(name, grid, cells, stops):
            continue
        if not is_new and name == "Gear":
            _set_needs(grid, cells, needs)
        kinds = {number: place.column.kind for number, place in places.items()}
        yield [as_number(cells.get(number), kinds.get(number)) for number in columns]


def _trip_rows(old: RawSheet | None, new: RawSheet | None) -> list[Row]:
    """The fields one by one: the new one's where it has a value, else the old one's.

    The carnet of the old trip is not the new one's.
    """
    fields: dict[str, Row] = {}
    for raw in (old, new):
        for cells in raw.rows.values() if raw else ():
            field = _field(str(next(iter(cells.values()))))
            value = cells.get(min(cells) + 1)
            if raw is old and field in {folded(name) for name in OLD_FIELDS}:
                continue
            if field not in fields or value is not None:
                fields[field] = [cells.get(n) for n in range(1, max(cells) + 1)]
    return list(fields.values())


def _field(text: str) -> str:
    """What a field is called, however it is written; its own text where it is none."""
    match = match_heading(sheet_named("Trip"), text)
    return folded(match.column.title if match else text)


def _still_there(name: str, grid: Grid, cells: dict[int, Raw], stops: tuple[str, ...]) -> bool:
    if name not in ("Offers", "Suppliers"):
        return True
    column = _column(grid, "stop")
    known = {folded(stop) for stop in stops}
    return column is not None and folded(str(cells.get(column, ""))) in known


def _set_needs(grid: Grid, cells: dict[int, Raw], needs: Mapping[str, str]) -> None:
    column, gear = _column(grid, "needed_at"), _column(grid, "gear")
    if column is None or gear is None or column not in cells:
        return
    text = needs.get(str(cells.get(gear, "")).strip(), "")
    if text:
        cells[column] = text
    else:
        del cells[column]


def _column(grid: Grid, key: str) -> int | None:
    return next((each.number for each in grid.places if each.column.key == key), None)


def _records(grid: Grid | None) -> Iterator[dict[str, Raw]]:
    if grid is None:
        return
    for row in grid.data_rows:
        cells = grid.raw.rows[row]
        yield {p.column.key: cells[p.number] for p in grid.places if p.number in cells}


def as_number(value: Raw | None, kind: Kind | None) -> Raw | None:
    """A number that a CSV file holds as text becomes one, where the column is of numbers."""
    if isinstance(value, str) and kind in _NUMBERS and _plain_number(value.strip()):
        return Decimal(value.strip())
    return value


def _plain_number(text: str) -> bool:
    whole, _, rest = text.partition(".")
    return whole.isdecimal() and whole.isascii() and (not rest or rest.isdecimal())


def fill_sheet(sheet: Worksheet, rows: Iterator[Row]) -> None:
    """Put rows of raw cells into a sheet, headings first, text as text, and make it printable."""
    for r, row in enumerate(rows, start=1):
        for c, value in enumerate(row, start=1):
            if value is None or isinstance(value, CellError | Uncalculated):
                continue
            cell = sheet.cell(r, c)
            cell.value = value if isinstance(value, date | bool) else _plain(value)
            if isinstance(value, str):
                cell.data_type = "s"  # text like =1+1 stays text
            if r == 1:
                cell.font = Font(bold=True)
    sheet.freeze_panes = "A2"
    _set_widths(sheet)


def _set_widths(sheet: Worksheet) -> None:
    """Columns as wide as their longest text, within reason; long texts wrap."""
    for number, column in enumerate(sheet.iter_cols(), start=1):
        texts = [str(cell.value) for cell in column if cell.value is not None]
        longest = max(map(len, texts), default=0)
        sheet.column_dimensions[get_column_letter(number)].width = min(60, max(9, longest + 2))
        for cell in column:
            cell.alignment = Alignment(wrap_text=longest > 58, vertical="top")
    sheet.page_setup.orientation = "landscape"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToHeight = 0  # as many pages down as it takes, one across
    sheet.print_title_rows = "1:1"


def _plain(value: str | Decimal) -> str | int | float:
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    return value


def save_whole(workbook: Workbook, path: Path) -> None:
    """Save a workbook whole or not at all. Raises OSError."""
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    os.close(handle)
    try:
        workbook.save(beside)
        os.chmod(beside, 0o644)
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
