"""The production manager's summary on one page, and its two pictures."""

from __future__ import annotations

from dataclasses import replace

from packer.model.plan import Plan
from packer.model.trip import Trip
from packer.papers.drawing.money import money_bars, money_chart
from packer.papers.drawing.scene import Scene, Text, placed
from packer.papers.drawing.weights import weights_chart
from packer.papers.notices import notices
from packer.papers.pdf.flow import LEADING, Flow, add_facts, add_table, add_text
from packer.papers.pdf.paper import A4, numbered
from packer.papers.pdf.render import pages_pdf
from packer.papers.pdf.typeset import shortened, wrapped
from packer.papers.stamp import stamp_of
from packer.papers.table import Fact, Kind
from packer.papers.tables.cases import CaseRow, case_rows
from packer.papers.tables.close import close_decisions
from packer.papers.tables.summary import (
    close_limits,
    cost_rows,
    decision_rows,
    finding_rows,
    proof_text,
    stop_rows,
    stops_table,
)
from packer.papers.units import kg_text, money_text

_PICTURE_WIDTH = 180.0
_MOST_PICTURE_MM = 400.0
_SMALL = 2.5
_STEP = _SMALL * LEADING
_CLOSE_LINES = 8
_MOST_NAMES = 12
_MOST_IN_A_COLUMN = 14
_WEIGHTS_HIGH, _WEIGHTS_HIGHEST, _WEIGHTS_STEP = 72.0, 125.0, 4.0


def summary_pdf(trip: Trip, plan: Plan) -> bytes:
    """The summary as a PDF file of one page."""
    return pages_pdf([summary_scene(trip, plan)], f"{trip.name}: summary")


def summary_scene(trip: Trip, plan: Plan) -> Scene:
    """The page; what finds no room on it is counted and named where it is."""
    flow = Flow(A4)
    add_text(flow, shortened(trip.name, A4.inner_width, 5.0, True), 5.0, bold=True)
    flow.space(1)
    add_facts(flow, _facts(trip, plan), plan.currency, 2.8)
    add_table(flow, stops_table(trip, plan), size=2.5)
    _put(flow, _money(trip, plan, A4.inner_width, 46.0))
    _put(flow, _weights(case_rows(trip, plan)))
    _close(flow, trip, plan)
    _lines(flow, _findings_title(plan), [*notices(trip), *_findings(plan)])
    return numbered(flow.pages[:1], A4, stamp_of(trip, plan))[0]


def weights_picture(trip: Trip, plan: Plan) -> Scene:
    """All cases against their limits, as a picture of its own."""
    return _framed(weights_chart(case_rows(trip, plan), _PICTURE_WIDTH))


def money_picture(trip: Trip, plan: Plan) -> Scene:
    """Money by stop, as a picture of its own."""
    return _framed(_money(trip, plan, _PICTURE_WIDTH, _MOST_PICTURE_MM))


