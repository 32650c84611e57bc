"""The caps that the one-case-lost rule puts on a repair, against the judge."""

from dataclasses import replace

from support.road_plans import a_plan, band, random_plan, random_trip

from packer.judge import judge
from packer.road.role_caps import role_caps

TRIP = band()


def test_a_role_with_a_spare_is_capped():
    """Three horns, two needed: no case holds more than one. Two keyboards, one needed: one."""
    everything = {"A": [("HORN", 1), ("KEY-A", 1)], "B": [("HORN", 2), ("HORN", 3), ("KEY-B", 1)]}
    assert role_caps(TRIP, a_plan(TRIP, everything)) == {
        "keys": {"Stop 1": 1, "Stop 2": 1},
        "brass": {"Stop 1": 1, "Stop 2": 1},
    }


def test_without_the_rule_there_are_no_caps():
    """The trip says no."""
    plan = a_plan(TRIP, {"A": [("HORN", 1)]})
    assert role_caps(replace(TRIP, one_case_lost=False), plan) == {}


def test_the_caps_say_what_the_judge_says():
    """On random plans a case is above the cap exactly where the judge sees the role lost."""
    seen = set()
    for seed in range(200):
        trip = random_trip(seed)
        plan = random_plan(trip, seed)
        caps = {role: min(each.values()) for role, each in role_caps(trip, plan).items()}
        roles = {line.name: line.role for line in trip.gear}
        above = set()
        for piece in plan.pieces:
            for role, cap in caps.items():
                if sum(roles[packed.gear] == role for packed in piece.contents) > cap:
                    above.add(role)
        breaches = judge(trip, plan).breaches
        lost = {b.subject for b in breaches if b.code == "role-lost-with-case"}
        assert {role for role in above if caps[role] >= 0} <= lost
        assert lost <= above
        seen.add(bool(lost))
    assert seen == {True, False}
