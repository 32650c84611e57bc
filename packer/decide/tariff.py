"""Hire at a stop as a table: the cheapest cover for any missing units, in microseconds.

For every choice of suppliers to have delivered and kits to hire, each line costs what its
cheapest remaining offers ask. The choices are few, so the cheapest is found by looking at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from packer.decide.hire import KitOffer, StopHire
from packer.model.trip import Trip

MOST_CHOICES = 4096
IMPOSSIBLE = 10**12

Choice = tuple[frozenset[str], tuple[KitOffer, ...]]


class Tariff:
    """Prices one stop. `cost[k, r, n]`: n missing units of the r-th line under choice k."""

    def __init__(self, trip: Trip, hire: StopHire, choices: list[Choice]) -> None:
        self.lines = hire.lines
        most = max((trip.gear[i].quantity for i in hire.lines), default=0)
        self.choices = choices
        self.fixed = np.array([_fixed(hire, choice) for choice in choices], dtype=np.int64)
        self.cost = np.full((len(choices), len(hire.lines), most + 1), IMPOSSIBLE, dtype=np.int64)
        for k, choice in enumerate(choices):
            for r, line in enumerate(hire.lines):
                quantity = trip.gear[line].quantity
                self.cost[k, r, : quantity + 1] = _line_costs(hire, choice, line, quantity)
        self._rows = np.arange(len(hire.lines))
        self.quantity = np.array([trip.gear[i].quantity for i in hire.lines], dtype=np.int64)
        self._at = np.array(hire.lines, dtype=np.int64)

    def best(self, flown: NDArray[np.int64]) -> tuple[int, int]:
        """(cost in minor units, deliveries included; the choice), at least IMPOSSIBLE if none."""
        if not len(self.lines):
            return 0, 0
        missing = self.quantity - flown[self._at]
        totals = self.fixed + self.cost[:, self._rows, missing].sum(axis=1)
        k = int(totals.argmin())
        return int(totals[k]), k


def tariff_of(trip: Trip, hire: StopHire) -> Tariff:
    """The table of a stop. Where the choices are too many, every supplier delivers: never cheap.

    Such a table prices too high, which misleads the search a little and no result: plans are
    priced exactly by `packer.decide.cover`.
    """
    kits: dict[str, list[KitOffer | None]] = {}
    for kit in hire.kits:
        kits.setdefault(kit.kit, [None]).append(kit)
    suppliers = sorted(hire.delivery_minor)
    count = 2 ** len(suppliers)
    for offers in kits.values():
        count *= len(offers)
    if count > MOST_CHOICES:
        return Tariff(trip, hire, [(frozenset(suppliers), ())])
    choices: list[Choice] = []
    for flags in product((False, True), repeat=len(suppliers)):
        delivered = frozenset(s for s, flag in zip(suppliers, flags, strict=True) if flag)
        for hired in product(*kits.values()):
            taken = tuple(kit for kit in hired if kit is not None)
            if all(k.supplier in delivered or k.supplier not in suppliers for k in taken):
                choices.append((delivered, taken))
    return Tariff(trip, hire, choices)


def _fixed(hire: StopHire, choice: Choice) -> int:
    delivered, kits = choice
    return sum(hire.delivery_minor[s] for s in delivered) + sum(k.price_minor for k in kits)


def _line_costs(hire: StopHire, choice: Choice, line: int, quantity: int) -> Sequence[int]:
    """Cost of 0, 1, ... `quantity` missing units from the offers that the choice leaves."""
    delivered, kits = choice
    if any(line in kit.lines for kit in kits):
        return [0] * (quantity + 1)
    costs = [0]
    for offer in hire.offers_for(line):
        if offer.supplier in hire.delivery_minor and offer.supplier not in delivered:
            continue
        for _ in range(offer.most):
            if len(costs) <= quantity:
                costs.append(costs[-1] + offer.price_minor)
    return costs + [IMPOSSIBLE] * (quantity + 1 - len(costs))
