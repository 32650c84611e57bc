"""Drawings of cases: every object numbered, steps, the order in which things are drawn, SVG."""

import re
from xml.etree import ElementTree

from packer.papers.drawing import case_scene, case_svg
from packer.papers.drawing.open_box import back_to_front
from packer.papers.drawing.scene import Circle
from packer.papers.tables.stowage import stowed


def piece(plan, name):
    """The piece of this case."""
    return next(p for p in plan.pieces if p.case == name)


def numbers(scene):
    """The numbers drawn."""
    return {int(text.text) for text in scene.texts if text.text.isdigit() and text.bold}


def test_every_object_with_a_place_is_numbered(trip, plan):
    """Rigid ones in the drawing, soft ones named in the note."""
    scene = case_scene(trip, piece(plan, "TRUNK-1"), 180)
    assert numbers(scene) == {1, 2, 3, 4, 5}
    assert any("Soft goods fill the gaps: 6 CBL" in text.text for text in scene.texts)


def test_a_rack_and_a_slotted_case_number_their_contents(trip, plan):
    """Rack units count from the bottom; slots from the left, empty ones said so."""
    rack = case_scene(trip, piece(plan, "RACK"), 180)
    assert numbers(rack) >= {1, 2, 3}
    assert {str(unit) for unit in range(1, 7)} <= {text.text for text in rack.texts}
    slots = case_scene(trip, piece(plan, "MUTES"), 180)
    assert numbers(slots) == {1, 2}
    assert sum("empty" in text.text for text in slots.texts) == 2


def test_a_step_shows_what_is_in_so_far_and_the_last_one_dark(trip, plan):
    """After three steps: 1 to 3, with the disc of 3 black in plan."""
    scene = case_scene(trip, piece(plan, "TRUNK-1"), 180, upto=3)
    assert numbers(scene) == {1, 2, 3}
    assert any(isinstance(shape, Circle) and shape.fill == 0.0 for shape in scene.shapes)
    whole = case_scene(trip, piece(plan, "TRUNK-1"), 180)
    assert not any(isinstance(shape, Circle) and shape.fill == 0.0 for shape in whole.shapes)


def test_what_stands_before_something_is_drawn_after_it(trip, plan):
    """In the order of drawing nothing lies wholly left of, behind or below an earlier one only."""
    objects = stowed(trip, piece(plan, "TRUNK-1"))
    order = [one.number for one in back_to_front(objects)]
    assert order.index(1) < order.index(2)  # the trombone lies on the synthesiser
    assert order.index(3) < order.index(2)  # the pedals stand behind the trombone


def test_drawings_keep_within_their_field(trip, plan):
    """No text or disc lies outside the scene."""
    for each in plan.pieces:
        scene = case_scene(trip, each, 180)
        for text in scene.texts:
            assert -0.1 <= text.x <= scene.width + 0.1
            assert 0 <= text.y <= scene.height + 0.1


def test_the_svg_is_well_formed_and_says_what_it_shows(trip, plan):
    """User text is escaped; the size is in millimetres."""
    svg = case_svg(trip, piece(plan, "TRUNK-1"))
    root = ElementTree.fromstring(svg)
    assert root.get("width") == "180mm"
    assert root.find("{http://www.w3.org/2000/svg}title").text == "Case TRUNK-1 packed"
    assert not re.search(r"(href|<script|<image)", svg)
