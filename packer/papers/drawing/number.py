"""The numbers on objects: the same disc everywhere, dark for the object being packed now."""

from __future__ import annotations

from packer.papers.drawing.scene import (
    BLACK,
    MEDIUM_MM,
    WHITE,
    Anchor,
    Circle,
    Shape,
    Text,
)

NOW_FILL = 0.72


def disc(x: float, y: float, number: int, radius: float, *, now: bool = False) -> list[Shape]:
    """A number in a disc about a point."""
    size = radius * (1.35 if number < 10 else 1.1)
    fill, ink = (BLACK, WHITE) if now else (WHITE, BLACK)
    return [
        Circle(x, y, radius, fill, MEDIUM_MM),
        Text(x, y + size * 0.36, str(number), size, True, Anchor.MIDDLE, ink),
    ]
