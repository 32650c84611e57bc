"""The history of a trip over HTTP: who did what, when and why."""

from __future__ import annotations

from support.serving import Caller

Solved = tuple[str, str]


def test_uploads_changes_plans_and_mendings_stand_in_one_row(caller: Caller, fresh: Solved) -> None:
    """Sent, planned, a lock with its reason, planned again with one, mended: newest first."""
    trip, plan = fresh
    lock = {"lock": "hire", "why": "the drum is worn"}
    caller.json("PUT", f"/trips/{trip}/locks/BASSDRUM", json=lock)
    again = caller.planned(trip, keep=plan, why="after the lock")
    case = caller.json("GET", f"/plans/{plan}/cases")["cases"][0]["case"]
    grams = {"cases": [{"case": case, "grams": 15_000}]}
    caller.json("POST", f"/plans/{plan}/scale", 201, json=grams)
    mended = caller.json("POST", f"/plans/{plan}/scale/take", 201, json={"number": 1})["id"]
    entries = caller.json("GET", f"/trips/{trip}/history")["entries"]
    assert [one["at"] for one in entries] == sorted((one["at"] for one in entries), reverse=True)
    assert all(one["who"] for one in entries)
    kinds = [one["kind"] for one in entries]
    assert sorted(kinds) == ["changed", "planned", "planned", "planned", "sent"]
    why = {one["plan"]: one["why"] for one in entries if one["kind"] == "planned"}
    assert why[again] == "after the lock, near an earlier plan"
    assert why[mended] == "weighed"
    changed = next(one for one in entries if one["kind"] == "changed")
    assert (changed["what"], changed["why"]) == ("lock of BASSDRUM: hire", "the drum is worn")


def test_a_plan_kept_near_another_says_what_nearer_costs(caller: Caller, fresh: Solved) -> None:
    """The same again moved nothing; one with the drum hired moved what it must."""
    trip, plan = fresh
    caller.json("GET", f"/plans/{plan}/nearer", 409)
    same = caller.json("GET", f"/plans/{caller.planned(trip, keep=plan)}/nearer")
    assert (same["moved"], same["steps"], same["keep"]) == (0, [], plan)
    other = caller.planned(trip, keep=plan, hire=["HORN"])
    found = caller.json("GET", f"/plans/{other}/nearer")
    assert found["moved"] >= 2
    assert all(one["moves"] < found["moved"] for one in found["steps"])
    page = caller.client.get(f"/trips/{trip}/solve", params={"plan": other})
    assert "moved against the plan to stay close to" in page.text
