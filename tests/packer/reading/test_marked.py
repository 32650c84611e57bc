"""The marked copy: findings beside the cells, all else as it was."""

from __future__ import annotations

import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from support.workbooks import Sheets, minimal_trip, table, write_csv_folder, write_workbook

from packer.model.finding import Finding
from packer.reading import read_trip
from packer.reading.marked import write_marked
from packer.reading.marking import COLOURS
from packer.reading.schema import FINDINGS_SHEET, PROBLEMS_HEADING


def _broken() -> Sheets:
    sheets = minimal_trip()
    sheets["Gear"][0]["Weight"] = "28 stone"
    sheets["Gear"][1]["Length"] = None
    sheets["Cases"][0]["Kind"] = "bx"
    return sheets


def _rich(path: Path) -> Path:
    """A broken workbook with a chart, a formula, a validation, a merge and formats of its own."""
    with xlsxwriter.Workbook(path) as book:
        money = book.add_format({"num_format": "#,##0.00", "italic": True})
        for name, rows in _broken().items():
            sheet = book.add_worksheet(name)
            for number, line in enumerate(table(rows)):
                sheet.write_row(number, 0, line)
        gear = book.get_worksheet_by_name("Gear")
        gear.write("H2", 100, money)
        gear.data_validation("J2:J50", {"validate": "list", "source": ["DE", "JP"]})
        gear.write_comment("A2", "mine")
        own = book.add_worksheet("My sums")
        own.merge_range("A1:C1", "Sums")
        own.write_formula("A2", "=SUM(Gear!C2:C3)", None, 5)
        chart = book.add_chart({"type": "column"})
        chart.add_series({"values": "='My sums'!$A$2:$A$3"})
        own.insert_chart("E2", chart)
    return path


def _mark(path: Path, out: Path) -> tuple[Finding, ...]:
    findings = read_trip(path).findings
    write_marked(path, findings, out)
    return findings


def test_findings_stand_beside_the_cells(tmp_path: Path) -> None:
    """The cell is coloured, the row says what is wrong, one sheet lists everything."""
    path = write_workbook(tmp_path / "t.xlsx", _broken())
    findings = _mark(path, tmp_path / "marked.xlsx")
    book = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    gear = book["Gear"]
    red = COLOURS[findings[0].severity]
    assert [gear[cell].fill.fgColor.rgb for cell in ("D2", "E3")] == [red, red]
    assert gear["C2"].fill.fill_type is None
    assert gear["K1"].value == PROBLEMS_HEADING
    assert "stone is none of them" in gear["K2"].value
    assert gear["K3"].value.startswith("error in E: Length is empty")
    listed = [row[6].value for row in book[FINDINGS_SHEET].iter_rows(min_row=2)]
    assert listed == [each.code for each in findings]