def _weights(rows: tuple[CaseRow, ...]) -> Scene:
    """One column of bars, or two where there are many cases."""
    if len(rows) <= _MOST_IN_A_COLUMN:
        return weights_chart(rows, A4.inner_width, _WEIGHTS_HIGH)
    width, half = (A4.inner_width - 6) / 2, -(-len(rows) // 2)
    high = max(_WEIGHTS_HIGH, min(_WEIGHTS_HIGHEST, half * _WEIGHTS_STEP))
    left = weights_chart(rows[:half], width, high)
    right = weights_chart(rows[half:], width, high, "")
    shapes = (*left.shapes, *placed(right, width + 6, 0))
    return replace(left, width=A4.inner_width, shapes=shapes)


def _framed(scene: Scene) -> Scene:
    margin = 5.0
    shapes = tuple(placed(scene, margin, margin))
    width, height = scene.width + 2 * margin, scene.height + 2 * margin
    return replace(scene, width=width, height=height, shapes=shapes)


def _money(trip: Trip, plan: Plan, width: float, height: float) -> Scene:
    baggage = [(charge.leg, charge.total_minor) for charge in plan.charges]
    bars = money_bars(stop_rows(trip, plan), baggage, plan.costs.freight_minor)
    return money_chart(bars, plan.currency, width, height)


def _facts(trip: Trip, plan: Plan) -> tuple[Fact, ...]:
    kinds = ", ".join(
        f"{row.kind.lower()} {money_text(row.minor, plan.currency)}" for row in cost_rows(plan)
    )
    rows = case_rows(trip, plan)
    routes = [str(row.route) for row in rows]
    counts = ", ".join(f"{routes.count(route)} {route}" for route in dict.fromkeys(routes))
    weight = kg_text(sum(row.planning_g for row in rows))
    objects = sum(row.objects for row in rows)
    return (
        Fact("Cash", f"{money_text(plan.costs.cash_minor, plan.currency)}: {kinds}"),
        Fact("Worth given up", plan.costs.worth_minor, Kind.MONEY),
        Fact("Total compared", plan.objective_minor, Kind.MONEY),
        Fact("Proof", f"{proof_text(plan)} Found in {plan.solver.seconds:.1f} s."),
        Fact("Flies", f"{objects} objects in {counts or 'no'} pieces, {weight} kg"),
        Fact("Stays", _stays(trip, plan)),
    )


def _stays(trip: Trip, plan: Plan) -> str:
    """The lines that are hired or lent, as many as a line or two can name."""
    stays = [row for row in decision_rows(trip, plan) if row.covered]
    names = [f"{row.quantity - row.flown} x {row.gear}" for row in stays]
    more = len(names) - _MOST_NAMES
    tail = f" and {more} more lines (manifest.xlsx, Fly or hire)" if more > 0 else ""
    return ", ".join(names[:_MOST_NAMES]) + tail if names else "nothing is hired or lent"


def _close(flow: Flow, trip: Trip, plan: Plan) -> None:
    """Limits and decisions that were close, side by side."""
    limits = [each.sentence for each in close_limits(trip, plan)]
    decisions = [row.sentence(plan.currency) for row in close_decisions(trip, plan)]
    half = (A4.inner_width - 6) / 2
    columns = (("Limits within 1 kg", limits), ("Decisions within 10 %", decisions))
    for column, (title, lines) in enumerate(columns):
        x, y = A4.side + column * (half + 6), flow.y + 3
        flow.put(Text(x, y, title, 3.0, bold=True))
        for number, line in enumerate(_fitting(lines, _CLOSE_LINES, half), start=1):
            flow.put(Text(x, y + 1 + number * _STEP, line, _SMALL))
    flow.space(6 + min(_CLOSE_LINES, max(1, len(limits), len(decisions))) * _STEP)


def _findings_title(plan: Plan) -> str:
    severities = [row.severity for row in finding_rows(plan)]
    counts = [f"{severities.count(s)} {s}s" for s in ("error", "warning", "note")]
    return "Findings: " + ", ".join(count for count in counts if not count.startswith("0 "))


def _findings(plan: Plan) -> list[str]:
    return [
        f"{row.severity.upper()} {row.message} {f'({row.where})' if row.where else ''}".strip()
        for row in finding_rows(plan)
    ]


def _put(flow: Flow, scene: Scene) -> None:
    flow.put(*placed(scene, A4.side, flow.y))
    flow.y += scene.height + 1


def _lines(flow: Flow, title: str, lines: list[str]) -> None:
    """As many lines as there is room for, long ones on two, the rest counted."""
    room = int((flow.room - 6) / _STEP)
    if room < 2:
        return
    flow.put(Text(A4.side, flow.y + 3, title.removesuffix(": "), 3.0, bold=True))
    flow.y += 4.2
    for line in _fitting(lines, room, A4.inner_width, 2):
        flow.put(Text(A4.side, flow.y + _SMALL, line, _SMALL))
        flow.y += _STEP


def _fitting(lines: list[str], room: int, width: float, each: int = 1) -> list[str]:
    """The lines as printed, at most so many, with a last one that says how many found no room."""
    printed: list[str] = []
    for number, line in enumerate(lines):
        parts = _on_lines(line, width, each)
        last = number == len(lines) - 1
        if len(printed) + len(parts) > room - (0 if last else 1):
            return [*printed, f"and {len(lines) - number} more: see manifest.xlsx"]
        printed += parts
    return printed or ["None."]


def _on_lines(line: str, width: float, most: int) -> list[str]:
    parts = wrapped(line, width, _SMALL)
    if len(parts) <= most:
        return list(parts)
    rest = " ".join(parts[most - 1 :])
    return [*parts[: most - 1], shortened(rest, width, _SMALL)]
