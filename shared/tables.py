"""The one loader of the reference tables beside this module.

What comes in: a code, a date, nothing. What goes out: frozen values of `shared.records`, and
`None` where a table has no such row. Each file is read once, at its first use; `origin_of`
says where a table or a figure comes from.
"""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any, TypeVar

from shared.records import (
    Airport,
    BaggageFigures,
    BatteryLimits,
    CabinFigures,
    CarnetFigures,
    ClaimFigures,
    Country,
    Currency,
    EarthFigures,
    FreightFigures,
    FrequencyRow,
    Heading,
    LiabilityLimits,
    Mains,
    MainsFigures,
    NioshFigures,
    Origin,
    RackFigures,
    RadioFact,
    RadioFigures,
    Species,
    SpeciesFigures,
    TeamFigures,
    UsInstrumentLimits,
)

_Figures = TypeVar("_Figures")
_RATIO = re.compile(r"\d(\.\d+|/\d)")


def _text(name: str) -> str:
    return resources.files("shared").joinpath(name).read_text(encoding="utf-8")


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(_text(name))))


@lru_cache(maxsize=1)
def _figures() -> Mapping[str, Mapping[str, Mapping[str, Any]]]:
    return tomllib.loads(_text("figures.toml"))


def _exact(value: Any) -> Any:
    """Decimal numbers written as text become exact; lists become tuples."""
    if isinstance(value, list):
        return tuple(_exact(item) for item in value)
    if isinstance(value, str):
        return Fraction(value) if _RATIO.fullmatch(value) else value
    return value


def _group(kind: type[_Figures], name: str) -> _Figures:
    return kind(**{field: _exact(entry["value"]) for field, entry in _figures()[name].items()})


@lru_cache(maxsize=1)
def _table_sources() -> Mapping[str, Mapping[str, str]]:
    return tomllib.loads(_text("sources.toml"))


def origin_of(name: str) -> Origin:
    """Where a table (`currencies.csv`) or figure (`batteries.small_most_mwh`) comes from.

    KeyError for an unknown name.
    """
    if name.endswith(".csv"):
        entry: Mapping[str, Any] = _table_sources()[name]
    else:
        group, _, field = name.partition(".")
        entry = _figures()[group][field]
    return Origin(entry["source"], entry["edition"], entry["label"])


def table_names() -> tuple[str, ...]:
    """The names of all tables and single figures, for `origin_of`."""
    figures = (f"{group}.{field}" for group, entries in _figures().items() for field in entries)
    return (*_table_sources(), *figures)


@lru_cache(maxsize=1)
def currencies() -> Mapping[str, Currency]:
    """All currencies of ISO 4217 that have a minor unit, by code."""
    return MappingProxyType(
        {
            row["code"]: Currency(row["code"], int(row["decimals"]), row["name"], row["number"])
            for row in _rows("currencies.csv")
        }
    )


def currency(code: str) -> Currency | None:
    """The currency with this code, in capitals; None if ISO 4217 has none such with decimals."""
    return currencies().get(code)


@lru_cache(maxsize=1)
def countries() -> Mapping[str, Country]:
    """All 249 countries of ISO 3166-1 by their two letters."""
    rows = _rows("countries.csv")
    return MappingProxyType({row["alpha2"]: Country(row["alpha2"], row["name"]) for row in rows})


def country(alpha2: str) -> Country | None:
    """The country with these two capital letters; None for `UK` and other codes not assigned."""
    return countries().get(alpha2)


@lru_cache(maxsize=1)
def _territories() -> Mapping[str, str]:
    return {row["alpha2"]: row["territory"] for row in _rows("territories.csv")}


def territory(alpha2: str) -> str:
    """The customs territory of a country: `EU` for all of the Union, else a country's letters."""
    return _territories().get(alpha2, alpha2)


@lru_cache(maxsize=1)
def _all_mains() -> Mapping[str, Mains]:
    return {row["alpha2"]: _mains(row) for row in _rows("mains.csv")}


def _mains(row: Mapping[str, str]) -> Mains:
    volts = tuple(int(volt) for volt in row["volts"].split())
    hertz = tuple(int(each) for each in row["hertz"].split())
    plugs = tuple(row["plugs"].split())
    return Mains(row["alpha2"], volts, hertz, plugs, row["agreement"])


def mains(alpha2: str) -> Mains | None:
    """Household mains of a country as the lists of 2017 have it; None where no list has it."""
    return _all_mains().get(alpha2)


def all_mains() -> tuple[Mains, ...]:
    """The whole mains table, by country code."""
    return tuple(_all_mains().values())


@lru_cache(maxsize=1)
def airports() -> Mapping[str, Airport]:
    """Airports by three-letter code."""
    return MappingProxyType(
        {
            row["iata"]: Airport(
                row["iata"], row["country"], float(row["latitude"]), float(row["longitude"])
            )
            for row in _rows("airports.csv")
        }
    )


def airport(iata: str) -> Airport | None:
    """The airport with this code, in capitals; None if there is none."""
    return airports().get(iata)


@lru_cache(maxsize=1)
def headings() -> Mapping[str, Heading]:
    """Headings of HS 2022 used on stage, by code such as `8518.10`. Not the whole system."""
    rows = _rows("headings.csv")
    return MappingProxyType(
        {row["code"]: Heading(row["code"], row["title"], row["use"]) for row in rows}
    )


def heading(code: str) -> Heading | None:
    """The heading `dddd.dd`; None where this table has none (it may still exist)."""
    return headings().get(code)


@lru_cache(maxsize=1)
def removed_headings() -> Mapping[str, str]:
    """Headings (`8525.80`, or four digits) that HS 2022 no longer has, and what to look at."""
    return MappingProxyType({row["code"]: row["instead"] for row in _rows("removed_headings.csv")})


