"""Published and computed check values: where each is held, and those held nowhere else.

`HELD` gives for each value's number the test that holds it; `NOT_HELD` the reason why none does.
"""

from __future__ import annotations

import ast
from datetime import date
from pathlib import Path

import pytest
from support.rule_cases import country, ion, radio, stop_radio
from support.rule_trips import PieceOf, at, cell, changed, line, plan_findings, trip_findings

import shared
from packer.model.plan import Route
from packer.rules.mains_text import supply_range

TESTS = Path(__file__).parent
RULES = "packer/rules/"
ENERGY = RULES + "test_energy.py::test_energy_and_class"
LAW = "packer/test_law.py::test_classes"
LIMITS = RULES + "test_published_limits.py::"
AIR = RULES + "test_chargeable.py::"
CARNET = RULES + "test_carnet.py::"
NIOSH = RULES + "test_niosh.py::"
LIFTING = RULES + "test_lifting.py::"
LEDGER = "packer/road/test_ledger.py::"
CASES = RULES + "test_trip_rules.py::test_the_rule_points_at_the_cell"
OUTSIDE = "shared/test_outside.py::"
TABLES = "shared/test_tables.py::"
GOODS = "packer/papers/tables/test_customs.py::"
SPECIES = RULES + "test_species.py::"
MAINS = RULES + "test_mains_text.py::"
HERE = "test_check_values.py::"
UNITS = OUTSIDE + "test_unit_factors_are_exact"

HELD: dict[int, str] = {
    **dict.fromkeys((17, 18), HERE + "test_what_must_be_off_in_the_hold"),
    **dict.fromkeys(range(1, 8), ENERGY),
    **dict.fromkeys((8, 9), RULES + "test_energy.py::test_a_limit_belongs_to_the_lower_class"),
    **dict.fromkeys((10, 11, 19, 21), LAW),
    **dict.fromkeys((12, 13, 14, 15), HERE + "test_one_more_than_a_person_may_carry"),
    16: "packer/test_law.py::test_a_power_bank_is_a_spare_whatever_the_column_says",
    20: HERE + "test_forty_dry_cells_may_go_in_the_hold",
    **dict.fromkeys((22, 23), LIMITS + "test_the_us_rule_for_checked_instruments"),
    **dict.fromkeys((24, 25, 100), UNITS),
    **dict.fromkeys((26, 27), LIMITS + "test_a_weight_limit_is_kept_in_its_own_unit"),
    **dict.fromkeys((28, 29), LIMITS + "test_a_linear_limit_is_kept_in_its_own_unit"),
    30: LIMITS + "test_a_limit_of_32_kg_is_data",
    **dict.fromkeys((31, 32), RULES + "test_liability.py::test_limit_of_a_party"),
    33: HERE + "test_freight_of_10_kg_lost",
    34: LIMITS + "test_a_ticket_to_the_united_states_has_one_allowance",
    **dict.fromkeys(range(35, 41), AIR + "test_published_examples"),
    **dict.fromkeys((41, 42, 43), AIR + "test_gross_weight_rounds_up_to_the_half_kilogram"),
    44: AIR + "test_pounds_round_up",
    45: AIR + "test_lengths_round_to_the_centimetre",
    46: AIR + "test_published_examples",
    47: LEDGER + "test_fewer_than_the_list_may_leave",
    48: LEDGER + "test_a_number_that_is_not_on_the_list_is_refused",
    49: HERE + "test_disposable_batteries_are_consumed",
    50: CASES,
    51: GOODS + "test_electrical_goods_without_serial_say_so",
    52: RULES + "test_trip_rules.py::test_an_origin_that_is_no_country_is_found_while_reading",
    53: CARNET + "test_last_valid_day",
    **dict.fromkeys((54, 55), CARNET + "test_security"),
    56: GOODS + "test_totals_stand_in_words_too",
    57: CARNET + "test_transit_needs_two_blue_vouchers_and_one_counterfoil",
    58: TABLES + "test_headings_that_no_longer_exist",
    **dict.fromkeys((59, 60), TABLES + "test_headings_have_their_titles"),
    **dict.fromkeys((61, 62, 70), NIOSH + "test_printed_products"),
    64: NIOSH + "test_the_ideal_lift",
    65: NIOSH + "test_an_oblique_reach",
    66: NIOSH + "test_vertical_multiplier",
    **dict.fromkeys((67, 68), NIOSH + "test_beyond_the_equation_no_load_is_recommended"),
    69: NIOSH + "test_at_the_edge_of_the_equation",
    71: NIOSH + "test_printed_frequency_example",
    72: NIOSH + "test_pausing_work_has_a_mean_pace",
    73: NIOSH + "test_coupling",
    74: NIOSH + "test_one_lift_a_minute",
    **dict.fromkeys((75, 76), LIFTING + "test_team_capacity"),
    **dict.fromkeys((77, 78), LIFTING + "test_filter_figure"),
    **dict.fromkeys((79, 80, 81), TABLES + "test_rack_figures"),
    **dict.fromkeys((82, 83, 84, 85), SPECIES + "test_papers"),
    86: SPECIES + "test_a_certificate_is_valid_for_three_years",
    87: MAINS + "test_supply_range",
    88: MAINS + "test_voltage_fits_within_the_tolerance",
    89: HERE + "test_japan_has_both_frequencies",
    90: MAINS + "test_what_fits_where",
    91: HERE + "test_sockets",
    **dict.fromkeys((92, 93, 94), HERE + "test_wireless_in_the_united_states"),
    95: RULES + "test_intermod.py::test_two_tones_make_two_products",
    96: RULES + "test_intermod.py::test_the_published_set_keeps_200_khz",
    97: TABLES + "test_currencies_have_their_own_decimals",
    **dict.fromkeys((98, 99), OUTSIDE + "test_places_of_airports"),
}
NOT_HELD: dict[int, str] = {
    63: "the figures are from memory only; test_niosh.py works through printed examples instead",
}


