"""The arithmetic of a carnet: last day, security, vouchers and sheets of a route, item numbers.

What comes in: dates, amounts, item numbers, the customs territories in the order they are
crossed. What goes out: exact answers, no findings. Terms and sources stand in `shared`
(carnet). Which countries accept a carnet is the user's own dated knowledge, not kept here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

import shared


def years_after(day: date, years: int) -> date:
    """The same calendar day some years on; 28 February for 29 February where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def last_valid_day(issued: date) -> date:
    """The latest last day of a carnet; the date printed on its cover governs where earlier."""
    return years_after(issued, shared.carnet_figures().most_years)


def security_minor(value_minor: int, percent: Decimal) -> int:
    """Security in minor units: the list's value times the user's own percentage, half up.

    ValueError below 0.
    """
    if value_minor < 0 or percent < 0:
        raise ValueError("value and percentage must not be below 0")
    amount = Decimal(value_minor) * percent / 100
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))


def number_faults(numbers: Sequence[int]) -> tuple[int, ...]:
    """Numbers missing or doubled in a list that must run 1, 2, 3 ... without a gap."""
    expected = set(range(1, max(numbers, default=0) + 1))
    doubled = {number for number in numbers if numbers.count(number) > 1}
    return tuple(sorted((expected - set(numbers)) | doubled))


@dataclass(frozen=True, slots=True)
class VoucherNeeds:
    """The least sheets of a route: sets by territory, in order of crossing.

    `departures` from home need a yellow exportation and re-importation voucher each; each of
    `visits` a white importation and re-exportation voucher; each of `transits` blue ones.
    """

    departures: int
    visits: tuple[str, ...]
    transits: tuple[str, ...]

    @property
    def yellow(self) -> int:
        """Exportation and re-importation vouchers."""
        return 2 * self.departures

    @property
    def white(self) -> int:
        """Importation and re-exportation vouchers."""
        return 2 * len(self.visits)

    @property
    def blue(self) -> int:
        """Transit vouchers."""
        return shared.carnet_figures().vouchers_per_transit * len(self.transits)

    @property
    def transit_counterfoils(self) -> int:
        """Counterfoils of transits."""
        return shared.carnet_figures().counterfoils_per_transit * len(self.transits)


def voucher_needs(path: Sequence[str], home: str, visited: Iterable[str]) -> VoucherNeeds:
    """The sheets that a path of customs territories needs.

    `path` starts and ends at `home`; a territory in it that is not in `visited` is crossed in
    transit. Neighbours that are the same territory count once: the EU is one.
    """
    crossed = without_repeats(path)
    stays = set(visited)
    abroad = [territory for territory in crossed if territory != home]
    leaves = sum(1 for here, there in pairwise(crossed) if here == home != there)
    return VoucherNeeds(
        leaves,
        tuple(territory for territory in abroad if territory in stays),
        tuple(territory for territory in abroad if territory not in stays),
    )


def border_steps(
    path: Sequence[str], home: str, visited: Iterable[str]
) -> tuple[tuple[str, str, tuple[str, str]], ...]:
    """Each border of a path as (from, to, vouchers used on either side of it).

    Yellow: exportation and re-importation; white: re-exportation and importation; blue: transit.
    """
    stays = set(visited)
    return tuple(
        (here, there, (_leaving(here, home, stays), _entering(there, home, stays)))
        for here, there in pairwise(without_repeats(path))
    )


def _leaving(territory: str, home: str, stays: set[str]) -> str:
    if territory == home:
        return "exportation"
    return "re-exportation" if territory in stays else "transit"


def _entering(territory: str, home: str, stays: set[str]) -> str:
    if territory == home:
        return "re-importation"
    return "importation" if territory in stays else "transit"


def without_repeats(path: Iterable[str]) -> tuple[str, ...]:
    """The path without a territory that follows itself."""
    crossed: list[str] = []
    for territory in path:
        if not crossed or crossed[-1] != territory:
            crossed.append(territory)
    return tuple(crossed)
