"""Sheets (facts and tables) as PDF pages: the same rows as the workbook, ready to print."""

from __future__ import annotations

from collections.abc import Sequence

from packer.papers.drawing.scene import Scene, Shape
from packer.papers.pdf.flow import Carrying, Flow, add_facts, add_table, add_text
from packer.papers.pdf.paper import A4, A4_LANDSCAPE, Paper, renumbered
from packer.papers.pdf.render import pages_pdf
from packer.papers.stamp import Stamp
from packer.papers.table import Sheet


def sheets_pdf(sheets: Sequence[Sheet], stamp: Stamp, *, carrying: Carrying | None = None) -> bytes:
    """A PDF file of these sheets, each from a new page, numbered as one document."""
    return pages_pdf(sheet_scenes(sheets, stamp, carrying=carrying), stamp.trip)


def sheet_scenes(
    sheets: Sequence[Sheet], stamp: Stamp, *, carrying: Carrying | None = None
) -> list[Scene]:
    """The pages of these sheets; `carrying` applies to the first table of the first sheet."""
    sections = [
        _pages(sheet, carrying if number == 0 else None) for number, sheet in enumerate(sheets)
    ]
    return renumbered(sections, stamp)


def _pages(sheet: Sheet, carrying: Carrying | None) -> tuple[Paper, list[list[Shape]]]:
    flow = Flow(A4_LANDSCAPE if sheet.landscape else A4)
    add_text(flow, sheet.title, 5.0, bold=True)
    flow.space(1)
    for note in sheet.notes:
        add_text(flow, note, 2.8)
    flow.space(1)
    add_facts(flow, sheet.facts, sheet.currency)
    for table in sheet.tables:
        if len(sheet.tables) > 1:
            flow.need(24)
            add_text(flow, table.title, 3.6, bold=True)
            flow.space(0.8)
        add_table(flow, table, carrying=carrying)
        carrying = None
    return flow.paper, flow.pages
