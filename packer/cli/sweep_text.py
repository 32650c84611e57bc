"""What `holdall sweep` says of a little more, and its picture: bars of cash and worth given up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packer.cli.talk import table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from packer.decide.margins import Margin
    from packer.model.plan import Plan
    from packer.what_if import Changed


def margin_lines(margins: Sequence[Margin], currency: str) -> list[str]:
    """The savings as a table; what is proved to save nothing is named in one line."""
    telling = [margin for margin in margins if margin.most_minor]
    idle = [margin.name for margin in margins if not margin.most_minor]
    lines = table(margin_rows(telling, currency), right=(1, 2)) if telling else []
    if idle:
        lines += ["", f"Proved to save nothing: {'; '.join(idle)}."]
    return lines


def margin_rows(margins: Sequence[Margin], currency: str) -> list[tuple[str, ...]]:
    """Heading and one row for each, those that surely save most first."""
    from packer.papers.units import major_text

    ordered = sorted(margins, key=lambda m: (-(m.least_minor or 0), -m.most_minor, m.name))
    return [
        ("A little more", f"saves at least {currency}", "at most"),
        *(
            (
                margin.name,
                "-" if margin.least_minor is None else major_text(margin.least_minor, currency),
                major_text(margin.most_minor, currency),
            )
            for margin in ordered
        ),
    ]


def margin_json(margin: Margin) -> dict[str, object]:
    """A saving as JSON; money in minor units, None where it is not known."""
    return {
        "name": margin.name,
        "saves_least_minor": margin.least_minor,
        "saves_most_minor": margin.most_minor,
    }


def picture(plan: Plan, changes: Sequence[Changed]) -> str:
    """The totals as an SVG of bars, the trip as it stands first."""
    from packer.papers.drawing.what_if import Figures, what_if_picture

    def figures(name: str, known: Plan | None) -> Figures:
        if known is None:
            return Figures(name, None, None)
        return Figures(name, known.costs.cash_minor, known.costs.worth_minor)

    rows = [figures("as it stands", plan), *(figures(c.name, c.plan) for c in changes)]
    return what_if_picture(plan.trip, plan.currency, rows)
