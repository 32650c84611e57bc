"""Builds the gear lines from rows: references resolved, kinds and roles checked."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from packer.model.trip import (
    Battery,
    Box,
    Carry,
    Chemistry,
    Choice,
    Gear,
    WeightBasis,
)
from packer.reading.cases import Cases
from packer.reading.log import Log
from packer.reading.money import Exchange
from packer.reading.names import Names, log_spellings, names_of
from packer.reading.tables import Row
from packer.reading.values import shown

_SIDES = ("length", "width", "height")


def build_gear(
    rows: list[Row], stops: Names, cases: Cases, exchange: Exchange, log: Log
) -> tuple[list[Gear], Names]:
    """The lines that could be read and have units, and the names of all lines."""
    names = names_of(rows, "offer-target-unknown", "a gear id or a kit", log)
    log_spellings(rows, ("kit", "pack_with", "role", "slot"), log)
    built = [_gear(row, stops, cases, exchange, log) for row in rows]
    return _with_role_needs(rows, [line for line in built if line is not None], log), names


def _gear(row: Row, stops: Names, cases: Cases, exchange: Exchange, log: Log) -> Gear | None:
    if row.get("quantity") == 0:
        message = f"{row.get('name', 'The line')} has Quantity 0 and is left out."
        row.says(log, "gear-quantity-zero", "quantity", message)
        return None
    _check_kind(row, log)
    _check_battery(row, log)
    if row.get("weight") == 0:
        row.says(log, "weight-zero", "weight", "The weight is 0.", "Weigh it.")
    needed_at = _needed_at(row, stops, log)
    only_in = _only_in(row, cases, log)
    worth = exchange.price(row, "worth", "", log)
    value = exchange.price(row, "value", "value_currency", log)
    if row.bad:
        return None
    sides = [row.get(key) for key in _SIDES]
    return Gear(
        name=row.get("name"),
        description=row.get("description"),
        quantity=row.get("quantity"),
        weight_g=row.get("weight"),
        category=row.get("category", ""),
        size=Box(*sides) if all(sides) else None,
        depth_mm=row.get("length") if "rack_units" in row.values else None,
        weight_basis=_optional(WeightBasis, row.get("weight_basis")),
        upright=row.get("way_up") == "upright",
        fragile=row.get("fragile", False),
        soft=row.get("form") == "soft",
        rack_half_units=row.get("rack_units"),
        slot=row.get("slot"),
        kit=row.get("kit"),
        pack_with=row.get("pack_with"),
        only_in=only_in,
        carry=Carry(row.get("carry", "either")),
        role=row.get("role"),
        role_needs=row.get("role_needs") if "role" in row.values else None,
        needed_at=needed_at,
        choice=Choice(row.get("source", "either")),
        worth_minor=worth.minor if worth else 0,
        value=value,
        origin=row.get("origin", ""),
        hs=row.get("hs", ""),
        serials=_serials(row),
        consumable=row.get("consumable", False),
        battery=_battery(row),
        radio=row.get("radio", ()),
        mains=row.get("mains", ""),
        plug=row.get("plug", ""),
        material=row.get("material", ""),
        extras=row.extras,
        source=row.source,
    )


def _optional(kind: Any, value: Any) -> Any:
    return None if value is None else kind(value)


def _check_kind(row: Row, log: Log) -> None:
    is_rack, is_slot = "rack_units" in row.raws, "slot" in row.raws
    if is_rack and is_slot:
        expected = "either Rack units or Slot, not both"
        row.fails(log, "gear-rack-and-slot", "slot", expected, "Empty one of the two cells.")
    elif is_rack:
        if "length" not in row.raws:
            expected = "the depth of rack gear"
            row.fails(log, "gear-length-missing", "length", expected, "Measure its depth.")
    elif not is_slot:
        for key in _SIDES:
            if key not in row.raws:
                remedy = "Measure it; rack and slot gear needs Rack units or Slot instead."
                row.fails(log, "gear-size-missing", key, "all three lengths", remedy)


def _check_battery(row: Row, log: Log) -> None:
    if "battery" in row.raws:
        return
    told = [key for key in ("battery_wh", "battery_g_lithium") if row.get(key)]
    told += ["battery_spare"] if row.get("battery_spare") else []
    if told:
        expected = f"the kind of battery, because {row.cell(told[0]).heading} is filled in"
        row.fails(log, "battery-kind-missing", "battery", expected, "Fill it in.")


def _battery(row: Row) -> Battery | None:
    if "battery" not in row.values:
        return None
    return Battery(
        Chemistry(row.get("battery")),
        row.get("battery_wh"),
        row.get("battery_g_lithium"),
        row.get("battery_spare", False),
    )


def _serials(row: Row) -> tuple[str, ...]:
    parts = re.split(r"[;,]", row.get("serials", ""))
    return tuple(part.strip() for part in parts if part.strip())


def _needed_at(row: Row, stops: Names, log: Log) -> tuple[str, ...]:
    every = tuple(stops.known)
    words = row.get("needed_at", ())
    if not words or [word.casefold() for word in words] == ["all"]:
        return every
    if [word.casefold() for word in words] == ["none"]:
        return ()
    wanted = set(_resolved(row, "needed_at", words, stops, log))
    return tuple(stop for stop in every if stop in wanted)


def _only_in(row: Row, cases: Cases, log: Log) -> tuple[str, ...] | None:
    words = row.get("only_in", ())
    if not words:
        return None
    names = _resolved(row, "only_in", words, cases.names, log)
    return tuple(dict.fromkeys(single for name in names for single in cases.singles.get(name, ())))


def _resolved(row: Row, key: str, words: Iterable[str], names: Names, log: Log) -> list[str]:
    """The names in a list; commas separate as well, unless they are part of a name."""
    found = []
    for word in words:
        parts = [word] if names.find(word) else [p.strip() for p in word.split(",") if p.strip()]
        found += [names.resolve(row, key, part, log) for part in parts]
    return [name for name in found if name is not None]


def _with_role_needs(rows: list[Row], lines: list[Gear], log: Log) -> list[Gear]:
    """The lines with 1 as need of each role that says none (with a warning)."""
    figures: dict[str, set[int]] = {}
    first: dict[str, Row] = {}
    for row in rows:
        role = row.get("role")
        if role is None:
            if row.get("role_needs") is not None:
                message = "Role needs is filled in and Role is not."
                row.says(log, "role-needs-without-role", "role_needs", message, "Name the role.")
            continue
        first.setdefault(role, row)
        known = figures.setdefault(role, set())
        if row.get("role_needs") is not None and row.get("quantity") != 0:
            known.add(row.get("role_needs"))
    _log_roles(figures, first, log)
    return [
        replace(line, role_needs=1) if line.role and not figures[line.role] else line
        for line in lines
    ]


def _log_roles(figures: dict[str, set[int]], first: dict[str, Row], log: Log) -> None:
    for role, known in figures.items():
        if not known and "role_needs" not in first[role].raws:
            message = f"Role {shown(role)} has no Role needs on any line; 1 is taken."
            remedy = "Write how many the show needs on one of its lines."
            first[role].says(log, "role-needs-assumed", "role", message, remedy)
        elif len(known) > 1:
            message = f"Role {shown(role)} has different Role needs; {max(known)} counts."
            first[role].says(log, "role-needs-differ", "role", message)
