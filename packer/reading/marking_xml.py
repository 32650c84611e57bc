"""Marks cells inside a workbook's zip by changing as few bytes as possible.

In: the user's workbook and the findings. Out: a copy in which the marked cells have a fill, each
marked row has its problems in one more column, and one more sheet lists everything. Every other
part is copied as it is, and within a part every other byte stays.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from packer.model.finding import Finding, Severity
from packer.reading.archive import Archive
from packer.reading.cell_text import printable
from packer.reading.grid import find_grid
from packer.reading.headings import match_sheet
from packer.reading.log import Log
from packer.reading.marking import (
    FINDING_HEADINGS,
    finding_row,
    lines_of,
    problem_text,
    problems_of,
)
from packer.reading.marking_cells import Marks, marked_sheet
from packer.reading.marking_styles import Styles
from packer.reading.schema import FINDINGS_SHEET, PROBLEMS_HEADING
from packer.reading.values import Book, RawSheet, column_number
from packer.reading.xlsx import Parts, parts_of

_NEW_PART = "worksheets/holdallFindings.xml"
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_STRICT = "http://purl.oclc.org/ooxml/officeDocument/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"


def mark_archive(path: Path, book: Book, findings: tuple[Finding, ...], out_path: Path) -> None:
    """Write the marked copy of the workbook at `path` to `out_path`."""
    with zipfile.ZipFile(path) as source:
        parts = parts_of(Archive(source))
        changed = _changed(source, parts, book, findings)
        with zipfile.ZipFile(out_path, "w", zipfile.ZIP_DEFLATED) as target:
            for info in source.infolist():
                name = info.filename
                content = changed.pop(name.lstrip("/"), None)
                target.writestr(info, source.read(name) if content is None else content)
            for name, content in changed.items():
                target.writestr(name, content)


def _changed(
    source: zipfile.ZipFile, parts: Parts, book: Book, findings: tuple[Finding, ...]
) -> dict[str, bytes]:
    """The new content of each part that changes, by name."""
    styles = Styles(source.read(parts.styles) if parts.styles else b"")
    changed = {}
    for raw in book.sheets:
        marks = _marks(book, raw, findings, styles)
        if marks is not None:
            part = parts.sheets[raw.name]
            changed[part] = marked_sheet(source.read(part), marks)
    changed |= _with_list(source, parts, findings, styles)
    if parts.styles:
        changed[parts.styles] = styles.content()
    return changed


def _marks(
    book: Book, raw: RawSheet, findings: tuple[Finding, ...], styles: Styles
) -> Marks | None:
    if match_sheet(raw.name) is None:
        return None  # the user's own sheet; what is said of it stands in the list
    problems = problems_of(findings, raw.name)
    heading_row, beside = _beside(book, raw)
    is_marked = any(PROBLEMS_HEADING in cells.values() for cells in raw.rows.values())
    if not problems and not is_marked:
        return None
    fills: dict[tuple[int, int], Severity] = {}
    for row, found in problems.items():
        for each in found:
            if each.where:
                fills.setdefault((row, column_number(each.where.column)), each.severity)
    texts = {row: problem_text(found) for row, found in problems.items()}
    if heading_row:
        texts[heading_row] = PROBLEMS_HEADING
        if heading_row in problems:
            texts[heading_row + 1] = "  |  ".join(
                text
                for text in (problem_text(problems[heading_row]), texts.get(heading_row + 1))
                if text
            )
    return Marks(beside, texts, fills, styles.filled, styles.beside, styles.heading)


def _beside(book: Book, raw: RawSheet) -> tuple[int, int]:
    """The heading row (0 for none), and the column of problems: the old one, or the next free."""
    for row, cells in raw.rows.items():
        for column, value in cells.items():
            if value == PROBLEMS_HEADING:
                return row, column
    last = max((column for cells in raw.rows.values() for column in cells), default=0)
    sheet = match_sheet(raw.name)
    grid = find_grid(book.file, raw, sheet, Log()) if sheet and sheet.name != "Trip" else None
    return (grid.heading_row if grid else 0), last + 1


def _with_list(
    source: zipfile.ZipFile, parts: Parts, findings: tuple[Finding, ...], styles: Styles
) -> dict[str, bytes]:
    """The sheet of all findings, new or in place of an earlier one, and what refers to it."""
    main = source.read(parts.main).decode("utf-8")
    is_strict = _STRICT in main
    content = _list_xml(findings, styles, _STRICT_MAIN if is_strict else _MAIN)
    if FINDINGS_SHEET in parts.sheets:
        return {parts.sheets[FINDINGS_SHEET]: content}
    folder = posixpath.dirname(parts.main)
    part = posixpath.join(folder, _NEW_PART)
    relations = posixpath.join(folder, "_rels", f"{posixpath.basename(parts.main)}.rels")
    namespace = _STRICT if is_strict else _RELATIONS
    return {
        part: content,
        parts.main: _with_sheet(main, namespace).encode(),
        relations: _inserted(
            source.read(relations).decode("utf-8"),
            "Relationships",
            f'Relationship Id="holdallFindings" Type="{namespace}/worksheet" Target="{_NEW_PART}"',
        ).encode(),
        "[Content_Types].xml": _inserted(
            source.read("[Content_Types].xml").decode("utf-8"),
            "Types",
            f'Override PartName="/{part}" ContentType="{_SHEET_TYPE}"',
        ).encode(),
    }


def _with_sheet(main: str, namespace: str) -> str:
    number = max((int(each) for each in re.findall(r'sheetId="(\d+)"', main)), default=0) + 1
    name = quoteattr(FINDINGS_SHEET)
    element = f'sheet name={name} sheetId="{number}" xmlns:hd="{namespace}" hd:id="holdallFindings"'
    return _inserted(main, "sheets", element)


def _inserted(xml: str, parent: str, element: str) -> str:
    """The XML with one more empty element at the end of its parent, in the parent's prefix."""
    end = re.search(rf"</((?:\w+:)?){parent}\s*>", xml)
    if end is None:
        raise ValueError(f"no {parent} in the workbook")
    return f"{xml[: end.start()]}<{end[1]}{element}/>{xml[end.start() :]}"


