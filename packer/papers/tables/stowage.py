"""How things stand in a case: layers, what each stands on, the centre of gravity, rack and slots.

All lengths are mm from the inner corner left, front, floor, as the plan has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.model.plan import Packed, Piece, Place
from packer.model.trip import Case, CaseKind, Gear, Trip

STANDS_FROM_PERCENT = 67  # at least two thirds of the base: less needs packing under it
_SAME_LEVEL_MM = 25
_FULL = 100


@dataclass(frozen=True, slots=True)
class Stowed:
    """A rigid object in a box, `number` in packing order; `base_percent` of its base is borne."""

    number: int
    gear: Gear
    unit: int
    place: Place
    base_percent: int

    @property
    def stands(self) -> bool:
        """True where at least two thirds of its base are supported."""
        return self.base_percent >= STANDS_FROM_PERCENT

    @property
    def top_mm(self) -> int:
        """The height of its upper side."""
        return self.place.at_mm[2] + self.place.size_mm[2]


@dataclass(frozen=True, slots=True)
class Layer:
    """Objects whose bottoms are at about the same height; `through` rise into it from below."""

    number: int
    floor_mm: int
    members: tuple[Stowed, ...]
    through: tuple[Stowed, ...]


@dataclass(frozen=True, slots=True)
class RackRow:
    """A unit in a rack: its lower edge and height in halves of a rack unit, from the bottom."""

    number: int
    gear: Gear
    unit: int
    bottom_half_units: int

    @property
    def half_units(self) -> int:
        """Its height in halves of a rack unit."""
        return self.gear.rack_half_units or 0


@dataclass(frozen=True, slots=True)
class SlotRow:
    """A slot counted from 1 and what is in it; `gear` None for an empty one."""

    slot: int
    number: int
    gear: Gear | None
    unit: int


def stowed(trip: Trip, piece: Piece) -> tuple[Stowed, ...]:
    """The rigid objects of a box in packing order, with what they stand on."""
    places = [packed.place for packed in piece.contents if packed.place]
    return tuple(
        Stowed(
            number,
            trip.gear_named(packed.gear),
            packed.unit,
            packed.place,
            base_percent(packed.place, places, trip.clearance_mm),
        )
        for number, packed in enumerate(piece.contents, start=1)
        if packed.place
    )


def loose(trip: Trip, piece: Piece) -> tuple[tuple[int, Gear, int], ...]:
    """What has no place of its own, as (number in packing order, line, unit)."""
    return tuple(
        (number, trip.gear_named(packed.gear), packed.unit)
        for number, packed in enumerate(piece.contents, start=1)
        if packed.place is None
    )


def base_percent(place: Place, others: Sequence[Place], clearance_mm: int) -> int:
    """How much of an object's base rests on the floor or on tops at most a clearance below it."""
    floor = place.at_mm[2]
    if floor <= clearance_mm:
        return _FULL
    length, width, _ = place.size_mm
    borne = sum(
        _overlap(place, other)
        for other in others
        if other is not place and 0 <= floor - other.at_mm[2] - other.size_mm[2] <= clearance_mm
    )
    return borne * _FULL // (length * width)


def layers(objects: Sequence[Stowed]) -> tuple[Layer, ...]:
    """The objects of a box, layer by layer from the floor."""
    floors: list[int] = []
    for height in sorted({one.place.at_mm[2] for one in objects}):
        if not floors or height - floors[-1] > _SAME_LEVEL_MM:
            floors.append(height)
    return tuple(
        Layer(
            number,
            floor,
            tuple(one for one in objects if _floor_of(one, floors) == floor),
            tuple(one for one in objects if _floor_of(one, floors) < floor and one.top_mm > floor),
        )
        for number, floor in enumerate(floors, start=1)
    )


def centre_of_gravity(trip: Trip, piece: Piece) -> tuple[int, int, int] | None:
    """The centre of gravity of a full box, mm inside; None for other kinds and unknown insides.

    Each object's weight is taken at its middle; the empty case's and the soft goods' at the
    middle of the case.
    """
    inside = trip.case_named(piece.case).inside
    if inside is None or trip.case_named(piece.case).kind is not CaseKind.BOX:
        return None
    weighed = [_weighed(trip, packed, inside.sides) for packed in piece.contents]
    weighed.append((piece.empty_g, _middle((0, 0, 0), inside.sides)))
    total = sum(grams for grams, _ in weighed)
    if total == 0:
        return None
    x, y, z = (sum(g * at[axis] for g, at in weighed) // (2 * total) for axis in range(3))
    return x, y, z


def rack_rows(trip: Trip, piece: Piece) -> tuple[RackRow, ...]:
    """The units of a rack from the bottom up, heaviest lowest."""
    numbered = [
        (number, trip.gear_named(packed.gear), packed.unit)
        for number, packed in enumerate(piece.contents, start=1)
    ]
    numbered.sort(key=lambda one: (-one[1].weight_g, one[0]))
    rows, bottom = [], 0
    for number, gear, unit in numbered:
        rows.append(RackRow(number, gear, unit, bottom))
        bottom += gear.rack_half_units or 0
    return tuple(rows)


def slot_rows(trip: Trip, piece: Piece) -> tuple[SlotRow, ...]:
    """Every slot of a slotted case, filled in packing order."""
    case = trip.case_named(piece.case)
    filled = [
        SlotRow(number, number, trip.gear_named(packed.gear), packed.unit)
        for number, packed in enumerate(piece.contents, start=1)
    ]
    count = max(case.slots or 0, len(filled))
    empty = [SlotRow(slot, 0, None, 0) for slot in range(len(filled) + 1, count + 1)]
    return (*filled, *empty)


def inside_of(case: Case) -> tuple[int, int, int]:
    """The inside of a case, or its outside where no inside is given."""
    return (case.inside or case.outside).sides


def _floor_of(one: Stowed, floors: Sequence[int]) -> int:
    return max(floor for floor in floors if floor <= one.place.at_mm[2])


def _overlap(one: Place, other: Place) -> int:
    area = 1
    for axis in (0, 1):
        low = max(one.at_mm[axis], other.at_mm[axis])
        high = min(one.at_mm[axis] + one.size_mm[axis], other.at_mm[axis] + other.size_mm[axis])
        area *= max(0, high - low)
    return area


_Doubled = tuple[int, int, int]


def _weighed(trip: Trip, packed: Packed, sides: tuple[int, int, int]) -> tuple[int, _Doubled]:
    grams = trip.gear_named(packed.gear).weight_g
    if packed.place is None:
        return grams, _middle((0, 0, 0), sides)
    return grams, _middle(packed.place.at_mm, packed.place.size_mm)


def _middle(at: tuple[int, int, int], size: tuple[int, int, int]) -> _Doubled:
    """Twice the middle, so that it stays a whole number."""
    return (2 * at[0] + size[0], 2 * at[1] + size[1], 2 * at[2] + size[2])
