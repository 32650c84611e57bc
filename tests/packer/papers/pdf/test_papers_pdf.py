"""The PDF papers as printed: pages, ids, nothing off the page, codes read by another reader."""

import io
import re
from dataclasses import replace

import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from support.large_plan import large_plan, large_trip

from packer.papers.case_sheets import case_sheet_scenes
from packer.papers.drawing.scene import Anchor
from packer.papers.labels import case_labels, label_scene, object_labels
from packer.papers.pdf.flow import Carrying
from packer.papers.pdf.paper import A5_LANDSCAPE, A6_LANDSCAPE
from packer.papers.pdf.render import page_png
from packer.papers.pdf.sheets import sheet_scenes
from packer.papers.pdf.typeset import measure
from packer.papers.sheets import customs_sheets, insurance_sheets
from packer.papers.stamp import stamp_of
from packer.papers.summary_page import summary_scene
from packer.papers.tables.customs import customs_list
from packer.papers.tables.flown import flown_units

MM = 72 / 25.4


@pytest.fixture(scope="module")
def large():
    """The large trip with its plan."""
    trip = large_trip()
    return trip, large_plan(trip)


def text_of(path):
    """The text of every page of a PDF file, as its reader extracts it."""
    document = pypdfium2.PdfDocument(path)
    return [page.get_textpage().get_text_range() for page in document]


def squeezed(text):
    """Text without any white space, since lines may break anywhere."""
    return re.sub(r"\s+", "", text)


