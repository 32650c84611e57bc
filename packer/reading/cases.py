"""Builds the single cases from rows: runs expanded, each kind checked for what it needs."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from packer.model.trip import Box, Carry, Case, CaseKind
from packer.reading.log import Log
from packer.reading.money import Exchange
from packer.reading.names import Names, names_of
from packer.reading.tables import Row
from packer.reading.words import as_text

MOST_IN_RUN = 500
_INSIDE = ("inside_length", "inside_width", "inside_height")
_OUTSIDE = ("outside_length", "outside_width", "outside_height")


@dataclass(slots=True)
class Cases:
    """The single cases, the names that `Only in` may use, and the single ids of each of them."""

    built: list[Case]
    names: Names
    singles: dict[str, tuple[str, ...]] = field(default_factory=dict)


def build_cases(rows: list[Row], exchange: Exchange, log: Log) -> Cases:
    """The cases that could be read; names and ids also of those that could not."""
    names = names_of(rows, "case-unknown", "a case of the Cases sheet", log)
    cases = Cases([], names)
    for row in rows:
        singles = _singles(row, log)
        _check_free(row, singles, cases, log)
        cases.singles[row.get("name", "")] = singles
        case_of = _case(row, exchange, log)
        if case_of is not None:
            serials = _serials(row, len(singles), log)
            cases.built += [
                replace(case_of, name=name, serial=serial)
                for name, serial in zip(singles, serials, strict=True)
            ]
    for singles in list(cases.singles.values()):
        for name in singles:
            names.add(name)
            cases.singles.setdefault(name, (name,))
    return cases


def _singles(row: Row, log: Log) -> tuple[str, ...]:
    name, quantity = row.get("name", ""), row.get("quantity", 1)
    if quantity > MOST_IN_RUN:
        row.fails(log, "number-absurd", "quantity", f"at most {MOST_IN_RUN} cases in a row")
        return ()
    if quantity == 0:
        row.says(log, "case-quantity-zero", "quantity", f"{name} has Quantity 0 and is left out.")
        return ()
    return (name,) if quantity == 1 else tuple(f"{name}-{n}" for n in range(1, quantity + 1))


def _check_free(row: Row, singles: tuple[str, ...], cases: Cases, log: Log) -> None:
    own = row.get("name")
    taken = {name for run in cases.singles.values() for name in run} if singles else set()
    clash = [
        name for name in singles if name in taken or (name != own and name in cases.names.known)
    ]
    if clash and not row.bad:
        expected = f"ids that no other row gives; {clash[0]} is given twice"
        row.fails(log, "case-run-duplicate", "name", expected, "Rename one of the rows.")


def _case(row: Row, exchange: Exchange, log: Log) -> Case | None:
    inside, outside = _box(row, _INSIDE), _box(row, _OUTSIDE)
    if not row.bad:
        _check_kind(row, inside, log)
        _check_sizes(row, inside, outside, log)
        _check_gross(row, log)
    value = exchange.price(row, "value", "value_currency", log)
    if row.bad or outside is None:
        return None
    kind = CaseKind(row.get("kind"))
    return Case(
        row.get("name"),
        row.get("name"),
        kind,
        outside,
        row.get("empty_weight"),
        row.get("description", ""),
        inside,
        row.get("most_gross"),
        row.get("rack_units") if kind is CaseKind.RACK else None,
        row.get("rack_depth") if kind is CaseKind.RACK else None,
        row.get("slot") if kind is CaseKind.SLOTS else None,
        row.get("slots") if kind is CaseKind.SLOTS else None,
        Carry(row.get("carry", "hold")),
        value,
        row.get("origin", ""),
        row.get("hs", ""),
        "",
        row.source,
    )


def _box(row: Row, keys: tuple[str, str, str]) -> Box | None:
    sides = [row.get(key) for key in keys]
    return Box(*sides) if all(sides) else None


def _check_kind(row: Row, inside: Box | None, log: Log) -> None:
    kind = CaseKind(row.get("kind"))
    if kind is CaseKind.BOX and inside is None:
        _needs(row, _INSIDE, "case-inside-missing", "the inside length of a box", log)
    elif kind is CaseKind.RACK:
        keys = ("rack_units", "rack_depth")
        _needs(row, keys, "case-rack-incomplete", "rack units and depth of a rack", log)
    elif kind is CaseKind.SLOTS:
        _needs(row, ("slot", "slots"), "case-slots-incomplete", "kind and number of slots", log)
        if row.get("slots") == 0:
            row.fails(log, "number-not-above-zero", "slots", "at least one slot")


def _needs(row: Row, keys: tuple[str, ...], code: str, expected: str, log: Log) -> None:
    for key in keys:
        if key not in row.raws:
            row.fails(log, code, key, expected, "Fill it in, or change Kind.")


def _check_sizes(row: Row, inside: Box | None, outside: Box | None, log: Log) -> None:
    if inside is None or outside is None:
        return
    pairs = zip(sorted(inside.sides), sorted(outside.sides), strict=True)
    if any(within > without for within, without in pairs):
        longest = max(zip(inside.sides, _INSIDE, strict=True))[1]
        worst = next(
            (
                key
                for key, within, without in zip(_INSIDE, inside.sides, outside.sides, strict=True)
                if within > without
            ),
            longest,
        )
        expected = "an inside that is not larger than the outside"
        row.fails(log, "case-inside-larger", worst, expected, "Measure again, or check the units.")


def _check_gross(row: Row, log: Log) -> None:
    gross, empty = row.get("most_gross"), row.get("empty_weight")
    if gross is not None and gross < empty:
        expected = f"at least the Empty weight, {empty} g"
        row.fails(log, "case-gross-below-empty", "most_gross", expected, "Check both weights.")


def _serials(row: Row, count: int, log: Log) -> list[str]:
    """One serial for each single case; several stand with ; between them."""
    text = row.get("serial", "")
    if count == 1 or not text:
        return [text] * count
    parts = [part.strip() for part in as_text(text).split(";") if part.strip()]
    if len(parts) != count:
        message = f"{len(parts)} serials for {count} cases."
        row.says(log, "serial-count", "serial", message, "Write one for each, with ; between them.")
    return (parts + [""] * count)[:count]
