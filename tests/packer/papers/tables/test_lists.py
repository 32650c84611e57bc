"""Proforma, piece list, batteries, insurance, power, summary: rows and totals."""

from dataclasses import replace

import pytest
from support.sample_trip import STOPS, euro

from packer.model.trip import Band, Carnet, Concept, Offer, Rule
from packer.papers.sheets import proforma_sheets
from packer.papers.tables.airline import piece_lists
from packer.papers.tables.batteries import battery_rows
from packer.papers.tables.cases import banded_most_g, case_rows, content_rows, limits_of
from packer.papers.tables.close import close_decisions
from packer.papers.tables.essentials import essential_rows, lift_text
from packer.papers.tables.insurance import case_value_rows, insured_rows, leg_value_rows
from packer.papers.tables.power import mains_rows, radio_rows
from packer.papers.tables.proforma import consumable_rows
from packer.papers.tables.summary import close_limits, cost_rows, gap_text, stop_rows


def test_the_proforma_holds_the_consumables_alone(trip, plan):
    """Four rolls of tape, 9.50 each, from one case."""
    (row,) = consumable_rows(trip, plan)
    assert (row.gear, row.quantity, row.value_minor, row.weight_g) == ("TAPE", 4, 3800, 1920)
    assert row.cases == "TRUNK-2"


def test_without_a_carnet_the_goods_get_a_proforma_of_their_own(trip, plan):
    """A second sheet, never mixed with the consumables."""
    assert len(proforma_sheets(trip, plan)) == 1
    bare = proforma_sheets(replace(trip, carnet=Carnet()), plan)
    assert [sheet.name for sheet in bare] == ["Proforma", "Goods without carnet"]
    names = {row.gear for row in bare[1].tables[0].rows}
    assert {"TRB", "TRUNK-1"} <= names
    assert "TAPE" not in names


def test_charges_piece_by_piece_add_up_to_the_plans(trip, plan):
    """Extra, overweight and oversize by piece, plus the kilos of the party: the charge."""
    for found in piece_lists(trip, plan):
        by_piece = sum(row.total_minor for row in found.rows)
        assert by_piece + found.charge.weight_minor == found.charge.total_minor
    first = {row.case: row for row in piece_lists(trip, plan)[0].rows}
    assert (first["TRUNK-1"].overweight_minor, first["TRUNK-1"].oversize_minor) == (7500, 8000)
    assert first["CABIN"].total_minor == 0
    assert "DRAPEBOX" not in first


def test_the_battery_list_names_spares_and_where_they_are(trip, plan):
    """Four spare 48 Wh packs and the laptop, all in the cabin."""
    rows = {row.gear: row for row in battery_rows(trip, plan)}
    assert set(rows) == {"BAT", "LAP"}
    spare = rows["BAT"]
    assert (spare.units, spare.watt_hours, spare.state, spare.route) == (
        4,
        "48 Wh",
        "spare",
        "cabin",
    )


def test_battery_remarks_follow_the_published_classes(trip, plan):
    """Exactly 100 Wh is small, above needs approval, above 160 Wh is out (IATA leaflet, 2018)."""

    def remark(energy_mwh):
        gear = tuple(
            replace(g, battery=replace(g.battery, energy_mwh=energy_mwh)) if g.name == "BAT" else g
            for g in trip.gear
        )
        return next(
            r.remark for r in battery_rows(replace(trip, gear=gear), plan) if r.gear == "BAT"
        )

    assert remark(100_000) == ""
    assert remark(100_001) == "needs the carrier's approval"
    assert remark(160_000) == "needs the carrier's approval"
    assert remark(160_001) == "above the passenger limit"


def test_insurance_values_agree_case_by_case_and_leg_by_leg(trip, plan):
    """Objects, cases and legs give the same sum; freight is on no leg."""
    total = sum(row.value_minor or 0 for row in insured_rows(trip, plan))
    cases = case_value_rows(trip, plan)
    assert sum(row.total_minor for row in cases) == total
    freight = sum(row.total_minor for row in cases if row.route == "freight")
    assert {row.total_minor for row in leg_value_rows(trip, plan)} == {total - freight}


def test_mains_and_radio_stand_beside_what_the_stop_has(trip, plan):
    """GB has plug G; 606.5-613.5 MHz is partly outside 470-608 and 863-865."""
    stop = trip.stop_named("Kelpmarket")
    notes = {row.gear: row.plug_note for row in mains_rows(trip, plan, stop)}
    assert notes["PWR"] == "fits there"
    assert notes["SYN"] == "adapter C to G"
    (radio,) = radio_rows(trip, plan, stop)
    assert radio.verdict == "OUTSIDE: 606.5-613.5 MHz"
    assert radio_rows(trip, plan, trip.stop_named("Sankt Ulmar"))[0].verdict == "ask the stop"


def test_cases_stand_by_route_then_id_with_their_tightest_limit(trip, plan):
    """Hold, cabin, freight; the cabin case has 10 kg on the first leg."""
    rows = case_rows(trip, plan)
    assert [row.case for row in rows] == [
        "MUTES",
        "RACK",
        "TRUNK-1",
        "TRUNK-2",
        "CABIN",
        "DRAPEBOX",
    ]
    cabin = rows[4]
    assert (cabin.limit_g, cabin.left_g) == (10_000, 3460)
    assert cabin.limit_origin == "F1, Petrel basic"


