"""Labels for cases and, if wanted, for every object: large id, weight, route, owner, a QR code.

The code holds plain text, so that any reader without a network says whose it is and what is in it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import segno

from packer.model.plan import Plan
from packer.model.trip import Gear, Trip
from packer.papers.case_sheets import case_marks
from packer.papers.drawing.marks import fragile, heavy, this_way_up
from packer.papers.drawing.scene import Anchor, Line, Scene, Shape, Text, Tiles
from packer.papers.pdf.paper import A5_LANDSCAPE, A6_LANDSCAPE, Paper
from packer.papers.pdf.render import pages_pdf
from packer.papers.pdf.typeset import fitting_size, shortened, wrapped
from packer.papers.stamp import stamp_of
from packer.papers.tables.cases import battery_text, case_rows
from packer.papers.tables.customs import CustomsList, customs_list, item_numbers_in
from packer.papers.tables.flown import FlownUnit, flown_units, pieces_in_order
from packer.papers.units import kg_text, kg_up, ranges_text, size_text

_QR_MOST_BYTES = 700  # more makes modules too small for an A6 label at arm's length
_QR_QUIET = 2  # modules of white about the code; the label is white beyond


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says. `lines` stand below the id; `code` is the text of the QR code."""

    name: str
    count: str
    weight: str
    lines: tuple[str, ...]
    code: str
    is_heavy: bool = False
    upright: bool = False
    delicate: bool = False


def case_labels(trip: Trip, plan: Plan) -> tuple[Label, ...]:
    """One label for each case that travels."""
    goods = customs_list(trip, plan)
    pieces = zip(pieces_in_order(plan), case_rows(trip, plan), strict=True)
    labels = []
    for piece, row in pieces:
        is_heavy, upright, delicate = case_marks(trip, piece, row)
        items = ranges_text(item_numbers_in(trip, plan, goods, row.case))
        count = f"{row.number} of {row.count}"
        lines = (
            f"Route: {str(row.route).upper()}  {_route(trip)}",
            *_owner(trip),
            f"{row.description}, {size_text(row.outside_mm)}".lstrip(", "),
            f"Customs items: {items}",
        )
        code = _case_code(trip, row.case, count, row.planning_g, str(row.route), items)
        labels.append(
            Label(row.case, count, kg_up(row.planning_g), lines, code, is_heavy, upright, delicate)
        )
    return tuple(labels)


def object_labels(trip: Trip, plan: Plan) -> tuple[Label, ...]:
    """One label for each object that flies."""
    goods = customs_list(trip, plan)
    return tuple(_object_label(trip, unit, goods) for unit in flown_units(trip, plan))


def labels_a6(trip: Trip, plan: Plan) -> bytes:
    """The case labels on A6, one a page."""
    return _pdf(trip, plan, case_labels(trip, plan), A6_LANDSCAPE)


def labels_a5(trip: Trip, plan: Plan) -> bytes:
    """The case labels on A5, one a page."""
    return _pdf(trip, plan, case_labels(trip, plan), A5_LANDSCAPE)


def object_labels_a6(trip: Trip, plan: Plan) -> bytes:
    """A label for every object on A6, one a page."""
    return _pdf(trip, plan, object_labels(trip, plan), A6_LANDSCAPE)


def label_scene(label: Label, paper: Paper, foot: str) -> Scene:
    """A label drawn on its paper."""
    unit = paper.height / 105  # all lengths are those of A6, scaled
    return Scene(
        paper.width, paper.height, tuple(_shapes(label, paper, foot, unit)), f"Label {label.name}"
    )


def qr_shapes(text: str, x: float, y: float, size: float) -> list[Shape]:
    """A QR code (ISO/IEC 18004) in a square of `size` mm, quiet zone included."""
    matrix = _matrix(text)
    module = size / (len(matrix) + 2 * _QR_QUIET)
    tiles = tuple(
        (
            x + (start + _QR_QUIET) * module,
            y + (row + _QR_QUIET) * module,
            (end - start) * module,
            module,
        )
        for row, bits in enumerate(matrix)
        for start, end in _dark_runs(bits)
    )
    return [Tiles(tiles)]


@lru_cache(maxsize=2000)
def _matrix(text: str) -> tuple[bytes, ...]:
    code = segno.make(text, error="m", micro=False, encoding="utf-8", boost_error=False)
    return tuple(bytes(row) for row in code.matrix)


def _dark_runs(bits: bytes) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for index, bit in enumerate(bits):
        if not bit:
            continue
        if runs and runs[-1][1] == index:
            runs[-1] = (runs[-1][0], index + 1)
        else:
            runs.append((index, index + 1))
    return runs


def _pdf(trip: Trip, plan: Plan, labels: tuple[Label, ...], paper: Paper) -> bytes:
    foot = stamp_of(trip, plan).line
    scenes = [label_scene(label, paper, foot) for label in labels]
    return pages_pdf(scenes or [_nothing(paper)], f"{trip.name}: labels")


