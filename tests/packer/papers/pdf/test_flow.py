"""Tables flowing down pages."""

import pytest

from packer.papers.drawing.scene import Polygon, Text
from packer.papers.pdf.flow import Carrying, Flow, add_table
from packer.papers.pdf.paper import A4, A4_LANDSCAPE
from packer.papers.table import Column, Kind, Table


def table(rows):
    """A table of so many rows, some of two lines."""
    return Table(
        "t",
        "t",
        (
            Column("Id", Kind.ID, lambda r: f"G-{r}"),
            Column("Description", Kind.TEXT, lambda r: "word " * (60 if r % 7 == 0 else 4), 40),
            Column("Weight", Kind.GRAMS, lambda r: r, summed=True),
        ),
        tuple(range(1, rows + 1)),
        below=("A closing line.", "Another."),
    )


@pytest.mark.parametrize("carrying", [None, Carrying()])
@pytest.mark.parametrize("paper", [A4, A4_LANDSCAPE])
def test_nothing_runs_into_the_foot_whatever_the_number_of_rows(paper, carrying):
    """Every text and cell ends above the floor of its page."""
    for rows in range(1, 90):
        flow = Flow(paper)
        add_table(flow, table(rows), size=2.65, carrying=carrying)
        for shapes in flow.pages:
            for shape in shapes:
                if isinstance(shape, Text):
                    assert shape.y <= paper.floor
                if isinstance(shape, Polygon):
                    assert max(y for _, y in shape.points) <= paper.floor + 0.01


def test_headings_stand_on_every_page_and_rows_come_once():
    """80 rows over several pages."""
    flow = Flow(A4)
    add_table(flow, table(80), size=2.65)
    texts = [[s.text for s in shapes if isinstance(s, Text)] for shapes in flow.pages]
    assert len(texts) > 1
    assert all("Description" in page for page in texts)
    ids = [text for page in texts for text in page if text.startswith("G-")]
    assert ids == [f"G-{n}" for n in range(1, 81)]


def test_an_empty_table_says_so():
    """No totals, one line."""
    flow = Flow(A4)
    add_table(flow, table(0))
    assert "None." in [s.text for s in flow.pages[0] if isinstance(s, Text)]
