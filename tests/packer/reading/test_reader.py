"""What a trip's rows come to: prices, runs, references, roles, defaults. All data is invented."""

from __future__ import annotations

import hashlib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.workbooks import Rows, Sheets, minimal_trip, write_csv_folder, write_workbook

from packer.model.trip import (
    Battery,
    Box,
    Carry,
    CaseKind,
    Chemistry,
    Choice,
    Concept,
    Price,
    Trip,
)
from packer.reading import Reading, read_trip
from packer.reading.money import Exchange


def _read(tmp_path: Path, **changed: Any) -> Reading:
    sheets: Sheets = {**minimal_trip(), **changed}
    return read_trip(write_workbook(tmp_path / "t.xlsx", sheets))


def _trip(tmp_path: Path, **changed: Any) -> Trip:
    reading = _read(tmp_path, **changed)
    assert reading.trip is not None, [each.line() for each in reading.findings]
    return reading.trip


def _rows(sheet: str, **cells: Any) -> Rows:
    """The sheet's rows, the first one changed; `_` in a heading stands for a space."""
    rows = minimal_trip()[sheet]
    rows[0] |= {heading.replace("_", " "): value for heading, value in cells.items()}
    return rows


def _codes(reading: Reading) -> list[str]:
    return [each.code for each in reading.findings]


def test_the_minimal_trip(tmp_path: Path) -> None:
    """Every figure of the minimal trip in its unit."""
    trip = _trip(tmp_path)
    assert (trip.name, trip.home_country, trip.currency) == ("Invented minimal trip", "DE", "EUR")
    assert (trip.scale_margin_g, trip.clearance_mm, trip.one_case_lost) == (500, 5, False)
    horn = trip.gear[0]
    assert (horn.quantity, horn.weight_g, horn.size) == (2, 2500, Box(450, 250, 200))
    assert (horn.worth_minor, horn.value) == (10000, Price(90000, Decimal(900), "EUR"))
    assert (horn.carry, horn.choice, horn.needed_at) == (Carry.EITHER, Choice.EITHER, ("Lakeside",))
    assert trip.offers[1].price == Price(6300, Decimal(60), "CHF")  # 60 CHF at 1.05
    assert trip.deliveries[0].price == Price(4200, Decimal(40), "CHF")


def test_the_hash_is_of_the_files_bytes(tmp_path: Path) -> None:
    """A workbook's hash is the SHA-256 of its bytes; a folder's changes with name and content."""
    path = write_workbook(tmp_path / "t.xlsx", minimal_trip())
    trip = read_trip(path).trip
    assert trip is not None
    assert trip.input_sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    folder = write_csv_folder(tmp_path / "csv", minimal_trip())
    first = read_trip(folder).trip
    (folder / "Rates.csv").write_text("Currency,Rate,Date\nCHF,1.06,2026-06-01\n")
    second = read_trip(folder).trip
    assert first is not None
    assert second is not None
    assert first.input_sha256 != second.input_sha256


def test_a_run_becomes_single_cases(tmp_path: Path) -> None:
    """Quantity 3 gives -1 to -3; a single case keeps its id. Contract, section 1."""
    trip = _trip(tmp_path, Cases=_rows("Cases", Quantity=3, Serial="S1; S2; S3"))
    assert [(case.name, case.run, case.serial) for case in trip.cases] == [
        ("TRUNK-1", "TRUNK", "S1"),
        ("TRUNK-2", "TRUNK", "S2"),
        ("TRUNK-3", "TRUNK", "S3"),
    ]
    assert [case.name for case in _trip(tmp_path, Cases=_rows("Cases", Quantity=1)).cases] == [
        "TRUNK"
    ]


def test_case_defaults(tmp_path: Path) -> None:
    """An empty Carry of a case is hold, an empty Quantity one."""
    trip = _trip(tmp_path, Cases=_rows("Cases", Quantity=None))
    (case,) = trip.cases
    assert (case.carry, case.kind) == (Carry.HOLD, CaseKind.BOX)
    assert (case.inside, case.outside) == (Box(700, 400, 350), Box(740, 440, 400))


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("TRUNK", ("TRUNK-1", "TRUNK-2")),
        ("TRUNK-2", ("TRUNK-2",)),
        ("TRUNK-2; TRUNK-1", ("TRUNK-2", "TRUNK-1")),
        ("TRUNK-2, TRUNK", ("TRUNK-2", "TRUNK-1")),
        (None, None),
    ],
)
def test_only_in_names_cases_or_a_run(
    tmp_path: Path, cell: str | None, expected: tuple[str, ...] | None
) -> None:
    """A run's id stands for all of it. Contract, 5.12."""
    assert _trip(tmp_path, Gear=_rows("Gear", Only_in=cell)).gear[0].only_in == expected


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        (None, ("Lakeside", "Hill, upper")),
        ("All", ("Lakeside", "Hill, upper")),
        ("none", ()),
        ("Hill, upper", ("Hill, upper",)),
        ("Hill, upper; Lakeside", ("Lakeside", "Hill, upper")),
    ],
)
def test_needed_at_names_stops(tmp_path: Path, cell: str | None, expected: tuple[str, ...]) -> None:
    """Empty and `all` mean every stop; a name may hold a comma. Contract, 5.12."""
    stops = [
        *minimal_trip()["Stops"],
        {"Stop": "Hill, upper", "Country": "FR", "Date": "2026-07-06"},
    ]
    trip = _trip(tmp_path, Stops=stops, Gear=_rows("Gear", Needed_at=cell))
    assert trip.gear[0].needed_at == expected


