"""Parses one worksheet part into a `RawSheet`: values, formulas, hidden rows, merged cells.

In: the part's name in an `Archive`, the shared strings and the number formats. Out: filled cells
only. One pass sees both a formula and its stored result, and costs a fraction of loading the
whole workbook with its styles.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Context, Decimal, InvalidOperation
from xml.parsers import expat

from packer.reading.archive import Archive, damaged, too_large
from packer.reading.cell_text import unescaped
from packer.reading.values import CellError, Raw, RawSheet, Uncalculated, column_number

MOST_ROW = 1_048_576
MOST_COLUMN = 16_384
MOST_FILLED = 3_000_000
_DIGITS = Context(prec=15)  # what spreadsheet programs show: 12.300000000000001 is 12.3


@dataclass(frozen=True, slots=True)
class Formats:
    """What the styles say of each cell style: is it a date, which unit stands in the format."""

    dates: frozenset[int] = frozenset()
    units: dict[int, str] = field(default_factory=dict)
    from_1904: bool = False
    recalculate: bool = False


def parse_sheet(
    archive: Archive, part: str, name: str, strings: list[str], formats: Formats
) -> RawSheet:
    """The worksheet in `part`; Unreadable where it is damaged or too large."""
    reader = _SheetReader(archive, RawSheet(name), strings, formats)
    parser = expat.ParserCreate()
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.CharacterDataHandler = reader.text.append
    archive.parse(part, parser)
    archive.count(reader.elements)
    return reader.sheet


class _SheetReader:
    """The state of one pass over a worksheet's XML."""

    def __init__(
        self, archive: Archive, sheet: RawSheet, strings: list[str], formats: Formats
    ) -> None:
        self.archive = archive
        self.sheet = sheet
        self.strings = strings
        self.formats = formats
        self.elements = 0
        self.text: list[str] = []
        self._row = 0
        self._column = 0
        self._cells: dict[int, Raw] = {}
        self._cell: dict[str, str] = {}
        self._value: str | None = None
        self._inline: list[str] = []
        self._formula: str | None = None
        self._phonetic = False
        self._filled = 0
        self._columns: dict[str, int] = {}

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        self.elements += 1
        del self.text[:]
        name = tag.rpartition(":")[2] if ":" in tag else tag
        if name == "c":
            self._start_cell(attributes)
        elif name == "row":
            self._start_row(attributes)
        elif name == "rPh":
            self._phonetic = True
        elif name == "mergeCell":
            self._merge(attributes.get("ref", ""))
        elif name == "col" and attributes.get("hidden") in ("1", "true"):
            low, high = attributes.get("min", ""), attributes.get("max", "")
            if low.isdecimal() and high.isdecimal():
                self.sheet.hidden_columns.append((int(low), int(high)))

    def end(self, tag: str) -> None:
        """An element ends."""
        name = tag.rpartition(":")[2] if ":" in tag else tag
        if name == "v":
            self._value = "".join(self.text)
        elif name == "f":
            self._formula = "".join(self.text)
        elif name == "t":
            if not self._phonetic:
                self._inline.append("".join(self.text))
        elif name == "rPh":
            self._phonetic = False
        elif name == "c":
            self._end_cell()

    def _start_row(self, attributes: dict[str, str]) -> None:
        number = attributes.get("r")
        self._row = int(number) if number and number.isdigit() else self._row + 1
        self._column = 0
        if self._row > MOST_ROW:
            raise damaged(f"row {self._row} is beyond the last row of a sheet")
        self._cells = {}
        if attributes.get("hidden") in ("1", "true"):
            self.sheet.hidden_rows.add(self._row)
        if self.elements > 200_000:
            self.archive.count(self.elements)
            self.elements = 0

    def _start_cell(self, attributes: dict[str, str]) -> None:
        self._cell = attributes
        self._value = self._formula = None
        if self._inline:
            self._inline = []
        reference = attributes.get("r")
        if reference is None:
            self._column += 1
            return
        name = reference.rstrip("0123456789")
        column = self._columns.get(name)
        if column is None:
            column = self._columns[name] = _column(name)
        self._column = column

    def _end_cell(self) -> None:
        if self._value is None and self._formula is None and not self._inline:
            return
        value = self._typed()
        if value is None or (isinstance(value, str) and not value.strip()):
            return
        if not self._cells:
            self._cells = self.sheet.rows.setdefault(self._row, {})
        self._cells[self._column] = value
        self._filled += 1
        if self._filled > MOST_FILLED:
            raise too_large(f"sheet {self.sheet.name} has more than {MOST_FILLED:,} filled cells")

    def _typed(self) -> Raw | None:
        kind = self._cell.get("t", "n")
        if self._formula is not None and self._is_uncalculated(kind):
            return Uncalculated(self._formula)
        if kind == "inlineStr":
            return unescaped("".join(self._inline))
        if self._value is None:
            return None
        read = _TYPES.get(kind, _SheetReader._number)
        return read(self, self._value)

    def _is_uncalculated(self, kind: str) -> bool:
        if kind == "str":
            return self._value is None
        if self._value in (None, ""):
            return True
        # A program that wrote formulas without working them out stores 0 and asks for a
        # calculation at the next opening.
        return kind == "n" and self._value == "0" and self.formats.recalculate

    def _shared(self, text: str) -> Raw | None:
        try:
            return self.strings[int(text)]
        except (ValueError, IndexError):
            raise damaged(f"sheet {self.sheet.name} refers to a text that is not there") from None

    def _plain(self, text: str) -> Raw | None:
        return unescaped(text)

    def _boolean(self, text: str) -> Raw | None:
        return text.strip() in ("1", "true")

    def _error(self, text: str) -> Raw | None:
        return CellError(text)

    def _iso_date(self, text: str) -> Raw | None:
        try:
            return datetime.fromisoformat(text).date()
        except ValueError:
            return text

    def _number(self, text: str) -> Raw | None:
        text = text.strip()
        if not text:
            return None
        try:
            number = Decimal(text)
        except InvalidOperation:
            return text
        if not number.is_finite():
            return text
        if len(text) > 15:
            number = _DIGITS.plus(number)
        style = self._cell.get("s")
        return self._formatted(number, int(style)) if style and style.isdigit() else number

    def _formatted(self, number: Decimal, style: int) -> Raw:
        if style in self.formats.dates:
            return _date(number, self.formats.from_1904) or number
        unit = self.formats.units.get(style)
        return f"{number:f} {unit}" if unit and abs(number.adjusted()) < 30 else number

    def _merge(self, reference: str) -> None:
        first, _, last = reference.replace("$", "").partition(":")
        try:
            self.sheet.merges.append((*_split(first), *_split(last or first)))
        except ValueError:
            raise damaged(f"{reference!r} is no range of cells") from None


_TYPES: dict[str, Callable[[_SheetReader, str], Raw | None]] = {
    "s": _SheetReader._shared,
    "str": _SheetReader._plain,
    "b": _SheetReader._boolean,
    "e": _SheetReader._error,
    "d": _SheetReader._iso_date,
}


def _split(reference: str) -> tuple[int, int]:
    name = reference.rstrip("0123456789")
    return int(reference[len(name) :]), column_number(name)


def _column(name: str) -> int:
    try:
        number = column_number(name)
    except ValueError:
        number = 0
    if not 0 < number <= MOST_COLUMN:
        raise damaged(f"{name!r} is no column of a sheet")
    return number


def _date(serial: Decimal, from_1904: bool) -> date | None:
    """The day of a serial number; None for times of day and what is no date at all."""
    if not serial.is_finite() or not 1 <= serial < 2_958_466:
        return None
    start = date(1904, 1, 1) if from_1904 else date(1899, 12, 30)
    return start + timedelta(days=int(serial))
