"""Builds stops, legs and baggage rules from their rows, and checks what each must make sense of."""

from __future__ import annotations

from packer.model.trip import (
    DEFAULT_MOST_WEIGHT_G,
    Band,
    Concept,
    Leg,
    Rule,
    Stop,
)
from packer.reading.columns import Kind
from packer.reading.log import Log
from packer.reading.money import Exchange
from packer.reading.names import Names, names_of
from packer.reading.schema import RULES
from packer.reading.tables import Row
from packer.reading.values import shown
from packer.reading.words import as_text

_FEES = ("extra_piece_1", "extra_piece_2", "further_pieces")
_PIECE_ONLY = (*_FEES, "overweight_bands")
_RESERVED = frozenset({"all", "none"})


def build_stops(rows: list[Row], log: Log) -> tuple[list[Stop], Names]:
    """The stops that could be read, and the names of all."""
    names = names_of(rows, "stop-unknown", "a stop of the Stops sheet", log)
    for row in rows:
        if str(row.get("name", "")).casefold() in _RESERVED:
            row.fails(log, "name-character", "name", "a name other than all and none", "Rename it.")
    return [_stop(row) for row in rows if not row.bad], names


def _stop(row: Row) -> Stop:
    return Stop(
        row.get("name"),
        row.get("country"),
        row.get("date"),
        row.get("venue", ""),
        row.get("radio_ranges"),
        row.get("radio_source", ""),
        row.get("notes", ""),
        row.source,
        row.extras,
    )


def build_rules(rows: list[Row], exchange: Exchange, log: Log) -> tuple[list[Rule], Names]:
    """The rules that could be read, with every empty cell resolved, and the names of all."""
    names = names_of(rows, "rule-unknown", "a rule of the Rules sheet", log)
    built = [_rule(row, exchange, log) for row in rows if not row.bad]
    return [rule for rule in built if rule is not None], names


def _rule(row: Row, exchange: Exchange, log: Log) -> Rule | None:
    concept = Concept(row.get("concept"))
    _check_concept(row, concept, log)
    fees = {key: _fee(row, key, exchange, log) for key in (*_FEES, "oversize_fee", "fee_per_kg")}
    bands = _bands(row, exchange, log)
    if row.bad or not exchange.currency:
        return None
    most_g = row.get("most_weight", DEFAULT_MOST_WEIGHT_G)
    is_piece = concept is Concept.PIECE
    sizes = (row.get(f"cabin_{side}") for side in ("length", "width", "height"))
    return Rule(
        row.get("name"),
        concept,
        row.get("free_weight", most_g),
        most_g,
        row.get("free_linear"),
        row.get("most_linear"),
        _extras(fees) if is_piece else (),
        bands if is_piece else (),
        fees["oversize_fee"] or 0,
        fees["fee_per_kg"] or 0,
        row.get("cabin_weight"),
        tuple(sorted(size for size in sizes if size is not None)),
        row.get("currency"),
        _published(row),
        row.source,
    )


def _check_concept(row: Row, concept: Concept, log: Log) -> None:
    needs = {
        Concept.PIECE: (("extra_piece_1", "rule-extra-missing", "the fee of an extra piece"),),
        Concept.WEIGHT: (
            ("fee_per_kg", "rule-fee-missing", "the fee for each kilo beyond the free weight"),
            ("free_weight", "rule-free-missing", "the party's free weight"),
        ),
    }
    for key, code, expected in needs[concept]:
        if key not in row.raws:
            row.fails(
                log, code, key, f"{expected}, because the concept is {concept}", "Fill it in."
            )
    _note_unused(row, concept, log)
    free, most = row.get("free_weight"), row.get("most_weight", DEFAULT_MOST_WEIGHT_G)
    if concept is Concept.PIECE and free is not None and free > most:
        message = f"Free weight is above Most weight ({most} g), so it never counts."
        row.says(log, "rule-free-above-most", "free_weight", message, "Check both.")


def _note_unused(row: Row, concept: Concept, log: Log) -> None:
    unused = _PIECE_ONLY if concept is Concept.WEIGHT else ("fee_per_kg",)
    for key in unused:
        if key in row.raws:
            message = f"{row.cell(key).heading} is not used: the concept is {concept}."
            row.says(log, "rule-field-unused", key, message)


def _fee(row: Row, key: str, exchange: Exchange, log: Log) -> int | None:
    price = exchange.price(row, key, "currency", log)
    return price.minor if price else None


def _extras(fees: dict[str, int | None]) -> tuple[int, ...]:
    first = fees["extra_piece_1"] or 0
    second = first if fees["extra_piece_2"] is None else fees["extra_piece_2"]
    further = second if fees["further_pieces"] is None else fees["further_pieces"]
    return (first, second, further)


def _bands(row: Row, exchange: Exchange, log: Log) -> tuple[Band, ...]:
    key, currency = "overweight_bands", row.get("currency")
    return tuple(
        Band(
            band.above_g,
            band.upto_g,
            exchange.plain_price(row, key, band.fee, currency, log),
        )
        for band in row.get(key, ())
    )


def _published(row: Row) -> tuple[tuple[str, str], ...]:
    """The figures as the carrier publishes them: the cell's text, with the unit or currency."""
    return tuple(
        (column.key, _with_unit(as_text(row.raws[column.key]), row.units.get(column.key, "")))
        for column in RULES.columns
        if column.key in row.raws and column.kind not in (Kind.NAME, Kind.CHOICE, Kind.CURRENCY)
    )


def _with_unit(text: str, unit: str) -> str:
    """The text with the heading's unit, unless it has one of its own."""
    return f"{text} {unit}" if unit and not any(map(str.isalpha, text)) else text


def build_legs(rows: list[Row], rules: Names, concepts: dict[str, Concept], log: Log) -> list[Leg]:
    """The legs in flying order: by date, then by row."""
    names = names_of(rows, "", "a leg", log)
    built = [_leg(row, rules, concepts, log) for row in rows]
    for row in rows:
        ticket = row.get("ticket")
        if ticket in names.known and ticket != row.get("name"):
            message = f"Ticket {shown(ticket)} is the name of a leg, too."
            row.says(log, "ticket-is-leg", "ticket", message, "Give the ticket its own name.")
    legs = [leg for leg in built if leg is not None]
    return sorted(legs, key=lambda leg: (leg.date, leg.source.row))


def _leg(row: Row, rules: Names, concepts: dict[str, Concept], log: Log) -> Leg | None:
    named = row.get("rule")
    rule = rules.resolve(row, "rule", named, log) if named is not None else None
    free = row.get("free_pieces")
    if "free_pieces" not in row.raws:
        if rule is None or concepts.get(rule) is Concept.WEIGHT:
            free = 0  # a weight rule counts no pieces
        else:
            row.fails(log, "leg-pieces-missing", "free_pieces", "how many pieces are free", "")
    if row.bad or rule is None:
        return None
    return Leg(
        row.get("name"),
        row.get("from"),
        row.get("to"),
        row.get("date"),
        rule,
        free,
        row.get("free_cabin_pieces", 0),
        row.get("people", 1),
        row.get("ticket"),
        row.source,
    )
