"""Matches the headings and sheets of a user's workbook with the schema.

Case, spaces, punctuation and a plural s do not matter. A heading may carry a unit, in brackets or
as its last word: `Weight (lb)`, `Inside length, mm`, `Price (CHF)`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import shared
from packer.reading.cell_text import folded
from packer.reading.columns import LENGTH_KINDS, MASS_KINDS, RADIO_KINDS, Column, Kind, Sheet
from packer.reading.schema import SHEETS

_BRACKETS = re.compile(r"^(.*?)[(\[]([^)\]]*)[)\]]?(.*)$", re.DOTALL)
_WORDS = re.compile(r"[\s,;:/_]+")
_PLAIN_WORDS = frozenset(
    {"one", "each", "gross", "net", "max", "most", "empty", "full", "optional", "required"}
)


@dataclass(frozen=True, slots=True)
class Match:
    """A heading's column and unit; `unknown_unit` is what stands there and is no unit."""

    column: Column
    unit: str = ""
    unknown_unit: str = ""


def match_heading(sheet: Sheet, text: str) -> Match | None:
    """What a heading means on a sheet; None where it means nothing there."""
    index = _index(sheet)
    if column := index.get(folded(text)):
        return Match(column)
    if parts := _BRACKETS.match(text):
        column = index.get(folded(parts[1] + parts[3]))
        return _with_unit(column, parts[2]) if column else None
    return _trailing_unit(index, text)


def _trailing_unit(index: Mapping[str, Column], text: str) -> Match | None:
    words = [word for word in _WORDS.split(text.strip()) if word]
    if len(words) < 2:
        return None
    base = words[:-2] if len(words) > 2 and words[-2].lower() == "in" else words[:-1]
    column = index.get(folded("".join(base)))
    unit = unit_in(column, words[-1]) if column else ""
    return Match(column, unit) if column and unit else None


def _with_unit(column: Column, told: str) -> Match:
    unit = unit_in(column, told)
    if unit or column.kind not in MASS_KINDS | LENGTH_KINDS:
        return Match(column, unit)
    words = [word for word in _WORDS.split(told.strip()) if word]
    if len(words) == 1 and words[0].lower() not in _PLAIN_WORDS and not words[0][0].isdigit():
        return Match(column, "", words[0])
    return Match(column)


def unit_in(column: Column, told: str) -> str:
    """The unit, or the currency, that some words about a column name; '' for none."""
    units = _units_of(column)
    words = [word.rstrip(".") for word in _WORDS.split(told.strip()) if word]
    found = [key for word in words if (key := _unit_key(column, word)) in units]
    if len(found) > 1 and found[0] == "in":
        found = found[1:]  # "in cm"
    return found[0] if found else ""


def _unit_key(column: Column, word: str) -> str:
    return word.upper() if column.kind is Kind.MONEY else word.lower()


def _units_of(column: Column) -> Mapping[str, object]:
    if column.kind in MASS_KINDS or column.kind in (Kind.LITHIUM, Kind.BANDS):
        return shared.MASS_UNITS
    if column.kind in LENGTH_KINDS:
        return shared.LENGTH_UNITS
    if column.kind in RADIO_KINDS:
        return shared.FREQUENCY_UNITS
    if column.kind is Kind.ENERGY:
        return shared.ENERGY_UNITS
    return shared.currencies() if column.kind is Kind.MONEY else {}


@lru_cache(maxsize=32)
def _index(sheet: Sheet) -> Mapping[str, Column]:
    exact = {
        folded(name): column for column in sheet.columns for name in (column.heading, *column.names)
    }
    loose = {_other_number(name): column for name, column in exact.items()}
    return {**loose, **exact}


def _other_number(name: str) -> str:
    return name[:-1] if name.endswith("s") else name + "s"


@lru_cache(maxsize=256)
def match_sheet(name: str) -> Sheet | None:
    """The sheet of the schema with this name; None where there is none."""
    key = folded(name)
    for sheet in SHEETS:
        if key in (folded(sheet.name), _other_number(folded(sheet.name))):
            return sheet
    return None
