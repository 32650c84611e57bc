"""Gives users their own workbook back with the findings beside the cells.

In: the trip's path, the findings of reading and rules, a path to write. Out: the same workbook with
coloured cells, a column of problems beside each sheet's data and a sheet of all findings; all else
in it stays byte for byte (charts, formulas, formats, validations). A CSV folder, or a file that
is no workbook, gives a new workbook with the rows that could be read.
"""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Iterable
from pathlib import Path
from xml.parsers import expat

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from packer.model.finding import Finding, Severity, in_order
from packer.reading.cell_text import printable
from packer.reading.log import Log
from packer.reading.marking import (
    COLOURS,
    FINDING_HEADINGS,
    finding_row,
    lines_of,
    problem_text,
    problems_of,
)
from packer.reading.marking_xml import mark_archive
from packer.reading.reader import open_book
from packer.reading.schema import FINDINGS_SHEET, PROBLEMS_HEADING
from packer.reading.values import Book, RawSheet, Unreadable, column_number
from packer.reading.words import as_text
from packer.reading.writing import write_whole

# What a workbook raises that is damaged in parts which reading has no need of.
_UNMARKABLE = (zipfile.BadZipFile, zlib.error, expat.ExpatError, UnicodeError, KeyError, ValueError)


def write_marked(path: Path, findings: Iterable[Finding], out_path: Path) -> Path:
    """Write the marked workbook whole or not at all; returns `out_path`.

    Raises OSError where it cannot be written.
    """
    ordered = in_order(tuple(findings))
    book = _book(path)
    if book is None or book.is_text:
        return write_whole(out_path, lambda target: _new_workbook(book, ordered).save(target))
    try:
        return write_whole(out_path, lambda target: mark_archive(path, book, ordered, target))
    except _UNMARKABLE:
        return write_whole(out_path, lambda target: _new_workbook(book, ordered).save(target))


def _book(path: Path) -> Book | None:
    try:
        return open_book(path, Log())
    except Unreadable:
        return None


def _new_workbook(book: Book | None, findings: tuple[Finding, ...]) -> Workbook:
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for raw in book.sheets if book else []:
        _copy_sheet(workbook.create_sheet(raw.name[:31]), raw, findings)
    _list_findings(workbook.create_sheet(FINDINGS_SHEET), findings)
    return workbook


def _copy_sheet(sheet: Worksheet, raw: RawSheet, findings: tuple[Finding, ...]) -> None:
    for row, cells in raw.rows.items():
        for column, value in cells.items():
            _put(sheet, row, column, as_text(value))
    problems = problems_of(findings, raw.name)
    beside = max((column for cells in raw.rows.values() for column in cells), default=0) + 1
    if problems and raw.name.casefold() != "trip":
        _put(sheet, min(raw.rows, default=1), beside, PROBLEMS_HEADING).font = Font(bold=True)
    for row, found in problems.items():
        _put(sheet, row, beside, problem_text(found))
        for each in reversed(found):
            if each.where:
                cell = sheet.cell(row, column_number(each.where.column))
                cell.fill = _fill(each.severity)
    sheet.column_dimensions[get_column_letter(beside)].width = 70


def _fill(severity: Severity) -> PatternFill:
    return PatternFill("solid", fgColor=COLOURS[severity])


def _put(sheet: Worksheet, row: int, column: int, text: str) -> SheetCell:
    cell = sheet.cell(row, column)
    cell.value = printable(text)
    if cell.value:
        cell.data_type = "s"  # text stays text, also where it starts with =
    cell.alignment = Alignment(wrap_text="\n" in text, vertical="top")
    return cell  # type: ignore[return-value]


def _list_findings(sheet: Worksheet, findings: tuple[Finding, ...]) -> None:
    for column, (heading, width) in enumerate(FINDING_HEADINGS, 1):
        cell = _put(sheet, 1, column, heading)
        cell.font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(column)].width = width
    for row, each in enumerate(findings, 2):
        sheet.row_dimensions[row].height = 15 * lines_of(finding_row(each)) + 2
        for column, text in enumerate(finding_row(each), 1):
            cell = _put(sheet, row, column, text)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.cell(row, 1).fill = _fill(each.severity)
    sheet.freeze_panes = "A2"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
