"""Files that are no trip: one clear finding, quickly. Nothing is unpacked that should not be."""

from __future__ import annotations

import time
import zipfile
from pathlib import Path

import pytest
from support.workbooks import minimal_trip, write_csv_folder, write_workbook

from packer.reading import read_trip

PATIENCE_S = 10  # generous: what is refused is refused long before


def _code(path: Path) -> str:
    start = time.perf_counter()
    reading = read_trip(path)
    assert time.perf_counter() - start < PATIENCE_S
    assert reading.trip is None
    (finding,) = reading.findings
    assert finding.message
    assert finding.remedy
    return finding.code


def _with_part(tmp_path: Path, part: str, content: bytes) -> Path:
    """The minimal workbook with one part replaced."""
    source = write_workbook(tmp_path / "source.xlsx", minimal_trip())
    path = tmp_path / "t.xlsx"
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, content if name == part else old.read(name))
    return path


def _sheet(rows: str) -> bytes:
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>'.encode()


def test_no_file(tmp_path: Path) -> None:
    """A path with nothing there."""
    assert _code(tmp_path / "none.xlsx") == "file-missing"


def test_an_empty_folder(tmp_path: Path) -> None:
    """A folder without .csv files."""
    assert _code(tmp_path) == "file-not-workbook"


@pytest.mark.parametrize("content", [b"", b"hello", b"%PDF-1.7 ...", b"Gear;Weight\nA;1\n"])
def test_no_workbook(tmp_path: Path, content: bytes) -> None:
    """Text, nothing, a PDF, a CSV by the name of a workbook."""
    path = tmp_path / "t.xlsx"
    path.write_bytes(content)
    assert _code(path) == "file-not-workbook"


def test_a_zip_of_something_else(tmp_path: Path) -> None:
    """A zip without the parts of a workbook."""
    path = tmp_path / "t.xlsx"
    with zipfile.ZipFile(path, "w") as zipped:
        zipped.writestr("readme.txt", "hello")
    assert _code(path) == "file-not-workbook"


def test_encrypted(tmp_path: Path) -> None:
    """A password turns a workbook into an OLE file with an EncryptedPackage."""
    path = tmp_path / "t.xlsx"
    path.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"))
    assert _code(path) == "file-encrypted"


def test_old_formats(tmp_path: Path) -> None:
    """Binary .xls and OpenDocument are named as such."""
    xls, ods = tmp_path / "t.xls", tmp_path / "t.ods"
    xls.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + b"Workbook")
    with zipfile.ZipFile(ods, "w") as zipped:
        zipped.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        zipped.writestr("content.xml", "<a/>")
    assert (_code(xls), _code(ods)) == ("file-old-format", "file-old-format")


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_cut_short(tmp_path: Path, share: float) -> None:
    """A file that was not copied to its end."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * share)])
    assert _code(path) == "file-damaged"


def test_damaged_inside(tmp_path: Path) -> None:
    """Compressed bytes that were overwritten."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    with zipfile.ZipFile(path) as zipped:
        at = zipped.getinfo("xl/worksheets/sheet5.xml").header_offset + 80
    content = bytearray(path.read_bytes())
    content[at : at + 60] = bytes(60)
    path.write_bytes(content)
    assert _code(path) == "file-damaged"


@pytest.mark.parametrize(
    "content",
    [
        b"<worksheet><sheetData>",
        _sheet('<row r="1"><c r="A1" t="s"><v>99999</v></c></row>'),
        _sheet('<row r="99999999"><c r="A99999999"><v>1</v></c></row>'),
        _sheet('<row r="1"><c r="ZZZZ1"><v>1</v></c></row>'),
        _sheet('<row r="1"><c r="1"><v>1</v></c></row>'),
    ],
)
def test_damaged_sheets(tmp_path: Path, content: bytes) -> None:
    """XML cut off, texts that are not there, cells beyond the sheet."""
    assert _code(_with_part(tmp_path, "xl/worksheets/sheet5.xml", content)) == "file-damaged"


