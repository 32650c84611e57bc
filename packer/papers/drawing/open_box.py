"""A box seen open, from the front, above and a little to the right, with everything in its place.

Depth runs to the upper right. Objects are drawn from the back, the floor and the left to the
front, the top and the right, so that what stands before something covers it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.papers.drawing.number import NOW_FILL, disc
from packer.papers.drawing.scene import (
    MEDIUM_MM,
    THIN_MM,
    WHITE,
    Point,
    Polygon,
    Scene,
    Shape,
    Text,
)
from packer.papers.tables.stowage import Stowed

_ASIDE, _UP = 0.42, 0.34  # how far a millimetre of depth runs right and up on paper
_MARGIN = 3.0
_LARGEST_DISC, _SMALLEST_DISC = 3.6, 1.7
_TOP_SHADE, _SIDE_SHADE = 0.97, 0.86

Corner = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _View:
    """The scale and the paper point of the inner corner left, front, floor."""

    scale: float
    x0: float
    y0: float

    def at(self, corner: Corner) -> Point:
        x, y, z = corner
        return (
            self.x0 + (x + y * _ASIDE) * self.scale,
            self.y0 - (z + y * _UP) * self.scale,
        )


def open_box(
    inside_mm: tuple[int, int, int],
    objects: Sequence[Stowed],
    width: float,
    height: float,
    *,
    now: int | None = None,
) -> Scene:
    """The open case within so many mm of paper; `now` is the number to stand out."""
    view = _fitted(inside_mm, width, height)
    ordered = back_to_front(objects)
    faces = [_faces(view, one) for one in ordered]
    shapes = _walls(view, inside_mm)
    for one, seen in zip(ordered, faces, strict=True):
        shapes += _block(seen, now == one.number)
    for index, one in enumerate(ordered):
        shapes += _number(view, one, faces[index], faces[index + 1 :], now == one.number)
    shapes += _front_edges(view, inside_mm)
    return Scene(width, height, tuple(shapes), "The open case")


def scale_of(inside_mm: tuple[int, int, int], width: float, height: float) -> float:
    """Millimetres of paper for one of the case, where the drawing has so much paper."""
    length, depth, up = inside_mm
    across, high = length + depth * _ASIDE, up + depth * _UP
    return min((width - 2 * _MARGIN) / across, (height - 2 * _MARGIN - 2) / high)


def back_to_front(objects: Sequence[Stowed]) -> list[Stowed]:
    """An order of drawing in which nothing is drawn before what it covers."""
    waiting = list(objects)
    ordered: list[Stowed] = []
    while waiting:
        free = next((a for a in waiting if not _covers_any(a, waiting)), waiting[0])
        waiting.remove(free)
        ordered.append(free)
    return ordered


def _covers_any(one: Stowed, others: Sequence[Stowed]) -> bool:
    return any(other is not one and _may_cover(one, other) for other in others)


def _may_cover(one: Stowed, other: Stowed) -> bool:
    """True unless `one` lies wholly left of, behind or below `other`."""
    (x1, y1, z1), (length, _, height) = one.place.at_mm, one.place.size_mm
    (x2, y2, z2), (_, width2, _) = other.place.at_mm, other.place.size_mm
    return not (x1 + length <= x2 or y1 >= y2 + width2 or z1 + height <= z2)


def _fitted(inside: tuple[int, int, int], width: float, height: float) -> _View:
    length, depth, up = inside
    across, high = length + depth * _ASIDE, up + depth * _UP
    scale = scale_of(inside, width, height)
    x0 = (width - across * scale) / 2
    return _View(scale, x0, (height + high * scale) / 2 - 1)


def _walls(view: _View, inside: tuple[int, int, int]) -> list[Shape]:
    """The floor, the back and the left wall, which stand behind everything."""
    length, depth, up = inside
    floor = ((0, 0, 0), (length, 0, 0), (length, depth, 0), (0, depth, 0))
    back = ((0, depth, 0), (length, depth, 0), (length, depth, up), (0, depth, up))
    left = ((0, 0, 0), (0, depth, 0), (0, depth, up), (0, 0, up))
    return [
        Polygon(tuple(view.at(corner) for corner in face), shade, THIN_MM, 0.3)
        for face, shade in ((back, 0.93), (left, 0.88), (floor, 0.95))
    ]


def _front_edges(view: _View, inside: tuple[int, int, int]) -> list[Shape]:
    """The front and the right wall, cut away: their edges only."""
    length, depth, up = inside
    front = ((0, 0, 0), (length, 0, 0), (length, 0, up), (0, 0, up))
    right = ((length, 0, 0), (length, depth, 0), (length, depth, up), (length, 0, up))
    edges: list[Shape] = [
        Polygon(tuple(view.at(c) for c in face), None, MEDIUM_MM, 0.0, (2.0, 1.2))
        for face in (front, right)
    ]
    x, y = view.at((0, 0, 0))
    return [*edges, Text(x, y + 3.2, "front", 2.4, shade=0.25)]


_Faces = tuple[tuple[Point, ...], tuple[Point, ...], tuple[Point, ...]]


def _faces(view: _View, one: Stowed) -> _Faces:
    """The top, the front and the right side on paper."""
    x, y, z = one.place.at_mm
    length, width, height = one.place.size_mm
    plan = [(x, y), (x + length, y), (x + length, y + width), (x, y + width)]
    upright = [(x, z), (x + length, z), (x + length, z + height), (x, z + height)]
    side = [(y, z), (y + width, z), (y + width, z + height), (y, z + height)]
    return (
        tuple(view.at((a, b, z + height)) for a, b in plan),
        tuple(view.at((a, y, c)) for a, c in upright),
        tuple(view.at((x + length, b, c)) for b, c in side),
    )


def _block(seen: _Faces, now: bool) -> list[Shape]:
    top, front, right = seen
    fill = NOW_FILL if now else WHITE
    return [
        Polygon(front, fill, MEDIUM_MM),
        Polygon(right, NOW_FILL - 0.1 if now else _SIDE_SHADE, MEDIUM_MM),
        Polygon(top, fill if now else _TOP_SHADE, MEDIUM_MM),
    ]


def _number(
    view: _View, one: Stowed, seen: _Faces, later: Sequence[_Faces], now: bool
) -> list[Shape]:
    """The number on the largest of its faces whose middle nothing covers; none where all are."""
    _, width, height = one.place.size_mm
    length = one.place.size_mm[0]
    lows = (
        min(width * _UP, length) * view.scale,
        min(height, length) * view.scale,
        min(height, width * _ASIDE) * view.scale,
    )
    for low, face in sorted(zip(lows, seen, strict=True), key=lambda pair: -pair[0]):
        middle = _middle(face)
        if not any(_inside(middle, other) for faces in later for other in faces):
            radius = min(_LARGEST_DISC, max(_SMALLEST_DISC, low * 0.42))
            return disc(*middle, one.number, radius, now=now)
    return []


def _middle(face: tuple[Point, ...]) -> Point:
    return (sum(x for x, _ in face) / len(face), sum(y for _, y in face) / len(face))


def _inside(point: Point, face: tuple[Point, ...]) -> bool:
    """True where a point lies within a convex face."""
    x, y = point
    sides = []
    for (x1, y1), (x2, y2) in zip(face, (*face[1:], face[0]), strict=True):
        sides.append((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1))
    return all(side > 0 for side in sides) or all(side < 0 for side in sides)