def test_each_number_is_accounted_for_once() -> None:
    """1 to 100, held or with a reason."""
    assert sorted([*HELD, *NOT_HELD]) == list(range(1, 101))


@pytest.mark.parametrize("node", sorted(set(HELD.values())))
def test_each_named_test_exists(node: str) -> None:
    """The file is there and defines the function."""
    file, name = node.split("::")
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    assert name in {held.name for held in tree.body if isinstance(held, ast.FunctionDef)}


@pytest.mark.parametrize(
    ("code", "count", "wh", "more"),
    [
        # IATA leaflet 2018: 2 spares above 100 Wh, 20 spares and 15 devices up to 100 Wh
        ("too-many-medium-batteries", 2, 120, {"Battery spare": "yes"}),
        ("too-many-spare-batteries", 20, 100, {"Battery spare": "yes"}),
        ("too-many-battery-devices", 15, 100, {}),
        # two power banks from 27 March 2026 (secondary source)
        ("too-many-power-banks", 2, 37, {"Description": "Power bank", "Battery spare": "yes"}),
    ],
)
def test_one_more_than_a_person_may_carry(
    code: str, count: int, wh: int, more: dict[str, object]
) -> None:
    """The most is within, one more is not; one person flies."""
    party = (cell("Legs", 0, "People", 1), cell("Legs", 1, "People", 1))
    for units, wrong in ((count, False), (count + 1, True)):
        found = trip_findings(changed(ion(wh, Quantity=units, **more), *party))
        assert bool(at(found, code)) is wrong


def test_forty_dry_cells_may_go_in_the_hold() -> None:
    """FAA page on dry cells: NiMH spares may be checked."""
    cells = line(Battery="NiMH", Quantity=40, Carry="hold", Battery_spare="yes")
    assert at(trip_findings(changed(cells)), "spare-battery-in-hold") == []


def test_freight_of_10_kg_lost() -> None:
    """Montreal Convention, article 22(3), revised 28 December 2024: 26 SDR a kilogram."""
    limits = shared.liability_on(date(2025, 6, 1))
    assert limits is not None
    assert 10 * limits.cargo_sdr_per_kg == 260


def test_disposable_batteries_are_consumed() -> None:
    """Kent Invicta chamber: disposable batteries do not belong on a carnet's list."""
    found = trip_findings(changed(line(Description="Disposable batteries")))
    assert at(found, "consumable-on-customs-list")


def test_japan_has_both_frequencies() -> None:
    """IEC World Plugs list: 100 V, 50 or 60 Hz by region."""
    japan = shared.mains("JP")
    assert japan is not None
    assert (japan.volts, set(japan.hertz)) == ((100,), {50, 60})
    assert supply_range(100)[1] < 220


@pytest.mark.parametrize(
    ("alpha2", "letters"),
    # world-plugs.csv and fluids 1.3.1; for ZA what both lists have in common
    [("US", "AB"), ("AU", "I"), ("FR", "CE"), ("CH", "CJ"), ("IL", "CHM"), ("ZA", "CMN")],
)
def test_sockets(alpha2: str, letters: str) -> None:
    """The letters of each country."""
    held = shared.mains(alpha2)
    assert held is not None
    assert set(letters) == set(held.plugs) - ({"D"} if alpha2 == "ZA" else set())


@pytest.mark.parametrize(
    ("mhz", "code"),
    # fcc.gov, wireless microphones after the incentive auction
    [("620", "radio-range-closed"), ("655", "radio-licence-needed"), ("615", None)],
)
def test_wireless_in_the_united_states(mhz: str, code: str | None) -> None:
    """Closed since 13 July 2020, for licensed users only, and open."""
    found = trip_findings(changed(radio(mhz), stop_radio("470-694"), country("US")))
    both = {"radio-range-closed", "radio-licence-needed"}
    assert {held.code for held in found} & both == ({code} if code else set())


@pytest.mark.parametrize(
    ("watt_hours", "told"),
    [
        (80, True),  # 17: IATA leaflet 2018: completely off in the hold, asleep will not do
        (1, False),  # 18: ICAO Council, April 2023 (secondary): up to 2.7 Wh may stay on
    ],
)
def test_what_must_be_off_in_the_hold(watt_hours: int, told: bool) -> None:
    """A trip has no column for a switch: the plan says which devices must be off, not asleep."""
    found = plan_findings(
        changed(line(Battery="lithium ion", Battery_Wh=watt_hours, Serials="A1")),
        PieceOf("TRUNK-1", Route.HOLD, 12_000, (("NEW", 1),)),
    )
    words = [one.remedy for one in found if one.code == "device-in-hold-switched-off"]
    assert [("not to sleep" in remedy) for remedy in words] == [True] * told
