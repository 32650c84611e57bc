"""The general list: numbers without gaps, identical goods on one line, totals, what is left off."""

from dataclasses import replace

import pytest
from support.sample_trip import STOPS, euro

from packer.model.plan import Decision, Packed
from packer.model.trip import Box, Gear
from packer.papers.tables.borders import border_rows, extract
from packer.papers.tables.customs import (
    case_items,
    customs_list,
    customs_table,
    item_numbers_in,
)
from packer.papers.tables.flown import flown_units


@pytest.fixture
def goods(trip, plan):
    """The list of the sample plan."""
    return customs_list(trip, plan)


def test_item_numbers_run_from_1_without_a_gap(goods):
    """Each good keeps its own number, also where several share a line."""
    numbers = [n for row in goods.rows for n in range(row.first, row.last + 1)]
    assert numbers == list(range(1, goods.last_item + 1))
    assert sorted(goods.numbers().values()) == numbers


def test_every_flown_good_and_case_is_on_it_and_nothing_else(trip, plan, goods):
    """Consumables and hired things are off it; cases are on it."""
    flown = {(u.gear.name, u.unit) for u in flown_units(trip, plan) if not u.gear.consumable}
    cases = {(piece.case, 0) for piece in plan.pieces}
    assert set(goods.numbers()) == flown | cases
    assert not {"TAPE", "BDRUM", "AMPHEAD"} & {name for name, _ in goods.numbers()}


def test_identical_goods_share_a_line_with_all_their_serials(goods):
    """Two trombones: one line, items 4-5, both serials, weight and value of both."""
    (line,) = [row for row in goods.rows if "trombone" in row.description]
    assert line.items == "4-5"
    assert line.pieces == 2
    assert line.weight_g == 6300
    assert line.value_minor == 370_000
    assert line.marks == "marked TRB; S/N TB-7714, TB-7715"


def test_electrical_goods_without_serial_say_so(goods):
    """NSN where no serial is known (gov.uk general list of goods)."""
    marks = {row.members[0][0]: row.marks for row in goods.rows}
    assert marks["PWR"] == "marked PWR; NSN"
    assert marks["IEM"] == "marked IEM; S/N IE-1; 1 NSN"
    assert marks["CBL"] == "marked CBL"


def test_totals_are_those_of_the_goods(plan, goods):
    """Weights: contents without consumables plus empty cases; values converted one by one."""
    tape_g = 4 * 480
    assert goods.pieces == goods.last_item == 25
    assert goods.weight_g == sum(p.contents_g + p.empty_g for p in plan.pieces) - tape_g
    # 2 x 1850 + 2400 + 1519.83 (1299 GBP at 1.17) + 3 x 75 + 180 + 2 x 1400 + 420 + 2 x 60
    # + 4 x 85 + 2100 + 320; cases 2 x 310 + 480 + 140 + 120 + 90
    assert goods.value_minor == 1_412_483 + 145_000


def test_totals_stand_in_words_too(trip, plan):
    """Pieces 2, 1, 4 and values 200, 50, 400: seven pieces, 650 (worked list, Dutch chamber)."""

    def gear(name, quantity, value):
        return Gear(
            name, name, quantity, 100, "x", Box(9, 9, 9), needed_at=STOPS, value=euro(value)
        )

    lines = (gear("a", 2, "100"), gear("b", 1, "50"), gear("c", 4, "100"))
    box = replace(trip.cases[-1], value=None)
    small = replace(trip, gear=lines, cases=(box,))
    units = tuple(Packed(g.name, n + 1) for g in lines for n in range(g.quantity))
    piece = replace(plan.pieces[-1], contents=units)
    decisions = tuple(Decision(g.name, g.quantity) for g in lines)
    found = customs_list(small, replace(plan, pieces=(piece,), decisions=decisions))
    assert found.in_words == ("eight", "EUR six hundred and fifty and 00/100")  # with the case
    assert found.pieces - 1 == 7


def test_the_order_of_rows_in_the_workbook_does_not_matter(trip, plan, goods):
    """Same plan, same list."""
    shuffled = replace(trip, gear=trip.gear[::-1], cases=trip.cases[::-1])
    assert customs_list(shuffled, plan).rows == goods.rows


def test_a_missing_value_or_origin_is_said_on_the_list(trip, plan):
    """No value or origin may be empty (chamber's general list rules): the list says which are."""
    gear = tuple(
        replace(line, value=None, origin="") if line.name == "FLG" else line for line in trip.gear
    )
    found = customs_list(replace(trip, gear=gear), plan)
    assert found.problems == (
        "NOT COMPLETE: no value stated for items 1.",
        "NOT COMPLETE: no country of origin for items 1.",
    )


def test_the_rate_and_its_date_are_stated(goods):
    """Only currencies that a value on the list is in."""
    assert goods.rates == ("1 GBP = 1.17 EUR of 2027-05-03",)


def test_columns_are_the_seven_of_the_convention(goods):
    """Item no., description with marks, pieces, weight, value, origin, customs."""
    headings = [column.heading for column in customs_table(goods).columns]
    assert [heading[0] for heading in headings] == list("1234567")
    assert len(headings) == 7


def test_the_cross_reference_covers_the_list_once(trip, plan, goods):
    """Every number stands in exactly one case, and the sums are the list's."""
    rows = case_items(trip, plan, goods)
    numbers = [n for p in plan.pieces for n in item_numbers_in(trip, plan, goods, p.case)]
    assert sorted(numbers) == list(range(1, goods.last_item + 1))
    assert sum(row.pieces for row in rows) == goods.pieces
    assert sum(row.weight_g for row in rows) == goods.weight_g
    assert sum(row.value_minor for row in rows) == goods.value_minor


def test_borders_of_the_route(trip, goods):
    """IE out, GB in and out, CH in and out, IE in: each a territory of its own."""
    rows = border_rows(trip, goods)
    assert [(row.act, row.country) for row in rows] == [
        ("exportation", "IE"),
        ("importation", "GB"),
        ("re-exportation", "GB"),
        ("importation", "CH"),
        ("re-exportation", "CH"),
        ("re-importation", "IE"),
    ]
    assert {row.items for row in rows} == {"1-25"}


def test_an_extract_names_fewer_never_more(goods):
    """A list of ten items, five of which leave (HMRC manual ATACPD05500); item 26 of 25 may not."""
    assert extract(goods, [1, 2, 3, 5]) == "1-3, 5"
    with pytest.raises(ValueError, match="fewer may travel, never more"):
        extract(goods, [1, 26])
