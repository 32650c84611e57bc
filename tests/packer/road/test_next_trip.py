"""The next trip: what no longer fits, what lacks a price, what to check."""

from dataclasses import replace
from datetime import date

from support.road_plans import band, leg, piece_rule

from packer.model.trip import Choice, Stop
from packer.road.next_trip import changed_needs, kept_needs, look_over

OLD = band()


def found(new):
    return {(f.code, f.subject) for f in look_over(OLD, new)}


def test_lines_needed_everywhere_stay_needed_everywhere():
    """All old stops: all new ones. Some: those that come again."""
    assert kept_needs(("Stop 1", "Stop 2"), OLD, ("Stop 9",)) == ""
    assert kept_needs(("Stop 2",), OLD, ("Stop 2", "Stop 9")) == "Stop 2"
    assert kept_needs(("Stop 1",), OLD, ("Stop 9",)) == ""


def test_lines_needed_at_some_stops_are_asked_about():
    """Someone must say where they are needed now."""
    gear = (replace(OLD.gear[0], needed_at=("Stop 1",)), *OLD.gear[1:])
    (finding,) = changed_needs(replace(OLD, gear=gear), ("Stop 9",))
    assert (finding.code, finding.subject) == ("needed-at-unsure", "KEY-A")
    assert "every stop" in finding.message


def test_what_lacks_a_price_at_a_new_stop():
    """No offers at Stop 9: every line that may stay at home; a kit's price would do."""
    stops = (Stop("Stop 9", "NO", date(2027, 6, 1)),)
    gear = tuple(replace(g, needed_at=("Stop 9",)) for g in OLD.gear)
    new = replace(OLD, stops=stops, gear=gear, offers=(), deliveries=())
    assert {s for c, s in found(new) if c == "no-price"} == {g.name for g in OLD.gear}
    never = (replace(gear[0], choice=Choice.HIRE), replace(gear[1], choice=Choice.FLY), *gear[2:])
    severities = {f.subject: f.severity for f in look_over(OLD, replace(new, gear=never))
                  if f.code == "no-price"}  # fmt: skip
    assert severities["KEY-A"] == "error"
    assert "KEY-B" not in severities
    kit = next(o for o in OLD.offers if o.is_kit)
    priced = replace(new, offers=(replace(kit, stop="Stop 9"),))
    assert ("no-price", "KEY-A") not in found(priced)


def test_cases_that_no_leg_takes_any_more():
    """1,500 mm outside on a leg that takes 1,400; 32 kg empty weight limits likewise."""
    rule = piece_rule(most_linear_mm=1400)
    assert ("case-no-longer-fits", "A") in found(replace(OLD, rules=(rule,)))
    assert ("case-no-longer-fits", "A") not in found(OLD)
    light = piece_rule(most_weight_g=6500)
    assert ("case-no-longer-fits", "A") in found(replace(OLD, rules=(light,)))


def test_objects_too_heavy_for_the_new_legs():
    """1,500 g in a case of 6,000 with 500 margin: 8,000 g are needed, 7,900 allowed."""
    new = replace(OLD, rules=(piece_rule(most_weight_g=7900),), legs=(leg(),))
    assert ("object-no-longer-flies", "HORN") in found(new)
    assert ("object-no-longer-flies", "HORN") not in found(OLD)


def test_old_prices_rules_and_rates_are_named():
    """All that was carried over is to be confirmed."""
    codes = {code for code, _ in found(OLD)}
    assert {"price-from-old-trip", "rule-from-old-trip"} <= codes
