"""The revised NIOSH lifting equation, for a lift that the user describes.

What comes in: a `Lift`, metric or in pounds and inches. What goes out: the recommended weight
limit and the lifting index, in two ways: `worksheet` rounds each multiplier to two places, as
the manual's worksheets and printed tables do; `full` keeps every digit. Source: DHHS (NIOSH)
94-110 (1994, reprint 2021); constants and tables stand in `shared`. The result is guidance:
`packer.rules.lifting.CAUTION` goes with it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import prod

import shared
from shared.records import FrequencyRow


class Units(StrEnum):
    """The units of a lift: kilograms and centimetres, or pounds and inches."""

    METRIC = "metric"
    US = "us"


class Coupling(StrEnum):
    """How good the grip is."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Mode(StrEnum):
    """Worksheet: multipliers rounded half up to two places. Full: every digit."""

    WORKSHEET = "worksheet"
    FULL = "full"


@dataclass(frozen=True, slots=True)
class Lift:
    """One end of a lift. Lengths in cm or in, load in kg or lb, pace in lifts a minute.

    `horizontal`: hands from the ankles; `vertical`: hands above the floor; `distance`: how far
    up or down; `origin_vertical`: height at the origin where this is the destination, since
    pace is judged there; `within`: `1 h`, `2 h` or `8 h` of such work. ValueError for a negative
    figure or another duration.
    """

    load: Fraction
    horizontal: Fraction
    vertical: Fraction
    distance: Fraction
    asymmetry_degrees: Fraction = Fraction(0)
    lifts_per_min: Fraction = Fraction(1, 5)
    within: str = "1 h"
    coupling: Coupling = Coupling.GOOD
    units: Units = Units.METRIC
    origin_vertical: Fraction | None = None

    def __post_init__(self) -> None:
        figures = (self.load, self.horizontal, self.vertical, self.distance)
        if min(*figures, self.asymmetry_degrees, self.lifts_per_min) < 0:
            raise ValueError("figures of a lift must not be below 0")
        if self.within not in ("1 h", "2 h", "8 h"):
            raise ValueError(f"duration must be `1 h`, `2 h` or `8 h`, is {self.within!r}")


@dataclass(frozen=True, slots=True)
class Limit:
    """The recommended weight limit in the lift's unit, the index, and the multipliers by name.

    `index` is None where the limit is 0: no load is recommended at all.
    """

    recommended: Fraction
    index: Fraction | None
    multipliers: dict[str, Fraction]

    @property
    def verdict(self) -> str:
        """What the index says, in words that leave the decision to people."""
        figures = shared.niosh_figures()
        if self.index is None:
            return "outside the range of the equation: no load is recommended"
        if self.index <= figures.goal_index:
            return "within the equation's goal; an assessment on the spot decides"
        if self.index <= figures.high_risk_index:
            return "above the goal: raised risk for some people; redesign the lift"
        return "high risk for nearly all people; redesign the lift"


def round_half_up(value: Fraction, places: int) -> Fraction:
    """A value not below 0 rounded to so many decimal places, halves up."""
    scale = 10**places
    return Fraction(int(value * scale + Fraction(1, 2)), scale)


def recommended_limit(lift: Lift, mode: Mode = Mode.FULL) -> Limit:
    """The recommended weight limit of one end of a lift; RWL = LC x HM x VM x DM x AM x FM x CM.

    In worksheet mode the limit is rounded to one place and the index to one.
    """
    multipliers = _multipliers(lift, mode)
    limit = weight_limit(_load_constant(lift), multipliers.values())
    if mode is Mode.WORKSHEET:
        limit = round_half_up(limit, 1)
    index = lift.load / limit if limit else None
    if index is not None and mode is Mode.WORKSHEET:
        index = round_half_up(index, 1)
    return Limit(limit, index, multipliers)


def weight_limit(load_constant: Fraction, multipliers: Iterable[Fraction]) -> Fraction:
    """The load constant times the multipliers of a worksheet, as they stand there, unrounded."""
    return prod(multipliers, start=load_constant)


def with_control(origin: Lift, destination: Lift, mode: Mode = Mode.FULL) -> Limit:
    """The lower of both ends' limits, for a lift that needs control where it ends (p. 21)."""
    ends = (recommended_limit(origin, mode), recommended_limit(destination, mode))
    return min(ends, key=lambda limit: limit.recommended)


