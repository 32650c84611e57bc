"""Changes single cells in a worksheet's XML: a style here, a cell of text there, no other byte.

In: the part's bytes and the marks. Out: the part's bytes. Positions come from an XML parser, so
nothing that only looks like a cell is touched.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat
from xml.sax.saxutils import escape

from packer.model.finding import Severity
from packer.reading.cell_text import printable
from packer.reading.schema import PROBLEMS_HEADING
from packer.reading.values import column_number, letters

PROBLEMS_WIDTH = 70
_Edit = tuple[int, int, str]  # from, to, the new text


@dataclass(frozen=True, slots=True)
class Marks:
    """What to mark on one sheet: texts by row in the column `beside`, fills by (row, column)."""

    beside: int
    texts: dict[int, str]
    fills: dict[tuple[int, int], Severity]
    filled: Callable[[int, Severity], int]
    text_style: int
    heading_style: int


@dataclass(slots=True)
class _Cell:
    column: int
    start: int
    end: int = 0
    style: int = 0


@dataclass(slots=True)
class _RowAt:
    number: int
    start: int
    tag: str
    end: int = 0
    cells: list[_Cell] = field(default_factory=list)


def marked_sheet(content: bytes, marks: Marks) -> bytes:
    """The worksheet with its marks."""
    wanted = {*marks.texts, *(row for row, _ in marks.fills)}
    rows = _rows(content, wanted, marks.beside)
    fills: dict[int, dict[int, Severity]] = {}
    for (row, column), severity in marks.fills.items():
        fills.setdefault(row, {})[column] = severity
    edits = [
        edit for row in rows for edit in _row_edits(content, row, fills.get(row.number, {}), marks)
    ]
    return _with_width(_wider(_edited(content, edits), marks.beside), marks.beside)


def _edited(content: bytes, edits: list[_Edit]) -> bytes:
    """The bytes with each (start, end, text) replaced; what is inserted at a place comes first."""
    pieces, at = [], 0
    for start, end, text in sorted(edits, key=lambda edit: edit[:2]):
        pieces += [content[at:start], text.encode()]
        at = end
    return b"".join([*pieces, content[at:]])


def _rows(content: bytes, wanted: set[int], beside: int) -> list[_RowAt]:
    """Where the wanted rows and their cells stand, and rows with a cell of old problems."""
    found: list[_RowAt] = []
    parser = expat.ParserCreate()
    last_row = last_column = 0
    inside_cell = False

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal last_row, last_column, inside_cell
        name = tag.rpartition(":")[2]
        if name == "row":
            last_row = int(attributes.get("r") or last_row + 1)
            last_column = 0
            found.append(_RowAt(last_row, parser.CurrentByteIndex, tag))
        elif name == "c" and found:
            reference = attributes.get("r", "").rstrip("0123456789")
            last_column = column_number(reference) if reference else last_column + 1
            style = int(attributes.get("s") or 0)
            found[-1].cells.append(_Cell(last_column, parser.CurrentByteIndex, style=style))
            inside_cell = True

    def end(tag: str) -> None:
        nonlocal inside_cell
        name = tag.rpartition(":")[2]
        if name == "c" and inside_cell:
            cell = found[-1].cells[-1]
            cell.end = _after(content, parser.CurrentByteIndex)
            inside_cell = False
        elif name == "row":
            row = found[-1]
            row.end = parser.CurrentByteIndex
            if row.number not in wanted and all(cell.column != beside for cell in row.cells):
                found.pop()

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.Parse(content, True)
    return found


def _after(content: bytes, index: int) -> int:
    """The position after the tag that starts at `index`."""
    return content.index(b">", index) + 1


def _row_edits(
    content: bytes, row: _RowAt, fills: dict[int, Severity], marks: Marks
) -> list[_Edit]:
    prefix = row.tag.rpartition("row")[0]
    pieces = {
        column: f'<{prefix}c r="{letters(column)}{row.number}" s="{marks.filled(0, severity)}"/>'
        for column, severity in fills.items()
        if column != marks.beside
    }
    if row.number in marks.texts:
        pieces[marks.beside] = _text_cell(prefix, row.number, marks)
    edits: list[_Edit] = []
    for cell in row.cells:
        piece = pieces.pop(cell.column, None)
        if cell.column == marks.beside:
            edits.append((cell.start, cell.end, piece or ""))
        elif piece is not None:
            severity = fills[cell.column]
            edits.append(_restyled(content, cell, marks.filled(cell.style, severity)))
    return [*edits, *_inserted(content, row, pieces), *_unspanned(content, row)]


def _text_cell(prefix: str, row: int, marks: Marks) -> str:
    text = marks.texts[row]
    is_heading = text == PROBLEMS_HEADING
    style = marks.heading_style if is_heading else marks.text_style
    return (
        f'<{prefix}c r="{letters(marks.beside)}{row}" s="{style}" t="inlineStr"><{prefix}is>'
        f'<{prefix}t xml:space="preserve">{escape(printable(text))}</{prefix}t></{prefix}is>'
        f"</{prefix}c>"
    )


def _restyled(content: bytes, cell: _Cell, style: int) -> _Edit:
    end = _after(content, cell.start)
    tag = content[cell.start : end].decode()
    if re.search(r'\ss\s*=\s*["\']\d+["\']', tag):
        new = re.sub(r'\ss\s*=\s*["\']\d+["\']', f' s="{style}"', tag, count=1)
    else:
        new = re.sub(r"^(<[\w:]+)", rf'\1 s="{style}"', tag)
    return (cell.start, end, new)


def _inserted(content: bytes, row: _RowAt, pieces: dict[int, str]) -> list[_Edit]:
    """New cells at their places; a row without any content is opened for them."""
    if not pieces:
        return []
    opening_end = _after(content, row.start)
    if content[opening_end - 2 : opening_end] == b"/>":
        inner = "".join(pieces[column] for column in sorted(pieces))
        return [(opening_end - 2, opening_end, f">{inner}</{row.tag}>")]
    edits: dict[int, str] = {}
    for column in sorted(pieces):
        at = next((cell.start for cell in row.cells if cell.column > column), row.end)
        edits[at] = edits.get(at, "") + pieces[column]
    return [(at, at, text) for at, text in edits.items()]


def _unspanned(content: bytes, row: _RowAt) -> list[_Edit]:
    """The row without its hint of the columns in use, which no longer holds."""
    tag = content[row.start : _after(content, row.start)]
    match = re.search(rb'\sspans="[^"]*"', tag)
    return [(row.start + match.start(), row.start + match.end(), "")] if match else []


def _wider(content: bytes, column: int) -> bytes:
    """The sheet with the column of problems inside the range that it says it uses."""
    match = re.search(rb'<(?:\w+:)?dimension\s+ref="([A-Z]+)(\d+)(?::([A-Z]+)(\d+))?"', content)
    if match is None:
        return content
    first, top, last, bottom = (each.decode() if each else "" for each in match.groups())
    widest = letters(max(column, column_number(last or first)))
    new = f"{first}{top}:{widest}{bottom or top}".encode()
    at = match.start(1)
    return content[:at] + new + content[match.end() - 1 :]


def _with_width(content: bytes, column: int) -> bytes:
    """The sheet with a wide column for the problems, where no width is set for it yet."""
    new = f'col min="{column}" max="{column}" width="{PROBLEMS_WIDTH}" customWidth="1"/>'.encode()
    end = re.search(rb"</((?:\w+:)?)cols\s*>", content)
    if end is None:
        data = re.search(rb"<((?:\w+:)?)sheetData\b", content)
        if data is None:
            return content
        prefix = data[1]
        cols = b"<" + prefix + b"cols><" + prefix + new + b"</" + prefix + b"cols>"
        return content[: data.start()] + cols + content[data.start() :]
    spans = re.findall(rb'<(?:\w+:)?col\b[^>]*\bmax="(\d+)"', content[: end.start()])
    if any(int(last) >= column for last in spans):
        return content
    return content[: end.start()] + b"<" + end[1] + new + content[end.start() :]