@lru_cache(maxsize=1)
def liability_limits() -> tuple[LiabilityLimits, ...]:
    """Montreal Convention limits, oldest first."""
    return tuple(
        LiabilityLimits(
            date.fromisoformat(row["in_force"]),
            int(row["baggage_sdr"]),
            int(row["delay_sdr"]),
            int(row["cargo_sdr_per_kg"]),
            int(row["death_or_injury_sdr"]),
            row["source"],
            row["label"],
        )
        for row in _rows("liability.csv")
    )


def liability_on(day: date) -> LiabilityLimits | None:
    """The limits in force on a day; None before the convention."""
    held = [limits for limits in liability_limits() if limits.in_force <= day]
    return held[-1] if held else None


@lru_cache(maxsize=1)
def lifting_frequency() -> tuple[FrequencyRow, ...]:
    """The frequency multipliers of the lifting equation, by pace and then by duration."""
    return tuple(
        FrequencyRow(
            Fraction(row["lifts_per_min"]),
            row["within"],
            Fraction(row["below_75_cm"]),
            Fraction(row["from_75_cm"]),
            row["label"],
        )
        for row in _rows("lifting_frequency.csv")
    )


@lru_cache(maxsize=1)
def lifting_printed() -> Mapping[tuple[str, str, Fraction], Fraction]:
    """Printed multipliers that differ from the formula, by (multiplier, unit, value)."""
    return MappingProxyType(
        {
            (row["multiplier"], row["unit"], Fraction(row["at"])): Fraction(row["printed"])
            for row in _rows("lifting_printed.csv")
        }
    )


@lru_cache(maxsize=1)
def species() -> tuple[Species, ...]:
    """Listed materials met in instruments; the narrower names stand before the wider ones."""
    return tuple(
        Species(**{**row, "words": tuple(word.strip() for word in row["words"].split(";"))})  # type: ignore[arg-type]
        for row in _rows("species.csv")
    )


@lru_cache(maxsize=1)
def radio_facts() -> tuple[RadioFact, ...]:
    """What regulators were seen to say about ranges; far from complete."""
    return tuple(
        RadioFact(
            row["territory"],
            int(row["low_khz"]),
            int(row["high_khz"]),
            date.fromisoformat(row["since"]) if row["since"] else None,
            row["kind"],
            row["fact"],
            row["source"],
            row["label"],
        )
        for row in _rows("radio_facts.csv")
    )


@lru_cache(maxsize=1)
def battery_limits() -> BatteryLimits:
    """Limits for passengers' batteries."""
    return _group(BatteryLimits, "batteries")


@lru_cache(maxsize=1)
def baggage_figures() -> BaggageFigures:
    """Rules of thumb for the weight of one piece."""
    return _group(BaggageFigures, "baggage")


@lru_cache(maxsize=1)
def cabin_figures() -> CabinFigures:
    """Words for what never goes in the cabin."""
    return _group(CabinFigures, "cabin")


@lru_cache(maxsize=1)
def us_instrument_limits() -> UsInstrumentLimits:
    """14 CFR 251.5, instruments as checked baggage on US carriers."""
    return _group(UsInstrumentLimits, "us_instruments")


@lru_cache(maxsize=1)
def niosh_figures() -> NioshFigures:
    """Constants of the revised NIOSH lifting equation."""
    return _group(NioshFigures, "niosh")


@lru_cache(maxsize=1)
def team_figures() -> TeamFigures:
    """Team lifting and filter figures of the British regulator."""
    return _group(TeamFigures, "team")


@lru_cache(maxsize=1)
def carnet_figures() -> CarnetFigures:
    """Terms of a carnet and of its general list."""
    return _group(CarnetFigures, "carnet")


@lru_cache(maxsize=1)
def claim_figures() -> ClaimFigures:
    """Deadlines for claims against a carrier."""
    return _group(ClaimFigures, "claims")


@lru_cache(maxsize=1)
def species_figures() -> SpeciesFigures:
    """Figures of the species rules."""
    return _group(SpeciesFigures, "species")


@lru_cache(maxsize=1)
def mains_figures() -> MainsFigures:
    """Voltage tolerance and what a C plug enters."""
    return _group(MainsFigures, "mains")


@lru_cache(maxsize=1)
def rack_figures() -> RackFigures:
    """Measures of the 19-inch rack."""
    return _group(RackFigures, "rack")


@lru_cache(maxsize=1)
def freight_figures() -> FreightFigures:
    """Rounding of chargeable weight."""
    return _group(FreightFigures, "freight")


@lru_cache(maxsize=1)
def radio_figures() -> RadioFigures:
    """Spacing between frequencies."""
    return _group(RadioFigures, "radio")


@lru_cache(maxsize=1)
def earth_figures() -> EarthFigures:
    """The mean radius."""
    return _group(EarthFigures, "earth")


def _units(quantity: str) -> Mapping[str, Fraction]:
    return MappingProxyType(
        {
            row["spelling"]: Fraction(row["per_base"])
            for row in _rows("units.csv")
            if row["quantity"] == quantity
        }
    )


MASS_UNITS: Mapping[str, Fraction] = _units("mass")
"""Grams in one unit, exact, by spelling in small letters: `kg`, `lb`, `lbs`, `oz`."""

LENGTH_UNITS: Mapping[str, Fraction] = _units("length")
"""Millimetres in one unit, exact, by spelling in small letters: `cm`, `in`, `"`, `ft`, `'`."""

FREQUENCY_UNITS: Mapping[str, Fraction] = _units("frequency")
"""Kilohertz in one unit, by spelling in small letters."""

ENERGY_UNITS: Mapping[str, Fraction] = _units("energy")
"""Milliwatt-hours in one unit, by spelling in small letters."""
