"""Published and computed check values: where each is held, and those held nowhere else.

`HELD` gives for each value's number the test that holds it, or the tests that hold it together;
`NOT_HELD` the reason why none does.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from support.rule_cases import country, radio, stop_radio
from support.rule_judging import alone
from support.rule_trips import Change, cell, changed, field, line, read, trip_findings
from support.workbooks import Sheets

import shared
from packer.rules.mains_text import supply_range
from packer.rules.scope import money

TESTS = Path(__file__).parent
RULES = "packer/rules/"
ENERGY = RULES + "test_energy.py::test_energy_and_class"
BATTERIES = RULES + "test_published_batteries.py::"
LIMITS = RULES + "test_published_limits.py::"
CUSTOMS = RULES + "test_published_customs.py::"
AIR = RULES + "test_chargeable.py::"
LIABILITY = RULES + "test_liability.py::"
CARNET = RULES + "test_carnet.py::"
NIOSH = RULES + "test_niosh.py::"
LIFTING = RULES + "test_lifting.py::"
OUTSIDE = "shared/test_outside.py::"
TABLES = "shared/test_tables.py::"
SPECIES = RULES + "test_species.py::"
MAINS = RULES + "test_mains_text.py::"
HERE = "test_check_values.py::"
COUNTS = BATTERIES + "test_one_more_than_a_person_may_carry"
IN_HOLD = BATTERIES + "test_loose_lithium_in_the_hold_is_refused_by_the_judge"
NOWHERE = BATTERIES + "test_what_is_forbidden_flies_nowhere"
TWO_APPROVED = BATTERIES + "test_approval_does_not_raise_two_spares_above_100_wh"
OFF = BATTERIES + "test_what_must_be_off_in_the_hold"

HELD: dict[int, str | tuple[str, ...]] = {
    1: ENERGY,
    2: (ENERGY, COUNTS, TWO_APPROVED),
    **dict.fromkeys((3, 4, 5, 6), ENERGY),
    7: (ENERGY, NOWHERE),
    **dict.fromkeys((8, 9), BATTERIES + "test_classes_of_a_spare"),
    10: NOWHERE,
    **dict.fromkeys(
        (11, 16), (IN_HOLD, BATTERIES + "test_loose_lithium_is_never_planned_into_the_hold")
    ),
    12: (COUNTS, TWO_APPROVED),
    **dict.fromkeys((13, 14, 15), COUNTS),
    **dict.fromkeys((17, 18), OFF),
    19: BATTERIES + "test_a_lithium_metal_spare_of_3_g_flies_nowhere",
    20: BATTERIES + "test_forty_dry_cells_may_go_in_the_hold_with_their_terminals_covered",
    21: BATTERIES + "test_two_sealed_lead_acid_spares_may_go",
    **dict.fromkeys((22, 23), LIMITS + "test_the_us_rule_for_checked_instruments"),
    **dict.fromkeys((24, 25, 100), OUTSIDE + "test_unit_factors_are_exact"),
    **dict.fromkeys((26, 27), LIMITS + "test_a_case_at_and_above_a_free_weight"),
    28: (
        LIMITS + "test_a_case_at_and_above_a_linear_limit",
        LIMITS + "test_a_linear_limit_is_kept_in_its_own_unit",
    ),
    29: LIMITS + "test_a_case_at_and_above_a_linear_limit",
    30: LIMITS + "test_a_piece_above_32_kg_is_refused",
    **dict.fromkeys((31, 32), LIABILITY + "test_limit_of_a_party"),
    33: LIABILITY + "test_limit_of_freight",
    34: LIMITS + "test_a_ticket_to_the_united_states_has_one_allowance",
    **dict.fromkeys((*range(35, 41), 46), AIR + "test_published_examples"),
    **dict.fromkeys((41, 42, 43), AIR + "test_gross_weight_rounds_up_to_the_half_kilogram"),
    44: AIR + "test_pounds_round_up",
    45: AIR + "test_lengths_round_to_the_centimetre",
    47: CUSTOMS + "test_fewer_items_than_the_list_may_leave",
    48: CUSTOMS + "test_an_item_beyond_the_list_is_refused",
    49: CUSTOMS + "test_disposable_batteries_are_consumed",
    50: CUSTOMS + "test_packaging_is_no_description",
    51: CUSTOMS + "test_an_electric_guitar_without_serial_must_say_so",
    52: RULES + "test_trip_rules.py::test_an_origin_that_is_no_country_is_found_while_reading",
    53: CUSTOMS + "test_a_carnet_lasts_a_year",
    **dict.fromkeys((54, 55), CARNET + "test_security"),
    56: CUSTOMS + "test_totals_in_figures_and_in_words",
    57: CARNET + "test_transit_needs_two_blue_vouchers_and_one_counterfoil",
    58: CUSTOMS + "test_a_heading_of_2017_is_not_one_of_2022",
    **dict.fromkeys((59, 60), TABLES + "test_headings_have_their_titles"),
    61: NIOSH + "test_package_inspection_at_the_origin",
    62: NIOSH + "test_package_inspection_at_the_destination",
    64: NIOSH + "test_the_ideal_lift",
    65: NIOSH + "test_an_oblique_reach",
    66: NIOSH + "test_vertical_multiplier",
    **dict.fromkeys((67, 68), NIOSH + "test_beyond_the_equation_no_load_is_recommended"),
    69: NIOSH + "test_at_the_edge_of_the_equation",
    70: NIOSH + "test_printed_products",
    71: NIOSH + "test_printed_frequency_example",
    72: NIOSH + "test_pausing_work_has_a_mean_pace",
    73: NIOSH + "test_coupling",
    74: NIOSH + "test_one_lift_a_minute",
    **dict.fromkeys((75, 76), LIFTING + "test_team_capacity"),
    **dict.fromkeys((77, 78), LIFTING + "test_filter_figure"),
    79: TABLES + "test_heights_of_rack_panels",
    80: TABLES + "test_height_of_a_rack_opening",
    81: TABLES + "test_rack_figures",
    **dict.fromkeys((82, 83, 84, 85), SPECIES + "test_papers"),
    86: SPECIES + "test_a_certificate_is_valid_for_three_years",
    87: MAINS + "test_supply_range",
    88: MAINS + "test_voltage_fits_within_the_tolerance",
    89: HERE + "test_japan_has_both_frequencies",
    90: "packer/model/test_plugs.py::test_the_adapter_is_named",
    91: HERE + "test_sockets",
    **dict.fromkeys((92, 93, 94), HERE + "test_wireless_in_the_united_states"),
    95: RULES + "test_intermod.py::test_two_tones_make_two_products",
    96: RULES + "test_intermod.py::test_the_published_set_keeps_200_khz",
    97: (
        TABLES + "test_currencies_have_their_own_decimals",
        HERE + "test_amounts_are_rounded_to_the_currency",
    ),
    **dict.fromkeys((98, 99), OUTSIDE + "test_places_of_airports"),
}
NOT_HELD: dict[int, str] = {
    63: "known from memory only; test_niosh.py works it through all the same, so marked",
}


def test_each_number_is_accounted_for_once() -> None:
    """1 to 100, held or with a reason."""
    assert sorted([*HELD, *NOT_HELD]) == list(range(1, 101))


def _nodes() -> set[str]:
    return {node for held in HELD.values() for node in ([held] if isinstance(held, str) else held)}


@pytest.mark.parametrize("node", sorted(_nodes()))
def test_each_named_test_exists(node: str) -> None:
    """The file is there and defines the function."""
    file, name = node.split("::")
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    assert name in {held.name for held in tree.body if isinstance(held, ast.FunctionDef)}


def test_japan_has_both_frequencies() -> None:
    """IEC World Plugs list: 100 V, 50 or 60 Hz by region."""
    japan = shared.mains("JP")
    assert japan is not None
    assert (japan.volts, set(japan.hertz)) == ((100,), {50, 60})
    assert supply_range(100)[1] < 220


@pytest.mark.parametrize(
    ("alpha2", "letters", "common"),
    # world-plugs.csv at c1e44266 and fluids 1.3.1; for ZA the first has D beside what both have
    [
        ("US", "AB", "AB"),
        ("AU", "I", "I"),
        ("FR", "CE", "CE"),
        ("CH", "CJ", "CJ"),
        ("IL", "CHM", "CHM"),
        ("ZA", "CDMN", "CMN"),
    ],
)
def test_sockets(alpha2: str, letters: str, common: str) -> None:
    """The letters of each country, and those that both lists have."""
    fluids = pytest.importorskip("fluids.pump", reason="the test extra fluids is missing")
    held = shared.mains(alpha2)
    assert held is not None
    assert "".join(held.plugs) == letters
    assert set(held.plugs) & set(fluids.residential_power[alpha2.lower()].plugs) == set(common)


@pytest.mark.parametrize(
    ("mhz", "code"),
    # fcc.gov, wireless microphones after the incentive auction; in 2021, from 13 July 2020 on
    [("620", "radio-range-closed"), ("655", "radio-licence-needed"), ("615", None)],
)
def test_wireless_in_the_united_states(mhz: str, code: str | None) -> None:
    """Closed since 13 July 2020, for licensed users only, and open."""
    dates = (cell("Legs", 0, "Date", "2021-07-03"), cell("Legs", 1, "Date", "2021-07-05"))
    there = (country("US", "2021-07-04"), field("Carnet issued", "2021-06-15"))
    found = trip_findings(changed(radio(mhz), stop_radio("470-694"), *there, *dates))
    both = {"radio-range-closed", "radio-licence-needed"}
    assert {held.code for held in found} & both == ({code} if code else set())


@pytest.mark.parametrize(
    ("currency", "amount", "minor", "text"),
    # ISO 4217 (iso4217 1.16.20260101): JPY has no decimals, KWD three
    [
        ("JPY", "1234.5", 1_235, "1235 JPY"),
        ("JPY", "1234.4", 1_234, "1234 JPY"),
        ("KWD", "1234.5", 1_234_500, "1234.500 KWD"),
        ("KWD", "0.0005", 1, "0.001 KWD"),
        ("EUR", "1234.5", 123_450, "1234.50 EUR"),
    ],
)
def test_amounts_are_rounded_to_the_currency(
    currency: str, amount: str, minor: int, text: str
) -> None:
    """Half up to the currency's own minor unit, and printed with its decimals."""
    trip = read(alone(field("Currency", currency), line(Value=amount), _in_one(currency)))
    assert trip.gear[0].value is not None
    assert trip.gear[0].value.minor == minor
    assert money(minor, currency) == text


def _in_one(currency: str) -> Change:
    def change(sheets: Sheets) -> None:
        sheets["Rules"][0]["Currency"] = currency
        sheets["Rates"] = []

    return change