def test_a_zip_that_unpacks_to_gigabytes(tmp_path: Path) -> None:
    """Sizes are looked at before anything is unpacked."""
    path = tmp_path / "t.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as zipped:
        zipped.writestr("[Content_Types].xml", "<Types/>")
        with zipped.open("xl/workbook.xml", "w", force_zip64=True) as part:
            for _ in range(300):
                part.write(bytes(1_000_000))
    assert path.stat().st_size < 5_000_000
    assert _code(path) == "file-too-large"


def test_xml_entities(tmp_path: Path) -> None:
    """A document type is refused before any entity is expanded."""
    bomb = b'<!DOCTYPE a [<!ENTITY x "lol"><!ENTITY y "&x;&x;&x;">]><worksheet>&y;</worksheet>'
    assert _code(_with_part(tmp_path, "xl/worksheets/sheet5.xml", bomb)) == "file-xml-entities"
    outside = b'<!DOCTYPE a SYSTEM "file:///etc/passwd"><worksheet/>'
    assert _code(_with_part(tmp_path, "xl/worksheets/sheet5.xml", outside)) == "file-xml-entities"


def test_a_sheet_of_endless_cells_is_refused(tmp_path: Path) -> None:
    """Five million empty cells are no trip."""
    rows = _sheet(("<row>" + "<c/>" * 1000 + "</row>") * 5_000)
    assert _code(_with_part(tmp_path, "xl/worksheets/sheet5.xml", rows)) == "file-too-large"


@pytest.mark.parametrize("blank", ['<row r="{0}"/>', '<row r="{0}"><c r="A{0}" s="0"/></row>'])
def test_a_hundred_thousand_blank_rows_do_not_matter(tmp_path: Path, blank: str) -> None:
    """Blank rows, formatted or not, are read past quickly."""
    path = write_workbook(tmp_path / "source.xlsx", minimal_trip())
    with zipfile.ZipFile(path) as zipped:
        sheet = zipped.read("xl/worksheets/sheet5.xml").decode()
    rows = "".join(blank.format(row) for row in range(100, 100_100))
    content = sheet.replace("</sheetData>", rows + "</sheetData>").encode()
    start = time.perf_counter()
    reading = read_trip(_with_part(tmp_path, "xl/worksheets/sheet5.xml", content))
    assert time.perf_counter() - start < PATIENCE_S
    assert reading.findings == ()
    assert reading.trip is not None


def test_an_absurd_dimension_does_not_matter(tmp_path: Path) -> None:
    """The range that a sheet says it uses is not believed."""
    path = write_workbook(tmp_path / "source.xlsx", minimal_trip())
    with zipfile.ZipFile(path) as zipped:
        sheet = zipped.read("xl/worksheets/sheet5.xml")
    content = sheet.replace(b'<dimension ref="A1:J3"', b'<dimension ref="A1:XFD1048576"')
    assert content != sheet
    reading = read_trip(_with_part(tmp_path, "xl/worksheets/sheet5.xml", content))
    assert reading.findings == ()


def test_csv_with_a_field_without_end(tmp_path: Path) -> None:
    """A quote that is never closed over a megabyte is damage."""
    folder = write_csv_folder(tmp_path / "trip", minimal_trip())
    (folder / "Gear.csv").write_text('Gear,Weight\n"' + "a" * 1_100_000)
    assert _code(folder) == "file-damaged"


def test_ten_thousand_lines(tmp_path: Path) -> None:
    """10,000 gear lines are read and checked; the time is printed (5 s is the aim)."""
    sheets = minimal_trip()
    line = sheets["Gear"][0]
    sheets["Gear"] = [{**line, "Gear": f"G{number}"} for number in range(10_000)]
    sheets["Offers"] = sheets["Offers"][:0]
    sheets["Suppliers"] = sheets["Suppliers"][:0]
    path = write_workbook(tmp_path / "t.xlsx", sheets)
    start = time.perf_counter()
    reading = read_trip(path)
    seconds = time.perf_counter() - start
    print(f"10,000 gear lines read in {seconds:.2f} s")
    assert reading.trip is not None
    assert len(reading.trip.gear) == 10_000
    assert seconds < 4 * PATIENCE_S
