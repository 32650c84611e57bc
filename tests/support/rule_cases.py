"""A rule's failing workbook and its neighbour that passes, as a value, and changes often made.

The cases themselves stand in `rule_cases_baggage`, `rule_cases_customs` and `rule_cases_stage`.
All data is invented; published figures stand beside a case, their sources on the rule's page.
"""

from __future__ import annotations

from dataclasses import dataclass

from support.rule_trips import Change, cell, line

LAST = -1


@dataclass(frozen=True)
class Case:
    """A rule's code, the change that trips it, where it must point, and one that passes."""

    code: str
    loud: tuple[Change, ...]
    where: tuple[str, int, str]
    quiet: tuple[Change, ...]
    words: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.code}-{'-'.join(self.words)}"


def ion(wh: float | None, **more: object) -> Change:
    """A lithium-ion line of so many watt-hours."""
    return line(Battery="lithium ion", Battery_Wh=wh, **more)


def radio(ranges: str, name: str = "NEW", **more: object) -> Change:
    """A transmitter on these ranges in MHz."""
    cells = {"Description": "Transmitter", "Radio": ranges, "Serials": f"{name}-1", "Gear": name}
    return line(**(cells | more))


def stop_radio(ranges: str | None, source: str | None = "invented data, 2026-05-02") -> Change:
    """What the only stop allows."""

    def change(sheets: dict[str, list[dict[str, object]]]) -> None:
        sheets["Stops"][0] |= {"Radio ranges": ranges, "Radio source": source}

    return change


def country(code: str, day: str = "2026-07-04") -> Change:
    """Move the show to another country or day."""

    def change(sheets: dict[str, list[dict[str, object]]]) -> None:
        sheets["Stops"][0] |= {"Country": code, "Date": day}

    return change


SPARE = {"Battery_spare": "yes"}
PEOPLE = ("Legs", 0, "People")
ONE_PERSON = (cell("Legs", 0, "People", 1), cell("Legs", 1, "People", 1))
NEW_HS = ("Gear", LAST, "HS")
IN_JAPAN = country("JP")
