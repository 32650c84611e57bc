"""The user's workbook with the weights that a scale found in their cells.

In: the trip's path, measured empty weights by single case and weights by gear id, in grams. Out:
an `.xlsx` with every sheet as it stands (values, not formulas or formats) and those cells new.
Where only some cases of a run were weighed, its row becomes one row for each case; `Only in`
cells that name the run then name its cases.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook

from packer.reading.cell_text import folded, one_line
from packer.reading.grid import Grid, find_grid
from packer.reading.headings import match_sheet
from packer.reading.log import Log
from packer.reading.next_workbook import Row, as_number, fill_sheet, save_whole
from packer.reading.reader import open_book
from packer.reading.schema import sheet_named
from packer.reading.values import Raw, RawSheet
from packer.reading.words import as_text

Cells = dict[int, Raw]
Runs = dict[str, tuple[str, ...]]


def write_weighed(
    path: Path, cases_g: Mapping[str, int], gear_g: Mapping[str, int], out_path: Path
) -> Path:
    """Write the workbook whole or not at all; returns `out_path`.

    Raises Unreadable where the trip is no workbook, OSError where the copy cannot be written.
    """
    book = open_book(path, Log())
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    grids = {id(raw): grid for raw in book.sheets if (grid := _grid(raw)) is not None}
    runs = _split_runs(grids.values(), cases_g)
    for raw in book.sheets:
        rows = _rows(raw, grids.get(id(raw)), cases_g, gear_g, runs)
        fill_sheet(workbook.create_sheet(raw.name[:31]), rows)
    save_whole(workbook, out_path)
    return out_path


def _grid(raw: RawSheet) -> Grid | None:
    sheet = match_sheet(raw.name)
    if sheet is None or sheet.name == "Trip":
        return None
    return find_grid("", raw, sheet_named(sheet.name), Log())


def _split_runs(grids: Iterable[Grid], cases_g: Mapping[str, int]) -> Runs:
    """Runs of which some cases were weighed: (run, folded) to the ids of its cases."""
    found: Runs = {}
    for grid in grids:
        if grid.sheet.name == "Cases":
            for row in grid.data_rows:
                name, singles = _singles(grid, grid.raw.rows[row])
                if len(singles) > 1 and not cases_g.keys().isdisjoint(singles):
                    found[folded(name)] = singles
    return found


def _singles(grid: Grid, cells: Cells) -> tuple[str, tuple[str, ...]]:
    name = _name(grid, cells, "case")
    text = as_text(cells.get(_column(grid, "quantity"), "1")).strip()
    count = int(text) if text.isdecimal() else 1
    return name, tuple(f"{name}-{n}" for n in range(1, count + 1)) if count > 1 else (name,)


def _name(grid: Grid, cells: Cells, key: str) -> str:
    return one_line(as_text(cells.get(_column(grid, key), ""))).strip()


def _column(grid: Grid, key: str) -> int:
    return next((each.number for each in grid.places if each.column.key == key), 0)


def _rows(
    raw: RawSheet,
    grid: Grid | None,
    cases_g: Mapping[str, int],
    gear_g: Mapping[str, int],
    runs: Runs,
) -> Iterator[Row]:
    """All rows of a sheet from the first on, empty ones too, so that cells keep their places."""
    last = 0
    for number, cells in raw.rows.items():
        yield from ([] for _ in range(last + 1, number))
        last = number
        if grid is None or number not in grid.data_rows:
            yield _row(cells, None)
        elif grid.sheet.name == "Cases":
            yield from (_row(each, grid) for each in _case_rows(grid, cells, cases_g, runs))
        elif grid.sheet.name == "Gear":
            yield _row(_gear_row(grid, dict(cells), gear_g, runs), grid)
        else:
            yield _row(cells, grid)


def _row(cells: Cells, grid: Grid | None) -> Row:
    kinds = {each.number: each.column.kind for each in grid.places} if grid else {}
    width = max(cells, default=0)
    return [as_number(cells.get(n), kinds.get(n)) for n in range(1, width + 1)]


def _case_rows(grid: Grid, cells: Cells, cases_g: Mapping[str, int], runs: Runs) -> Iterator[Cells]:
    name, singles = _singles(grid, cells)
    if folded(name) not in runs:
        yield _weighed(grid, dict(cells), "empty_weight", cases_g.get(name))
        return
    serials = _serials(cells.get(_column(grid, "serial")))
    for n, single in enumerate(singles):
        each = {**cells, _column(grid, "case"): single, _column(grid, "quantity"): Decimal(1)}
        if serials:
            each[_column(grid, "serial")] = serials[n] if n < len(serials) else ""
        yield _weighed(grid, each, "empty_weight", cases_g.get(single))


def _serials(value: Raw | None) -> list[str]:
    return [part.strip() for part in as_text(value).split(";") if part.strip()] if value else []


def _gear_row(grid: Grid, cells: Cells, gear_g: Mapping[str, int], runs: Runs) -> Cells:
    only_in = _column(grid, "only_in")
    if only_in in cells and runs:
        words = [word.strip() for word in re.split(r"[;,]", as_text(cells[only_in]))]
        named = [name for word in words for name in runs.get(folded(word), (word,))]
        cells[only_in] = "; ".join(named)
    grams = gear_g.get(_name(grid, cells, "gear"))
    if grams is not None and (basis := _column(grid, "weight_basis")):
        cells[basis] = "weighed"
    return _weighed(grid, cells, "weight", grams)


def _weighed(grid: Grid, cells: Cells, key: str, grams: int | None) -> Cells:
    """The row with a weight in its cell: a number of kilograms, else grams with their unit."""
    place = next((each for each in grid.places if each.column.key == key), None)
    if grams is not None and place is not None:
        in_kg = place.unit in ("", "kg")
        cells[place.number] = Decimal(grams) / 1000 if in_kg else f"{grams} g"
    return cells
