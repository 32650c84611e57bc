"""Writes an empty trip workbook: headings with units, drop-downs, help, all from the schema.

In: a path. Out: an `.xlsx` that reads back clean once it is filled in.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from packer.reading.columns import Column, Kind, Sheet
from packer.reading.schema import HELP_SHEET, SHEETS, TRIP
from packer.reading.writing import write_whole

ROWS_TO_FILL = 1000
_INK = "FF1F2A33"
_PAGE_CHARACTERS = 170


def _font(**how: Any) -> Font:
    return Font(name="Calibri", **how)


_NEEDED = PatternFill("solid", fgColor="FF2F4858")
_OPTIONAL = PatternFill("solid", fgColor="FFE4E9ED")
_INPUT = PatternFill("solid", fgColor="FFFFFBEF")
_LINE = Border(bottom=Side("thin", color="FFC9D1D7"))
_TITLE = _font(bold=True, size=16, color=_INK)
_QUIET = _font(size=10, color="FF5B6770")
_TEXT_KINDS = frozenset({Kind.NAME, Kind.TEXT, Kind.LIST, Kind.HS, Kind.BANDS, Kind.RADIO_USED})
_HELP = (
    "Fill in the sheets from left to right. Dark headings must be filled in; pale ones may stay "
    "empty. What an empty cell means is said below.",
    "Units: a bare number has the unit of its heading. You may change it there, as in Weight (lb), "
    "or write it in a cell: 28 lb, 12,5 kg, 1 ft 6 in.",
    "Dates: as dates, or as text like 2026-07-03.",
    "Lists: with ; between them. Names must be spelt alike on all sheets.",
    "Columns of your own are welcome anywhere; they are kept. Order never matters.",
    "When filled in: holdall check FILE.xlsx says what is missing or odd; with --marked it "
    "writes it beside your cells.",
    "Rules of carriers, customs and radio authorities change: check them before every trip; "
    "the carrier and the authority decide.",
)


def write_template(path: Path) -> Path:
    """Write the template whole or not at all; returns the path. Raises OSError."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    _help_sheet(workbook.create_sheet(HELP_SHEET))
    for sheet in SHEETS:
        if sheet is TRIP:
            _trip_sheet(workbook.create_sheet(sheet.name))
        else:
            _list_sheet(workbook.create_sheet(sheet.name), sheet)
    workbook.active = 1
    return write_whole(path, workbook.save)


def _trip_sheet(sheet: Worksheet) -> None:
    _title_row(sheet, 1, (("Field", 26), ("Value", 30), ("Help", 100)))
    for row, column in enumerate(TRIP.columns, 2):
        sheet.cell(row, 1, column.title).font = _font(bold=column.required, color=_INK)
        value = sheet.cell(row, 2, _default(column))
        value.fill, value.border = _INPUT, _LINE
        value.number_format = _format(column)
        value.alignment = Alignment(horizontal="left")
        help_cell = sheet.cell(row, 3, _help_text(column))
        help_cell.font, help_cell.alignment = _QUIET, Alignment(wrap_text=True, vertical="top")
        _add_choices(sheet, column, f"B{row}")
    sheet.freeze_panes = "A2"
    _print_setup(sheet, "landscape")


def _title_row(sheet: Worksheet, row: int, titles: tuple[tuple[str, int], ...]) -> None:
    for number, (title, width) in enumerate(titles, 1):
        cell = sheet.cell(row, number, title)
        cell.font, cell.fill = _font(bold=True, color="FFFFFFFF"), _NEEDED
        sheet.column_dimensions[get_column_letter(number)].width = width


def _default(column: Column) -> str | float | None:
    if not column.default:
        return None
    return column.default if column.choices else float(column.default)