def lifts_per_minute(pace: Fraction | int, working_min: int, of_min: int) -> Fraction:
    """The mean pace of work that pauses: pace x working minutes / all minutes (p. 16)."""
    return Fraction(pace) * working_min / of_min


def _load_constant(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    if lift.units is Units.METRIC:
        return Fraction(figures.load_constant_kg_hundredths, 100)
    return Fraction(figures.load_constant_lb_hundredths, 100)


def _multipliers(lift: Lift, mode: Mode) -> dict[str, Fraction]:
    exact = {
        "HM": _horizontal(lift),
        "VM": _vertical(lift),
        "DM": _distance(lift),
        "AM": _asymmetry(lift),
        "FM": _frequency(lift),
        "CM": _coupling(lift),
    }
    if mode is Mode.FULL:
        return exact
    measured = {"HM": lift.horizontal, "DM": lift.distance}
    return {
        name: _printed(name, lift.units, measured.get(name)) or round_half_up(value, 2)
        for name, value in exact.items()
    }


def _printed(name: str, units: Units, at: Fraction | None) -> Fraction | None:
    unit = "cm" if units is Units.METRIC else "in"
    return shared.lifting_printed().get((name, unit, at)) if at is not None else None


def _horizontal(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    least, most = figures.horizontal_least_cm, figures.horizontal_most_cm
    if lift.units is Units.US:
        least, most = figures.horizontal_least_in, figures.horizontal_most_in
    return Fraction(0) if lift.horizontal > most else least / max(lift.horizontal, Fraction(least))


def _vertical(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    most, knuckle = figures.vertical_most_cm, figures.vertical_knuckle_cm
    slope = figures.vertical_slope_per_cm
    if lift.units is Units.US:
        most, knuckle = figures.vertical_most_in, figures.vertical_knuckle_in
        slope = figures.vertical_slope_per_in
    return Fraction(0) if lift.vertical > most else 1 - slope * abs(lift.vertical - knuckle)


def _distance(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    least, most = figures.distance_least_cm, figures.distance_most_cm
    slope = figures.distance_slope_cm
    if lift.units is Units.US:
        least, most = figures.distance_least_in, figures.distance_most_in
        slope = figures.distance_slope_in
    if lift.distance > most:
        return Fraction(0)
    return min(Fraction(1), figures.distance_base + slope / max(lift.distance, Fraction(least)))


def _asymmetry(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    if lift.asymmetry_degrees > figures.asymmetry_most_degrees:
        return Fraction(0)
    return 1 - figures.asymmetry_slope_per_degree * lift.asymmetry_degrees


def _is_low(lift: Lift, vertical: Fraction) -> bool:
    figures = shared.niosh_figures()
    is_metric = lift.units is Units.METRIC
    return vertical < (figures.vertical_knuckle_cm if is_metric else figures.vertical_knuckle_in)


def _coupling(lift: Lift) -> Fraction:
    figures = shared.niosh_figures()
    pair = {
        Coupling.GOOD: figures.coupling_good,
        Coupling.FAIR: figures.coupling_fair,
        Coupling.POOR: figures.coupling_poor,
    }[lift.coupling]
    return pair[0] if _is_low(lift, lift.vertical) else pair[1]


def _frequency(lift: Lift) -> Fraction:
    """The table's multiplier at the origin's height, linear between its rows (p. 7)."""
    vertical = lift.vertical if lift.origin_vertical is None else lift.origin_vertical
    is_low = _is_low(lift, vertical)
    rows = [row for row in shared.lifting_frequency() if row.within == lift.within]
    pace = max(lift.lifts_per_min, rows[0].lifts_per_min)
    if pace > rows[-1].lifts_per_min:
        return Fraction(0)
    upper = next(row for row in rows if row.lifts_per_min >= pace)
    lower = [row for row in rows if row.lifts_per_min <= pace][-1]
    return _between(lower, upper, pace, is_low)


def _between(lower: FrequencyRow, upper: FrequencyRow, pace: Fraction, is_low: bool) -> Fraction:
    start = lower.below_75_cm if is_low else lower.from_75_cm
    end = upper.below_75_cm if is_low else upper.from_75_cm
    if upper.lifts_per_min == lower.lifts_per_min:
        return end
    share = (pace - lower.lifts_per_min) / (upper.lifts_per_min - lower.lifts_per_min)
    return start + share * (end - start)