def sticking_out(scene):
    """Texts of a scene that are not wholly on its page."""
    found = []
    for text in scene.texts:
        wide = measure(text.text, text.size, text.bold)
        left = text.x - {Anchor.START: 0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[text.anchor]
        inside = left >= -0.01 and left + wide <= scene.width + 0.01
        if not (inside and text.size * 0.7 <= text.y <= scene.height):
            found.append(text.text)
    return found


@pytest.mark.parametrize(
    ("kind", "pages", "size_mm"),
    [
        ("summary", 1, (210, 297)),
        ("case-sheets", 6, (210, 297)),
        ("labels-a6", 6, (148, 105)),
        ("labels-a5", 6, (210, 148)),
        ("object-labels", 23, (148, 105)),
        ("customs-list-pdf", 3, (210, 297)),
        ("proforma-pdf", 1, (297, 210)),
        ("hire-orders-pdf", 3, None),
        ("house-list-pdf", 2, (210, 297)),
        ("piece-list-pdf", 2, (297, 210)),
        ("batteries-pdf", 1, (297, 210)),
        ("insurance-pdf", 2, (210, 297)),
        ("mains-radio-pdf", 2, (210, 297)),
    ],
)
def test_pages_and_paper(papers, kind, pages, size_mm):
    """One page a case, label, order; ISO 216 sizes."""
    document = pypdfium2.PdfDocument(papers.path(kind))
    assert len(document) == pages
    if size_mm:
        assert document[0].get_size() == pytest.approx([mm * MM for mm in size_mm], abs=0.1)


def test_every_page_says_which_it_is_and_where_it_comes_from(papers):
    """Page x of y, the input and the version; labels carry the origin too."""
    for kind in ("case-sheets", "customs-list-pdf", "hire-orders-pdf", "summary"):
        pages = text_of(papers.path(kind))
        for number, text in enumerate(pages, start=1):
            assert f"Page {number} of {len(pages)}" in text
            assert "tin-weather.xlsx" in text
            assert "Holdall 1.0.0" in text


def test_every_object_stands_on_the_sheet_of_its_case(papers, trip, plan):
    """All ids, in the text of the page of their case."""
    pages = dict(
        zip(
            [r.name for r in case_labels(trip, plan)],
            text_of(papers.path("case-sheets")),
            strict=True,
        )
    )
    for unit in flown_units(trip, plan):
        assert squeezed(unit.label) in squeezed(pages[unit.piece.case])


def test_every_item_number_stands_on_the_customs_list(papers, trip, plan):
    """All lines, the totals, and the words."""
    text = squeezed(text_of(papers.path("customs-list-pdf"))[0])
    for row in customs_list(trip, plan).rows:
        assert squeezed(row.items) in text
        assert squeezed(row.marks) in text
    assert "twenty-five" in text
    assert squeezed("own drawing of the published columns") in text


def test_no_text_leaves_the_page_on_case_sheets_and_summary(trip, plan, large):
    """Every text lies within its page, also with 60 cases."""
    for a_trip, a_plan in ((trip, plan), large):
        scenes = [*case_sheet_scenes(a_trip, a_plan), summary_scene(a_trip, a_plan)]
        assert [text for scene in scenes for text in sticking_out(scene)] == []


def test_no_text_leaves_its_page_in_long_tables(large):
    """Customs and insurance lists of 500 objects."""
    trip, plan = large
    sheets = customs_sheets(trip, plan) + insurance_sheets(trip, plan)
    scenes = sheet_scenes(sheets, stamp_of(trip, plan), carrying=Carrying())
    assert len(scenes) > 8
    assert [text for scene in scenes for text in sticking_out(scene)] == []


def test_continuation_sheets_carry_totals_over(large):
    """What is carried over on one page is brought forward on the next, up to the total."""
    trip, plan = large
    sheets = customs_sheets(trip, plan)[:1]
    scenes = sheet_scenes(sheets, stamp_of(trip, plan), carrying=Carrying())
    carried, brought = [], []
    for scene in scenes:
        for label, into in (("Carried over", carried), ("Brought forward", brought)):
            rows = [text for text in scene.texts if text.text == label]
            into += [
                tuple(t.text for t in scene.texts if t.y == row.y and t.anchor == "end")
                for row in rows
            ]
    assert len(carried) == len(scenes) - 1 >= 1
    assert carried == brought
    total = [t.text for t in scenes[-1].texts if t.text.endswith("kg") and t.bold][-1]
    assert total == f"{customs_list(trip, plan).weight_g / 1000:,.3f} kg"


def test_the_words_stand_on_the_page_of_the_totals(large):
    """Totals in words and the signature are never alone on a sheet."""
    trip, plan = large
    for count in range(5, 13):
        part = replace(plan, pieces=plan.pieces[:count])
        sheets = customs_sheets(trip, part)[:1]
        last = sheet_scenes(sheets, stamp_of(trip, part), carrying=Carrying())[-1]
        texts = [text.text for text in last.texts]
        assert any(text.endswith("items") for text in texts)
        assert any("governs" in text or "govern." in text for text in texts)


def decoded(png):
    """What an independent reader finds on a picture."""
    return [result.text for result in zxingcpp.read_barcodes(Image.open(io.BytesIO(png)))]


@pytest.mark.parametrize("kind", ["labels-a6", "labels-a5"])
def test_the_code_on_every_label_reads_as_its_text(papers, trip, plan, kind):
    """Case, trip, weight, route, owner, item numbers, read from 8 dots a millimetre."""
    pdf = papers.path(kind).read_bytes()
    for page, label in enumerate(case_labels(trip, plan)):
        (text,) = decoded(page_png(pdf, page))
        assert text == label.code
        assert f"Case: {label.name} ({label.count})" in text
        assert "Tin Weather" in text
        assert "Items: " in text


def test_object_labels_name_their_case_and_item(papers, trip, plan):
    """The laptop's label has letters of three scripts."""
    labels = object_labels(trip, plan)
    page = next(i for i, label in enumerate(labels) if label.name == "LAP")
    (text,) = decoded(page_png(papers.path("object-labels").read_bytes(), page))
    assert text == labels[page].code
    assert "笔记本 السفر" in text
    assert "Case: CABIN" in text


def test_heavy_stands_on_what_is_above_the_configured_weight(trip, plan):
    """23 kg in shared/figures.toml: TRUNK-1 with 24.87 kg alone."""
    assert [label.name for label in case_labels(trip, plan) if label.is_heavy] == ["TRUNK-1"]


@pytest.mark.parametrize("paper", [A6_LANDSCAPE, A5_LANDSCAPE])
def test_labels_keep_within_their_paper(trip, plan, large, paper):
    """Also with long ids and many items; the id is the largest type on it."""
    labels = [*case_labels(trip, plan), *object_labels(trip, plan), *case_labels(*large)[:5]]
    for label in labels:
        scene = label_scene(label, paper, "foot")
        assert sticking_out(scene) == []
        largest = max(scene.texts, key=lambda text: text.size)
        assert largest.text == label.name


def test_pages_are_black_and_white(papers):
    """Every pixel of a case sheet is grey: nothing relies on colour."""
    document = pypdfium2.PdfDocument(papers.path("case-sheets"))
    picture = document[2].render(scale=1).to_pil().convert("RGB")
    assert all(r == g == b for _, (r, g, b) in picture.getcolors(1_000_000))
