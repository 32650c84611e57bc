"""Sheets (facts and tables) as a workbook: real numbers with units, ids as text, ready to print.

Everything that a user wrote goes through `_write_text`, which stores it as text: a description
beginning with = stays a description. Sheets are one page wide on A4 and Letter alike, headings
are frozen and repeated on every printed page, and the foot says where the sheet comes from.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

import xlsxwriter
from PIL import Image

from packer.papers.pdf.typeset import measure, wrapped
from packer.papers.stamp import Stamp
from packer.papers.table import AnyTable, Column, Fact, Kind, Sheet, Value
from packer.papers.text import safe_text, sheet_name
from packer.papers.units import decimals_of

_INK, _LINE, _SHADE = "#000000", "#888888", "#E6E6E6"
_A4 = 9
_MARGIN_IN = 0.5
_LINE_POINTS = 15.0
_LABEL_WIDTH = 16  # characters
_PIXELS_PER_CHARACTER = 7.0  # of a column's width, at the usual type size
_POINTS_PER_PIXEL = 0.75
_CELL_EDGES = 12  # pixels: indent and the space inside the lines
_MEASURED_POINTS = 10.0
_WIDEST_TENTHS = 12  # of a text column's usual width
_FOOT_LIMIT = 110  # a foot holds 255 characters with its codes; the stamp is shortened to fit


def write_book(sheets: Sequence[Sheet], stamp: Stamp) -> bytes:
    """A workbook of these sheets; the same sheets give the same bytes."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True, **_NO_GUESSING})
    book.set_properties({"title": safe_text(stamp.trip), "created": _made(stamp.made)})
    formats = _Formats(book)
    taken: set[str] = set()
    for sheet in sheets:
        page = book.add_worksheet(sheet_name(sheet.name, taken))
        _write_sheet(_Page(page, formats), sheet, stamp)
    book.close()
    return buffer.getvalue()


