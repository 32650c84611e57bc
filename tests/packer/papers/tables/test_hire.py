"""Hire orders and the house list."""

from packer.papers.tables.hire import all_orders, hire_orders
from packer.papers.tables.house import brought_rows, hired_rows, taken_rows


def test_one_order_a_supplier_and_stop(trip, plan):
    """By date; the house is not ordered from."""
    found = [(o.stop, o.supplier) for o in hire_orders(trip, plan)]
    assert found == [("Kelpmarket", "Harbour Drum Hire"), ("Sankt Ulmar", "Klangkeller Verleih")]
    assert [o.supplier for o in all_orders(trip, plan) if o.is_house] == ["house"]


def test_a_kit_is_one_line_at_its_price_once(trip, plan):
    """140 GBP at 1.17 are 163.80 EUR, for both lines of the kit together."""
    order = hire_orders(trip, plan)[0]
    kit, drum = order.rows
    assert (kit.target, kit.units, kit.cost_minor, kit.offered) == ("AMPRIG", 1, 16_380, "140 GBP")
    assert "1 x Bass amplifier head" in kit.description
    assert (drum.target, drum.units, drum.cost_minor) == ("BDRUM", 1, 9945)


def test_totals_stand_in_the_suppliers_own_currency_too(trip, plan):
    """140 + 85 + 60 delivery in pounds; 260.50 and 95 in euro."""
    first, second = hire_orders(trip, plan)
    assert (first.offered_total, second.offered_total) == ("285 GBP", "355.50 EUR")


def test_orders_add_up_to_the_plans_hire_and_delivery(trip, plan):
    """Totals are the plan's, which the judge agrees with."""
    orders = all_orders(trip, plan)
    assert sum(o.hire_minor for o in orders) == plan.costs.hire_minor
    assert sum(o.delivery_minor for o in orders) == plan.costs.delivery_minor


def test_the_house_list_says_who_brings_what(trip, plan):
    """At Sankt Ulmar the house lends the bass drum; we bring what flies; the rig is hired."""
    assert [(r.gear, r.units) for r in taken_rows(trip, plan, "Sankt Ulmar")] == [("BDRUM", 1)]
    assert {r.gear for r in hired_rows(trip, plan, "Sankt Ulmar")} == {"AMPHEAD", "AMPCAB"}
    brought = {r.gear: r.units for r in brought_rows(trip, plan, "Sankt Ulmar")}
    assert brought["PED"] == 3
    assert "BDRUM" not in brought
