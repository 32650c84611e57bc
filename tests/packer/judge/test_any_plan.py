"""Whatever stands in a plan file, the judge answers: a verdict or a friendly error, never a fault.

And whatever a change to a good plan is, the verdict follows from what the change did: a plan that
says the same is accepted, and settled figures are always consistent.
"""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from support.worked import worked_plan, worked_trip

from packer.judge import judge, settle
from packer.model.plan_json import PlanError, plan_from_json, plan_to_json

FIGURE_CODES = {"wrong-weight", "wrong-cover-cost", "wrong-charge", "charge-missing",
                "charge-unknown", "wrong-baggage", "wrong-hire", "wrong-delivery",
                "wrong-freight", "wrong-worth", "wrong-cash", "wrong-objective",
                "wrong-currency"}  # fmt: skip

values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 40_000),
    st.sampled_from(["TRUNK", "CRATE-1", "MIC", "STAND", "hold", "cabin", "freight", "Orrevik"]),
    st.text(max_size=5),
    st.lists(st.integers(0, 900), max_size=4),
)


def changed(plan: dict[str, Any], pick: int, value: Any) -> None:
    """Put a value at some spot of the plan."""
    every = all_spots(plan)
    path = every[pick % len(every)]
    holder: Any = plan
    for key in path[:-1]:
        holder = holder[key]
    holder[path[-1]] = value


def all_spots(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The paths of all values inside a JSON value."""
    found: list[tuple[Any, ...]] = []
    if isinstance(value, dict):
        for key, item in value.items():
            found += [(*path, key), *all_spots(item, (*path, key))]
    if isinstance(value, list):
        for i, item in enumerate(value):
            found += [(*path, i), *all_spots(item, (*path, i))]
    return found


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(st.lists(st.tuples(st.integers(0, 10**6), values), min_size=1, max_size=4))
def test_changed_plan_gets_a_verdict_or_a_friendly_error(changes: list[tuple[int, Any]]) -> None:
    """Up to four values replaced at random: no exception but PlanError, and settling agrees."""
    data = copy.deepcopy(worked_plan())
    for pick, value in changes:
        changed(data, pick, value)
    try:
        plan = plan_from_json(data)
    except PlanError:
        return
    trip = worked_trip()
    verdict = judge(trip, plan)
    assert verdict.accepted or all(each.message.endswith(".") for each in verdict.breaches)
    settled = settle(trip, plan)
    assert settle(trip, settled) == settled
    assert plan_from_json(plan_to_json(settled)) == settled
    assert not judge(trip, settled).codes & FIGURE_CODES
