"""The next trip's workbook: old cells as they stand, text as text, only what still applies."""

from decimal import Decimal

import openpyxl

from packer.reading.next_workbook import add_page, by_name, stop_names, write_next
from packer.reading.values import RawSheet


def sheet(name, *rows):
    """A raw sheet from lists of values, headings first."""
    return RawSheet(
        name,
        {
            r: {c: value for c, value in enumerate(row, start=1) if value is not None}
            for r, row in enumerate(rows, start=1)
        },
    )


GEAR = sheet(
    "gear",
    ["Gear", "Description", "Quantity", "Weight (lb)", "Needed at", "Colour"],
    ["HORN", "=cmd()", Decimal(2), "5.5", "Here; There", "brass"],
    ["TAPE", "tape", Decimal(1), "0.2", "Here", None],
)
OLD = by_name(
    [
        GEAR,
        sheet("Trip", ["Field", "Value"], ["Trip name", "Old"], ["Carnet number", "X 1"]),
        sheet("Stops", ["Stop", "Country", "Date"], ["Here", "NO", "2026-06-01"]),
        sheet("Offers", ["Stop", "For", "Supplier", "Price"], ["Here", "HORN", "house", "0"],
              ["There", "HORN", "house", "0"]),
        sheet("Freight", ["Rate per kg"], ["3"]),
        sheet("Diary", ["anything"]),
    ]
)  # fmt: skip
NEW = by_name(
    [
        sheet("Stops", ["Stop", "Country", "Date"], ["Here", "NO", "2027-06-01"]),
        sheet("Legs", ["Leg", "From", "To"], ["L1", "AAA", "BBB"]),
    ]
)


def written(tmp_path):
    path = tmp_path / "next.xlsx"
    write_next(path, {"HORN": "Here", "TAPE": ""}, OLD, NEW)
    return path, openpyxl.load_workbook(path)


def values(page):
    return [list(row) for row in page.iter_rows(values_only=True)]


def test_sheets_of_the_schema_only_and_no_old_freight(tmp_path):
    """Legs and Stops are new; the diary and the old freight offer are gone."""
    _, book = written(tmp_path)
    assert book.sheetnames == ["Trip", "Stops", "Legs", "Gear", "Offers"]
    assert values(book["Stops"])[1][2] == "2027-06-01"
    assert stop_names(NEW) == ("Here",)


def test_gear_keeps_units_own_columns_and_text(tmp_path):
    """Pounds stay pounds, a colour stays, `=cmd()` stays text, text numbers become numbers."""
    _, book = written(tmp_path)
    rows = values(book["Gear"])
    assert rows[0] == ["Gear", "Description", "Quantity", "Weight (lb)", "Needed at", "Colour"]
    assert rows[1] == ["HORN", "=cmd()", 2, 5.5, "Here", "brass"]
    assert rows[2][4] is None
    assert book["Gear"]["B2"].data_type == "s"


def test_prices_stay_where_the_stop_comes_again_and_the_carnet_goes(tmp_path):
    """There is not visited any more; the old carnet does not cover the new trip."""
    _, book = written(tmp_path)
    assert [row[0] for row in values(book["Offers"])] == ["Stop", "Here"]
    assert [row[0] for row in values(book["Trip"])] == ["Field", "Trip name"]


def test_a_page_says_what_to_look_at(tmp_path):
    """It is added at the end and is no sheet of the schema."""
    path, _ = written(tmp_path)
    add_page(path, ())
    assert openpyxl.load_workbook(path).sheetnames[-1] == "To look at"