def test_everything_else_is_byte_for_byte_the_same(tmp_path: Path) -> None:
    """Charts, comments, drawings and untouched sheets are the very same parts."""
    path = _rich(tmp_path / "t.xlsx")
    _mark(path, tmp_path / "marked.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(tmp_path / "marked.xlsx") as new:
        changed = {name for name in old.namelist() if old.read(name) != new.read(name)}
        added = set(new.namelist()) - set(old.namelist())
        names = [name for name in old.namelist() if "chart" in name or "comment" in name]
    assert names
    assert added == {"xl/worksheets/holdallFindings.xml"}
    assert changed == {
        "[Content_Types].xml",
        "xl/_rels/workbook.xml.rels",
        "xl/workbook.xml",
        "xl/styles.xml",
        "xl/worksheets/sheet5.xml",  # Gear
        "xl/worksheets/sheet6.xml",  # Cases
    }


def test_values_formats_and_validations_stay(tmp_path: Path) -> None:
    """Each old cell has its value and number format; the validation is there."""
    path = _rich(tmp_path / "t.xlsx")
    _mark(path, tmp_path / "marked.xlsx")
    old = openpyxl.load_workbook(path)
    new = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    for sheet in old.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                other = new[sheet.title][cell.coordinate]
                assert (other.value, other.number_format) == (cell.value, cell.number_format)
                assert (other.font.b, other.font.i) == (cell.font.b, cell.font.i)
    assert new["Gear"].data_validations.dataValidation[0].sqref == (
        old["Gear"].data_validations.dataValidation[0].sqref
    )
    assert new["My sums"]["A2"].value == "=SUM(Gear!C2:C3)"
    assert [str(each) for each in new["My sums"].merged_cells.ranges] == ["A1:C1"]


def test_a_marked_copy_reads_like_the_original(tmp_path: Path) -> None:
    """What marking adds is passed over by the next reading."""
    path = _rich(tmp_path / "t.xlsx")
    findings = _mark(path, tmp_path / "t2.xlsx")
    again = read_trip(tmp_path / "t2.xlsx").findings
    assert [(each.code, each.message) for each in again] == [
        (each.code, each.message) for each in findings
    ]


def test_marking_again_replaces_the_marks_text(tmp_path: Path) -> None:
    """Problems that are gone leave the column; the list is made anew."""
    path = write_workbook(tmp_path / "t.xlsx", _broken())
    findings = _mark(path, tmp_path / "one.xlsx")
    write_marked(tmp_path / "one.xlsx", findings[:1], tmp_path / "two.xlsx")
    book = openpyxl.load_workbook(tmp_path / "two.xlsx")
    assert book.sheetnames.count(FINDINGS_SHEET) == 1
    assert [row[-1] for row in book["Gear"].iter_rows(values_only=True)].count(None) == 2
    assert book[FINDINGS_SHEET].max_row == 2


def test_user_text_never_becomes_a_formula(tmp_path: Path) -> None:
    """A message that quotes `=1+1` stays text, from workbook and CSV alike."""
    sheets = minimal_trip()
    sheets["Stops"][0]["Country"] = "'=cmd|x"
    path = write_csv_folder(tmp_path / "trip", sheets)
    (path / "Rules.csv").write_text((path / "Rules.csv").read_text().replace("piece,", "=1+1,", 1))
    _mark(path, tmp_path / "marked.xlsx")
    book = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    types = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert "f" not in types


def test_a_csv_folder_becomes_a_workbook_with_findings(tmp_path: Path) -> None:
    """Rows and findings stand in a new workbook."""
    folder = write_csv_folder(tmp_path / "trip", _broken())
    findings = _mark(folder, tmp_path / "marked.xlsx")
    book = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    assert book["Gear"]["D2"].value == "28 stone"
    assert book["Gear"]["D2"].fill.fgColor.rgb == COLOURS[findings[0].severity]
    assert "stone" in book["Gear"]["K2"].value
    assert book[FINDINGS_SHEET].max_row == len(findings) + 1


@pytest.mark.parametrize("content", [b"", b"no workbook"])
def test_an_unreadable_file_gives_a_list_of_findings(tmp_path: Path, content: bytes) -> None:
    """There is nothing to mark, so the findings stand alone."""
    path = tmp_path / "t.xlsx"
    path.write_bytes(content)
    _mark(path, tmp_path / "marked.xlsx")
    book = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    assert book.sheetnames == [FINDINGS_SHEET]


def test_nothing_is_left_where_writing_fails(tmp_path: Path) -> None:
    """Whole or not at all: no half file, no leftover."""
    path = write_workbook(tmp_path / "t.xlsx", _broken())
    out = tmp_path / "out"
    out.mkdir()
    (out / "marked.xlsx").mkdir()
    with pytest.raises(OSError, match="marked"):
        write_marked(path, read_trip(path).findings, out / "marked.xlsx")
    assert [each.name for each in out.iterdir()] == ["marked.xlsx"]


def test_a_workbook_damaged_elsewhere_gives_its_rows(tmp_path: Path) -> None:
    """Where the copy cannot be made, the rows and findings come in a new workbook."""
    path = write_workbook(tmp_path / "whole.xlsx", _broken())
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(tmp_path / "t.xlsx", "w") as new:
        for name in old.namelist():
            is_types = name == "[Content_Types].xml"
            new.writestr(name, old.read(name) + (b"\xff" if is_types else b""))
    _mark(tmp_path / "t.xlsx", tmp_path / "marked.xlsx")
    assert openpyxl.load_workbook(tmp_path / "marked.xlsx")["Gear"]["D2"].value == "28 stone"
