"""Where the open box and its layers stand on paper: the smaller drawing as large as can be.

In: the inside of a case, how many layers it has, and the paper there is. Out: a `Layout`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packer.papers.drawing.open_box import scale_of
from packer.papers.drawing.plan_view import view_height, view_scale

Sides = tuple[int, int, int]

GAP = 3.0
_OPEN_SHARES = (0.42, 0.36, 0.3, 0.24)  # of the width: heights tried for the box above its layers
_LEFT_SHARES = (0.55, 0.46, 0.38)  # of the width: widths tried for the box beside its layers
_MOST_ACROSS = 6
_LARGEST_VIEW = 95.0  # mm wide: larger helps nobody
_OPEN_WEIGHT = 0.8  # the open box may be so much smaller than the layers


@dataclass(frozen=True, slots=True)
class Layout:
    """The size of the open box, and the views: how many across, how wide, from which corner."""

    open_width: float
    open_height: float
    across: int
    each: float
    view: float
    x: float
    y: float
    height: float

    def corner(self, index: int) -> tuple[float, float]:
        """The top left corner of the view with this index."""
        column, row = index % self.across, index // self.across
        return self.x + column * (self.each + GAP), self.y + row * (self.view + 1)


def best_layout(inside: Sides, layers: int, width: float, room: float) -> Layout:
    """The layout within the room whose smaller drawing is largest; the lowest where none fits."""
    found = list(_layouts(inside, max(1, layers), width))
    fitting = [layout for layout in found if layout.height <= room]
    if not fitting:
        return min(found, key=lambda layout: layout.height)
    return max(fitting, key=lambda layout: (round(_score(inside, layout), 4), -layout.height))


def _score(inside: Sides, layout: Layout) -> float:
    opened = scale_of(inside, layout.open_width, layout.open_height)
    return min(opened / _OPEN_WEIGHT, view_scale(inside, layout.each))


def _layouts(inside: Sides, layers: int, width: float) -> Iterator[Layout]:
    for share in _OPEN_SHARES:
        high = min(width * share, _natural_height(inside, width))
        for across in range(1, _MOST_ACROSS + 1):
            each, view, rows = _grid(inside, layers, across, width)
            if each <= _LARGEST_VIEW:
                total = high + rows * (view + 1)
                yield Layout(width, high, across, each, view, 0.0, high, total)
    for share in _LEFT_SHARES:
        left = width * share
        high = _natural_height(inside, left)
        for across in range(1, _MOST_ACROSS + 1):
            each, view, rows = _grid(inside, layers, across, width - left - GAP)
            total = max(high, rows * (view + 1))
            yield Layout(left, high, across, each, view, left + GAP, 0.0, total)


def _grid(inside: Sides, layers: int, across: int, width: float) -> tuple[float, float, int]:
    each = (width - GAP * (across - 1)) / across
    return each, view_height(inside, each), -(-layers // across)


def _natural_height(inside: Sides, width: float) -> float:
    """As high as the open case needs at this width."""
    length, depth, up = inside
    return (up + depth * 0.34) / (length + depth * 0.42) * (width - 6) + 10
