"""Reads a folder of .csv files, named like the sheets, into a `Book` of text cells.

In: a folder. Out: a `Book` and a note for each file that is not UTF-8. The sign between the
fields (comma, semicolon, tab) is the one that splits the first lines most evenly.
"""

from __future__ import annotations

import csv
import hashlib
import io
from pathlib import Path

from packer.model.finding import Finding
from packer.model.source import Cell
from packer.reading.archive import MOST_FILE_BYTES, too_large
from packer.reading.codes import finding
from packer.reading.values import Book, RawSheet, Unreadable

MOST_FIELD_CHARACTERS = 1_000_000


def read_folder(path: Path) -> tuple[Book, list[Finding]]:
    """The folder's .csv files as sheets; raises `Unreadable` where there is none."""
    files = sorted(
        (each for each in path.iterdir() if each.is_file() and each.suffix.lower() == ".csv"),
        key=lambda each: each.name,
    )
    if not files:
        raise Unreadable(
            "file-not-workbook",
            f"The folder {path.name} has no .csv files.",
            "Give a folder of .csv files named like the sheets: Trip.csv, Stops.csv and so on.",
        )
    total = sum(each.stat().st_size for each in files)
    if total > MOST_FILE_BYTES:
        raise too_large(f"the files have {total / 1e6:,.0f} MB")
    return _read_files(path.name, files)


def _read_files(folder: str, files: list[Path]) -> tuple[Book, list[Finding]]:
    digest = hashlib.sha256()
    sheets, findings = [], []
    for each in files:
        content = each.read_bytes()
        digest.update(each.name.encode() + b"\0" + content + b"\0")
        text, encoding = _decoded(content)
        sheets.append(_sheet(each.stem, text))
        if encoding:
            findings.append(_encoding_note(folder, each.stem, encoding))
    return Book(folder, digest.hexdigest(), sheets, is_text=True), findings


def _decoded(content: bytes) -> tuple[str, str]:
    """The text, and the encoding's name where it had to be taken without proof."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace"), ""
    try:
        return content.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), "Windows-1252"


def _encoding_note(folder: str, sheet: str, encoding: str) -> Finding:
    return finding(
        "csv-encoding",
        f"{sheet}.csv is not UTF-8; it was read as {encoding}.",
        "Check letters with accents, or save the file as UTF-8.",
        Cell(folder, sheet, 1, "A"),
    )


def _sheet(name: str, text: str) -> RawSheet:
    sheet = RawSheet(name)
    delimiter = _delimiter(text)
    csv.field_size_limit(MOST_FIELD_CHARACTERS)
    try:
        for number, line in enumerate(
            csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), 1
        ):
            cells = {column: value for column, value in enumerate(line, 1) if value.strip()}
            if cells:
                sheet.rows[number] = dict(cells)
    except csv.Error as error:
        raise Unreadable(
            "file-damaged", f"{name}.csv cannot be read: {error}.", "Save it as CSV once more."
        ) from None
    return sheet


def _delimiter(text: str) -> str:
    start = text[:20_000].splitlines()[:12]
    return max(",;\t", key=lambda sign: _evenness(start, sign))


def _evenness(lines: list[str], sign: str) -> int:
    """How many fields the most evenly split lines have in all; quoted signs do not count."""
    counts = [len(line) for line in csv.reader(lines, delimiter=sign) if len(line) > 1]
    best = max(counts, key=lambda count: (counts.count(count), count), default=0)
    return counts.count(best) * best
