"""The workbooks as a spreadsheet program reads them: types, units, formulas, print set-up."""

from dataclasses import replace

import pytest
from openpyxl import load_workbook

from packer.papers import write_papers
from packer.papers.tables.customs import customs_list

BOOKS = (
    "manifest",
    "customs-list",
    "proforma",
    "hire-orders",
    "house-list",
    "piece-list",
    "batteries",
    "insurance",
    "mains-radio",
)


def cells(path):
    """Every filled cell of every sheet."""
    book = load_workbook(path)
    return [
        cell
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    ]


@pytest.mark.parametrize("kind", BOOKS)
def test_nothing_a_user_wrote_is_a_formula(papers, kind):
    """Not one formula cell in any book, though descriptions begin with = and +."""
    assert [cell.coordinate for cell in cells(papers.path(kind)) if cell.data_type == "f"] == []


def test_a_description_that_looks_like_a_formula_stays_a_description(papers):
    """'=SUM(A1:A9) expression pedal' stands there letter by letter."""
    texts = {cell.value for cell in cells(papers.path("manifest"))}
    assert "=SUM(A1:A9) expression pedal" in texts
    assert "+Cloth tape, black, 50 m roll" in {c.value for c in cells(papers.path("proforma"))}


@pytest.mark.parametrize("kind", BOOKS)
def test_every_sheet_prints_well(papers, kind):
    """A4, one page wide, page x of y and the origin in the foot, headings repeated and frozen."""
    for sheet in load_workbook(papers.path(kind)):
        assert sheet.page_setup.paperSize == 9
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.fitToWidth in (None, 1)
        foot = sheet.oddFooter
        assert "&P" in str(foot.right.text)
        assert "&N" in str(foot.right.text)
        assert "tin-weather.xlsx" in foot.left.text
        several = sheet.title in ("Summary", "Values", "Kelpmarket", "Sankt Ulmar")
        assert several or (sheet.freeze_panes and sheet.print_title_rows)


def test_weights_are_numbers_in_kilograms(papers):
    """The planning weight of TRUNK-1, 24.870 kg, and its format."""
    sheet = load_workbook(papers.path("manifest"))["Cases"]
    heading = next(row for row in sheet.iter_rows() if row[0].value == "No.")
    at = {cell.value: cell.column for cell in heading}
    row = next(r for r in sheet.iter_rows() if r[1].value == "TRUNK-1")
    cell = row[at["Planning weight"] - 1]
    assert cell.value == pytest.approx(24.87)
    assert cell.number_format == '#,##0.000 "kg"'


def test_identifiers_are_text(trip, plan, tmp_path):
    """A case named 007 keeps its zeros, also in the customs list."""
    cases = tuple(replace(c, name="007") if c.name == "RACK" else c for c in trip.cases)
    pieces = tuple(replace(p, case="007") if p.case == "RACK" else p for p in plan.pieces)
    written = write_papers(
        replace(trip, cases=cases),
        replace(plan, pieces=pieces),
        tmp_path,
        only=frozenset({"manifest", "customs-list"}),
    )
    sheet = load_workbook(written.path("manifest"))["Cases"]
    assert "007" in [cell.value for cell in sheet["B"]]
    assert "007" in [
        c.value for c in load_workbook(written.path("customs-list"))["Items by case"]["A"]
    ]


def test_the_manifest_has_a_sheet_for_every_case_in_packing_order(papers, plan):
    """Sheets by case; the rows of TRUNK-2 as the plan packs them, with the drawing below."""
    book = load_workbook(papers.path("manifest"))
    assert {piece.case for piece in plan.pieces} <= set(book.sheetnames)
    sheet = book["TRUNK-2"]
    ids = [row[1].value for row in sheet.iter_rows() if isinstance(row[0].value, int)]
    assert ids == ["TRB-2", "TAPE-1", "TAPE-2", "TAPE-3", "TAPE-4"]
    assert len(sheet._images) == 1


def test_totals_of_the_customs_book_are_those_of_the_list(papers, trip, plan):
    """Pieces, kilograms and value in the totals row; pieces and value in words below."""
    goods = customs_list(trip, plan)
    sheet = load_workbook(papers.path("customs-list"))["Customs list"]
    row = next(r for r in sheet.iter_rows() if str(r[0].value).endswith("items"))
    assert row[2].value == goods.pieces
    assert row[3].value == pytest.approx(goods.weight_g / 1000)
    assert row[4].value == pytest.approx(goods.value_minor / 100)
    text = " ".join(str(cell.value) for cell in sheet["A"] if cell.value)
    assert "twenty-five" in text
    assert "EUR fifteen thousand five hundred and seventy-four and 83/100" in text


def test_orders_stand_one_a_supplier_and_stop(papers):
    """The first sheet has them all."""
    assert load_workbook(papers.path("hire-orders")).sheetnames == [
        "All orders",
        "Harbour Drum Hire Kelpmarket",
        "Klangkeller Verleih Sankt Ulmar",
    ]


def test_many_cases_with_like_long_names_get_sheets_of_their_own(trip, plan, tmp_path):
    """Names beyond 31 characters and with signs that no sheet name may have."""
    long = "A very long case name with / and : in it, number "
    names = {case.name: f"{long}{i}" for i, case in enumerate(trip.cases)}
    cases = tuple(replace(case, name=names[case.name]) for case in trip.cases)
    pieces = tuple(replace(piece, case=names[piece.case]) for piece in plan.pieces)
    written = write_papers(
        replace(trip, cases=cases),
        replace(plan, pieces=pieces),
        tmp_path,
        only=frozenset({"manifest"}),
    )
    titles = load_workbook(written.path("manifest")).sheetnames
    assert len([title for title in titles if title.startswith("A very long")]) == len(pieces)
