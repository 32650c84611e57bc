"""Turns a trip as a folder of CSV files into a workbook that people would have made themselves.

In: a folder with one CSV a sheet, a title in its first row and headings in the third. Out: an
`.xlsx` with the same cells, real numbers and dates, and a layout for screen and print.
"""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

SHEETS = (
    "Trip",
    "Stops",
    "Legs",
    "Rules",
    "Gear",
    "Cases",
    "Offers",
    "Suppliers",
    "Freight",
    "Rates",
)
HEADING_ROW = 3
# What looks like a number and is a name: heading codes keep their last zero only as text.
TEXT_HEADINGS = ("HS", "Gear", "Case", "Serials", "Serial")
WIDEST = 44  # characters
WIDEST_PAGE = 24  # columns

_TITLE = Font(bold=True, size=12, color="5A3E1B")
_HEADING = Font(bold=True, color="FFFFFF")
_HEADING_FILL = PatternFill("solid", fgColor="5A4632")
_BAND_FILL = PatternFill("solid", fgColor="F6F1E8")
_LINE = Border(bottom=Side(style="thin", color="D8CDBB"))


def write_workbook(folder: Path, target: Path) -> None:
    """Write the trip in `folder` to `target`."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for name in SHEETS:
        with (folder / f"{name}.csv").open(newline="", encoding="utf-8") as file:
            _fill(book.create_sheet(name), list(csv.reader(file)))
    book.save(target)


def _fill(sheet: Worksheet, rows: list[list[str]]) -> None:
    headings = rows[HEADING_ROW - 1]
    sheet.cell(1, 1, rows[0][0]).font = _TITLE
    for number, cells in enumerate(rows[HEADING_ROW - 1 :], start=HEADING_ROW):
        for column, text in enumerate(cells, start=1):
            heading = number == HEADING_ROW
            _write(sheet, number, column, text if heading else _value(text, headings[column - 1]))
    _style_headings(sheet, len(headings))
    _set_widths(sheet, rows[HEADING_ROW - 1 :])
    _set_print(sheet, headings)


def _write(sheet: Worksheet, row: int, column: int, value: str | float | date | None) -> None:
    cell = sheet.cell(row, column, value)
    cell.border = _LINE
    is_text = isinstance(value, str) and row > HEADING_ROW
    cell.alignment = Alignment(vertical="top", indent=1 if is_text else 0)
    if isinstance(value, float):
        cell.number_format = "0.00"
    elif isinstance(value, date):
        cell.number_format = "yyyy-mm-dd"
    if row % 2:
        cell.fill = _BAND_FILL


def _value(text: str, heading: str) -> str | float | date | None:
    """The cell as a spreadsheet holds it: number, date, text, or nothing."""
    if not text:
        return None
    if heading in TEXT_HEADINGS:
        return text
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return date.fromisoformat(text)
    if re.fullmatch(r"\d+", text):
        return int(text)
    return float(text) if re.fullmatch(r"\d+\.\d+", text) else text


def _style_headings(sheet: Worksheet, count: int) -> None:
    for column in range(1, count + 1):
        cell = sheet.cell(HEADING_ROW, column)
        cell.font, cell.fill = _HEADING, _HEADING_FILL
        cell.alignment = Alignment(wrap_text=True, vertical="center")
    sheet.row_dimensions[HEADING_ROW].height = 46


def _set_widths(sheet: Worksheet, rows: list[list[str]]) -> None:
    for column, heading in enumerate(rows[0], start=1):
        longest = max([len(row[column - 1]) for row in rows[1:]], default=0)
        widest_word = max(len(word) for word in heading.split())
        width = min(WIDEST, max(longest, widest_word) + 3)
        sheet.column_dimensions[get_column_letter(column)].width = width


def _set_print(sheet: Worksheet, headings: list[str]) -> None:
    """Frozen and repeated headings, one page wide (the widest sheet two), numbered pages."""
    wide = len(headings) > 10
    sheet.freeze_panes = sheet.cell(HEADING_ROW + 1, 3 if wide else 1)
    sheet.print_title_rows = f"1:{HEADING_ROW}"
    if wide:
        sheet.print_title_cols = "A:B"
    sheet.page_setup.orientation = "landscape" if len(headings) > 6 else "portrait"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth = -(-len(headings) // WIDEST_PAGE)
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.left.text = "&A, invented for demonstration"
    sheet.oddFooter.right.text = "page &P of &N"
