"""What a column of the workbook can take, and the shape of the schema's sheets and columns."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What a column takes; `packer.reading.kinds` has one parser for each."""

    TEXT = "text"
    NAME = "name"
    LIST = "list of names"
    MASS_UP = "weight"
    MASS_DOWN = "weight limit"
    LENGTH_UP = "length"
    LENGTH_DOWN = "length limit"
    LITHIUM = "grams of lithium"
    ENERGY = "watt-hours"
    MONEY = "money"
    RATE = "exchange rate"
    WHOLE = "whole number"
    HALVES = "rack units, whole or half"
    YES_NO = "yes or no"
    CHOICE = "choice"
    DATE = "date"
    COUNTRY = "country code"
    ORIGIN = "country of origin"
    CURRENCY = "currency code"
    HS = "HS heading"
    RADIO_USED = "radio ranges of a device"
    RADIO_OPEN = "radio ranges allowed"
    BANDS = "overweight bands"


MASS_KINDS = frozenset({Kind.MASS_UP, Kind.MASS_DOWN})
LENGTH_KINDS = frozenset({Kind.LENGTH_UP, Kind.LENGTH_DOWN})
RADIO_KINDS = frozenset({Kind.RADIO_USED, Kind.RADIO_OPEN})


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `must_fill`: no row may leave it empty; `unit`: what a bare number means.

    `required` columns must be there even where single cells may be empty. `names` are other
    headings that mean the same.
    """

    heading: str
    kind: Kind
    help: str = ""
    required: bool = False
    must_fill: bool = False
    unit: str = ""
    choices: tuple[str, ...] = ()
    default: str = ""
    names: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """The heading in snake case: `Free weight` -> `free_weight`."""
        return self.heading.lower().replace(" ", "_").replace("-", "_")

    @property
    def title(self) -> str:
        """The heading with its unit, as the template writes it: `Weight (kg)`."""
        return f"{self.heading} ({self.unit})" if self.unit else self.heading


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: what a row is, and its columns, the key column first.

    `own` are headings that no template has and that checks read where a user keeps them.
    """

    name: str
    row: str
    columns: tuple[Column, ...]
    required: bool = True
    needs_rows: bool = False
    own: tuple[str, ...] = ()

    def column(self, key: str) -> Column:
        """The column with this key; KeyError if there is none."""
        for column in self.columns:
            if column.key == key:
                return column
        raise KeyError(key)
