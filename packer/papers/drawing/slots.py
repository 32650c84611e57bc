"""A slotted case seen from above: its slots side by side, each with what stands in it."""

from __future__ import annotations

from dataclasses import replace

from packer.papers.drawing.number import NOW_FILL, disc
from packer.papers.drawing.scene import (
    MEDIUM_MM,
    THICK_MM,
    WHITE,
    Anchor,
    Scene,
    Shape,
    Text,
    box,
    hatched,
)
from packer.papers.pdf.typeset import wrapped
from packer.papers.tables.flown import unit_label
from packer.papers.tables.stowage import SlotRow

_HEAD = 5.0
_LABEL = 2.4
_MOST_IN_A_ROW = 8


def slot_view(
    rows: tuple[SlotRow, ...], width: float, most_height: float, *, now: int | None = None
) -> Scene:
    """The slots within so many mm; empty ones are hatched."""
    across = min(_MOST_IN_A_ROW, max(1, len(rows)))
    down = -(-max(1, len(rows)) // across)
    w, h = (width - 2) / across, min(36.0, (most_height - _HEAD - 2) / down)
    shapes: list[Shape] = [Text(1, 3.4, "Slots, from the left", 2.7, bold=True)]
    for index, row in enumerate(rows):
        x, y = 1 + index % across * w, _HEAD + index // across * h
        shapes += _slot(row, x, y, w, h, now == row.number and now is not None)
    shapes.append(box(1, _HEAD, across * w, down * h, line=THICK_MM))
    return Scene(width, _HEAD + down * h + 2, tuple(shapes), "Slots of the case")


def _slot(row: SlotRow, x: float, y: float, w: float, h: float, now: bool) -> list[Shape]:
    head = Text(x + 1, y + 3, f"slot {row.slot}", 2.1, shade=0.3)
    if row.gear is None:
        return [
            *hatched(x, y, w, h),
            box(x, y, w, h, line=MEDIUM_MM),
            box(x + 0.4, y + 0.4, w - 0.8, 3.8, fill=WHITE, line=0),
            replace(head, text=f"slot {row.slot}, empty"),
        ]
    radius = min(3.4, w * 0.3, h * 0.22)
    lines = wrapped(f"{unit_label(row.gear, row.unit)} {row.gear.description}", w - 2, _LABEL)
    room = int((h - 2 * radius - 6) / (_LABEL * 1.25))
    top = y + 5 + 2 * radius + _LABEL
    return [
        box(x, y, w, h, fill=NOW_FILL if now else WHITE, line=MEDIUM_MM),
        head,
        *disc(x + w / 2, y + 4.5 + radius, row.number, radius, now=now),
        *(
            Text(x + w / 2, top + n * _LABEL * 1.25, line, _LABEL, anchor=Anchor.MIDDLE)
            for n, line in enumerate(lines[:room])
        ),
    ]
