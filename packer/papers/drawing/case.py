"""A case with its contents, whichever kind it is: open box with layers, rack front, slots."""

from __future__ import annotations

from dataclasses import dataclass, replace

from packer.model.plan import Piece
from packer.model.trip import CaseKind, Trip
from packer.papers.drawing.open_box import open_box
from packer.papers.drawing.plan_view import plan_view, view_height
from packer.papers.drawing.rack import rack_front
from packer.papers.drawing.scene import Scene, Shape, Text, moved, placed
from packer.papers.drawing.slots import slot_view
from packer.papers.drawing.svg import scene_svg
from packer.papers.pdf.typeset import wrapped
from packer.papers.tables.flown import unit_label
from packer.papers.tables.stowage import (
    Layer,
    Stowed,
    centre_of_gravity,
    inside_of,
    layers,
    loose,
    rack_rows,
    slot_rows,
    stowed,
)

_OPEN_SHARES = (0.42, 0.35, 0.28)  # of the width: heights tried for the open case
_LEFT_SHARE = 0.46  # of the width: the open case, where the layers stand beside it
_GAP = 3.0
_MOST_ACROSS = 6
_LARGEST_VIEW = 95.0  # mm wide: larger helps nobody
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
    room = most_height - len(notes) * _TEXT * 1.3 - 2
    found = layers(objects)
    high, below = _stacked(found, inside, width, room)
    if high + below.height <= room:
        above = open_box(inside, objects, width, high, now=now)
        views = _views(found, inside, below, now, centre)
        shapes, y = [*above.shapes, *moved(views, 0, high)], high + below.height
    else:
        shapes, y = _side_by_side(inside, objects, found, width, room, now, centre)
    for number, line in enumerate(notes):
        shapes.append(Text(1, y + (number + 1) * _TEXT * 1.3, line, _TEXT))
    height = y + len(notes) * _TEXT * 1.3 + 1.5
    return Scene(width, height, tuple(shapes), f"Case {piece.case} packed")


def _stacked(
    found: tuple[Layer, ...], inside: tuple[int, int, int], width: float, room: float
) -> tuple[float, _Grid]:
    """The height of the open box and the grid of layers below it, the largest that fit."""
    highs = [_open_height(inside, width, share) for share in _OPEN_SHARES]
    for high in highs:
        below = _grid(found, inside, width, room - high)
        if high + below.height <= room:
            return high, below
    return highs[-1], _grid(found, inside, width, room - highs[-1])


def _side_by_side(
    inside: tuple[int, int, int],
    objects: tuple[Stowed, ...],
    found: tuple[Layer, ...],
    width: float,
    room: float,
    now: int | None,
    centre: tuple[int, int, int] | None,
) -> tuple[list[Shape], float]:
    left = width * _LEFT_SHARE
    grid = _grid(found, inside, width - left - _GAP, room)
    high = max(min(room, _open_height(inside, left, 1.0)), min(room, grid.height))
    shapes = list(open_box(inside, objects, left, high, now=now).shapes)
    shapes += moved(_views(found, inside, grid, now, centre), left + _GAP, 0)
    return shapes, max(high, grid.height)


def _open_height(inside: tuple[int, int, int], width: float, share: float) -> float:
    """As high as the case needs at this width, at most its share of the width."""
    length, depth, up = inside
    needed = (up + depth * 0.34) / (length + depth * 0.42) * (width - 6) + 10
    return min(width * share, needed)


@dataclass(frozen=True, slots=True)
class _Grid:
    """So many plan views side by side, each so wide and high."""

    across: int
    each: float
    view: float
    rows: int

    @property
    def height(self) -> float:
        """The height of all rows."""
        return self.rows * (self.view + 1)


def _grid(
    found: tuple[Layer, ...], inside: tuple[int, int, int], width: float, room: float
) -> _Grid:
    """The grid with the largest views that the room allows; the smallest grid where none fits."""
    grids = [_grid_of(across, len(found), inside, width) for across in range(1, _MOST_ACROSS + 1)]
    fitting = [grid for grid in grids if grid.height <= room and grid.each <= _LARGEST_VIEW]
    return fitting[0] if fitting else grids[-1]


def _grid_of(across: int, count: int, inside: tuple[int, int, int], width: float) -> _Grid:
    each = (width - _GAP * (across - 1)) / across
    return _Grid(across, each, view_height(inside, each), -(-count // across))


def _views(
    found: tuple[Layer, ...],
    inside: tuple[int, int, int],
    grid: _Grid,
    now: int | None,
    centre: tuple[int, int, int] | None,
) -> list[Shape]:
    shapes: list[Shape] = []
    for index, layer in enumerate(found):
        mark = centre if layer.number == 1 else None
        scene = plan_view(layer, inside, grid.each, now=now, centre_mm=mark)
        x = index % grid.across * (grid.each + _GAP)
        shapes += placed(scene, x, index // grid.across * (grid.view + 1))
    return shapes


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