def test_empty_fees_take_the_price_to_their_left(tmp_path: Path) -> None:
    """Contract, 5.2: Extra piece 2 as 1, Further pieces as 2; Free weight as Most weight."""
    rows = _rows("Rules", Extra_piece_1=75, Extra_piece_2=None, Further_pieces=100)
    assert _trip(tmp_path, Rules=rows).rules[0].extra_minor == (7500, 7500, 10000)
    rows = _rows("Rules", Extra_piece_2=80, Free_weight=None, Overweight_bands=None)
    rule = _trip(tmp_path, Rules=rows).rules[0]
    assert (rule.extra_minor, rule.free_weight_g) == ((7500, 8000, 8000), 32000)
    assert _trip(tmp_path, Rules=_rows("Rules", Most_weight=None)).rules[0].most_weight_g == 32000
    assert _trip(tmp_path, Rules=_rows("Rules", Extra_piece_2=0)).rules[0].extra_minor == (
        (7500, 0, 0)
    )


def test_rule_prices_are_converted_each_by_itself(tmp_path: Path) -> None:
    """Fees in CHF at 1.05: 0.10 CHF is 0.105 EUR, half up 0.11. Contract, 5.11."""
    rows = _rows(
        "Rules",
        Currency="CHF",
        Extra_piece_1=0.1,
        Oversize_fee=100,
        Overweight_bands="23-32: 0,1; 32-45: 200",
    )
    rule = _trip(tmp_path, Rules=rows).rules[0]
    assert (rule.extra_minor[0], rule.oversize_minor) == (11, 10500)
    assert [(band.above_g, band.upto_g, band.fee_minor) for band in rule.bands] == [
        (23000, 32000, 11),
        (32000, 45000, 21000),
    ]


def test_a_weight_rule(tmp_path: Path) -> None:
    """A weight rule has a fee per kilo, no pieces; its legs may leave Free pieces empty."""
    rows = _rows(
        "Rules",
        Concept="Weight",
        Free_weight=100,
        Fee_per_kg=12.5,
        Extra_piece_1=None,
        Overweight_bands=None,
        Cabin_weight=8,
        Cabin_length=55,
        Cabin_width="20",
        Cabin_height="40 cm",
    )
    trip = _trip(tmp_path, Rules=rows, Legs=_rows("Legs", Free_pieces=None))
    rule = trip.rules[0]
    assert (rule.concept, rule.free_weight_g, rule.per_kg_minor) == (Concept.WEIGHT, 100000, 1250)
    assert (rule.extra_minor, rule.bands) == ((), ())
    assert (rule.cabin_weight_g, rule.cabin_mm) == (8000, (200, 400, 550))


@given(
    st.decimals("0", "100000", places=3),
    st.decimals("0.0001", "2000", places=4),
    st.sampled_from(["EUR", "JPY", "KWD"]),
)
def test_conversion_is_exact_and_half_up(amount: Decimal, rate: Decimal, currency: str) -> None:
    """Decimal arithmetic at 60 digits, ROUND_HALF_UP, gives the same. ISO 4217 decimals."""
    from decimal import ROUND_HALF_UP, localcontext

    decimals = {"EUR": 2, "JPY": 0, "KWD": 3}[currency]
    with localcontext() as context:
        context.prec = 60
        exact = (amount * rate).scaleb(decimals)
        expected = int(exact.to_integral_value(ROUND_HALF_UP))
    assert Exchange(currency).minor(amount, rate) == expected


def test_legs_stand_by_date_then_row(tmp_path: Path) -> None:
    """Contract, 5.13."""
    legs = minimal_trip()["Legs"][::-1]
    legs += [{**legs[0], "Leg": "LATE"}, {**legs[1], "Leg": "SAME"}]
    trip = _trip(tmp_path, Legs=legs)
    assert [leg.name for leg in trip.legs] == ["OUT", "SAME", "BACK", "LATE"]


