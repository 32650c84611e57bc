"""One table, four renderings: the same rows in workbook, CSV, page; values with their units."""

import csv
import io
from datetime import date
from xml.etree import ElementTree

from packer.papers.csv_text import table_csv
from packer.papers.page import table_html
from packer.papers.table import Column, Kind, Table, value_text
from packer.papers.tables.customs import customs_list, customs_table

ROWS = (("a", 1500, 250), ("=b", 500, None))
TABLE = Table(
    "t",
    "A <table>",
    (
        Column("Id", Kind.ID, lambda r: r[0]),
        Column("Weight", Kind.GRAMS, lambda r: r[1], summed=True),
        Column("Value", Kind.MONEY, lambda r: r[2], summed=True),
    ),
    ROWS,
    currency="EUR",
)


def test_totals_stand_under_the_summed_columns():
    """A missing value adds nothing."""
    assert TABLE.totals() == ("Total", 2000, 250)
    assert TABLE.cells() == [("a", 1500, 250), ("=b", 500, None)]


def test_values_read_with_their_unit():
    """Kilograms to the gram, major units, ISO dates, nothing for None."""
    assert value_text(1500, Kind.GRAMS) == "1.500 kg"
    assert value_text(1234, Kind.CENTIMETRES) == "123.4 cm"
    assert value_text(250, Kind.MONEY, "EUR") == "2.50 EUR"
    assert value_text(date(2027, 6, 18), Kind.DATE) == "2027-06-18"
    assert value_text(None, Kind.GRAMS) == ""


def test_csv_has_units_in_headings_and_plain_figures():
    """RFC 4180 with a mark for UTF-8; what looks like a formula gets an apostrophe."""
    text = table_csv(TABLE).decode("utf-8-sig")
    assert list(csv.reader(io.StringIO(text))) == [
        ["Id", "Weight (kg)", "Value (EUR)"],
        ["a", "1.500", "2.50"],
        ["'=b", "0.500", ""],
        ["Total", "2.000", "2.50"],
    ]


def test_the_page_shows_the_same_rows_escaped():
    """Well-formed, with the title as caption and the totals in the foot."""
    html = table_html(TABLE)
    table = ElementTree.fromstring(html)
    assert table.find("caption").text == "A <table>"
    body = [[cell.text for cell in row] for row in table.find("tbody")]
    assert body == [["a", "1.500 kg", "2.50 EUR"], ["=b", "0.500 kg", None]]
    assert table.find("tfoot/tr/td").text == "Total"


def test_the_customs_csv_holds_the_lines_of_the_list(papers, trip, plan):
    """As many lines as rows; 4-5 is written so that no program takes it for a date."""
    goods = customs_list(trip, plan)
    text = papers.path("customs-list-csv").read_text(encoding="utf-8-sig")
    lines = list(csv.reader(io.StringIO(text)))
    assert len(lines) == 1 + len(goods.rows) + 1
    assert lines[0] == [
        f"{column.heading} (kg)"
        if column.kind is Kind.GRAMS
        else f"{column.heading} (EUR)"
        if column.kind is Kind.MONEY
        else column.heading
        for column in customs_table(goods).columns
    ]
    assert "4 to 5" in [line[0] for line in lines]
    assert lines[-1][4] == "15574.83"
