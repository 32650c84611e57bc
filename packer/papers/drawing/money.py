"""Where the cash goes, as bars: hire and delivery by stop, baggage by leg or ticket, freight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.papers.drawing.scene import (
    MEDIUM_MM,
    WHITE,
    Anchor,
    Scene,
    Shape,
    Text,
    box,
    hatched,
)
from packer.papers.pdf.typeset import measure, shortened
from packer.papers.tables.summary import StopRow
from packer.papers.units import money_text

_TYPE = 2.6
_FIGURES = 30.0
_MOST_LABEL = 46.0


@dataclass(frozen=True, slots=True)
class MoneyBar:
    """A bar: plain part (hire), hatched part (delivery), dark part (baggage, freight)."""

    label: str
    plain_minor: int = 0
    hatched_minor: int = 0
    dark_minor: int = 0

    @property
    def total_minor(self) -> int:
        """All parts."""
        return self.plain_minor + self.hatched_minor + self.dark_minor


def money_bars(
    stops: Sequence[StopRow], baggage: Sequence[tuple[str, int]], freight_minor: int
) -> tuple[MoneyBar, ...]:
    """The bars of a plan; together they are its cash."""
    bars = [MoneyBar(row.stop, row.hire_minor, row.delivery_minor) for row in stops]
    bars += [MoneyBar(f"Flight {name}", dark_minor=minor) for name, minor in baggage]
    if freight_minor:
        bars.append(MoneyBar("Freight", dark_minor=freight_minor))
    return tuple(bars)


def money_chart(bars: Sequence[MoneyBar], currency: str, width: float, height: float) -> Scene:
    """The bars on one scale."""
    each = min(6.0, (height - 10) / max(1, len(bars)))
    size = min(_TYPE, each * 0.6)
    widest = max([measure(bar.label, size, True) for bar in bars], default=0.0)
    label = min(_MOST_LABEL, widest + 2.5)
    most = max([bar.total_minor for bar in bars], default=0) or 1
    scale = (width - label - _FIGURES) / most
    shapes: list[Shape] = [Text(0, 3.2, "Where the cash goes", 3.0, bold=True)]
    for index, bar in enumerate(bars):
        y = 5.0 + index * each
        base = y + each * 0.68
        text = money_text(bar.total_minor, currency)
        shapes.append(Text(0, base, shortened(bar.label, label - 2, size, True), size, True))
        shapes += _bar(bar, label, y + each * 0.14, each * 0.66, scale)
        shapes.append(Text(width, base, text, size, anchor=Anchor.END))
    foot = 5.0 + len(bars) * each
    key = "White: hire. Hatched: delivery. Dark: baggage and freight."
    shapes.append(Text(0, foot + 3.2, key, 2.3, shade=0.2))
    return Scene(width, foot + 4.5, tuple(shapes), "Cash by stop and by flight")


def _bar(bar: MoneyBar, x: float, y: float, high: float, scale: float) -> list[Shape]:
    shapes: list[Shape] = []
    for minor, kind in (
        (bar.plain_minor, "plain"),
        (bar.hatched_minor, "hatched"),
        (bar.dark_minor, "dark"),
    ):
        w = minor * scale
        if w <= 0:
            continue
        fill = 0.25 if kind == "dark" else WHITE
        shapes.append(box(x, y, w, high, fill=fill, line=MEDIUM_MM))
        shapes += hatched(x, y, w, high, 1.4) if kind == "hatched" else []
        x += w
    return shapes
