"""What lies in which kind of case, and what lies together (constraints 3 and 5).

In: the plan laid beside its trip. Out: breaches. Rack capacity is compared in half units; a rack
case takes rack gear and nothing else, a slots case its slot kind and nothing else (section 5.8).
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.judge.matched import Loaded, Matched, Unit
from packer.judge.verdict import Breach
from packer.judge.words import listed, rack_units, units
from packer.model.trip import CaseKind


def contents_breaches(matched: Matched) -> Iterator[Breach]:
    """Kinds, racks, slots and Only in, piece by piece."""
    for piece in matched.pieces:
        for unit in piece.units:
            yield from _wrong_kind(piece, unit)
            yield from _outside_only_in(piece, unit)
        if piece.case.kind is CaseKind.RACK:
            yield from _rack(piece)
        if piece.case.kind is CaseKind.SLOTS:
            yield from _slots(piece)


def together_breaches(matched: Matched) -> Iterator[Breach]:
    """Flown units with the same Pack with share one case (section 5.9)."""
    cases: dict[str, dict[str, None]] = {}
    for piece in matched.pieces:
        for unit in piece.units:
            if unit.gear.pack_with is not None:
                cases.setdefault(unit.gear.pack_with, {})[piece.name] = None
    for group, names in cases.items():
        if len(names) > 1:
            where = listed(list(names))
            message = f"Gear packed with {group} lies in {where}; it must share one case."
            yield Breach("pack-with-split", group, message, len(names), 1)


def _wrong_kind(piece: Loaded, unit: Unit) -> Iterator[Breach]:
    needed, kind = unit.gear.case_kind, piece.case.kind
    if needed is not kind:
        message = f"{unit.name} flies only in a {needed} case; {piece.name} is a {kind} case."
        yield Breach("wrong-kind-of-case", unit.gear.name, message)


def _outside_only_in(piece: Loaded, unit: Unit) -> Iterator[Breach]:
    allowed = unit.gear.only_in
    if allowed is not None and piece.name not in allowed:
        where = ", ".join(allowed) or "no case at all"
        message = f"{unit.name} lies in {piece.name}; its Only in names {where}."
        yield Breach("outside-only-in", unit.gear.name, message)


def _rack(piece: Loaded) -> Iterator[Breach]:
    gear = [unit for unit in piece.units if unit.gear.rack_half_units is not None]
    used = sum(unit.gear.rack_half_units or 0 for unit in gear)
    capacity = piece.case.rack_half_units or 0
    if used > capacity:
        message = f"Rack {piece.name} holds {rack_units(used)} and has {rack_units(capacity)}."
        yield Breach("rack-overfull", piece.name, message, used, capacity)
    for unit in gear:
        yield from _depth(piece, unit)


def _depth(piece: Loaded, unit: Unit) -> Iterator[Breach]:
    depth, limit = depth_mm(unit), piece.case.rack_depth_mm
    if depth is None or limit is None:
        message = f"{unit.name} in rack {piece.name}: the depth of one of the two is not known."
        yield Breach("rack-too-shallow", unit.gear.name, message, depth, limit)
    elif depth > limit:
        message = f"{unit.name} is {depth} mm deep; rack {piece.name} takes {limit} mm."
        yield Breach("rack-too-shallow", unit.gear.name, message, depth, limit)


def depth_mm(unit: Unit) -> int | None:
    """The depth of rack gear: its Length."""
    if unit.gear.depth_mm is not None:
        return unit.gear.depth_mm
    return unit.gear.size.length_mm if unit.gear.size else None


def _slots(piece: Loaded) -> Iterator[Breach]:
    for unit in piece.units:
        wanted, kind = unit.gear.slot, piece.case.slot
        if unit.gear.case_kind is CaseKind.SLOTS and wanted != kind:
            message = f"{unit.name} needs a slot for {wanted}; {piece.name} has slots for {kind}."
            yield Breach("wrong-slot", unit.gear.name, message)
    capacity = piece.case.slots or 0
    if len(piece.units) > capacity:
        message = f"{piece.name} holds {units(len(piece.units))} and has slots for {capacity}."
        yield Breach("slots-overfull", piece.name, message, len(piece.units), capacity)
