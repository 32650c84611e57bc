"""Handling marks for cases: own drawings of the ideas of ISO 780 (this way up, fragile), and HEAVY.

Every mark stands in a square of `size` mm with its top left corner at a point.
"""

from __future__ import annotations

import itertools

from packer.papers.drawing.scene import (
    BLACK,
    WHITE,
    Anchor,
    Line,
    Polygon,
    Shape,
    Text,
    box,
)


def this_way_up(x: float, y: float, size: float) -> list[Shape]:
    """Two arrows pointing up over a bar."""
    bar = box(x + size * 0.1, y + size * 0.86, size * 0.8, size * 0.08, fill=BLACK, line=0)
    return [
        _frame(x, y, size),
        *_arrow(x + size * 0.3, y + size * 0.12, size),
        *_arrow(x + size * 0.7, y + size * 0.12, size),
        bar,
    ]


def fragile(x: float, y: float, size: float) -> list[Shape]:
    """A stemmed glass with a crack."""
    cx = x + size / 2
    bowl = (
        (cx - size * 0.26, y + size * 0.12),
        (cx + size * 0.26, y + size * 0.12),
        (cx + size * 0.2, y + size * 0.42),
        (cx + size * 0.05, y + size * 0.54),
        (cx - size * 0.05, y + size * 0.54),
        (cx - size * 0.2, y + size * 0.42),
    )
    crack = ((0.02, 0.12), (-0.05, 0.22), (0.05, 0.3), (-0.02, 0.4))
    points = [(cx + dx * size, y + dy * size) for dx, dy in crack]
    return [
        _frame(x, y, size),
        Polygon(bowl, BLACK, 0.0),
        box(cx - size * 0.035, y + size * 0.52, size * 0.07, size * 0.3, fill=BLACK, line=0),
        box(cx - size * 0.2, y + size * 0.82, size * 0.4, size * 0.07, fill=BLACK, line=0),
        *(
            Line(x1, y1, x2, y2, size * 0.035, WHITE)
            for (x1, y1), (x2, y2) in itertools.pairwise(points)
        ),
    ]


def heavy(x: float, y: float, width: float, height: float) -> list[Shape]:
    """The word HEAVY, white on black."""
    size = min(height * 0.62, width * 0.24)
    return [
        box(x, y, width, height, fill=BLACK, line=0),
        Text(
            x + width / 2, y + height / 2 + size * 0.36, "HEAVY", size, True, Anchor.MIDDLE, WHITE
        ),
    ]


def _frame(x: float, y: float, size: float) -> Shape:
    return box(x, y, size, size, line=0.4)


def _arrow(x: float, y: float, size: float) -> list[Shape]:
    half, stem = size * 0.15, size * 0.05
    head, foot = y + size * 0.28, y + size * 0.66
    points = (
        (x, y),
        (x + half, head),
        (x + stem, head),
        (x + stem, foot),
        (x - stem, foot),
        (x - stem, head),
        (x - half, head),
    )
    return [Polygon(points, BLACK, 0.0)]
