"""The user's own sheets with the findings at their cells: rows as they stand, for a page.

In: an upload and its findings. Out: for each sheet with findings, its heading row and the rows
that something was found in, cells as text, each with the findings' places in the whole list.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from api.work.uploads import lay_out

MOST_ROWS = 60
_CELL = re.compile(r"^([A-Z]{1,3})(\d{1,7})$")


@dataclass(frozen=True, slots=True)
class CellView:
    """A cell: its text and the numbers of the findings at it, from 0."""

    text: str
    findings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class RowView:
    """A row by its number in the sheet; `headings` for the row that names the columns."""

    number: int
    cells: tuple[CellView, ...]
    headings: bool = False


@dataclass(frozen=True, slots=True)
class SheetView:
    """A sheet with findings; `left_out` counts rows with findings that are not shown."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[RowView, ...]
    left_out: int = 0


Spots = dict[tuple[int, int], list[int]]


def sheet_views(
    content: bytes, form: str, findings: Sequence[dict[str, str]]
) -> tuple[SheetView, ...]:
    """The sheets with findings, in the workbook's order; nothing for what cannot be read."""
    from packer.reading.log import Log
    from packer.reading.reader import open_book
    from packer.reading.values import Unreadable

    spots = _spots(findings)
    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        try:
            book = open_book(lay_out(content, form, Path(name)), Log())
        except Unreadable:
            return ()
    sheets = [(raw.name, _texts(raw.rows)) for raw in book.sheets]
    return tuple(_view(name, rows, spots[name]) for name, rows in sheets if name in spots)


def _spots(findings: Sequence[dict[str, str]]) -> dict[str, Spots]:
    from packer.reading.values import column_number

    found: dict[str, Spots] = {}
    for index, finding in enumerate(findings):
        parts = finding["where"].rsplit("!", 2)
        match = _CELL.match(parts[-1]) if len(parts) == 3 else None
        if match:
            spot = (int(match[2]), column_number(match[1]))
            found.setdefault(parts[1], {}).setdefault(spot, []).append(index)
    return found


def _texts(rows: dict[int, dict[int, object]] | object) -> dict[int, dict[int, str]]:
    from decimal import Decimal

    from packer.reading.values import plain

    assert isinstance(rows, dict)
    return {
        number: {
            column: plain(value) if isinstance(value, Decimal) else str(value)
            for column, value in cells.items()
        }
        for number, cells in rows.items()
    }


def _view(name: str, rows: dict[int, dict[int, str]], spots: Spots) -> SheetView:
    from packer.reading.values import letters

    headings = _heading_row(rows)
    wanted = sorted({row for row, _ in spots} - {headings})
    shown = [headings, *wanted[:MOST_ROWS]]
    width = max([column for row in shown for column in rows.get(row, {})] + [c for _, c in spots])
    return SheetView(
        name,
        tuple(letters(column) for column in range(1, width + 1)),
        tuple(_row(number, rows, spots, width, number == headings) for number in shown),
        max(0, len(wanted) - MOST_ROWS),
    )


def _heading_row(rows: dict[int, dict[int, str]]) -> int:
    """The fullest of the first ten rows: headings stand there, wherever titles stand above."""
    first = [number for number in sorted(rows) if number <= 10]
    return max(first, key=lambda number: (len(rows[number]), -number), default=1)


def _row(
    number: int, rows: dict[int, dict[int, str]], spots: Spots, width: int, headings: bool
) -> RowView:
    cells = rows.get(number, {})
    return RowView(
        number,
        tuple(
            CellView(cells.get(column, "")[:80], tuple(spots.get((number, column), ())))
            for column in range(1, width + 1)
        ),
        headings,
    )
