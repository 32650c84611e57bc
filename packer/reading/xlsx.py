"""Reads an .xlsx workbook into a `Book` of raw cells: sheets, strings, formats.

In: a path. Out: a `Book`, or `Unreadable`. Only what the trip needs is parsed; styles only as
far as they say that a number is a date or carries a unit.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.parsers import expat

from packer.reading.archive import Archive, damaged, not_a_workbook, open_archive
from packer.reading.cell_text import unescaped
from packer.reading.sheet_xml import Formats, parse_sheet
from packer.reading.values import Book, RawSheet
from shared import LENGTH_UNITS, MASS_UNITS

_BUILT_IN_DATES = frozenset({*range(14, 18), 22, *range(27, 32), *range(34, 37), *range(50, 59)})
_LITERAL = re.compile(r'"([^"]*)"')
_NOT_DATE = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.|General', re.IGNORECASE)

Element = tuple[str, dict[str, str]]


def read_workbook(path: Path) -> Book:
    """The workbook at `path`; raises `Unreadable` with a finding's code."""
    sha256 = hashlib.sha256(path.read_bytes()).hexdigest()
    with open_archive(path) as archive:
        return Book(path.name, sha256, _sheets(archive))


def _sheets(archive: Archive) -> list[RawSheet]:
    main = main_part(archive)
    elements = _elements(archive, main)
    targets = _relations(archive, main)
    formats = _formats(archive, main, elements, targets)
    strings = _strings(archive, _part_of_kind(archive, main, targets, "sharedStrings"))
    found = []
    for name, part, is_hidden in _worksheets(archive, elements, targets):
        sheet = parse_sheet(archive, part, name, strings, formats)
        sheet.hidden = is_hidden
        found.append(sheet)
    return found


def _worksheets(
    archive: Archive, elements: list[Element], targets: dict[str, tuple[str, str]]
) -> Iterator[tuple[str, str, bool]]:
    """(name, part, is hidden) of each worksheet; sheets that are charts are left out."""
    for tag, attributes in elements:
        if tag != "sheet":
            continue
        relation = next((v for k, v in attributes.items() if k.endswith(":id") or k == "id"), "")
        kind, part = targets.get(relation, ("", ""))
        if kind != "worksheet":
            continue
        if not archive.has(part):
            raise damaged(f"sheet {attributes.get('name')} has no content")
        yield attributes.get("name", ""), part, attributes.get("state", "visible") != "visible"


@dataclass(frozen=True, slots=True)
class Parts:
    """Where things stand in a workbook's zip: main part, styles, and each worksheet by name."""

    main: str
    styles: str | None
    sheets: dict[str, str]


def parts_of(archive: Archive) -> Parts:
    """The parts that matter to somebody who marks cells."""
    main = main_part(archive)
    elements, targets = _elements(archive, main), _relations(archive, main)
    sheets = {name: part for name, part, _ in _worksheets(archive, elements, targets)}
    return Parts(main, _part_of_kind(archive, main, targets, "styles"), sheets)


def main_part(archive: Archive) -> str:
    """The part that lists the sheets; Unreadable where there is none."""
    if archive.has("_rels/.rels"):
        for _, target in _relations(archive, "").values():
            if target.lower().endswith("workbook.xml") and archive.has(target):
                return target
    if archive.has("xl/workbook.xml"):
        return "xl/workbook.xml"
    raise not_a_workbook("it has no workbook part")


def _relations(archive: Archive, part: str) -> dict[str, tuple[str, str]]:
    """Relation id -> (kind, part) of a part; the parts are named from the archive's root."""
    folder, name = posixpath.split(part)
    relations = posixpath.join(folder, "_rels", f"{name}.rels")
    if not archive.has(relations):
        return {}
    found = {}
    for tag, attributes in _elements(archive, relations):
        if tag == "Relationship" and attributes.get("TargetMode") != "External":
            target = attributes.get("Target", "")
            whole = posixpath.normpath(posixpath.join("/", folder, target)).lstrip("/")
            kind = attributes.get("Type", "").rpartition("/")[2]
            found[attributes.get("Id", "")] = (kind, whole)
    return found


def _part_of_kind(
    archive: Archive, main: str, targets: dict[str, tuple[str, str]], kind: str
) -> str | None:
    usual = posixpath.join(posixpath.dirname(main), f"{kind}.xml")
    parts = [part for each, part in targets.values() if each == kind] or [usual]
    return parts[0] if archive.has(parts[0]) else None


def _elements(archive: Archive, part: str) -> list[Element]:
    """All elements of a small part, in order."""
    found: list[Element] = []
    parser = expat.ParserCreate()

    def start(tag: str, attributes: dict[str, str]) -> None:
        archive.count(1)
        found.append((tag.rpartition(":")[2], attributes))

    parser.StartElementHandler = start
    archive.parse(part, parser)
    return found


def _strings(archive: Archive, part: str | None) -> list[str]:
    """The shared strings; formatted runs are joined, phonetic help is left out."""
    found: list[str] = []
    if part is None:
        return found
    pieces: list[str] = []
    text: list[str] = []
    phonetic = False

    def start(tag: str, _: dict[str, str]) -> None:
        nonlocal phonetic
        text.clear()
        phonetic = phonetic or tag.rpartition(":")[2] == "rPh"

    def end(tag: str) -> None:
        nonlocal phonetic
        name = tag.rpartition(":")[2]
        if name == "t" and not phonetic:
            pieces.append("".join(text))
        elif name == "rPh":
            phonetic = False
        elif name == "si":
            found.append(unescaped("".join(pieces)))
            pieces.clear()

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text.append
    archive.parse(part, parser)
    archive.count(len(found))
    return found


def _formats(
    archive: Archive, main: str, elements: list[Element], targets: dict[str, tuple[str, str]]
) -> Formats:
    settings = dict(elements)
    from_1904 = settings.get("workbookPr", {}).get("date1904") in ("1", "true")
    recalculate = settings.get("calcPr", {}).get("fullCalcOnLoad") in ("1", "true")
    styles = _part_of_kind(archive, main, targets, "styles")
    dates, units = _styles(_elements(archive, styles)) if styles else (frozenset(), {})
    return Formats(dates, units, from_1904, recalculate)


def _styles(elements: list[Element]) -> tuple[frozenset[int], dict[int, str]]:
    codes: dict[str, str] = {}
    dates, units = set(), {}
    style, in_cells = 0, False
    for tag, attributes in elements:
        if tag == "numFmt":
            codes.setdefault(attributes.get("numFmtId", ""), attributes.get("formatCode", ""))
        elif tag in ("cellStyleXfs", "cellXfs", "cellStyles", "dxfs"):
            in_cells = tag == "cellXfs"
        elif tag == "xf" and in_cells:
            number = attributes.get("numFmtId", "0")
            if _is_date(number, codes):
                dates.add(style)
            elif unit := _unit(codes.get(number, "")):
                units[style] = unit
            style += 1
    return frozenset(dates), units


def _is_date(number: str, codes: dict[str, str]) -> bool:
    if number not in codes:
        return number.isdigit() and int(number) in _BUILT_IN_DATES
    bare = _NOT_DATE.sub("", codes[number].partition(";")[0]).lower()
    return "y" in bare or "d" in bare


def _unit(code: str) -> str:
    """The unit that a number format shows after the number, as in `0.0" lb"`; '' for none."""
    literal = "".join(_LITERAL.findall(code.partition(";")[0])).strip().lower()
    return literal if literal in MASS_UNITS or literal in LENGTH_UNITS else ""
