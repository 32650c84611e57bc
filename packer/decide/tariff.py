"""Hire at a stop as tables: the cheapest cover for any missing units, in microseconds.

For every choice of suppliers to have delivered, each line costs what its cheapest remaining
offers ask, and each kit is hired where it is cheaper than its lines one by one: a line is in one
kit at most, so kits do not meet. The choices are few, so the cheapest is found by looking at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from packer.decide.hire import StopHire
from packer.model.trip import Trip

MOST_SUPPLIERS = 7  # with a charge for delivery: choices of which are looked at
IMPOSSIBLE = 10**12


class Tariff:
    """Prices one stop under each choice d of deliveries.

    `fixed[d]`: what is delivered costs. `prices[d, r, n]`: n missing units of the r-th line.
    `kit_lines[k]`: line indices of a kit; `kit_prices[d, k]`: the kit at its cheapest.
    `kit_of[r]`: the kit of the r-th line, -1 if none can be hired. `exact` is False where the
    suppliers are too many: the further ones are delivered in every choice, never too cheap.
    """

    def __init__(self, trip: Trip, hire: StopHire) -> None:
        self.lines = hire.lines
        suppliers = sorted(hire.delivery_minor, key=lambda s: (-_offers(hire, s), s))
        self.exact = len(suppliers) <= MOST_SUPPLIERS
        always = frozenset(suppliers[MOST_SUPPLIERS:])
        choices = [
            always | {s for s, flag in zip(suppliers, flags, strict=False) if flag}
            for flags in product((False, True), repeat=min(len(suppliers), MOST_SUPPLIERS))
        ]
        most = max((trip.gear[i].quantity for i in hire.lines), default=0)
        self.fixed = np.array(
            [sum(hire.delivery_minor[s] for s in choice) for choice in choices], dtype=np.int64
        )
        self.prices = np.full((len(choices), len(hire.lines), most + 1), IMPOSSIBLE, np.int64)
        kits = list(dict.fromkeys(kit.kit for kit in hire.kits))
        self.kit_lines = [next(k.lines for k in hire.kits if k.kit == kit) for kit in kits]
        self.kit_prices = np.full((len(choices), len(kits)), IMPOSSIBLE, np.int64)
        of = {line: k for k, lines in enumerate(self.kit_lines) for line in lines}
        self.kit_of = np.array([of.get(line, -1) for line in hire.lines], dtype=np.int64)
        self.quantity = np.array([trip.gear[i].quantity for i in hire.lines], dtype=np.int64)
        for d, choice in enumerate(choices):
            self._price(d, hire, choice, kits)
        self._rows = np.arange(len(hire.lines))
        self._at = np.array(hire.lines, dtype=np.int64)

    def _price(self, d: int, hire: StopHire, choice: frozenset[str], kits: list[str]) -> None:
        by_line: dict[int, list[int]] = {}
        for offer in sorted(hire.units, key=lambda offer: offer.price_minor):
            if offer.supplier in choice or offer.supplier not in hire.delivery_minor:
                by_line.setdefault(offer.line, []).extend([offer.price_minor] * offer.most)
        for r, line in enumerate(hire.lines):
            each = by_line.get(line, [])[: int(self.quantity[r])]
            self.prices[d, r, : len(each) + 1] = np.cumsum([0, *each])
        for kit in hire.kits:
            if kit.supplier in choice or kit.supplier not in hire.delivery_minor:
                k = kits.index(kit.kit)
                self.kit_prices[d, k] = min(kit.price_minor, int(self.kit_prices[d, k]))

    def best(self, flown: Sequence[int] | NDArray[np.int64]) -> int:
        """The cheapest cost in minor units, deliveries included; at least IMPOSSIBLE if none."""
        if not self.lines:
            return 0
        missing = self.quantity - np.asarray(flown, dtype=np.int64)[self._at]
        each = self.prices[:, self._rows, missing]
        totals = self.fixed + each[:, self.kit_of < 0].sum(axis=1)
        for k in range(len(self.kit_lines)):
            singly = each[:, self.kit_of == k].sum(axis=1)
            totals += np.minimum(singly, self.kit_prices[:, k])
        return int(totals.min())


def _offers(hire: StopHire, supplier: str) -> int:
    return sum(offer.supplier == supplier for offer in hire.units)
