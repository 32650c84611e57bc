"""Whatever stands in the cells, reading ends with a trip or with errors, never in a crash."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from support.workbooks import minimal_trip

from packer.model.finding import Severity
from packer.reading.log import Log
from packer.reading.reader import trip_of
from packer.reading.schema import SHEETS
from packer.reading.values import Book, CellError, Raw, RawSheet, Uncalculated

_ODD: list[Any] = [
    *("", " ", "-", "all", "none", "yes", "no", "x", "hold", "box", "rack", "slots", "piece"),
    *("weight", "EUR", "CHF", "JPY", "¥ 5", "GB", "UK", "TRUNK", "TRUNK-1", "HORN", "Lakeside"),
    *("Plain Air", "1,234", "1.234", "12,5", "-3", "0", "1e5", "1 ft 6 in", "28 lb", "½", "٣"),
    *("23-32: 90", "23-32: 90; 20-40: 1", ":", "-", "470-608", "2026-02-30", "3/4/2026", "2U"),
    *("lithium ion", "NiMH", "soft", "a;b", "a\x07b", "house", "HORN; STAND", "fly", "hire"),
    *(Decimal(0), Decimal(-1), Decimal("0.5"), Decimal("1E+20"), Decimal("NaN"), Decimal(46207)),
    *(True, False, CellError("#REF!"), Uncalculated("A1")),
]


def _book(sheets: dict[str, list[dict[str, Any]]]) -> Book:
    return Book("t.xlsx", "0" * 64, [_sheet(name, rows) for name, rows in sheets.items()])


def _sheet(name: str, rows: list[dict[str, Any]]) -> RawSheet:
    headings = list(dict.fromkeys(heading for row in rows for heading in row))
    raw = RawSheet(name, {1: dict(enumerate(headings, 1))})
    for number, row in enumerate(rows, 2):
        cells = {n: _raw(row.get(heading)) for n, heading in enumerate(headings, 1)}
        raw.rows[number] = {n: value for n, value in cells.items() if value not in (None, "")}
    return raw


def _raw(value: Any) -> Raw | None:
    return Decimal(str(value)) if type(value) in (int, float) else value


_CHANGE = st.tuples(
    st.sampled_from([(s.name, c.heading) for s in SHEETS for c in s.columns]),
    st.integers(0, 2),
    st.sampled_from(_ODD) | st.text(max_size=12),
)


@settings(max_examples=400, deadline=None)
@given(st.lists(_CHANGE, min_size=1, max_size=8))
def test_reading_always_ends_in_a_trip_or_errors(
    changes: list[tuple[tuple[str, str], int, Any]],
) -> None:
    """Odd values anywhere, several at once: each is read or said."""
    sheets = minimal_trip()
    for (sheet, heading), row, value in changes:
        rows = sheets.setdefault(sheet, [])
        while len(rows) <= row:
            rows.append(dict(rows[0]) if rows else {})
        if sheet == "Trip":
            rows.append({"Field": heading, "Value": value})
        else:
            rows[row][heading] = value
    log = Log()
    trip = trip_of(_book(sheets), log)
    errors = [each for each in log.findings if each.severity is Severity.ERROR]
    assert (trip is None) == bool(errors)
    for each in log.findings:
        assert each.message.endswith((".", "?"))
        assert each.where is not None
