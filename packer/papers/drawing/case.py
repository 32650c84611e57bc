"""A case with its contents, whichever kind it is: open box with layers, rack front, slots."""

from __future__ import annotations

from dataclasses import replace

from packer.model.plan import Piece
from packer.model.trip import CaseKind, Trip
from packer.papers.drawing.arrange import best_layout
from packer.papers.drawing.open_box import open_box
from packer.papers.drawing.plan_view import plan_view
from packer.papers.drawing.rack import rack_front
from packer.papers.drawing.scene import Scene, Text, placed
from packer.papers.drawing.slots import slot_view
from packer.papers.drawing.svg import scene_svg
from packer.papers.pdf.typeset import wrapped
from packer.papers.tables.flown import unit_label
from packer.papers.tables.stowage import (
    centre_of_gravity,
    inside_of,
    layers,
    loose,
    rack_rows,
    slot_rows,
    stowed,
)

_TEXT = 2.5


def case_svg(trip: Trip, piece: Piece, *, upto: int | None = None, width_mm: float = 180.0) -> str:
    """The case as SVG, numbered in packing order.

    With `upto` only the first so many objects are drawn, the last of them dark: one step of
    packing. Widths are mm on paper; the picture scales.
    """
    return scene_svg(case_scene(trip, piece, width_mm, upto=upto))


def case_scene(
    trip: Trip,
    piece: Piece,
    width_mm: float,
    *,
    upto: int | None = None,
    most_height_mm: float = 150.0,
) -> Scene:
    """The case drawn so wide; the height is what the drawing needs, if it can within the most."""
    shown = piece if upto is None else _first(piece, upto)
    kind = trip.case_named(piece.case).kind
    if kind is CaseKind.RACK:
        capacity = trip.case_named(piece.case).rack_half_units or 0
        return rack_front(rack_rows(trip, shown), capacity, width_mm, most_height_mm, now=upto)
    if kind is CaseKind.SLOTS:
        return slot_view(slot_rows(trip, shown), width_mm, most_height_mm, now=upto)
    return _box_scene(trip, shown, width_mm, most_height_mm, upto)


def _first(piece: Piece, count: int) -> Piece:
    return replace(piece, contents=piece.contents[:count])


def _box_scene(
    trip: Trip, piece: Piece, width: float, most_height: float, now: int | None
) -> Scene:
    """The open box above its layers, or beside them where that would be too high."""
    inside = inside_of(trip.case_named(piece.case))
    objects = stowed(trip, piece)
    centre = centre_of_gravity(trip, piece) if now is None else None
    notes = _notes(trip, piece, width)
    found = layers(objects)
    room = most_height - len(notes) * _TEXT * 1.3 - 2
    at = best_layout(inside, len(found), width, room)
    shapes = list(open_box(inside, objects, at.open_width, at.open_height, now=now).shapes)
    for index, layer in enumerate(found):
        mark = centre if layer.number == 1 else None
        view = plan_view(layer, inside, at.each, now=now, centre_mm=mark)
        shapes += placed(view, *at.corner(index))
    for number, line in enumerate(notes, start=1):
        shapes.append(Text(1, at.height + number * _TEXT * 1.3, line, _TEXT))
    height = at.height + len(notes) * _TEXT * 1.3 + 1.5
    return Scene(width, height, tuple(shapes), f"Case {piece.case} packed")


def _notes(trip: Trip, piece: Piece, width: float) -> list[str]:
    lines: list[str] = []
    soft = loose(trip, piece)
    if soft:
        names = "; ".join(f"{n} {unit_label(g, unit)} {g.description}" for n, g, unit in soft)
        lines += wrapped(f"Soft goods fill the gaps: {names}", width - 2, _TEXT)
    objects = stowed(trip, piece)
    if any(layer.through for layer in layers(objects)):
        lines.append("Hatched: rises into this layer from below.")
    unsteady = [one for one in objects if not one.stands]
    if unsteady:
        numbers = ", ".join(str(one.number) for one in unsteady)
        lines.append(f"Dotted edge: number {numbers} stands on too little. Pack something under.")
    return lines
