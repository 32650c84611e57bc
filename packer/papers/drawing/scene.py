"""What drawings and printed pages are made of: shapes in millimetres, origin top left, y down.

A scene is drawn the same by `drawing.svg` (pages of the API) and by `pdf.render` (paper), and a
test can look at its shapes. Shades run from 0 (black) to 1 (white); nothing relies on colour.
Figures are floats: a drawing is looked at, never calculated with.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

Point = tuple[float, float]
BLACK, WHITE = 0.0, 1.0
THIN_MM, MEDIUM_MM, THICK_MM = 0.18, 0.35, 0.8


class Anchor(StrEnum):
    """Which end of a text stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; `dash` holds lengths of dash and gap, () for a solid line."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float = THIN_MM
    shade: float = BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline, filled with a shade unless `fill` is None, drawn unless `width` is 0."""

    points: tuple[Point, ...]
    fill: float | None = None
    width: float = THIN_MM
    shade: float = BLACK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about a centre."""

    x: float
    y: float
    radius: float
    fill: float | None = None
    width: float = THIN_MM
    shade: float = BLACK


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text on a baseline; `size` is the height of the type in mm.

    `turned` lays it a quarter turn anticlockwise, so that it reads upwards.
    """

    x: float
    y: float
    text: str
    size: float = 2.8
    bold: bool = False
    anchor: Anchor = Anchor.START
    shade: float = BLACK
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Tiles:
    """Many black rectangles (x, y, width, height) drawn as one: the modules of a QR code."""

    tiles: tuple[tuple[float, float, float, float], ...]


Shape = Line | Polygon | Circle | Text | Tiles


@dataclass(frozen=True, slots=True)
class Scene:
    """Shapes on a field of so many millimetres; later shapes lie over earlier ones."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str = ""

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts on it."""
        return tuple(shape for shape in self.shapes if isinstance(shape, Text))


def box(
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    fill: float | None = None,
    line: float = THIN_MM,
    dash: tuple[float, ...] = (),
) -> Polygon:
    """A rectangle by its top left corner."""
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Polygon(corners, fill, line, BLACK, dash)


def hatched(x: float, y: float, width: float, height: float, step: float = 1.8) -> list[Shape]:
    """Slanting lines that fill a rectangle: a fill that survives any copier."""
    lines: list[Shape] = []
    offset = step
    while offset < width + height:
        x1, y1 = (x + offset, y) if offset <= width else (x + width, y + offset - width)
        x2, y2 = (x, y + offset) if offset <= height else (x + offset - height, y + height)
        lines.append(Line(x1, y1, x2, y2, 0.12, 0.35))
        offset += step
    return lines


def moved(shapes: Iterable[Shape], dx: float, dy: float) -> list[Shape]:
    """The shapes shifted."""
    return [_moved(shape, dx, dy) for shape in shapes]


def placed(scene: Scene, x: float, y: float) -> list[Shape]:
    """A scene's shapes with its top left corner at a point of another."""
    return moved(scene.shapes, x, y)


def _moved(shape: Shape, dx: float, dy: float) -> Shape:
    if isinstance(shape, Line):
        return replace(
            shape, x1=shape.x1 + dx, y1=shape.y1 + dy, x2=shape.x2 + dx, y2=shape.y2 + dy
        )
    if isinstance(shape, Polygon):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    if isinstance(shape, Tiles):
        return Tiles(tuple((x + dx, y + dy, w, h) for x, y, w, h in shape.tiles))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)