def test_rack_gear_needs_its_depth_only(tmp_path: Path) -> None:
    """Length is the depth, up to the millimetre; units count in halves. Contract, 5.8."""
    gear = _rows("Gear", Rack_units=1.5, Length=30.01, Width=None, Height=None)
    line = _trip(tmp_path, Gear=gear).gear[0]
    assert (line.rack_half_units, line.depth_mm, line.size) == (3, 301, None)
    assert line.case_kind is CaseKind.RACK


def test_slots_and_racks(tmp_path: Path) -> None:
    """Each kind of case keeps what it is for."""
    base = minimal_trip()["Cases"][0]
    rack = {**base, "Case": "RACK", "Quantity": 1, "Kind": "rack", "Rack units": 6}
    rack |= {"Rack depth": 45.19, "Slots": None}
    vault = {**base, "Case": "VAULT", "Quantity": 1, "Kind": "slots", "Slot": "horn", "Slots": 4}
    trip = _trip(tmp_path, Cases=[rack, vault])
    assert [(c.rack_half_units, c.rack_depth_mm, c.slot, c.slots) for c in trip.cases] == [
        (12, 451, None, None),
        (None, None, "horn", 4),
    ]


def test_lines_of_quantity_zero_are_noted_and_left_out(tmp_path: Path) -> None:
    """Offers for such a line stay valid and are left out with it. Contract, 5.16."""
    reading = _read(tmp_path, Gear=_rows("Gear", Quantity=0, Length=None))
    assert _codes(reading) == ["gear-quantity-zero", "offer-for-nothing"]
    assert reading.trip is not None
    assert [line.name for line in reading.trip.gear] == ["STAND"]
    assert [offer.target for offer in reading.trip.offers] == ["STAND"]


def test_a_role_without_a_need_needs_one(tmp_path: Path) -> None:
    """One is taken, with a warning; of several figures each line keeps its own."""
    reading = _read(tmp_path, Gear=_rows("Gear", Role="brass"))
    assert _codes(reading) == ["role-needs-assumed"]
    assert reading.trip is not None
    assert [line.role_needs for line in reading.trip.gear] == [1, None]
    gear = _rows("Gear", Role="brass", Role_needs=2)
    gear[1]["Role"] = "brass"
    assert [line.role_needs for line in _trip(tmp_path, Gear=gear).gear] == [2, None]


def test_offers_for_kits(tmp_path: Path) -> None:
    """A kit's name stands for the kit; Available empty is no limit."""
    offers = _rows("Offers", For="desk", Available=2)
    trip = _trip(tmp_path, Gear=_rows("Gear", Kit="desk"), Offers=offers)
    assert [(o.target, o.is_kit, o.available) for o in trip.offers] == [
        ("desk", True, 2),
        ("HORN", False, None),
    ]


def test_batteries_radio_and_customs(tmp_path: Path) -> None:
    """What the law asks about comes out in whole small units."""
    gear = _rows(
        "Gear",
        Battery="Li-ion",
        Battery_Wh=98.6,
        Battery_g_lithium=None,
        Battery_spare="yes",
        Radio="606.5-613.5",
        HS=8518.1,
        Serials="A1; A2",
        Origin="jp",
        Value=100,
        Value_currency="CHF",
    )
    reading = _read(tmp_path, Gear=gear)
    assert _codes(reading) == ["hs-zero-restored"]
    assert reading.trip is not None
    line = reading.trip.gear[0]
    assert line.battery == Battery(Chemistry.LITHIUM_ION, 98600, None, True)
    assert (line.radio[0].low_khz, line.radio[0].high_khz) == (606500, 613500)
    assert (line.hs, line.serials, line.origin) == ("8518.10", ("A1", "A2"), "JP")
    assert line.value == Price(10500, Decimal(100), "CHF")


def test_freight(tmp_path: Path) -> None:
    """Rate, minimum and handling convert each by itself; empty ones are 0."""
    trip = _trip(
        tmp_path,
        Freight=[
            {
                "Rate per kg": 4.1,
                "Minimum": 60,
                "Most weight": 80,
                "Currency": "CHF",
                "Cut-off": "2026-06-20",
            }
        ],
    )
    freight = trip.freight
    assert freight is not None
    assert freight.rate_per_kg == Price(431, Decimal("4.1"), "CHF")  # 4.305 EUR, half up
    assert (freight.minimum.minor, freight.handling.minor) == (6300, 0)
    assert (freight.divisor, freight.most_weight_g) == (6000, 80000)
    assert freight.cut_off == date(2026, 6, 20)


