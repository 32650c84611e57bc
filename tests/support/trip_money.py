"""Money of generated trips: exact conversion, half up, kept with what the user would type."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from packer.model.trip import Price, Rate

DECIMALS = {"EUR": 2, "USD": 2, "SEK": 2, "NOK": 2, "CZK": 2, "JPY": 0, "TND": 3}  # ISO 4217
IN_EUR = {
    "EUR": Decimal(1),
    "USD": Decimal("0.8731"),
    "SEK": Decimal("0.08917"),
    "NOK": Decimal("0.08533"),
    "CZK": Decimal("0.04049"),
    "JPY": Decimal("0.005873"),
    "TND": Decimal("0.29415"),
}  # invented rates of a likely size


def rate_rows(home: str, codes: tuple[str, ...]) -> tuple[Rate, ...]:
    """A row for every foreign currency."""
    return tuple(Rate(code, IN_EUR[code], date(2026, 5, 1)) for code in codes if code != home)


@dataclass(frozen=True)
class Purse:
    """The trip currency and the rates; makes prices."""

    home: str
    rates: tuple[Rate, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The trip currency and all foreign ones."""
        return (self.home, *(rate.currency for rate in self.rates))

    def price(self, amount: Decimal, code: str | None = None) -> Price:
        """An amount in a currency (the trip's own by default), converted half up."""
        code = code or self.home
        rate = next((each.rate for each in self.rates if each.currency == code), Decimal(1))
        minor = (amount * rate).scaleb(DECIMALS[self.home])
        return Price(int(minor.quantize(Decimal(1), rounding=ROUND_HALF_UP)), amount, code)

    def about(self, euros: int, code: str) -> Price:
        """A round price in a currency that is worth about so many euros."""
        amount = Decimal(euros) / IN_EUR[code]
        step = Decimal(1) if amount < 500 else Decimal(10)
        return self.price((amount / step).quantize(Decimal(1)) * step, code)