_NO_GUESSING = {
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


@dataclass(slots=True)
class _Formats:
    """The cell formats of a workbook, made once each."""

    book: Any
    made: dict[tuple[tuple[str, object], ...], Any] = field(default_factory=dict)

    def get(self, **properties: object) -> Any:
        """A format with these properties over the common ones."""
        wanted = {"font_name": "Arial", "font_size": 10, "valign": "top", **properties}
        key = tuple(sorted(wanted.items(), key=lambda item: item[0]))
        if key not in self.made:
            self.made[key] = self.book.add_format(wanted)
        return self.made[key]

    def cell(self, kind: Kind, currency: str, **more: object) -> Any:
        """The format of a table's cell of this kind."""
        base: dict[str, object] = {"border": 1, "border_color": _LINE, **more}
        if kind.is_number:
            return self.get(num_format=number_format(kind, currency), align="right", **base)
        if kind is Kind.DATE:
            return self.get(num_format="yyyy-mm-dd", align="left", **base)
        return self.get(num_format="@", text_wrap=True, align="left", indent=1, **base)


@dataclass(slots=True)
class _Page:
    """A worksheet being filled from the top; `row` is the next free one."""

    page: Any
    formats: _Formats
    row: int = 0
    widths: dict[int, int] = field(default_factory=dict)


def number_format(kind: Kind, currency: str) -> str:
    """The workbook's number format of a kind: '#,##0.000 "kg"'."""
    match kind:
        case Kind.GRAMS:
            return '#,##0.000 "kg"'
        case Kind.CENTIMETRES:
            return '0.0 "cm"'
        case Kind.MILLIMETRES:
            return '0 "mm"'
        case Kind.MONEY:
            decimals = decimals_of(currency)
            places = "." + "0" * decimals if decimals else ""
            return f'#,##0{places} "{currency}"'
        case _:
            return "#,##0"


def number_value(value: int, kind: Kind, currency: str) -> float | int:
    """The figure as the workbook holds it: kilograms, centimetres, major units."""
    match kind:
        case Kind.GRAMS:
            return value / 1000
        case Kind.CENTIMETRES:
            return value / 10
        case Kind.MONEY:
            decimals = decimals_of(currency)
            return value / 10**decimals if decimals else value
        case _:
            return value


def _write_sheet(out: _Page, sheet: Sheet, stamp: Stamp) -> None:
    width = max([4, *(len(table.columns) for table in sheet.tables)])
    _set_widths(out, sheet)
    _line(out, sheet.title, width, bold=True, font_size=14)
    _line(out, f"{stamp.trip}. {stamp.line}", width, font_size=8, font_color="#444444")
    for note in sheet.notes:
        _line(out, note, width, font_size=9)
    _write_facts(out, sheet)
    for table in sheet.tables:
        _write_table(out, table, width, alone=len(sheet.tables) == 1)
    if sheet.picture_png:
        _insert_picture(out, sheet.picture_png)
    _set_up_print(out, sheet, stamp)


def _set_widths(out: _Page, sheet: Sheet) -> None:
    for table in sheet.tables:
        for index in range(len(table.columns)):
            out.widths[index] = max(out.widths.get(index, 0), _width(table, index))
    for index, width in out.widths.items():
        out.page.set_column(index, index, width)


def _width(table: AnyTable, index: int) -> int:
    """Numbers keep their usual width; texts get what they need, within reason."""
    column = table.columns[index]
    if column.kind not in (Kind.TEXT, Kind.ID):
        return column.width
    texts = [str(cells[index] or "") for cells in table.cells()]
    needs = [_characters(text) for text in texts] + [_characters(w) for w in _words(column)]
    return min(max(needs), column.width * _WIDEST_TENTHS // 10)


def _words(column: Column[Any]) -> list[str]:
    return column.heading.split() or [""]


def _characters(text: str) -> int:
    """How wide a column must be to hold the text on one line."""
    pixels = measure(text, _MEASURED_POINTS) / _POINTS_PER_PIXEL + _CELL_EDGES
    return math.ceil(pixels / _PIXELS_PER_CHARACTER) + 1


def _line(out: _Page, text: str, width: int, **properties: object) -> None:
    """A line of text over the full width, as high as its text needs."""
    form = out.formats.get(text_wrap=True, **properties)
    size = properties.get("font_size", 10)
    per_line = sum(out.widths.get(i, 9) for i in range(width)) * 10 / float(str(size)) * 0.95
    lines = -(-max(1, len(text)) // max(1, int(per_line)))
    out.page.merge_range(out.row, 0, out.row, width - 1, "", form)
    _write_text(out, 0, text, form)
    out.page.set_row(out.row, lines * float(str(size)) * 1.4)
    out.row += 1


def _write_facts(out: _Page, sheet: Sheet) -> None:
    for fact in sheet.facts:
        label = out.formats.get(bold=True)
        _write_text(out, 0, fact.label, label)
        _write_fact(out, fact, sheet.currency)
        out.row += 1
    out.row += 1 if sheet.facts else 0


def _write_fact(out: _Page, fact: Fact, currency: str) -> None:
    properties: dict[str, object] = {"align": "left"}
    if fact.kind.is_number:
        properties["num_format"] = number_format(fact.kind, currency)
    elif fact.kind is Kind.DATE:
        properties["num_format"] = "yyyy-mm-dd"
    form = out.formats.get(**properties)
    first, last = _fact_column(out), max(out.widths, default=3)
    if last > first:
        out.page.merge_range(out.row, first, out.row, last, "", form)
    _write_cell(out, first, fact.value, fact.kind, currency, form)


def _fact_column(out: _Page) -> int:
    """The first column that leaves its left neighbours enough room for a label."""
    room = 0
    for index in range(len(out.widths)):
        if room >= _LABEL_WIDTH:
            return index
        room += out.widths[index]
    return 1


def _write_table(out: _Page, table: AnyTable, width: int, *, alone: bool) -> None:
    if not alone:
        out.row += 1
        _line(out, table.title, width, bold=True, font_size=12)
    for text in table.above:
        _line(out, text, width, font_size=9, bold=text.startswith("NOT COMPLETE"))
    _write_headings(out, table)
    if alone:
        out.page.freeze_panes(out.row, 0)
        out.page.repeat_rows(out.row - 1)
    for cells in table.cells():
        _write_row(out, table, cells)
    if not table.rows:
        _line(out, table.empty, width, italic=True)
    _write_totals(out, table)
    for text in table.below:
        _line(out, text, width, font_size=9)


def _write_headings(out: _Page, table: AnyTable) -> None:
    look: dict[str, object] = {"bold": True, "bg_color": _SHADE, "border": 1, "valign": "bottom"}
    look |= {"border_color": _LINE, "text_wrap": True}
    lines = [_lines(out, index, column.heading) for index, column in enumerate(table.columns)]
    out.page.set_row(out.row, _LINE_POINTS * max(lines))
    for index, column in enumerate(table.columns):
        side = "right" if column.kind.is_number else "left"
        _write_text(out, index, column.heading, out.formats.get(align=side, **look))
    out.row += 1


def _write_row(out: _Page, table: AnyTable, cells: tuple[Value, ...]) -> None:
    pairs = list(zip(table.columns, cells, strict=True))
    lines = max(_lines(out, index, value) for index, value in enumerate(cells))
    out.page.set_row(out.row, _LINE_POINTS * lines)
    for index, (column, value) in enumerate(pairs):
        form = out.formats.cell(column.kind, table.currency)
        _write_cell(out, index, value, column.kind, table.currency, form)
    out.row += 1


def _write_totals(out: _Page, table: AnyTable) -> None:
    totals = table.totals()
    if not totals or not table.rows:
        return
    for index, (column, value) in enumerate(zip(table.columns, totals, strict=True)):
        kind = Kind.TEXT if isinstance(value, str) else column.kind
        form = out.formats.cell(kind, table.currency, bold=True, top=2, bg_color=_SHADE)
        _write_cell(out, index, value, kind, table.currency, form)
    out.row += 1


def _lines(out: _Page, index: int, value: Value) -> int:
    """How many lines a text takes in its column, measured in a type a little wider than Arial."""
    if not isinstance(value, str):
        return 1
    room = (out.widths[index] * _PIXELS_PER_CHARACTER - _CELL_EDGES) * _POINTS_PER_PIXEL
    return len(wrapped(value, room, _MEASURED_POINTS))


def _write_cell(out: _Page, index: int, value: Value, kind: Kind, currency: str, form: Any) -> None:
    if value is None:
        out.page.write_blank(out.row, index, None, form)
    elif isinstance(value, str):
        _write_text(out, index, value, form)
    elif isinstance(value, date):
        moment = datetime(value.year, value.month, value.day)
        out.page.write_datetime(out.row, index, moment, form)
    else:
        out.page.write_number(out.row, index, number_value(value, kind, currency), form)


def _write_text(out: _Page, index: int, text: str, form: Any) -> None:
    """The one way of text into a workbook: stored as text whatever it begins with."""
    clean = safe_text(text)
    if clean:
        out.page.write_string(out.row, index, clean, form)
    else:
        out.page.write_blank(out.row, index, None, form)


def _insert_picture(out: _Page, png: bytes) -> None:
    """The drawing, as wide as the columns."""
    out.row += 1
    wide = sum(width * _PIXELS_PER_CHARACTER + 5 for width in out.widths.values())
    scale = wide / Image.open(io.BytesIO(png)).width
    options = {"image_data": io.BytesIO(png), "x_scale": scale, "y_scale": scale}
    out.page.insert_image(out.row, 0, "drawing.png", options)


def _set_up_print(out: _Page, sheet: Sheet, stamp: Stamp) -> None:
    page = out.page
    page.set_paper(_A4)
    if sheet.landscape:
        page.set_landscape()
    page.set_margins(left=_MARGIN_IN, right=_MARGIN_IN, top=_MARGIN_IN, bottom=0.75)
    page.fit_to_pages(1, 1 if sheet.one_page else 0)
    page.hide_gridlines(2)
    foot = safe_text(stamp.line).replace("&", "&&")
    page.set_footer(f"&L&7{foot[:_FOOT_LIMIT]}&R&8Page &P of &N")
    page.set_header(f"&R&8{safe_text(stamp.trip)[:60].replace('&', '&&')}")


def _made(made: str) -> datetime:
    try:
        return datetime.fromisoformat(made).astimezone(UTC).replace(tzinfo=None)
    except ValueError:
        return datetime(2000, 1, 1)
