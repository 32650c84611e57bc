"""Papers that only the road asks for: a proforma of goods not on the list, a claim list."""

import io
from datetime import date
from decimal import Decimal

import openpyxl
import pypdfium2
import pytest

from packer.papers.on_the_road import beyond_papers, claim_papers
from packer.papers.sheets import beyond_sheets, claim_sheets
from packer.papers.tables.customs import customs_list
from packer.road.claim import claim
from packer.road.lost import lose


def text_of(pdf):
    """Everything that is printed."""
    pages = pypdfium2.PdfDocument(pdf)
    return " ".join(page.get_textpage().get_text_bounded() for page in pages)


def test_the_proforma_lists_what_is_not_on_the_list(trip, plan):
    """Two units of a line with its weight and value, and a case by its own id."""
    decision = next(d for d in plan.decisions if d.flown >= 2)
    case = plan.pieces[0].case
    (sheet,) = beyond_sheets(trip, plan, {decision.gear: 2, case: 1})
    table = sheet.tables[0]
    line = trip.gear_named(decision.gear)
    rows = {row.gear: row for row in table.rows}
    assert set(rows) == {decision.gear, case}
    assert (rows[decision.gear].quantity, rows[decision.gear].weight_g) == (2, 2 * line.weight_g)
    assert [row.line for row in table.rows] == [1, 2]
    papers = beyond_papers(trip, plan, {decision.gear: 2, case: 1})
    assert set(papers) == {"proforma-not-on-list.xlsx", "proforma-not-on-list.pdf"}
    assert "goods that the issued list does not have" in text_of(papers["proforma-not-on-list.pdf"])


@pytest.fixture
def lost(trip, plan):
    """The claim for the first case, in the last days of the trip."""
    case = plan.pieces[0].case
    loss = lose(trip, plan, (case,))
    day = trip.legs[0].date
    return case, loss, claim(trip, plan, loss, day, Decimal("1.2"))


def test_the_claim_list_has_everything_that_is_gone(trip, plan, lost):
    """One row for each object and for the case, with item numbers; the total is the loss's."""
    case, loss, made = lost
    (sheet,) = claim_sheets(trip, plan, made, (case,))
    gone, due = sheet.tables
    assert len(gone.rows) == len(loss.gone)
    assert gone.totals()[-1] == loss.value_minor
    numbers = customs_list(trip, plan).numbers()
    for row, thing in zip(gone.rows, loss.gone, strict=True):
        assert row.item == numbers.get((thing.name, thing.unit), 0)
    assert [row.by for row in due.rows] == [each.by for each in made.deadlines]
    assert all(isinstance(row.by, date) for row in due.rows)


def test_the_claim_list_prints_limit_deadlines_and_caution(trip, plan, lost):
    """What a desk asks for stands on the page; the workbook opens."""
    case, _, made = lost
    papers = claim_papers(trip, plan, made, (case,))
    text = text_of(papers["claim-list.pdf"])
    assert case in text
    assert f"{made.baggage_sdr:,}" in text
    assert "Days to keep" in text
    book = openpyxl.load_workbook(io.BytesIO(papers["claim-list.xlsx"]))
    assert book.sheetnames