def _nothing(paper: Paper) -> Scene:
    text = Text(paper.side, paper.top + 10, "Nothing flies on this trip: no labels.", 4)
    return Scene(paper.width, paper.height, (text,))


def _shapes(label: Label, paper: Paper, foot: str, unit: float) -> list[Shape]:
    left, right, top = paper.side, paper.width - paper.side, paper.top
    qr = 44 * unit
    room = paper.inner_width - qr - 3 * unit
    name_size = fitting_size(label.name, paper.inner_width - 34 * unit, 17 * unit, 8 * unit, True)
    name = shortened(label.name, paper.inner_width - 34 * unit, name_size, True)
    shapes: list[Shape] = [
        Text(left, top + 14 * unit, name, name_size, bold=True),
        Text(right, top + 11 * unit, label.count, 9 * unit, bold=True, anchor=Anchor.END),
        Line(left, top + 19 * unit, right, top + 19 * unit, 0.8 * unit),
        Text(left, top + 34 * unit, f"{label.weight} kg", 13 * unit, bold=True),
    ]
    shapes += _marks(label, left, top + 38 * unit, unit)
    y = top + 57 * unit
    size = 4.0 * unit
    for line in label.lines:
        for part in wrapped(line, room, size)[:3]:
            if y < paper.floor - 11 * unit:
                shapes.append(Text(left, y, part, size))
                y += 5.0 * unit
    shapes += _contact(left, paper.floor - 5.5 * unit, room, unit)
    shapes += qr_shapes(label.code, right - qr, paper.floor - qr - 6 * unit, qr)
    size = 1.9 * unit
    shapes.append(Text(left, paper.floor - 1, shortened(foot, paper.inner_width, size), size))
    return shapes


def _contact(x: float, y: float, room: float, unit: float) -> list[Shape]:
    """A line to write a telephone number on."""
    return [
        Text(x, y, "Contact:", 3.4 * unit),
        Line(x + 16 * unit, y + 0.5, x + room, y + 0.5, 0.3 * unit),
    ]


def _marks(label: Label, x: float, y: float, unit: float) -> list[Shape]:
    shapes: list[Shape] = []
    size = 13 * unit
    if label.is_heavy:
        shapes += heavy(x, y, 42 * unit, size)
        x += 44 * unit
    marks: tuple[tuple[Callable[[float, float, float], list[Shape]], bool], ...] = (
        (this_way_up, label.upright),
        (fragile, label.delicate),
    )
    for draw, on in marks:
        if on:
            shapes += draw(x, y, size)
            x += size + 2 * unit
    return shapes


def _object_label(trip: Trip, unit: FlownUnit, goods: CustomsList) -> Label:
    gear = unit.gear
    item = goods.numbers().get((gear.name, unit.unit))
    lines = (
        gear.description,
        f"Serial: {unit.serial}" if unit.serial else "",
        f"Goes in: {unit.piece.case}",
        f"Customs item: {item}" if item else "Consumable: on the proforma",
        f"Battery: {battery_text(gear.battery)}" if gear.battery else "",
        *_owner(trip),
    )
    kept = tuple(line for line in lines if line)
    code = _object_code(trip, unit, item)
    of_all = f"{unit.unit} of {gear.quantity}" if gear.quantity > 1 else ""
    return Label(
        unit.label, of_all, kg_text(gear.weight_g), kept, code, False, gear.upright, gear.fragile
    )


def _case_code(trip: Trip, case: str, count: str, planning_g: int, route: str, items: str) -> str:
    lines = [
        f"Case: {case} ({count})",
        f"Trip: {trip.name}",
        f"Weight: {kg_text(planning_g)} kg",
        f"Route: {route}",
        *_owner(trip),
        f"Items: {items}",
    ]
    return _limited(lines)


def _object_code(trip: Trip, unit: FlownUnit, item: int | None) -> str:
    gear: Gear = unit.gear
    lines = [
        f"Object: {unit.label}",
        gear.description,
        f"Serial: {unit.serial}" if unit.serial else "",
        f"Case: {unit.piece.case}",
        f"Trip: {trip.name}",
        f"Weight: {kg_text(gear.weight_g)} kg",
        f"Item: {item}" if item else "",
    ]
    return _limited([line for line in lines if line])


def _limited(lines: list[str]) -> str:
    """The text within what a code of this size can hold, whole letters only."""
    text = "\n".join(lines)
    return text.encode()[:_QR_MOST_BYTES].decode(errors="ignore")


def _owner(trip: Trip) -> tuple[str, ...]:
    holder = trip.carnet.holder
    return (f"Owner: {holder}",) if holder else (f"Owner: {trip.name}",)


def _route(trip: Trip) -> str:
    stations = [trip.legs[0].origin] if trip.legs else []
    return "-".join([*stations, *(leg.destination for leg in trip.legs)])