def _list_sheet(sheet: Worksheet, schema: Sheet) -> None:
    for number, column in enumerate(schema.columns, 1):
        letter = get_column_letter(number)
        cell = sheet.cell(1, number, column.title)
        cell.fill = _NEEDED if column.required else _OPTIONAL
        cell.font = _font(bold=True, color="FFFFFFFF" if column.required else _INK)
        cell.alignment = Alignment(wrap_text=True, vertical="center", horizontal="left")
        cell.comment = Comment(_help_text(column), "Holdall", width=260, height=110)
        sheet.column_dimensions[letter].width = _width(column)
        sheet.column_dimensions[letter].number_format = _format(column)
        _add_choices(sheet, column, f"{letter}2:{letter}{ROWS_TO_FILL}")
        _format_rows(sheet, number, column)
    sheet.row_dimensions[1].height = 34
    sheet.freeze_panes = "B2"
    sheet.print_title_rows = "1:1"
    sheet.print_title_cols = "A:A"
    _print_setup(sheet, "landscape")
    width = sum(_width(column) for column in schema.columns)
    sheet.page_setup.fitToWidth = -(-width // _PAGE_CHARACTERS)


def _format_rows(sheet: Worksheet, number: int, column: Column) -> None:
    """Formats for the first rows, so that ids stay text and dates look like dates."""
    for row in range(2, 27):
        cell = sheet.cell(row, number)
        cell.number_format = _format(column)
        cell.border = _LINE


def _format(column: Column) -> str:
    if column.kind is Kind.DATE:
        return "yyyy-mm-dd"
    return "@" if column.kind in _TEXT_KINDS else "General"


def _width(column: Column) -> int:
    wide = {"Description": 36, "Notes": 36, "Overweight bands": 30, "Venue": 24, "Radio ranges": 24}
    return wide.get(column.heading, max(11, min(18, len(column.title) + 3)))


def _help_text(column: Column) -> str:
    facts = [column.help]
    if column.choices:
        facts.append(f"One of: {', '.join(column.choices)}.")
    if column.unit:
        facts.append(f"In {column.unit} unless the cell says otherwise.")
    if column.default:
        facts.append(f"Empty: {column.default}{' ' + column.unit if column.unit else ''}.")
    return " ".join(fact for fact in facts if fact)


def _add_choices(sheet: Worksheet, column: Column, cells: str) -> None:
    if not column.choices:
        return
    validation = DataValidation("list", formula1=f'"{",".join(column.choices)}"', allow_blank=True)
    validation.error = f"Choose one of: {', '.join(column.choices)}."
    validation.errorTitle = column.heading
    sheet.add_data_validation(validation)
    validation.add(cells)


def _help_sheet(sheet: Worksheet) -> None:
    sheet.cell(1, 1, "A trip for Holdall").font = _TITLE
    for row, text in enumerate(_HELP, 3):
        sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=5)
        cell = sheet.cell(row, 1, text)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.row_dimensions[row].height = 15.5 * (1 + len(text) // 170)
    row = len(_HELP) + 4
    titles = (("Sheet", 12), ("Column", 24), ("Must", 9), ("Takes", 24), ("Help", 100))
    _title_row(sheet, row, titles)
    for schema in SHEETS:
        row = _help_rows(sheet, schema, row)
    sheet.print_title_rows = f"{len(_HELP) + 4}:{len(_HELP) + 4}"
    sheet.sheet_view.showGridLines = False
    _print_setup(sheet, "landscape")


def _help_rows(sheet: Worksheet, schema: Sheet, row: int) -> int:
    for number, column in enumerate(schema.columns):
        row += 1
        must = "yes" if column.must_fill else ("column" if column.required else "")
        name = f"{schema.name}: {schema.row}" if number == 0 else ""
        texts = (schema.name, column.heading, must, str(column.kind), _help_text(column))
        for at, text in enumerate(texts, 1):
            cell = sheet.cell(row, at, text)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.border = _LINE
            cell.font = _font(bold=at == 2 and column.required, color=_INK)
        if name:
            sheet.cell(row, 1).comment = Comment(f"One row is {schema.row}.", "Holdall")
    return row


def _print_setup(sheet: Worksheet, orientation: str) -> None:
    sheet.page_setup.orientation = orientation  # type: ignore[assignment]
    sheet.page_setup.paperSize = 9
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    footer = sheet.oddFooter
    if footer is not None:
        footer.left.text = "&A"
        footer.right.text = "Page &P of &N"
