"""The types of the reference tables: one frozen value for a row, or for a group of figures.

Integers carry their unit in the name; exact ratios are `Fraction`. Nothing here reads a file.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction


class Label(StrEnum):
    """How well a figure is known."""

    SEEN = "SEEN"
    MEMORY = "FROM MEMORY"
    COMPUTED = "COMPUTED"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a figure or table comes from; `label` may be `by row` for a whole table."""

    source: str
    edition: str
    label: str


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency of ISO 4217; `decimals` is the exponent of its minor unit: 0, 2, 3 or 4."""

    code: str
    decimals: int
    name: str
    number: str


@dataclass(frozen=True, slots=True)
class Country:
    """A country of ISO 3166-1 with the English short name."""

    alpha2: str
    name: str


@dataclass(frozen=True, slots=True)
class Mains:
    """Household mains: nominal volts and hertz in use (several where regions differ), plug letters.

    `agreement` says whether the lists read agree.
    """

    alpha2: str
    volts: tuple[int, ...]
    hertz: tuple[int, ...]
    plugs: tuple[str, ...]
    agreement: str


@dataclass(frozen=True, slots=True)
class Airport:
    """An airport by its three-letter code; degrees, north and east positive."""

    iata: str
    country: str
    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True)
class Heading:
    """A six-digit heading of the Harmonized System 2022."""

    code: str
    title: str
    use: str


@dataclass(frozen=True, slots=True)
class LiabilityLimits:
    """Montreal Convention limits from a date on, in special drawing rights."""

    in_force: date
    baggage_sdr: int
    delay_sdr: int
    cargo_sdr_per_kg: int
    death_or_injury_sdr: int
    source: str
    label: str


@dataclass(frozen=True, slots=True)
class FrequencyRow:
    """One row of the lifting frequency table; `within` is `1 h`, `2 h` or `8 h` of work."""

    lifts_per_min: Fraction
    within: str
    below_75_cm: Fraction
    from_75_cm: Fraction
    label: str


@dataclass(frozen=True, slots=True)
class Species:
    """A listed material. `finished_instrument`: `papers`, `exempt` or `exempt if not sold`."""

    material: str
    words: tuple[str, ...]
    appendix: str
    annotation: str
    finished_instrument: str
    note: str
    source: str
    label: str


@dataclass(frozen=True, slots=True)
class RadioFact:
    """What a regulator says of a range; `kind`: `closed`, `licence` or `unlicensed`."""

    territory: str
    low_khz: int
    high_khz: int
    since: date | None
    kind: str
    fact: str
    source: str
    label: str


@dataclass(frozen=True, slots=True)
class BatteryLimits:
    """Batteries of passengers: classes per battery (mWh, mg of lithium), counts per person."""

    small_most_mwh: int
    medium_most_mwh: int
    lithium_metal_most_mg: int
    spares_in_cabin: bool
    small_spares_each: int
    devices_each: int
    medium_spares_each: int
    power_banks_each: int
    power_banks_from: date
    lead_acid_most_mwh: int
    lead_acid_spares_each: int
    left_on_most_mwh: int
    left_on_most_mg: int


@dataclass(frozen=True, slots=True)
class BaggageFigures:
    """Rules of thumb for one piece, in grams."""

    heavy_from_g: int
    usual_most_g: int


@dataclass(frozen=True, slots=True)
class UsInstrumentLimits:
    """14 CFR 251.5, checked instruments: inches and pounds, as published."""

    checked_most_linear_in: int
    checked_most_lb: int


@dataclass(frozen=True, slots=True)
class NioshFigures:
    """Constants of the revised lifting equation, metric and US, exact."""

    load_constant_kg_hundredths: int
    load_constant_lb_hundredths: int
    horizontal_least_cm: int
    horizontal_most_cm: int
    horizontal_least_in: int
    horizontal_most_in: int
    vertical_knuckle_cm: int
    vertical_knuckle_in: int
    vertical_most_cm: int
    vertical_most_in: int
    vertical_slope_per_cm: Fraction
    vertical_slope_per_in: Fraction
    distance_base: Fraction
    distance_slope_cm: Fraction
    distance_slope_in: Fraction
    distance_least_cm: int
    distance_most_cm: int
    distance_least_in: int
    distance_most_in: int
    asymmetry_slope_per_degree: Fraction
    asymmetry_most_degrees: int
    coupling_good: tuple[Fraction, Fraction]
    coupling_fair: tuple[Fraction, Fraction]
    coupling_poor: tuple[Fraction, Fraction]
    goal_index: Fraction
    high_risk_index: Fraction


@dataclass(frozen=True, slots=True)
class TeamFigures:
    """Lifting by several people and the filter figures; shares of the sum, per cent off."""

    two_people: Fraction
    three_people: Fraction
    filter_g: int
    smaller_filter_g: int
    twist_45_percent_off: int
    twist_90_percent_off: int
    pace_1_percent_off: int
    pace_5_percent_off: int
    pace_12_percent_off: int


@dataclass(frozen=True, slots=True)
class CarnetFigures:
    """Carnet terms: validity, vouchers, words that are packaging or consumables."""

    most_years: int
    vouchers_per_transit: int
    counterfoils_per_transit: int
    packaging_words: tuple[str, ...]
    plain_headings: tuple[str, ...]
    electrical_headings: tuple[str, ...]
    consumable_headings: tuple[str, ...]
    consumable_words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClaimFigures:
    """Days within which a carrier must be written to, and after which baggage counts as lost."""

    damage_days: int
    delay_days: int
    lost_days: int


@dataclass(frozen=True, slots=True)
class SpeciesFigures:
    """Figures of the species rules."""

    certificate_years: int
    instrument_chapter: str
    imitation_words: tuple[str, ...]
    wood_exempt_most_g: int
    pernambuco_from: date


@dataclass(frozen=True, slots=True)
class MainsFigures:
    """Voltage tolerance in per cent; the sockets that plugs enter; letters without an earth."""

    tolerance_percent: int
    europlug_fits: tuple[str, ...]
    hybrid_fits: tuple[str, ...]
    flat_fits: tuple[str, ...]
    unearthed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CabinFigures:
    """Words for what never goes in the cabin."""

    never_words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RackFigures:
    """Rack measures in micrometres."""

    unit_um: int
    panel_gap_um: int
    panel_width_um: int
    opening_width_um: int
    hole_spacing_um: tuple[int, ...]

    def aperture_um(self, units: int) -> int:
        """The height of an opening for so many rack units."""
        return units * self.unit_um

    def panel_height_um(self, units: int) -> int:
        """The height of a panel of so many rack units: the opening less the gap."""
        return self.aperture_um(units) - self.panel_gap_um


@dataclass(frozen=True, slots=True)
class FreightFigures:
    """Chargeable weight: usual divisor (cm3 per kg) and the steps of rounding."""

    usual_divisor: int
    weight_step_g: int
    length_step_mm: int


@dataclass(frozen=True, slots=True)
class RadioFigures:
    """Spacing from intermodulation products that a published set keeps."""

    least_spacing_khz: int


@dataclass(frozen=True, slots=True)
class EarthFigures:
    """The mean radius of the earth."""

    mean_radius_m: int
