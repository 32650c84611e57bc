"""A layer of a box seen from above: length across, the front of the case at the bottom."""

from __future__ import annotations

from packer.papers.drawing.number import NOW_FILL, disc
from packer.papers.drawing.scene import (
    MEDIUM_MM,
    THICK_MM,
    WHITE,
    Anchor,
    Polygon,
    Scene,
    Shape,
    Text,
    box,
    hatched,
)
from packer.papers.pdf.typeset import measure, shortened
from packer.papers.tables.stowage import Layer, Stowed

_HEAD, _FOOT = 5.0, 4.0
_LABEL = 2.3
_RIGHT = 3.0  # room for the arrow of the centre of gravity
_LARGEST_DISC, _SMALLEST_DISC = 3.2, 1.6


def plan_view(
    layer: Layer,
    inside_mm: tuple[int, int, int],
    width: float,
    *,
    now: int | None = None,
    centre_mm: tuple[int, int, int] | None = None,
) -> Scene:
    """One layer, so wide on paper; what rises into it from below is hatched."""
    length, depth, _ = inside_mm
    scale = view_scale(inside_mm, width)
    high = depth * scale
    shapes: list[Shape] = [
        Text(1, 3.4, _title(layer), 2.7, bold=True),
        box(1, _HEAD, length * scale, high, line=THICK_MM),
    ]
    for one in layer.through:
        shapes += _through(one, depth, scale)
    for one in layer.members:
        shapes += _member(one, depth, scale, now == one.number)
    if centre_mm:
        shapes += _gravity(centre_mm, depth, scale, length * scale)
    foot = _HEAD + high + 3.0
    shapes.append(Text(2, foot, "front", 2.3, shade=0.25))
    return Scene(width, _HEAD + high + _FOOT, tuple(shapes), _title(layer))


def view_scale(inside_mm: tuple[int, int, int], width: float) -> float:
    """Millimetres of paper for one of the case in a plan view of this width."""
    return (width - _RIGHT - 1) / inside_mm[0]


def view_height(inside_mm: tuple[int, int, int], width: float) -> float:
    """How high a plan view of this width will be."""
    return _HEAD + inside_mm[1] * view_scale(inside_mm, width) + _FOOT


def _gravity(centre: tuple[int, int, int], depth: int, scale: float, across: float) -> list[Shape]:
    """Arrows at the front and right edge that point at the centre of gravity."""
    x, y = 1 + centre[0] * scale, _HEAD + (depth - centre[1]) * scale
    low, right = _HEAD + depth * scale + 0.5, 1 + across + 0.5
    return [
        Polygon(((x, low), (x - 1.2, low + 2.2), (x + 1.2, low + 2.2)), 0.0, 0.0),
        Polygon(((right, y), (right + 2.2, y - 1.2), (right + 2.2, y + 1.2)), 0.0, 0.0),
        Text(x + 2, low + 2.3, "centre of gravity", 2.0, shade=0.25),
    ]


def _title(layer: Layer) -> str:
    where = "on the floor" if layer.floor_mm <= 25 else f"from {layer.floor_mm / 10:g} cm up"
    return f"Layer {layer.number}, {where}"


def _corner(one: Stowed, depth: int, scale: float) -> tuple[float, float, float, float]:
    x, y, _ = one.place.at_mm
    length, width, _ = one.place.size_mm
    return 1 + x * scale, _HEAD + (depth - y - width) * scale, length * scale, width * scale


def _through(one: Stowed, depth: int, scale: float) -> list[Shape]:
    x, y, w, h = _corner(one, depth, scale)
    return [box(x, y, w, h, dash=(0.8, 0.8)), *hatched(x, y, w, h)]


def _member(one: Stowed, depth: int, scale: float, now: bool) -> list[Shape]:
    x, y, w, h = _corner(one, depth, scale)
    radius = min(_LARGEST_DISC, max(_SMALLEST_DISC, min(w, h) * 0.3))
    shapes: list[Shape] = [box(x, y, w, h, fill=NOW_FILL if now else WHITE, line=MEDIUM_MM)]
    if not one.stands:
        shapes += _pack_under(x, y, w, h)
    label = _label(one)
    beside = w >= 2 * radius + 8 and h < 2 * radius + _LABEL * 2.6
    below = h >= 2 * radius + _LABEL * 2.2 and w >= 8
    cx, cy = x + w / 2, y + h / 2
    if beside:
        cx = x + radius + 1
        room = w - 2 * radius - 3
        shapes.append(Text(cx + radius + 1, cy + _LABEL * 0.36, _cut(label, room), _LABEL))
    elif below:
        cy = y + h / 2 - _LABEL * 0.7
        text = _cut(label, w - 1)
        at = cy + radius + _LABEL * 1.05
        shapes.append(Text(cx, at, text, _LABEL, anchor=Anchor.MIDDLE))
    return shapes + disc(cx, cy, one.number, radius, now=now)


def _cut(text: str, room: float) -> str:
    """The text, shortened to the room; nothing where hardly a letter would be left."""
    if measure(text, _LABEL) <= room:
        return text
    return shortened(text, room, _LABEL) if room > 6 else ""


def _label(one: Stowed) -> str:
    name = one.gear.name if one.gear.quantity == 1 else f"{one.gear.name}-{one.unit}"
    marks = " ".join(letter for letter, on in (("F", one.gear.fragile),) if on)
    return f"{name} {marks}".strip()


def _pack_under(x: float, y: float, w: float, h: float) -> list[Shape]:
    """A dotted inner edge: this one stands on too little and needs packing under it."""
    inset = 0.9
    return [box(x + inset, y + inset, w - 2 * inset, h - 2 * inset, line=0.6, dash=(0.6, 1.0))]