def test_a_trip_may_have_no_gear_and_no_cases(tmp_path: Path) -> None:
    """A trip with cost 0 is a trip like any other; the empty sheets are warned of."""
    gear = [dict.fromkeys(minimal_trip()["Gear"][0])]
    cases = [dict.fromkeys(minimal_trip()["Cases"][0])]
    reading = _read(tmp_path, Gear=gear, Cases=cases, Offers=[], Suppliers=[])
    assert _codes(reading) == ["rows-none", "rows-none"]
    assert reading.trip is not None


def test_numbers_as_ids_are_text(tmp_path: Path) -> None:
    """An id written as the number 101 is the id 101, wherever it is named."""
    sheets = minimal_trip()
    sheets["Gear"][0]["Gear"] = 101
    sheets["Offers"][1]["For"] = "101"
    trip = read_trip(write_workbook(tmp_path / "t.xlsx", sheets)).trip
    assert trip is not None
    assert (trip.gear[0].name, trip.offers[1].target) == ("101", "101")


@pytest.mark.parametrize(
    ("sheet", "cells", "code"),
    [
        ("Gear", {"Weight": 0}, "weight-zero"),
        ("Gear", {"Origin": "EU"}, "origin-unknown"),
        ("Gear", {"Quantity": "1,234"}, "number-grouped"),
        ("Gear", {"Serials": 12345678901234567890}, "number-digits-lost"),
        ("Gear", {"Role needs": 2}, "role-needs-without-role"),
        ("Cases", {"Serial": "A; B; C"}, "serial-count"),
        ("Cases", {"Quantity": 0}, "case-quantity-zero"),
        ("Suppliers", {"Supplier": "Seebach Hirings"}, "delivery-without-offer"),
        ("Rules", {"Free weight": 40, "Overweight bands": None}, "rule-free-above-most"),
        ("Rules", {"Fee per kg": 5}, "rule-field-unused"),
        ("Legs", {"Ticket": "BACK"}, "ticket-is-leg"),
        ("Rates", {"Date": None}, "rate-date-missing"),
    ],
)
def test_what_is_odd_but_possible_is_said(
    tmp_path: Path, sheet: str, cells: dict[str, Any], code: str
) -> None:
    """Warnings and notes do not stop a trip."""
    reading = _read(tmp_path, **{sheet: _rows(sheet, **cells)})
    assert code in _codes(reading)
    assert reading.trip is not None


def test_names_that_differ_by_case_are_warned_of(tmp_path: Path) -> None:
    """`Keys` and `keys` are two kits, and that is said."""
    gear = _rows("Gear", Kit="Keys")
    gear[1]["Kit"] = "keys"
    assert _codes(_read(tmp_path, Gear=gear)) == ["name-spelling"]


def test_units_and_currencies_of_headings_reach_every_cell(tmp_path: Path) -> None:
    """Bands in pounds, inside lengths in mm, prices in a heading's currency."""
    sheets = minimal_trip()
    rule = sheets["Rules"][0]
    rule["Overweight bands (lb)"] = "50-70: 90"  # 22,679.6 g to 31,751.5 g, both down
    rule.pop("Overweight bands")
    case = sheets["Cases"][0]
    for side in ("length", "width", "height"):
        case[f"Inside {side} (mm)"] = 10 * case.pop(f"Inside {side}") - 1
    sheets["Suppliers"] = [{"Supplier": "Seebach Hire", "Stop": "Lakeside", "Delivery (CHF)": 40}]
    trip = read_trip(write_workbook(tmp_path / "t.xlsx", sheets)).trip
    assert trip is not None
    (band,) = trip.rules[0].bands
    assert (band.above_g, band.upto_g, band.fee_minor) == (22679, 31751, 9000)
    assert trip.cases[0].inside == Box(699, 399, 349)
    assert trip.deliveries[0].price == Price(4200, Decimal(40), "CHF")


def test_a_currency_without_decimals(tmp_path: Path) -> None:
    """A trip in yen has no cents: 60 CHF at 165.55 is 9,933 yen, 1,234.5 yen is 1,235."""
    sheets = minimal_trip()
    sheets["Trip"][2]["Value"] = "JPY"
    sheets["Rules"][0]["Currency"] = "JPY"
    sheets["Rates"][0]["Rate"] = 165.55
    sheets["Gear"][0]["Value"] = "1234.5"
    trip = read_trip(write_workbook(tmp_path / "t.xlsx", sheets)).trip
    assert trip is not None
    assert trip.offers[1].price.minor == 9933
    assert trip.gear[0].value == Price(1235, Decimal("1234.5"), "JPY")
