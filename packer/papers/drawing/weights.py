"""Weights against limits: one case on a scale, and all cases side by side."""

from __future__ import annotations

from collections.abc import Sequence

from packer.papers.drawing.scene import (
    BLACK,
    MEDIUM_MM,
    THICK_MM,
    WHITE,
    Anchor,
    Line,
    Scene,
    Shape,
    Text,
    box,
    hatched,
)
from packer.papers.pdf.typeset import measure, shortened, wrapped
from packer.papers.tables.cases import CaseRow, Limit
from packer.papers.units import kg_text

_BAR = 8.0
_ROOM_ABOVE = 1.05  # the scale runs so far beyond the largest figure
_SMALL = 2.6
_TOP = 6.0
_TITLE = "Planning weight of every case against its tightest limit"


def weight_scale(row: CaseRow, limits: Sequence[Limit], width: float) -> Scene:
    """Empty, contents and margin of a case as one bar, every limit as a line across it."""
    most = max([row.planning_g, *(limit.grams for limit in limits)]) * _ROOM_ABOVE
    scale = (width - 2) / most
    shapes = _bar(row, 1.0, _TOP, scale)
    for limit in limits:
        x = 1 + limit.grams * scale
        dash = () if limit.refused else (1.2, 0.8)
        shapes.append(Line(x, _TOP - 1.5, x, _TOP + _BAR + 2, THICK_MM, dash=dash))
    for grams in sorted({limit.grams for limit in limits}):
        label = f"{grams / 1000:g} kg"
        x = min(1 + grams * scale, width - measure(label, _SMALL, True) / 2)
        shapes.append(Text(x, _TOP - 2.2, label, _SMALL, True, Anchor.MIDDLE))
    shapes += _total(row, 1.0 + row.planning_g * scale, width)
    y = _TOP + _BAR + 3.0
    for text in limit_lines(row, limits):
        for line in wrapped(text, width - 2, _SMALL):
            shapes.append(Text(1, y + _SMALL, line, _SMALL))
            y += _SMALL * 1.35
    return Scene(width, y + 1, tuple(shapes), f"Weight of {row.case} against its limits")


def limit_lines(row: CaseRow, limits: Sequence[Limit]) -> list[str]:
    """One sentence for each distinct limit: whose it is and what is left to it."""
    lines = []
    for grams, refused in dict.fromkeys((limit.grams, limit.refused) for limit in limits):
        origins = [m.origin for m in limits if (m.grams, m.refused) == (grams, refused)]
        kind = "Most" if refused else "Free up to"
        names = "; ".join(origin.replace(", free up to here", "") for origin in origins)
        lines.append(f"{kind} {kg_text(grams)} kg ({_left(grams - row.planning_g)}): {names}")
    return lines


def weights_chart(
    rows: Sequence[CaseRow], width: float, height: float | None = None, title: str = _TITLE
) -> Scene:
    """All cases as bars with the tightest limit of each as a line; the same scale for all."""
    each = 5.6 if height is None else min(5.6, (height - 9) / max(1, len(rows)))
    label = min(44.0, max([measure(row.case, _SMALL, True) for row in rows], default=0.0) + 2.5)
    figures = 36.0
    most = max([max(row.planning_g, row.limit_g or 0) for row in rows], default=1) * _ROOM_ABOVE
    scale = (width - label - figures) / most
    shapes: list[Shape] = [Text(0, 3.2, title, 3.0, bold=True)]
    for index, row in enumerate(rows):
        shapes += _row(row, 5.0 + index * each, each, label, scale, width)
    total = 5.0 + len(rows) * each
    key = "Black: planning weight. Thick line: limit; what is left stands at the right."
    shapes.append(Text(0, total + 3.2, key, 2.3, shade=0.2))
    return Scene(width, total + 4.5, tuple(shapes), "Weights of all cases against limits")


def _row(
    row: CaseRow, y: float, each: float, label: float, scale: float, width: float
) -> list[Shape]:
    size = min(_SMALL, each * 0.6)
    bar, base = each * 0.62, y + each * 0.68
    shapes: list[Shape] = [
        Text(0, base, shortened(row.case, label - 2, size, True), size, bold=True),
        box(label, y + each * 0.14, row.planning_g * scale, bar, fill=0.25, line=0),
    ]
    if row.limit_g is not None:
        x = label + row.limit_g * scale
        shapes.append(Line(x, y, x, y + each * 0.9, THICK_MM))
    left = "" if row.left_g is None else f", {_left(row.left_g)}"
    text = f"{kg_text(row.planning_g)} kg{left}"
    shapes.append(Text(width, base, text, size * 0.92, anchor=Anchor.END))
    return shapes


def _bar(row: CaseRow, x: float, y: float, scale: float) -> list[Shape]:
    parts = (("empty", row.empty_g), ("contents", row.contents_g), ("margin", row.margin_g))
    shapes: list[Shape] = []
    for name, grams in parts:
        w = grams * scale
        if name == "empty":
            shapes += hatched(x, y, w, _BAR)
        fill = BLACK if name == "margin" else (None if name == "empty" else WHITE)
        shapes.append(box(x, y, w, _BAR, fill=fill, line=MEDIUM_MM))
        shapes += _caption(f"{name} {kg_text(grams)} kg", x, y, w)
        x += w
    return shapes


def _total(row: CaseRow, x: float, width: float) -> list[Shape]:
    """The planning weight, large, on white right of the bar, or at its right end inside."""
    text, size = f"{kg_text(row.planning_g)} kg", 4.4
    wide = measure(text, size, True)
    left = x + 2 if x + 3 + wide < width else x - wide - 3
    return [
        box(left - 0.8, _TOP + 1, wide + 1.6, _BAR - 2, fill=WHITE, line=0),
        Text(left, _TOP + _BAR / 2 + size * 0.36, text, size, True),
    ]


def _caption(text: str, x: float, y: float, w: float) -> list[Shape]:
    """The figure in the middle of its part, on white; none where it has no room."""
    wide = measure(text, 2.8, True)
    if wide + 3 > w:
        return []
    cx, cy = x + w / 2, y + _BAR / 2
    return [
        box(cx - wide / 2 - 1, cy - 2, wide + 2, 4, fill=WHITE, line=0),
        Text(cx, cy + 1, text, 2.8, True, Anchor.MIDDLE),
    ]


def _left(grams: int) -> str:
    return f"{kg_text(grams)} kg left" if grams >= 0 else f"{kg_text(-grams)} kg OVER"
