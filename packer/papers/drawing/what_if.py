"""The picture of a sweep: what the plan costs if one thing changes, as bars of cash and worth.

In: the trip's name, its currency, and rows of figures in minor units. Out: an SVG as text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.papers.drawing.bars import Bar, bars_scene
from packer.papers.drawing.svg import scene_svg
from packer.papers.units import major_text


@dataclass(frozen=True, slots=True)
class Figures:
    """A change by its name, and what its plan costs; None for no plan."""

    name: str
    cash_minor: int | None
    worth_minor: int | None


def what_if_picture(trip: str, currency: str, rows: Sequence[Figures]) -> str:
    """The bars from the top down, in the order given."""
    title = f"{trip}: what the plan costs in {currency} if one thing changes"
    bars = [_bar(row, currency) for row in rows]
    return scene_svg(bars_scene(title, ("cash", "worth given up"), bars))


def _bar(row: Figures, currency: str) -> Bar:
    if row.cash_minor is None or row.worth_minor is None:
        return Bar(row.name, (), "no plan")
    total = major_text(row.cash_minor + row.worth_minor, currency)
    return Bar(row.name, (row.cash_minor, row.worth_minor), total)
