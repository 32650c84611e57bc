"""Case sheets: one page a case, to be read on the packing floor in black and white.

Head with marks, weight against every limit, who lifts, what the show cannot do without, the
drawing of the case, and the list in packing order.
"""

from __future__ import annotations

from dataclasses import replace

from packer.model.plan import Piece, Plan
from packer.model.trip import Trip
from packer.papers.drawing import case_scene
from packer.papers.drawing.marks import fragile, heavy, this_way_up
from packer.papers.drawing.scene import Anchor, Line, Scene, Shape, Text, placed
from packer.papers.drawing.weights import weight_scale
from packer.papers.pdf.flow import LEADING, Flow, add_facts, add_table
from packer.papers.pdf.paper import A4, renumbered
from packer.papers.pdf.render import pages_pdf
from packer.papers.pdf.typeset import fitting_size, shortened
from packer.papers.stamp import stamp_of
from packer.papers.table import Fact
from packer.papers.tables.cases import CaseRow, case_rows, contents_table, limits_of
from packer.papers.tables.essentials import essential_rows, heavy_from_g, lift_text
from packer.papers.tables.flown import pieces_in_order
from packer.papers.tables.stowage import centre_of_gravity, stowed
from packer.papers.units import size_text

_LEAST_DRAWING, _GOOD_DRAWING = 60.0, 95.0
_LIST_SIZES = (None, 2.65, 2.45, 2.25)
_ENDLESS = replace(A4, height=100_000.0)
_MARK = 15.0


def case_sheets_pdf(trip: Trip, plan: Plan, only: frozenset[str] | None = None) -> bytes:
    """All case sheets, or those of the cases in `only`, as one PDF file."""
    return pages_pdf(case_sheet_scenes(trip, plan, only), f"{trip.name}: case sheets")


def case_sheet_scenes(trip: Trip, plan: Plan, only: frozenset[str] | None = None) -> list[Scene]:
    """The pages of all case sheets, or of some; a list longer than a page goes on to the next."""
    pieces = pieces_in_order(plan)
    sections = [
        (A4, _sheet(trip, plan, piece, row).pages)
        for piece, row in zip(pieces, case_rows(trip, plan), strict=True)
        if only is None or piece.case in only
    ]
    return renumbered(sections, stamp_of(trip, plan))


def case_marks(trip: Trip, piece: Piece, row: CaseRow) -> tuple[bool, bool, bool]:
    """Whether the case needs the marks HEAVY, this way up, fragile."""
    lines = [trip.gear_named(packed.gear) for packed in piece.contents]
    delicate = any(line.fragile for line in lines)
    placed_in_box = any(packed.place for packed in piece.contents)
    upright = delicate or placed_in_box or any(line.upright for line in lines)
    return row.planning_g > heavy_from_g(), upright, delicate


def _sheet(trip: Trip, plan: Plan, piece: Piece, row: CaseRow) -> Flow:
    flow = Flow(A4)
    _head(flow, trip, piece, row)
    _put_scene(flow, weight_scale(row, limits_of(trip, piece), A4.inner_width))
    add_facts(flow, _facts(trip, plan, piece), plan.currency, 3.0)
    size = _list_size(flow, trip, piece)
    _put_drawing(flow, trip, piece, size)
    add_table(flow, contents_table(trip, piece), size=size)
    return flow


def _head(flow: Flow, trip: Trip, piece: Piece, row: CaseRow) -> None:
    left, right, top = A4.side, A4.side + A4.inner_width, flow.y
    marks = _marks(case_marks(trip, piece, row), right, top)
    room = A4.inner_width - 58
    size = fitting_size(row.case, room - 34, 11.0, 5.0, bold=True)
    count = f"{row.number} of {row.count}"
    under = f"{row.description}. By {row.route}. {size_text(row.outside_mm)} outside."
    flow.put(
        Text(left, top + 10, shortened(row.case, room - 34, size, True), size, bold=True),
        Text(left + room, top + 10, count, 8.0, bold=True, anchor=Anchor.END),
        Text(left, top + 15.5, shortened(under.lstrip(". "), room, 3.4), 3.4),
        *marks,
        Line(left, top + 18, right, top + 18, 0.6),
    )
    flow.y = top + 20


def _marks(wanted: tuple[bool, bool, bool], right: float, top: float) -> list[Shape]:
    is_heavy, upright, delicate = wanted
    shapes: list[Shape] = []
    x = right
    for draw, on in ((fragile, delicate), (this_way_up, upright)):
        if on:
            x -= _MARK
            shapes += draw(x, top, _MARK)
            x -= 1
    if is_heavy:
        shapes += heavy(x - 24, top, 24, _MARK)
    return shapes


def _facts(trip: Trip, plan: Plan, piece: Piece) -> tuple[Fact, ...]:
    facts = [Fact("Who lifts", lift_text(piece.planning_g))]
    centre = centre_of_gravity(trip, piece)
    if centre:
        x, y, z = (mm / 10 for mm in centre)
        text = f"{x:g} cm from the left, {y:g} from the front, {z:g} up, inside"
        facts.append(Fact("Centre of gravity", text))
    facts += [Fact("The show needs", r.sentence) for r in essential_rows(trip, plan, piece)]
    unsteady = [str(one.number) for one in stowed(trip, piece) if not one.stands]
    if unsteady:
        text = f"under number {', '.join(unsteady)} (dotted edge): less than 2/3 of the base stands"
        facts.append(Fact("Put packing", text))
    return tuple(facts)


def _put_scene(flow: Flow, scene: Scene) -> None:
    flow.need(scene.height)
    flow.put(*placed(scene, A4.side, flow.y))
    flow.y += scene.height


def _list_size(flow: Flow, trip: Trip, piece: Piece) -> float | None:
    """The largest type for the list that leaves the drawing its room."""
    for size in _LIST_SIZES:
        if flow.room - _list_height(trip, piece, size) >= _GOOD_DRAWING:
            return size
    return _LIST_SIZES[-1]


def _list_height(trip: Trip, piece: Piece, size: float | None) -> float:
    """How much paper the list takes, found by setting it on an endless sheet."""
    flow = Flow(_ENDLESS)
    add_table(flow, contents_table(trip, piece), size=size)
    return flow.y - _ENDLESS.top


def _put_drawing(flow: Flow, trip: Trip, piece: Piece, size: float | None) -> None:
    """The drawing as large as the list below it leaves room for."""
    room = max(_LEAST_DRAWING, flow.room - _list_height(trip, piece, size) - 3)
    scene = case_scene(trip, piece, A4.inner_width, most_height_mm=room)
    flow.need(scene.height)
    flow.put(*placed(scene, A4.side + (A4.inner_width - scene.width) / 2, flow.y))
    flow.y += scene.height + LEADING
