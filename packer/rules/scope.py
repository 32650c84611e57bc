"""What a rule looks at: the trip, the plan where there is one, and questions that many rules ask.

What comes in: `Trip` and `Plan`. What goes out: which lines may or do fly, what is in a piece,
and figures written for people.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from packer.law import thousandths
from packer.model.plan import Piece, Plan, Route
from packer.model.trip import Case, Choice, Gear, Stop, Trip
from shared import currency


@dataclass(frozen=True)
class Scope:
    """A trip and, after planning, its plan."""

    trip: Trip
    plan: Plan | None = None

    @cached_property
    def flown(self) -> dict[str, int]:
        """Units of each line that the plan flies; empty without a plan."""
        decisions = self.plan.decisions if self.plan else ()
        return {decision.gear: decision.flown for decision in decisions}

    @cached_property
    def lines(self) -> tuple[Gear, ...]:
        """Lines that may fly or, with a plan, do fly."""
        if self.plan is None:
            return tuple(line for line in self.trip.gear if line.choice is not Choice.HIRE)
        return tuple(line for line in self.trip.gear if self.flown.get(line.name, 0))

    def units(self, line: Gear) -> int:
        """Units that fly by the plan, or without one the units that can only fly.

        A line that some offer covers may stay at home, so without a plan it counts as none.
        """
        if self.plan is not None:
            return self.flown.get(line.name, 0)
        return 0 if self._may_stay(line) else line.quantity

    def _may_stay(self, line: Gear) -> bool:
        if line.choice is not Choice.EITHER:
            return line.choice is Choice.HIRE
        return not line.needed_at or bool({line.name, line.kit} & self._offered)

    @cached_property
    def _offered(self) -> set[str | None]:
        return {offer.target for offer in self.trip.offers}

    def pieces(self, *routes: Route) -> Iterator[Piece]:
        """The plan's pieces on these routes, or all.

        A plan made by hand may name cases that the trip does not have: the judge says so, the
        rules pass over them.
        """
        known = {case.name for case in self.trip.cases}
        for piece in self.plan.pieces if self.plan else ():
            if piece.case in known and (not routes or piece.route in routes):
                yield piece

    def case(self, piece: Piece) -> Case:
        """The case of a piece that `pieces` gave."""
        return self.trip.case_named(piece.case)

    def units_in(self, piece: Piece) -> tuple[Gear, ...]:
        """The line of every unit in the piece, as often as it has units there."""
        by_name = {line.name: line for line in self.trip.gear}
        held = (by_name.get(packed.gear) for packed in piece.contents)
        return tuple(line for line in held if line is not None)

    def lines_in(self, piece: Piece) -> tuple[Gear, ...]:
        """The gear lines with a unit in the piece, by row."""
        names = {packed.gear for packed in piece.contents}
        return tuple(line for line in self.trip.gear if line.name in names)


def own_column(row: Gear | Stop, name: str) -> str:
    """What a column of the user's own says of a row, '' for nothing; `name` as on the sheet."""
    wanted = _letters(name)
    texts = (text.strip() for heading, text in row.extras if _letters(heading) == wanted)
    return next(texts, "")


def _letters(heading: str) -> str:
    return re.sub(r"[^a-z]", "", heading.casefold())


def kg(mass_g: int) -> str:
    """Grams as kilograms for people: 22680 -> `22.68 kg`."""
    return f"{thousandths(mass_g)} kg"


def mhz(frequency_khz: int) -> str:
    """Kilohertz as megahertz for people: 606500 -> `606.5 MHz`."""
    return f"{thousandths(frequency_khz)} MHz"


def cm(length_mm: int) -> str:
    """Millimetres as centimetres for people: 1581 -> `158.1 cm`."""
    whole, rest = divmod(length_mm, 10)
    return f"{whole}.{rest} cm" if rest else f"{whole} cm"


def money(minor: int, code: str) -> str:
    """Minor units as an amount for people: (105000, EUR) -> `1050.00 EUR`."""
    held = currency(code)
    decimals = held.decimals if held else 2
    if not decimals:
        return f"{minor} {code}"
    whole, rest = divmod(abs(minor), 10**decimals)
    return f"{'-' if minor < 0 else ''}{whole}.{rest:0{decimals}d} {code}"


def listed(names: Iterable[str], most: int = 8) -> str:
    """Names joined for a sentence: `A, B and C`; more than `most` are counted, not named."""
    each = list(dict.fromkeys(names))
    if len(each) > most:
        each = [*each[: most - 1], f"{len(each) - most + 1} more"]
    return each[0] if len(each) == 1 else f"{', '.join(each[:-1])} and {each[-1]}" if each else ""


def plural(count: int, one: str, many: str = "") -> str:
    """`1 piece`, `2 pieces`; `many` where the plural is irregular."""
    return f"{count} {one if count == 1 else many or one + 's'}"
