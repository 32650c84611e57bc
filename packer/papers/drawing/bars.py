"""Amounts side by side as lying bars, each in parts: the picture of a table of totals.

In: a title, the names of the parts, the bars. Out: a scene as wide as an A4 page's text. The first
part is filled, the second hatched, so that a copier in black keeps them apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.papers.drawing.scene import Anchor, Scene, Shape, Text, box, hatched

WIDTH_MM = 180.0
NAME_MM, FIGURE_MM = 62.0, 26.0
ROW_MM, BAR_MM, TOP_MM = 7.0, 4.6, 16.0
SOLID_SHADE = 0.45


@dataclass(frozen=True, slots=True)
class Bar:
    """A name, the amounts of its parts (none below 0; () for nothing to draw) and a figure."""

    name: str
    parts: tuple[int, ...]
    figure: str


def bars_scene(title: str, parts: tuple[str, str], bars: Sequence[Bar]) -> Scene:
    """The bars from the top down, all to one scale that begins at 0."""
    most = max((sum(bar.parts) for bar in bars), default=0)
    room_mm = WIDTH_MM - NAME_MM - FIGURE_MM
    each_mm = room_mm / most if most else 0.0
    shapes: list[Shape] = [Text(0, 4.5, title, 3.6, bold=True), *_legend(parts)]
    for row, bar in enumerate(bars):
        shapes += _row(bar, TOP_MM + row * ROW_MM, each_mm)
    return Scene(WIDTH_MM, TOP_MM + len(bars) * ROW_MM, tuple(shapes), title)


def _legend(parts: tuple[str, str]) -> list[Shape]:
    first, second = parts
    return [
        box(NAME_MM, 8.2, 5, 3, fill=SOLID_SHADE),
        Text(NAME_MM + 7, 10.9, first),
        *hatched(NAME_MM + 40, 8.2, 5, 3),
        box(NAME_MM + 40, 8.2, 5, 3),
        Text(NAME_MM + 47, 10.9, second),
    ]


def _row(bar: Bar, y: float, each_mm: float) -> list[Shape]:
    shapes: list[Shape] = [Text(NAME_MM - 2, y + 3.5, bar.name, anchor=Anchor.END)]
    x = NAME_MM
    for number, amount in enumerate(bar.parts):
        length = amount * each_mm
        if length <= 0:
            continue
        if number:
            shapes += hatched(x, y, length, BAR_MM)
        shapes.append(box(x, y, length, BAR_MM, fill=None if number else SOLID_SHADE))
        x += length
    return [*shapes, Text(x + 2, y + 3.5, bar.figure)]
