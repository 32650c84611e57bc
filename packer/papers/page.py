"""A table as a fragment of a page: the same rows as the workbook and the PDF, escaped."""

from __future__ import annotations

from html import escape

from packer.papers.table import AnyTable, Value
from packer.papers.text import safe_text


def table_html(table: AnyTable) -> str:
    """The table with caption, headings, rows and totals; numbers carry the class `number`."""
    head = "".join(f'<th scope="col">{_text(column.heading)}</th>' for column in table.columns)
    rows = "".join(f"<tr>{_cells(table, cells)}</tr>" for cells in table.cells())
    if not table.rows:
        rows = f'<tr><td colspan="{len(table.columns)}">{_text(table.empty)}</td></tr>'
    totals = table.totals() if table.rows else ()
    foot = f"<tfoot><tr>{_cells(table, totals)}</tr></tfoot>" if totals else ""
    notes = "".join(f"<p>{_text(line)}</p>" for line in (*table.above, *table.below))
    return (
        f"<table><caption>{_text(table.title)}</caption><thead><tr>{head}</tr></thead>"
        f"<tbody>{rows}</tbody>{foot}</table>{notes}"
    )


def _cells(table: AnyTable, cells: tuple[Value, ...]) -> str:
    parts = []
    for index, value in enumerate(cells):
        kind = table.columns[index].kind
        mark = ' class="number"' if kind.is_number and not isinstance(value, str) else ""
        parts.append(f"<td{mark}>{_text(table.text(index, value))}</td>")
    return "".join(parts)


def _text(text: str) -> str:
    return escape(safe_text(text), quote=True)
