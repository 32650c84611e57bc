"""A table as a CSV file (RFC 4180) in UTF-8 that spreadsheet programs recognise.

Figures are plain numbers, kilograms and major units, with a point; the unit stands in the
heading. Text that a spreadsheet would run as a formula gets a leading apostrophe.
"""

from __future__ import annotations

import csv
import io
import re
from datetime import date

from packer.papers.table import AnyTable, Column, Kind, Value
from packer.papers.text import csv_safe
from packer.papers.units import decimals_of

_SPAN = re.compile(r"^(\d+)-(\d+)$")  # 3-4, which spreadsheet programs take for a date
_MARK = "\ufeff"  # tells spreadsheet programs that the file is UTF-8


def table_csv(table: AnyTable) -> bytes:
    """Headings, rows and totals."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([_heading(column, table.currency) for column in table.columns])
    for cells in table.cells():
        writer.writerow(_row(table, cells))
    if table.rows and table.totals():
        writer.writerow(_row(table, table.totals()))
    return (_MARK + out.getvalue()).encode()


def _row(table: AnyTable, cells: tuple[Value, ...]) -> list[str]:
    return [
        _cell(value, column.kind, table.currency)
        for column, value in zip(table.columns, cells, strict=True)
    ]


def _heading(column: Column[object], currency: str) -> str:
    units = {
        Kind.GRAMS: "kg",
        Kind.CENTIMETRES: "cm",
        Kind.MILLIMETRES: "mm",
        Kind.MONEY: currency,
    }
    unit = units.get(column.kind)
    return f"{column.heading} ({unit})" if unit else column.heading


def _cell(value: Value, kind: Kind, currency: str) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return csv_safe(_SPAN.sub(r"\1 to \2", value) if kind is Kind.ID else value)
    if isinstance(value, date):
        return value.isoformat()
    match kind:
        case Kind.GRAMS:
            return _decimal(value, 3)
        case Kind.CENTIMETRES:
            return _decimal(value, 1)
        case Kind.MONEY:
            return _decimal(value, decimals_of(currency))
        case _:
            return str(value)


def _decimal(value: int, places: int) -> str:
    if places == 0:
        return str(value)
    sign, whole = ("-" if value < 0 else ""), abs(value)
    return f"{sign}{whole // 10**places}.{whole % 10**places:0{places}d}"