def _list_xml(findings: tuple[Finding, ...], styles: Styles, namespace: str) -> bytes:
    columns = "".join(
        f'<col min="{n}" max="{n}" width="{width}" customWidth="1"/>'
        for n, (_, width) in enumerate(FINDING_HEADINGS, 1)
    )
    rows = [_row_xml(1, [(heading, styles.heading) for heading, _ in FINDING_HEADINGS])]
    for number, each in enumerate(findings, 2):
        first, *others = row = finding_row(each)
        cells = [
            (first, styles.filled(styles.wrapped, each.severity)),
            *((t, styles.wrapped) for t in others),
        ]
        rows.append(_row_xml(number, cells, lines_of(row)))
    links = "".join(_link_xml(number, each) for number, each in enumerate(findings, 2))
    hyperlinks = f"<hyperlinks>{links}</hyperlinks>" if links else ""
    return (
        '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        f'<worksheet xmlns="{namespace}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>'
        '<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" '
        'activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f"<cols>{columns}</cols><sheetData>{''.join(rows)}</sheetData>{hyperlinks}"
        '<pageSetup orientation="landscape" fitToHeight="0"/></worksheet>'
    ).encode()


def _row_xml(number: int, cells: list[tuple[str, int]], lines: int = 1) -> str:
    inner = "".join(
        f'<c r="{chr(65 + index)}{number}" s="{style}" t="inlineStr"><is>'
        f'<t xml:space="preserve">{escape(printable(text))}</t></is></c>'
        for index, (text, style) in enumerate(cells)
    )
    return f'<row r="{number}" ht="{15 * lines + 2}" customHeight="1">{inner}</row>'


def _link_xml(number: int, finding: Finding) -> str:
    where = finding.where
    if where is None or not where.sheet:
        return ""
    target = "'" + where.sheet.replace("'", "''") + f"'!{where.column}{where.row}"
    return f'<hyperlink ref="C{number}" location={quoteattr(printable(target))}/>'
