"""Bars are to one scale, in order, and say their figures."""

from packer.papers.drawing.bars import NAME_MM, WIDTH_MM, Bar, bars_scene
from packer.papers.drawing.scene import Polygon
from packer.papers.drawing.svg import scene_svg

BARS = (
    Bar("as it stands", (300, 100), "4.00"),
    Bar("twice as dear", (600, 200), "8.00"),
    Bar("not at all", (), "no plan"),
)
SCENE = bars_scene("Invented totals", ("cash", "worth"), BARS)


def outlines(y):
    """The boxes of the bar whose top is at y, as (left, right)."""
    boxes = [shape.points for shape in SCENE.shapes if isinstance(shape, Polygon)]
    return [(points[0][0], points[1][0]) for points in boxes if points[0][1] == y]


def test_parts_follow_each_other_to_one_scale():
    """The second bar is twice as long as the first, and each begins where names end."""
    first, second = outlines(16.0), outlines(23.0)
    assert first[0][0] == second[0][0] == NAME_MM
    assert first[0][1] == first[1][0]
    assert second[1][1] - NAME_MM == 2 * (first[1][1] - NAME_MM)
    assert second[1][1] <= WIDTH_MM


def test_where_there_is_no_plan_there_is_no_bar_but_a_word():
    """Its name and figure stand all the same."""
    assert outlines(30.0) == []
    words = [text.text for text in SCENE.texts]
    assert {"not at all", "no plan", "4.00", "8.00", "Invented totals"} <= set(words)


def test_it_becomes_a_picture_that_reads_itself_out():
    """The title is what a screen reader says; markup in names stays text."""
    svg = scene_svg(bars_scene("A < B", ("cash", "worth"), BARS))
    assert "<title>A &lt; B</title>" in svg


def test_without_amounts_nothing_is_divided():
    """A trip that costs nothing is a trip like any other."""
    scene = bars_scene("Free", ("cash", "worth"), (Bar("as it stands", (0, 0), "0.00"),))
    assert "0.00" in [text.text for text in scene.texts]