def test_every_legs_limit_and_free_weight_is_there(trip, plan):
    """Refusals tightest first, then where it starts to cost."""
    piece = next(p for p in plan.pieces if p.case == "TRUNK-1")
    limits = [(limit.grams, limit.refused) for limit in limits_of(trip, piece)]
    assert limits == [(32_000, True), (32_000, True), (40_000, True), (23_000, False)]


def test_where_the_overweight_bands_end_is_a_limit(trip, plan):
    """A weight above the free weight in no band cannot go (contract 5.2): bands to 28 kg only."""
    rules = tuple(
        replace(rule, bands=(Band(23_000, 28_000, 7500),)) if rule.name == "Petrel basic" else rule
        for rule in trip.rules
    )
    piece = next(p for p in plan.pieces if p.case == "TRUNK-1")
    first = limits_of(replace(trip, rules=rules), piece)[0]
    assert (first.grams, first.origin) == (28_000, "F1, Petrel basic, end of the bands")


def test_a_gap_between_bands_limits_only_what_is_below_it():
    """Free to 20, then 23 to 32 kg: a piece of 19 kg may grow to 20, one of 24 kg to 32."""
    bands = (Band(23_000, 32_000, 100),)
    rule = Rule("r", Concept.PIECE, 20_000, 32_000, extra_minor=(1, 1, 1), bands=bands)
    assert banded_most_g(rule, 19_000) == 20_000
    assert banded_most_g(rule, 24_000) == 32_000


@pytest.mark.parametrize(
    ("plug", "note"),
    [
        ("G", "fits there"),
        ("Type G (fused)", "fits there"),
        ("C", "adapter C to G"),
        ("powerful one", "compare: G there"),
        ("", "plug not stated"),
    ],
)
def test_plugs_are_compared_by_their_letter(trip, plan, plug, note):
    """GB has G (shared/mains.csv)."""
    gear = tuple(replace(g, plug=plug) if g.name == "PWR" else g for g in trip.gear)
    rows = mains_rows(replace(trip, gear=gear), plan, trip.stop_named("Kelpmarket"))
    assert next(row.plug_note for row in rows if row.gear == "PWR") == note


def test_contents_keep_the_packing_order_and_say_how_things_lie(trip, plan):
    """The order of the plan; a roll on its side; the synthesiser as it is listed."""
    second = next(p for p in plan.pieces if p.case == "TRUNK-2")
    rows = content_rows(trip, second)
    assert [row.label for row in rows] == ["TRB-2", "TAPE-1", "TAPE-2", "TAPE-3", "TAPE-4"]
    assert rows[0].turn == "as is"
    assert rows[1].turn == "on its side"
    assert rows[0].serial == "TB-7715"
    assert rows[0].marks == "F U"


def test_what_the_show_cannot_do_without(trip, plan):
    """The only synthesiser is short everywhere without its case; the trombone has its spare."""
    first = next(p for p in plan.pieces if p.case == "TRUNK-1")
    rows = {row.role: row for row in essential_rows(trip, plan, first)}
    assert rows["bass synth"].stops == ("Kelpmarket", "Sankt Ulmar")
    assert rows["trombone"].stops == ()
    assert rows["trombone"].elsewhere == 1


def test_who_lifts_follows_the_guide_figures():
    """HSE L23: two people 2/3 of the sum, three half; 25 kg each gives 33 and 37 kg."""
    assert lift_text(23_000).startswith("One person")
    assert lift_text(23_001).startswith("2 people (guide figure for 2: 33 kg)")
    assert lift_text(33_400).startswith("3 people (guide figure for 3: 37 kg)")
    assert lift_text(38_000).startswith("Too heavy")


def test_the_summary_adds_up(trip, plan):
    """Cash by kind is the cash; stops hold hire and delivery."""
    assert sum(row.minor for row in cost_rows(plan)) == plan.costs.cash_minor
    together = sum(row.total_minor for row in stop_rows(trip, plan))
    assert together == plan.costs.hire_minor + plan.costs.delivery_minor


def test_pieces_within_a_kilogram_of_a_limit_are_named(trip, plan):
    """A free weight of 15.5 kg is 0.73 kg above TRUNK-2 with 14.77 kg."""
    rules = tuple(
        replace(rule, free_weight_g=15_500, bands=(Band(15_500, 32_000, 7500),))
        if rule.name == "Petrel basic"
        else rule
        for rule in trip.rules
    )
    (close,) = close_limits(replace(trip, rules=rules), plan)
    assert (close.case, close.left_g, close.refused) == ("TRUNK-2", 730, False)
    assert close.sentence == "TRUNK-2: 0.730 kg below the free weight (F1, Petrel basic)"


def test_the_gap_rounds_up():
    """A gap is never stated smaller than it is."""
    assert gap_text(1000, 1000) == "0 %"
    assert gap_text(100_000, 99_999) == "0.1 %"
    assert gap_text(1000, 900) == "10.0 %"


def test_a_line_that_could_as_well_be_hired_is_named(trip, plan):
    """Drape by freight, hire offered at 5 EUR a stop: nothing saved on baggage, 10 EUR more."""
    offers = tuple(Offer(stop, "DRAPE", False, "house", euro("5")) for stop in STOPS)
    (row,) = close_decisions(replace(trip, offers=trip.offers + offers), plan)
    assert (row.gear, row.at_most_minor) == ("DRAPE", 1000)
