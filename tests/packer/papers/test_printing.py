"""The workbooks as an office program prints them, where one is installed."""

import shutil
import subprocess

import pypdfium2
import pytest

from packer.papers.tables.customs import customs_list
from packer.papers.tables.flown import flown_units

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")

pytestmark = pytest.mark.skipif(OFFICE is None, reason="no office program is installed")


@pytest.fixture(scope="module")
def printed(papers, tmp_path_factory):
    """The text of every printed page, by kind."""
    folder = tmp_path_factory.mktemp("printed")
    kinds = ("manifest", "customs-list", "hire-orders")
    command = [
        OFFICE,
        f"-env:UserInstallation=file://{folder}/profile",
        "--headless",
        "--convert-to",
        "pdf",
        "--outdir",
        str(folder),
        *(str(papers.path(kind)) for kind in kinds),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return {kind: _pages(folder / f"{papers.path(kind).stem}.pdf") for kind in kinds}


def _pages(path):
    document = pypdfium2.PdfDocument(path)
    return [page.get_textpage().get_text_range() for page in document]


def test_one_printed_page_a_sheet(printed):
    """Summary, cases, six cases, decisions, what is close, findings; pages numbered."""
    assert len(printed["manifest"]) == 12
    assert all(f"Page {n} of 12" in text for n, text in enumerate(printed["manifest"], start=1))
    assert len(printed["customs-list"]) == 3
    assert len(printed["hire-orders"]) == 3


def test_every_id_is_printed(printed, trip, plan):
    """Nothing is cut: all ids of a case stand on its page."""
    for unit in flown_units(trip, plan):
        page = next(text for text in printed["manifest"][2:8] if unit.piece.case in text)
        assert unit.label in page


def test_every_number_fits_its_cell(printed):
    """A program prints ### where a number is wider than its column."""
    assert not any("###" in text for pages in printed.values() for text in pages)


def _bare(text):
    """Letters and digits alone: the reader drops a hyphen at the end of a line."""
    return "".join(letter for letter in text if letter.isalnum())


def test_marks_and_numbers_of_all_goods_are_printed(printed, trip, plan):
    """Every line's marks and serials, wherever they break."""
    text = _bare("".join(printed["customs-list"]))
    for row in customs_list(trip, plan).rows:
        assert _bare(row.marks) in text
