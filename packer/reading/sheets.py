"""Finds the schema's sheets in a book, and says which are missing, repeated or unknown."""

from __future__ import annotations

import difflib

from packer.model.source import Cell
from packer.reading.cell_text import folded
from packer.reading.headings import match_sheet
from packer.reading.log import Log
from packer.reading.schema import FINDINGS_SHEET, HELP_SHEET, SHEETS
from packer.reading.values import Book, RawSheet, shown


def find_sheets(book: Book, log: Log) -> dict[str, RawSheet]:
    """The raw sheet of each of the schema's sheets that the book has, by the schema's name."""
    found: dict[str, RawSheet] = {}
    unknown = []
    for raw in book.sheets:
        sheet = match_sheet(raw.name)
        if sheet is None:
            unknown += [raw] if raw.name not in (FINDINGS_SHEET, HELP_SHEET) else []
        elif sheet.name in found:
            _log_duplicate(book, raw, found[sheet.name], log)
        else:
            found[sheet.name] = raw
    _log_unknown(book, unknown, found, log)
    _log_missing(book, found, log)
    return found


def _log_duplicate(book: Book, raw: RawSheet, first: RawSheet, log: Log) -> None:
    log.add(
        "sheet-duplicate",
        f"Sheets {shown(first.name)} and {shown(raw.name)} mean the same; expected one.",
        "Rename or delete one of them.",
        Cell(book.file, raw.name, 1, "A"),
    )


def _log_unknown(book: Book, unknown: list[RawSheet], found: dict[str, RawSheet], log: Log) -> None:
    absent = {folded(sheet.name): sheet.name for sheet in SHEETS if sheet.name not in found}
    for raw in unknown:
        near = difflib.get_close_matches(folded(raw.name), absent, n=1, cutoff=0.7)
        where = Cell(book.file, raw.name, 1, "A")
        if near:
            remedy = f"Did you mean {absent[near[0]]}? Then rename it."
            message = f"Sheet {shown(raw.name)} is not known; it was not read."
            log.add("sheet-misspelt", message, remedy, where)
        else:
            log.add("sheet-unknown", f"Sheet {shown(raw.name)} is not used.", "", where)


def _log_missing(book: Book, found: dict[str, RawSheet], log: Log) -> None:
    present = ", ".join(raw.name for raw in book.sheets) or "none"
    for sheet in SHEETS:
        if sheet.required and sheet.name not in found:
            log.add(
                "sheet-missing",
                f"There is no sheet {sheet.name} (a row is {sheet.row}); found: {present}.",
                f"Add a sheet {sheet.name}; the template has it.",
                Cell(book.file, sheet.name, 1, "A"),
                sheet.name,
            )
