"""The arithmetic of a carnet: last day, security, vouchers, item numbers."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from packer.rules.carnet import (
    border_steps,
    last_valid_day,
    number_faults,
    security_minor,
    voucher_needs,
    without_repeats,
)


@pytest.mark.parametrize(
    ("issued", "last"),
    [
        # 19 CFR 114.23 (secondary: lawinsider.com): one year; 2027-03-02 is too late
        (date(2026, 3, 1), date(2027, 3, 1)),
        (date(2028, 2, 29), date(2029, 2, 28)),
    ],
)
def test_last_valid_day(issued: date, last: date) -> None:
    """One year from issue at most."""
    assert last_valid_day(issued) == last


@pytest.mark.parametrize(
    ("value_minor", "percent", "security"),
    [
        (5_000_000, "40", 2_000_000),  # uscib.org: 40 % of USD 50,000
        (1_000_000, "110", 1_100_000),  # wtc-macau.com: 110 % of 10,000
        (333, "50", 167),  # 166.5, half up
        (0, "40", 0),
    ],
)
def test_security(value_minor: int, percent: str, security: int) -> None:
    """The user's own percentage of the list's value."""
    assert security_minor(value_minor, Decimal(percent)) == security


def test_security_of_less_than_nothing_is_refused() -> None:
    """The bound is in the message."""
    with pytest.raises(ValueError, match="not be below 0"):
        security_minor(-1, Decimal(40))


def test_numbers_run_without_gaps() -> None:
    """Dutch chamber's instructions: every good is numbered consecutively."""
    assert number_faults([1, 2, 3]) == ()
    assert number_faults([3, 1, 2]) == ()
    assert number_faults([1, 2, 4]) == (3,)
    assert number_faults([1, 2, 2]) == (2,)
    assert number_faults([2]) == (1,)
    assert number_faults([]) == ()


def test_one_visit_to_the_union_needs_one_set() -> None:
    """Home in GB, shows in France and Germany: the EU is one (ATACPD05000)."""
    needs = voucher_needs(["GB", "EU", "EU", "GB"], "GB", ["EU"])
    assert (needs.departures, needs.visits, needs.transits) == (1, ("EU",), ())
    assert (needs.yellow, needs.white, needs.blue) == (2, 2, 0)


def test_transit_needs_two_blue_vouchers_and_one_counterfoil() -> None:
    """HMRC ATACPD06300: entry and exit, one counterfoil."""
    needs = voucher_needs(["EU", "CH", "GB", "EU"], "EU", ["GB"])
    assert (needs.yellow, needs.white) == (2, 2)
    assert (needs.blue, needs.transit_counterfoils) == (2, 1)
    assert needs.transits == ("CH",)


def test_each_entry_and_each_departure_counts() -> None:
    """CH, home, CH again: two departures and two visits."""
    needs = voucher_needs(["EU", "CH", "EU", "CH", "NO", "EU"], "EU", ["CH", "NO"])
    assert (needs.departures, needs.visits) == (2, ("CH", "CH", "NO"))
    assert (needs.yellow, needs.white) == (4, 6)


def test_each_border_uses_a_voucher_on_either_side() -> None:
    """gov.uk structure of the carnet, ATACPD06300: yellow home, white abroad, blue in transit."""
    assert border_steps(["EU", "CH", "GB", "EU"], "EU", ["GB"]) == (
        ("EU", "CH", ("exportation", "transit")),
        ("CH", "GB", ("transit", "importation")),
        ("GB", "EU", ("re-exportation", "re-importation")),
    )


def test_neighbours_that_are_one_territory_count_once() -> None:
    """A territory that follows itself is not left."""
    assert without_repeats(["EU", "EU", "CH", "CH", "EU"]) == ("EU", "CH", "EU")
    assert without_repeats([]) == ()
