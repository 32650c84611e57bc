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
    shapes = _walls(view, inside_mm)
    for one in back_to_front(objects):
        covered = any(_stands_on(other, one) for other in objects)
        shapes += _block(view, one, now == one.number, covered)
    shapes += _front_edges(view, inside_mm)
    return Scene(width, height, tuple(shapes), "The open case")


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
    margin = 3.0
    across, high = length + depth * _ASIDE, up + depth * _UP
    scale = min((width - 2 * margin) / across, (height - 2 * margin - 2) / high)
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


def _block(view: _View, one: Stowed, now: bool, covered: bool) -> list[Shape]:
    x, y, z = one.place.at_mm
    length, width, height = one.place.size_mm
    plan = [(x, y), (x + length, y), (x + length, y + width), (x, y + width)]
    top = tuple(view.at((a, b, z + height)) for a, b in plan)
    front = tuple(
        view.at(c)
        for c in ((x, y, z), (x + length, y, z), (x + length, y, z + height), (x, y, z + height))
    )
    right = tuple(
        view.at((x + length, b, c))
        for b, c in ((y, z), (y + width, z), (y + width, z + height), (y, z + height))
    )
    fill = NOW_FILL if now else WHITE
    shapes: list[Shape] = [
        Polygon(front, fill, MEDIUM_MM),
        Polygon(right, NOW_FILL - 0.1 if now else _SIDE_SHADE, MEDIUM_MM),
        Polygon(top, fill if now else _TOP_SHADE, MEDIUM_MM),
    ]
    return shapes + _number(view, one, now, covered)


def _stands_on(upper: Stowed, lower: Stowed) -> bool:
    """True where `upper` covers the middle of `lower`'s top."""
    x = lower.place.at_mm[0] + lower.place.size_mm[0] / 2
    y = lower.place.at_mm[1] + lower.place.size_mm[1] / 2
    (left, front, floor), (length, width, _) = upper.place.at_mm, upper.place.size_mm
    over = left <= x <= left + length and front <= y <= front + width
    return over and floor >= lower.top_mm


def _number(view: _View, one: Stowed, now: bool, covered: bool) -> list[Shape]:
    """The number on the top where the top is free and large enough, else on the front."""
    x, y, z = one.place.at_mm
    length, width, height = one.place.size_mm
    on_top = not covered and width * _UP >= height * 0.5
    low = width * _UP if on_top else height
    radius = min(_LARGEST_DISC, max(_SMALLEST_DISC, low * view.scale * 0.42))
    middle = (
        (x + length / 2, y + width / 2, z + height)
        if on_top
        else (x + length / 2, y, z + height / 2)
    )
    return disc(*view.at(middle), one.number, radius, now=now)
