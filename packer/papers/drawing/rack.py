"""A rack seen from the front: rack units counted from the bottom, the heaviest lowest."""

from __future__ import annotations

from packer.papers.drawing.number import NOW_FILL, disc
from packer.papers.drawing.scene import (
    MEDIUM_MM,
    THICK_MM,
    THIN_MM,
    WHITE,
    Anchor,
    Line,
    Scene,
    Shape,
    Text,
    box,
    hatched,
)
from packer.papers.pdf.typeset import shortened
from packer.papers.tables.flown import unit_label
from packer.papers.tables.stowage import RackRow
from packer.papers.units import kg_text
from shared import rack_figures

_HEAD, _SIDE = 5.0, 9.0


def rack_front(
    rows: tuple[RackRow, ...],
    capacity_half_units: int,
    width: float,
    most_height: float,
    *,
    now: int | None = None,
) -> Scene:
    """The front of a rack within so many mm; units that stay free are hatched."""
    halves = max(1, capacity_half_units)
    half = min((width - 2 * _SIDE) * _unit_per_panel() / 2, (most_height - _HEAD - 2) / halves)
    floor = _HEAD + half * halves
    panel = width - 2 * _SIDE
    shapes: list[Shape] = [Text(1, 3.4, "Front of the rack", 2.7, bold=True)]
    used = sum(row.half_units for row in rows)
    if used < halves:
        shapes += hatched(_SIDE, _HEAD, panel, (halves - used) * half)
    for row in rows:
        shapes += _unit(row, floor, half, panel, now == row.number)
    shapes += _rails(halves, floor, half, panel)
    return Scene(width, floor + 2, tuple(shapes), "Front of the rack")


def _unit_per_panel() -> float:
    """How high a rack unit is, where a panel is 1 wide."""
    figures = rack_figures()
    return figures.unit_um / figures.panel_width_um


def _unit(row: RackRow, floor: float, half: float, panel: float, now: bool) -> list[Shape]:
    height = row.half_units * half
    y = floor - row.bottom_half_units * half - height
    radius = min(3.4, max(1.3, height * 0.38))
    size = min(3.2, max(1.9, height * 0.42))
    x = _SIDE + radius + 1.5
    name = f"{unit_label(row.gear, row.unit)}  {row.gear.description}"
    weight = f"{kg_text(row.gear.weight_g)} kg"
    text = shortened(name, panel - 2 * radius - 24, size, True)
    baseline = y + height / 2 + size * 0.36
    return [
        box(_SIDE, y, panel, height, fill=NOW_FILL if now else WHITE, line=MEDIUM_MM),
        *disc(x, y + height / 2, row.number, radius, now=now),
        Text(x + radius + 1.5, baseline, text, size, True),
        Text(_SIDE + panel - 2, baseline, weight, size, anchor=Anchor.END),
    ]


def _rails(halves: int, floor: float, half: float, panel: float) -> list[Shape]:
    """The rails with the number of each rack unit, counted from the bottom."""
    shapes: list[Shape] = [box(_SIDE, floor - halves * half, panel, halves * half, line=THICK_MM)]
    for unit in range(-(-halves // 2)):
        y = floor - unit * 2 * half
        shapes.append(Line(_SIDE - 3, y, _SIDE, y, THIN_MM))
        shapes.append(Text(_SIDE - 2, y - half * 0.6, str(unit + 1), 2.4, anchor=Anchor.END))
    return shapes
