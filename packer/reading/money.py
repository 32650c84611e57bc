"""Converts prices to minor units of the trip currency, exactly, half up, each by itself.

In: amounts as written and the Rates sheet. Out: `Price`s. Contract, section 5.11.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

import shared
from packer.model.trip import Price
from packer.reading.kinds import Amount
from packer.reading.log import Log
from packer.reading.tables import Row


@dataclass(slots=True)
class Exchange:
    """The trip currency ('' where it could not be read) and the rates, by currency.

    `broken` are currencies whose rate could not be read, which was said already; `is_blind` where
    the whole sheet could not.
    """

    currency: str
    rates: dict[str, Decimal] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    is_blind: bool = False

    def price(
        self, row: Row, key: str, currency_key: str, log: Log, default: int | None = None
    ) -> Price | None:
        """The price in a cell; None, with a finding where there is one to make, if there is none.

        `default` is the amount of an empty cell; without it an empty cell has no price.
        """
        amount = row.get(key)
        if amount is None:
            if default is None or key in row.raws:
                return None
            amount = Amount(Decimal(default))
        currency = self._currency(row, key, currency_key, amount, log)
        return self._converted(row, key, amount.amount, currency, log) if currency else None

    def plain_price(self, row: Row, key: str, amount: Decimal, currency: str, log: Log) -> int:
        """An amount in a given currency as minor units of the trip's; 0 where it has no rate."""
        price = self._converted(row, key, amount, currency, log)
        return price.minor if price else 0

    def _currency(
        self, row: Row, key: str, currency_key: str, amount: Amount, log: Log
    ) -> str | None:
        if currency_key in row.raws and currency_key not in row.values:
            return None  # unreadable, said already
        stated = row.get(currency_key)
        named = amount.currencies
        if stated and named and stated not in named:
            remedy = "Write the amount only, or correct the currency."
            row.fails(log, "currency-conflict", key, f"an amount in {stated}", remedy)
            return None
        if not stated and len(named) > 1:
            row.fails(log, "currency-conflict", key, f"one of {' and '.join(named)} said", "")
            return None
        return stated or (named[0] if named else self.currency)

    def _converted(
        self, row: Row, key: str, amount: Decimal, currency: str, log: Log
    ) -> Price | None:
        if not self.currency:
            return None
        rate = Decimal(1) if currency == self.currency else self.rates.get(currency)
        if rate is None:
            self._log_missing(row, key, currency, log)
            return None
        return Price(self.minor(amount, rate), amount, currency)

    def minor(self, amount: Decimal, rate: Decimal) -> int:
        """Amount times rate in minor units of the trip currency, half up."""
        known = shared.currency(self.currency)
        decimals = known.decimals if known else 2
        exact = Fraction(amount) * Fraction(rate) * 10**decimals
        return int(exact + Fraction(1, 2)) if exact >= 0 else 0

    def _log_missing(self, row: Row, key: str, currency: str, log: Log) -> None:
        row.bad = True
        if self.is_blind or currency in self.broken:
            return
        log.add(
            "rate-missing",
            f"{row.cell(key).heading or key} is in {currency}, for which the Rates sheet has no "
            f"rate; expected one into {self.currency}.",
            f"Add a row {currency} to the Rates sheet.",
            row.cell(key),
            str(row.get("name", "")),
        )


def read_exchange(currency: str, rows: list[Row], log: Log) -> Exchange:
    """The exchange of a trip from its rows of the Rates sheet."""
    rates: dict[str, Decimal] = {}
    broken = set()
    for row in rows:
        code, rate = row.get("currency"), row.get("rate")
        if code is None or rate is None:
            broken.add(code or "")
        elif code == currency and rate != 1:
            expected = f"1, because {currency} is the trip currency"
            row.fails(log, "rate-of-own-currency", "rate", expected, "Delete the row.")
        elif code in rates:
            row.fails(log, "name-duplicate", "currency", "each currency once", "Delete one row.")
        else:
            rates[code] = rate
    return Exchange(currency, rates, frozenset(broken))
