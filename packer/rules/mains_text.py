"""Reads what a device says of mains: `100-240 V 50/60 Hz`.

What comes in: the text of the Mains cell. What goes out: voltage ranges and frequencies; None
where nothing is understood. Plugs are read in `packer.model.plugs`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

import shared

_NUMBER = r"\d{2,3}"
_VOLTS = re.compile(
    rf"(?P<volts>{_NUMBER}(?:\s*(?:-|–|—|to|/|or|,)\s*{_NUMBER})*)\s*(?:V|volts?)\s*(?:AC)?\b",
    re.IGNORECASE,
)
_HERTZ = re.compile(r"(?P<hertz>\d{2}(?:\s*(?:-|–|/|or|,)\s*\d{2})*)\s*Hz\b", re.IGNORECASE)
_RANGE = re.compile(rf"({_NUMBER})\s*(?:-|–|—|to)\s*({_NUMBER})|({_NUMBER})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class MainsNeed:
    """What a device runs on: voltage ranges (both ends included) and frequencies; () any."""

    volts: tuple[tuple[int, int], ...]
    hertz: tuple[int, ...]

    def runs_on_volts(self, nominal: int) -> bool:
        """True where a range holds the nominal voltage, or a single figure is within tolerance."""
        return any(_takes(low, high, nominal) for low, high in self.volts)

    def runs_on_hertz(self, hertz: int) -> bool:
        """True where the frequency is named or none is."""
        return not self.hertz or hertz in self.hertz


def _takes(low: int, high: int, nominal: int) -> bool:
    """Supply tolerance (IEC 60038) is taken off both ends: devices are built for it."""
    percent = shared.mains_figures().tolerance_percent
    return low * (100 - percent) <= nominal * 100 <= high * (100 + percent)


def supply_range(nominal: int) -> tuple[int, int]:
    """The voltages that a supply of this nominal voltage may have, rounded outwards to the volt."""
    percent = shared.mains_figures().tolerance_percent
    return nominal * (100 - percent) // 100, -(-nominal * (100 + percent) // 100)


def parse_mains(text: str) -> MainsNeed | None:
    """Voltages and frequencies in a text; None where no mains voltage is understood.

    Lower voltages, such as those behind a power supply, are passed over.
    """
    named_volts = (
        match for found in _VOLTS.finditer(text) for match in _RANGE.finditer(found["volts"])
    )
    ranges = tuple(held for held in map(_range, named_volts) if held[1] >= _least_volts())
    if not ranges:
        return None
    hertz = _HERTZ.search(text)
    named = tuple(int(each) for each in re.findall(r"\d{2}", hertz["hertz"])) if hertz else ()
    return MainsNeed(ranges, named)


@lru_cache(maxsize=1)
def _least_volts() -> int:
    """The least voltage that any mains of the table may have."""
    return min(supply_range(volts)[0] for held in shared.all_mains() for volts in held.volts)


def _range(match: re.Match[str]) -> tuple[int, int]:
    if match[3]:
        return int(match[3]), int(match[3])
    low, high = int(match[1]), int(match[2])
    return min(low, high), max(low, high)
