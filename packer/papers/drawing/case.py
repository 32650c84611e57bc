"""A case with its contents, whichever kind it is: open box with layers, rack front, slots."""

from __future__ import annotations

from packer.model.plan import Piece
from packer.model.trip import CaseKind, Trip
from packer.papers.drawing.open_box import open_box
from packer.papers.drawing.plan_view import plan_view, view_height
from packer.papers.drawing.rack import rack_front
from packer.papers.drawing.scene import Scene, Shape, Text, placed
from packer.papers.drawing.slots import slot_view
from packer.papers.drawing.svg import scene_svg
from packer.papers.pdf.typeset import wrapped
from packer.papers.tables.flown import unit_label
from packer.papers.tables.stowage import (
    Layer,
    centre_of_gravity,
    inside_of,
    layers,
    loose,
    rack_rows,
    slot_rows,
    stowed,
)

_OPEN_SHARE = 0.42  # of the width: the height given to the open case
_GAP = 3.0
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
    from dataclasses import replace

    return replace(piece, contents=piece.contents[:count])


def _box_scene(
    trip: Trip, piece: Piece, width: float, most_height: float, now: int | None
) -> Scene:
    inside = inside_of(trip.case_named(piece.case))
    objects = stowed(trip, piece)
    centre = centre_of_gravity(trip, piece) if now is None else None
    above = open_box(inside, objects, width, _open_height(inside, width), now=now)
    views = _views(layers(objects), inside, width, most_height - above.height, now, centre)
    shapes = list(above.shapes)
    shapes += views.shapes_at(above.height)
    y = above.height + views.height
    notes = _notes(trip, piece, width)
    for number, line in enumerate(notes):
        shapes.append(Text(1, y + (number + 1) * _TEXT * 1.3, line, _TEXT))
    height = y + len(notes) * _TEXT * 1.3 + 1.5
    return Scene(width, height, tuple(shapes), f"Case {piece.case} packed")


def _open_height(inside: tuple[int, int, int], width: float) -> float:
    """As high as the case needs at full width, at most its share of the width."""
    length, depth, up = inside
    needed = (up + depth * 0.34) / (length + depth * 0.42) * (width - 6) + 10
    return min(width * _OPEN_SHARE, needed)


class _Views:
    """Plan views laid out in rows."""

    def __init__(self, scenes: list[Scene], across: int) -> None:
        self.scenes, self.across = scenes, across

    @property
    def height(self) -> float:
        """The height of all rows."""
        if not self.scenes:
            return 0.0
        rows = -(-len(self.scenes) // self.across)
        return rows * (self.scenes[0].height + 1)

    def shapes_at(self, y: float) -> list[Shape]:
        """All views, the first row at `y`."""
        shapes: list[Shape] = []
        for index, scene in enumerate(self.scenes):
            x = index % self.across * (scene.width + _GAP)
            shapes += placed(scene, x, y + index // self.across * (scene.height + 1))
        return shapes


def _views(
    found: tuple[Layer, ...],
    inside: tuple[int, int, int],
    width: float,
    room: float,
    now: int | None,
    centre: tuple[int, int, int] | None,
) -> _Views:
    across = _across(len(found), inside, width, room)
    each = (width - _GAP * (across - 1)) / across
    scenes = [
        plan_view(layer, inside, each, now=now, centre_mm=centre if layer.number == 1 else None)
        for layer in found
    ]
    return _Views(scenes, across)


def _across(count: int, inside: tuple[int, int, int], width: float, room: float) -> int:
    """How many views stand side by side: as few as the room allows, so that each is large."""
    for across in range(2, 6):
        each = (width - _GAP * (across - 1)) / across
        rows = -(-max(1, count) // across)
        if rows * (view_height(inside, each) + 1) <= room:
            return across
    return 6


def _notes(trip: Trip, piece: Piece, width: float) -> list[str]:
    lines: list[str] = []
    soft = loose(trip, piece)
    if soft:
        names = "; ".join(f"{n} {unit_label(g, unit)} {g.description}" for n, g, unit in soft)
        lines += wrapped(f"Soft goods fill the gaps: {names}", width - 2, _TEXT)
    unsteady = [one for one in stowed(trip, piece) if not one.stands]
    if unsteady:
        numbers = ", ".join(str(one.number) for one in unsteady)
        lines.append(f"Dotted edge: number {numbers} stands on too little. Pack something under.")
    return lines
