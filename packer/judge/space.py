"""Space in boxes: places, turns, clearance, fragile gear and soft goods (constraint 4).

In: the plan laid beside its trip. Out: breaches. Each length of a rigid unit grows by the packing
clearance once; fragile gear and soft goods look at own sizes without it (section 5.7).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, permutations

from packer.judge.matched import Loaded, Matched, Unit
from packer.judge.verdict import Breach
from packer.judge.words import by
from packer.model.plan import Place
from packer.model.trip import Box, CaseKind

SOFT_FILL_PERCENT = 85  # contract, section 2, constraint 4
UP = 2  # the axis of the inside height

Placed = tuple[Unit, Place]


def space_breaches(matched: Matched) -> Iterator[Breach]:
    """Every box of the plan; and no places where none are wanted."""
    for piece in matched.pieces:
        yield from _places_not_wanted(piece)
        if piece.case.kind is CaseKind.BOX:
            yield from _box(piece, matched.trip.clearance_mm)


def _is_rigid_box_gear(unit: Unit) -> bool:
    return unit.gear.case_kind is CaseKind.BOX and not unit.gear.soft


def _places_not_wanted(piece: Loaded) -> Iterator[Breach]:
    for unit in piece.units:
        if unit.packed.place is None:
            continue
        if piece.case.kind is not CaseKind.BOX or not _is_rigid_box_gear(unit):
            message = f"{unit.name} in {piece.name} needs no place; leave out at_mm and size_mm."
            yield Breach("place-not-wanted", unit.gear.name, message)


def _box(piece: Loaded, clearance_mm: int) -> Iterator[Breach]:
    inside = piece.case.inside
    if inside is None:
        yield Breach("case-without-lengths", piece.name, f"Box {piece.name} has no inside lengths.")
        return
    yield from _without_lengths(piece)
    yield from _places_missing(piece)
    placed = _placed(piece)
    for each in placed:
        yield from _turn(each)
        yield from _sticks_out(piece, inside, each, clearance_mm)
    yield from _overlaps(piece, placed, clearance_mm)
    yield from _above_fragile(piece, placed)
    yield from _soft(piece, inside)


def _without_lengths(piece: Loaded) -> Iterator[Breach]:
    for unit in piece.units:
        if unit.gear.case_kind is CaseKind.BOX and unit.gear.size is None:
            message = f"{unit.name} lies in box {piece.name} and has no lengths."
            yield Breach("gear-without-lengths", unit.gear.name, message)


def _places_missing(piece: Loaded) -> Iterator[Breach]:
    for unit in piece.units:
        if _is_rigid_box_gear(unit) and unit.packed.place is None:
            message = f"{unit.name} in {piece.name} is rigid and has no place."
            yield Breach("place-missing", unit.gear.name, message)


def _placed(piece: Loaded) -> list[Placed]:
    return [
        (unit, unit.packed.place)
        for unit in piece.units
        if _is_rigid_box_gear(unit) and unit.packed.place is not None
    ]


def _turn(placed: Placed) -> Iterator[Breach]:
    unit, place = placed
    size = unit.gear.size
    if size is None:
        return
    if place.size_mm not in set(permutations(size.sides)):
        message = (
            f"{unit.name} is {by(size.sides)}; the plan's {by(place.size_mm)} is no turn of it."
        )
        yield Breach("size-not-a-turn", unit.gear.name, message)
    elif unit.gear.upright and place.size_mm[UP] != size.height_mm:
        message = (
            f"{unit.name} must stand upright, {size.height_mm} mm high; "
            f"the plan has it {place.size_mm[UP]} mm high."
        )
        yield Breach("not-upright", unit.gear.name, message, place.size_mm[UP], size.height_mm)


def _end(place: Place, axis: int, clearance_mm: int) -> int:
    return place.at_mm[axis] + place.size_mm[axis] + clearance_mm


def _sticks_out(piece: Loaded, inside: Box, placed: Placed, clearance_mm: int) -> Iterator[Breach]:
    unit, place = placed
    for axis, name in enumerate(("length", "width", "height")):
        end, limit = _end(place, axis, clearance_mm), inside.sides[axis]
        if place.at_mm[axis] < 0 or end > limit:
            message = (
                f"{unit.name} reaches from {place.at_mm[axis]} to {end} mm along the {name} of "
                f"{piece.name} with {clearance_mm} mm of clearance; the inside has {limit} mm."
            )
            yield Breach("outside-the-case", unit.gear.name, message, end, limit)


def _overlaps(piece: Loaded, placed: list[Placed], clearance_mm: int) -> Iterator[Breach]:
    for (unit, place), (other, taken) in combinations(placed, 2):
        if all(_meet(place, taken, axis, clearance_mm) for axis in range(3)):
            message = (
                f"{unit.name} and {other.name} overlap in {piece.name}, "
                f"with {clearance_mm} mm of clearance."
            )
            yield Breach("places-overlap", unit.gear.name, message)


def _meet(place: Place, other: Place, axis: int, clearance_mm: int) -> bool:
    """True where the two, grown by the clearance, share a length along the axis."""
    starts_before = place.at_mm[axis] < _end(other, axis, clearance_mm)
    return starts_before and other.at_mm[axis] < _end(place, axis, clearance_mm)


def _above_fragile(piece: Loaded, placed: list[Placed]) -> Iterator[Breach]:
    for unit, place in placed:
        if not unit.gear.fragile:
            continue
        for other, above in placed:
            if other is not unit and _lies_above(above, place):
                message = f"{other.name} lies above {unit.name} in {piece.name}, which is fragile."
                yield Breach("above-fragile", unit.gear.name, message)


def _lies_above(place: Place, fragile: Place) -> bool:
    top = _end(fragile, UP, 0)
    return place.at_mm[UP] >= top and _meet(place, fragile, 0, 0) and _meet(place, fragile, 1, 0)


def _soft(piece: Loaded, inside: Box) -> Iterator[Breach]:
    rigid = [unit.gear.size for unit in piece.units if _is_rigid_box_gear(unit)]
    free_mm3 = inside.volume_mm3 - sum(size.volume_mm3 for size in rigid if size)
    room_mm3 = free_mm3 * SOFT_FILL_PERCENT // 100
    used_mm3 = 0
    for unit in piece.units:
        if unit.gear.soft and unit.gear.case_kind is CaseKind.BOX and unit.gear.size:
            used_mm3 += unit.gear.size.volume_mm3
            yield from _soft_length(piece, inside, unit, unit.gear.size)
    if used_mm3 > max(0, room_mm3):
        message = (
            f"Soft goods in {piece.name} take {used_mm3} mm3; "
            f"{SOFT_FILL_PERCENT} % of what the rigid units leave is {room_mm3} mm3."
        )
        yield Breach("soft-overfull", piece.name, message, used_mm3, room_mm3)


def _soft_length(piece: Loaded, inside: Box, unit: Unit, size: Box) -> Iterator[Breach]:
    pairs = zip(sorted(size.sides), sorted(inside.sides), strict=True)
    if any(side > limit for side, limit in pairs):
        message = (
            f"{unit.name}, folded to {by(size.sides)}, does not fit {piece.name} "
            f"({by(inside.sides)} inside) in any turn."
        )
        yield Breach("soft-too-long", unit.gear.name, message)
