"""The template agrees with the schema and reads back clean once it is filled in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from openpyxl import Workbook
from support.workbooks import minimal_trip, write_workbook

from packer.reading import read_trip
from packer.reading.headings import match_heading
from packer.reading.schema import HELP_SHEET, SHEETS, TRIP, markdown_table
from packer.reading.template import write_template


@pytest.fixture
def template(tmp_path: Path) -> Workbook:
    """The empty template, loaded."""
    return openpyxl.load_workbook(write_template(tmp_path / "template.xlsx"))


def test_every_column_has_its_heading_and_unit(template: Workbook) -> None:
    """Sheets and headings are those of the schema, in its order."""
    assert template.sheetnames == [HELP_SHEET, *(sheet.name for sheet in SHEETS)]
    for sheet in SHEETS[1:]:
        headings = [cell.value for cell in template[sheet.name][1]]
        assert headings == [column.title for column in sheet.columns]
        matches = [match_heading(sheet, str(heading)) for heading in headings]
        assert [match and (match.column, match.unit) for match in matches] == [
            (column, column.unit) for column in sheet.columns
        ]


def test_every_choice_has_a_drop_down(template: Workbook) -> None:
    """A column with choices offers them."""
    for sheet in SHEETS:
        offered = [
            str(each.formula1).strip('"').split(",")
            for each in template[sheet.name].data_validations.dataValidation
        ]
        assert offered == [list(column.choices) for column in sheet.columns if column.choices]


def test_the_help_page_names_every_column(template: Workbook) -> None:
    """Each column has a line of help."""
    lines = {(row[0], row[1]): row[4] for row in template[HELP_SHEET].iter_rows(values_only=True)}
    for sheet in SHEETS:
        for column in sheet.columns:
            assert lines[sheet.name, column.heading]


def test_an_empty_template_asks_for_what_is_missing(tmp_path: Path) -> None:
    """Only what nobody can know is missing: currency, stops, legs, rules."""
    reading = read_trip(write_template(tmp_path / "t.xlsx"))
    assert [(each.code, each.where and each.where.sheet) for each in reading.findings] == [
        ("sheet-empty", "Legs"),
        ("sheet-empty", "Rules"),
        ("sheet-empty", "Stops"),
        ("cell-missing", "Trip"),
        ("rows-none", "Cases"),
        ("rows-none", "Gear"),
    ]


def test_a_filled_template_reads_like_the_plain_workbook(
    tmp_path: Path, template: Workbook
) -> None:
    """The minimal trip typed into the template is the minimal trip."""
    for name, rows in minimal_trip().items():
        sheet = template[name]
        if name == TRIP.name:
            at = {column.heading: row for row, column in enumerate(TRIP.columns, 2)}
            for line in rows:
                sheet.cell(at[line["Field"]], 2).value = line["Value"]
            continue
        keys = [column.heading for column in next(s for s in SHEETS if s.name == name).columns]
        for number, line in enumerate(rows, 2):
            for heading, value in line.items():
                sheet.cell(number, keys.index(heading) + 1).value = value
    template.save(tmp_path / "filled.xlsx")
    filled = read_trip(tmp_path / "filled.xlsx")
    plain = read_trip(write_workbook(tmp_path / "plain.xlsx", minimal_trip()))
    assert filled.findings == ()
    assert filled.trip is not None
    assert plain.trip is not None
    rules = tuple(replace(rule, published=()) for rule in plain.trip.rules)
    assert replace(
        filled.trip,
        file="",
        input_sha256="",
        rules=tuple(replace(rule, published=()) for rule in filled.trip.rules),
    ) == replace(plain.trip, file="", input_sha256="", rules=rules)


def test_the_readme_table_marks_required_columns() -> None:
    """The README's table comes from the schema."""
    lines = markdown_table().splitlines()
    assert len(lines) == 2 + len(SHEETS)
    assert lines[3].startswith("| Stops | a show | **Stop**, **Country**, **Date**, Venue,")
