"""Published rules of the general list and the carnet, each as the whole of its example.

Sources stand beside each value. All trips, goods and lists are invented.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from support.rule_judging import alone
from support.rule_trips import (
    Change,
    PieceOf,
    at,
    cell,
    changed,
    field,
    line,
    plan_of,
    read,
    trip_findings,
)

import shared
from packer.model.plan import Route
from packer.papers.tables.borders import extract
from packer.papers.tables.customs import CustomsList, customs_list
from packer.road.border_rules import refusals
from packer.road.crossings import Crossing, Issued, Line, Step
from packer.road.item_text import parse_items
from packer.road.ledger import Ledger, entered


def goods(*changes: Change, **units: int) -> CustomsList:
    """The customs list of a plan with so many units of each line in the first trunk."""
    trip = read(alone(*changes))
    return customs_list(trip, plan_of(trip, PieceOf("TRUNK-1", Route.HOLD, 0, (*units.items(),))))


def issued(items: int, last_day: date = date(2027, 3, 1)) -> Ledger:
    """A ledger with a list of so many goods, issued 2026-03-01."""
    lines = tuple(Line(number, 1, f"good {number}") for number in range(1, items + 1))
    return entered(Ledger(), 1, Issued("AX 1", "Band", "GB", date(2026, 3, 1), last_day, lines))


def voucher(items: str, day: date = date(2026, 5, 1)) -> Crossing:
    """An exportation voucher with these item numbers."""
    return Crossing(Step.EXPORTATION, "GB", day, parse_items(items))


def codes(state: Ledger, event: Crossing) -> list[str]:
    """What the ledger refuses."""
    return [found.code for found in refusals(state, event)]


def test_fewer_items_than_the_list_may_leave() -> None:
    """HMRC ATACPD05500: of items 1 to 10, an export voucher for 1-5."""
    assert codes(issued(10), voucher("1-5")) == []


def test_an_item_beyond_the_list_is_refused() -> None:
    """HMRC ATACPD04360: never more than the list; item 11 of 10, by ledger and by extract."""
    assert codes(issued(10), voucher("1-5, 11")) == ["number-not-on-list"]
    ten = goods(line(Quantity=9), NEW=9)  # nine goods and the trunk
    assert ten.last_item == 10
    assert extract(ten, range(1, 6)) == "1-5"
    with pytest.raises(ValueError, match="fewer may travel, never more"):
        extract(ten, [11])


def test_disposable_batteries_are_consumed() -> None:
    """kentinvictachamber.co.uk: disposable batteries do not belong on a carnet's list."""
    disposable = line(Description="Disposable batteries")
    assert at(trip_findings(changed(disposable)), "consumable-on-customs-list")
    marked = line(Description="Disposable batteries", Consumable="yes")
    assert not at(trip_findings(changed(marked)), "consumable-on-customs-list")
    assert goods(marked, NEW=1).last_item == 1  # the trunk alone is on the list


@pytest.mark.parametrize(
    ("description", "refused"), [("box of cables", True), ("set of cables", False)]
)
def test_packaging_is_no_description(description: str, refused: bool) -> None:
    """gov.uk handbook on carnets: `box of cables` will not do, `set of cables` will."""
    found = trip_findings(changed(line(Description=description)))
    assert bool(at(found, "packaging-is-no-description")) is refused


@pytest.mark.parametrize(
    ("serials", "asked", "marks"),
    [
        (None, True, "marked NEW; NSN"),
        ("NSN", False, "marked NEW; NSN"),
        ("none", False, "marked NEW; NSN"),
        ("EG-4471", False, "marked NEW; S/N EG-4471"),
    ],
)
def test_an_electric_guitar_without_serial_must_say_so(
    serials: str | None, asked: bool, marks: str
) -> None:
    """gov.uk handbook on carnets: electric instruments need a serial or NSN."""
    guitar = line(Description="Electric guitar", HS="9207.90", Serials=serials)
    assert bool(at(trip_findings(changed(guitar)), "serial-missing")) is asked
    assert goods(guitar, NEW=1).rows[0].marks == marks


@pytest.mark.parametrize(("last", "late"), [("2027-03-01", False), ("2027-03-02", True)])
def test_a_carnet_lasts_a_year(last: str, late: bool) -> None:
    """19 CFR 114.23 (secondary: lawinsider.com): issued 2026-03-01, used 2027-03-02 is refused."""
    home = (cell("Stops", 0, "Date", last), cell("Legs", 1, "Date", last))
    found = trip_findings(changed(field("Carnet issued", "2026-03-01"), *home))
    assert bool(at(found, "carnet-expires-on-trip")) is late
    refused = ["crossing-after-expiry"] if late else []
    assert codes(issued(10), voucher("1", date.fromisoformat(last))) == refused


def test_totals_in_figures_and_in_words() -> None:
    """Dutch chamber's instructions (cameraverhuur.com): pieces 2, 1, 4, value 200, 50, 400."""
    each = {"A": (2, 100), "B": (1, 50), "C": (4, 100)}
    lines = (
        line(Gear=name, Description=name, Quantity=count, Value=value)
        for name, (count, value) in each.items()
    )
    held = goods(*lines, **{name: count for name, (count, _) in each.items()})
    three = replace(held, rows=held.rows[:3])  # without the trunk, a good of its own
    assert [(row.pieces, row.value_minor) for row in three.rows] == [
        (2, 20_000),
        (1, 5_000),
        (4, 40_000),
    ]
    assert (three.pieces, three.value_minor) == (7, 65_000)
    assert three.in_words == ("seven", "EUR six hundred and fifty and 00/100")


def test_a_heading_of_2017_is_not_one_of_2022() -> None:
    """harmonized-system.csv at 905e5a0f (HS 2022): no 8525.80, but 8525.89."""
    for hs, wrong in (("8525.80", True), ("8525.89", False)):
        found = trip_findings(changed(line(HS=hs, Serials="A1")))
        assert bool(at(found, "heading-no-longer-exists")) is wrong
        assert (shared.heading(hs) is None) is wrong
