"""The road over HTTP: ticks that never double, the scale, lost cases, the ledger of borders."""

from __future__ import annotations

import json
import secrets
import threading
from pathlib import Path
from typing import Any

import pypdfium2
from support.serving import Caller, Served

from api.store import Store
from api.store.plans import Ending
from packer.judge import judge
from packer.model.plan_json import plan_from_json
from packer.reading import read_trip

Solved = tuple[str, str]


def tick(case: str, gear: str, unit: int = 1, at: str = "2026-07-01T10:00:00Z", **more: Any) -> Any:
    entry = {"key": secrets.token_hex(8), "kind": "tick", "case": case, "gear": gear}
    return {**entry, "unit": unit, "at": at, **more}


def first_units(caller: Caller, plan: str) -> list[tuple[str, str, int]]:
    """(case, gear, unit) of everything that the plan packs."""
    found = []
    for case in caller.json("GET", f"/plans/{plan}/packing")["cases"]:
        found += [(case["case"], unit["gear"], unit["unit"]) for unit in case["out"]]
    return found


def tell(caller: Caller, plan: str, *entries: Any) -> Any:
    return caller.json("POST", f"/plans/{plan}/packing", json={"entries": entries})


def test_a_tick_sent_twice_counts_once(caller: Caller, fresh: Solved) -> None:
    """The same key again is acknowledged again, also with a clock that was put right."""
    plan = fresh[1]
    case, gear, unit = first_units(caller, plan)[0]
    entry = tick(case, gear, unit, at="2999-01-01T00:00:00Z")
    for _ in range(2):
        now = tell(caller, plan, entry)
        assert (now["taken"], now["refused"], now["packed"]) == ([entry["key"]], [], 1)
    other = {**entry, "packed": False}
    assert tell(caller, plan, other)["refused"][0]["findings"][0]["code"] == "key-used-twice"


def test_one_bad_tick_does_not_hold_up_the_others(caller: Caller, fresh: Solved) -> None:
    """Of three, the one for an object that does not fly is refused, and the two stand."""
    plan = fresh[1]
    (case, gear, unit), (case2, gear2, unit2) = first_units(caller, plan)[:2]
    bad = tick(case, "NO-SUCH-GEAR")
    now = tell(caller, plan, tick(case, gear, unit), bad, tick(case2, gear2, unit2))
    assert now["packed"] == 2
    assert [one["key"] for one in now["refused"]] == [bad["key"]]


def test_a_late_tick_does_not_undo_a_later_one(caller: Caller, fresh: Solved) -> None:
    """Out at 11 o'clock arrives before in at 10 o'clock: it stays out."""
    plan = fresh[1]
    case, gear, unit = first_units(caller, plan)[0]
    tell(caller, plan, tick(case, gear, unit, at="2026-07-01T11:00:00Z", packed=False))
    assert tell(caller, plan, tick(case, gear, unit, at="2026-07-01T10:00:00Z"))["packed"] == 0


def test_two_phones_at_once_lose_nothing(caller: Caller, fresh: Solved) -> None:
    """Each of eight threads ticks everything under keys of its own; all is in, once."""
    plan = fresh[1]
    units = first_units(caller, plan)

    def pack() -> None:
        tell(caller, plan, *[tick(case, gear, unit) for case, gear, unit in units])

    threads = [threading.Thread(target=pack) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    now = caller.json("GET", f"/plans/{plan}/packing")
    assert (now["packed"], now["planned"], now["doubles"]) == (len(units), len(units), [])


def test_a_case_is_closed_only_when_complete_or_excused(caller: Caller, fresh: Solved) -> None:
    """Closing an empty case is refused; with every object excused by name it closes."""
    plan = fresh[1]
    case = first_units(caller, plan)[0][0]
    out = [unit for unit in first_units(caller, plan) if unit[0] == case]
    lid = {"key": secrets.token_hex(8), "kind": "lid", "case": case, "at": "2026-07-01T12:00:00Z"}
    assert tell(caller, plan, lid)["refused"][0]["findings"][0]["code"] == "case-not-complete"
    excuses = [{"gear": gear, "unit": unit, "reason": "with the crew"} for _, gear, unit in out]
    now = tell(caller, plan, {**lid, "key": secrets.token_hex(8), "excuses": excuses})
    assert [one["closed"] for one in now["cases"] if one["case"] == case] == [True]


def test_the_scale_breaks_and_mends(caller: Caller, fresh: Solved) -> None:
    """At 31.6 kg gross the trunk plans at 32.1 kg, above its 32 kg; moving objects mends it."""
    plan = fresh[1]
    case = next(
        one["case"]
        for one in caller.json("GET", f"/plans/{plan}/cases")["cases"]
        if one["case"].startswith("TRUNK") and one["objects"] > 1
    )
    told = {"cases": [{"case": case, "grams": 31_600}]}
    found = caller.json("POST", f"/plans/{plan}/scale", 201, json=told)
    assert not found["legal"]
    assert "over-most-gross" in {one["code"] for one in found["breaks"]}
    mend = found["mends"][0]
    assert mend["moves"]
    # A tick of something that stays goes along to the mended plan.
    moved = {(move["gear"], move["unit"]) for move in mend["moves"]}
    stays = next(u for u in first_units(caller, plan) if u[1:] not in moved)
    tell(caller, plan, tick(*stays))
    mended = caller.json("POST", f"/plans/{plan}/scale/take", 201, json={"number": 1})
    after = caller.json("GET", f"/plans/{mended['id']}/cases")["cases"]
    assert all(one["left_g"] >= 0 for one in after)
    # lighter than the scale's figure with its margin, by what was moved out
    assert next(one["planning_g"] for one in after if one["case"] == case) < 31_600 + 500
    assert caller.json("GET", f"/plans/{mended['id']}/packing")["packed"] == 1


def test_no_way_to_take_before_weighing(caller: Caller, solved: Solved) -> None:
    """Nothing was weighed, so there is nothing to take; unknown cases are not found."""
    plan = solved[1]
    assert caller.json("GET", f"/plans/{plan}/scale")["number"] == 0
    caller.json("POST", f"/plans/{plan}/scale/take", 409, json={"number": 1})
    told = {"cases": [{"case": "NONE", "grams": 1000}]}
    caller.json("POST", f"/plans/{plan}/scale", 404, json=told)


def test_losing_a_case_names_what_the_show_lacks(caller: Caller, solved: Solved) -> None:
    """Without the rack the amplifier is gone, and hiring it costs its two prices and deliveries."""
    loss = caller.json("GET", f"/plans/{solved[1]}/losses/RACK")
    assert {(one["name"], one["unit"]) for one in loss["gone"]} == {("AMP", 1), ("RACK", 0)}
    assert [[one["target"] for one in stop["hire"]] for stop in loss["stops"]] == [["AMP"]] * 2
    # 180 + 160; both suppliers bring the bass drum anyway, so no delivery is added
    assert loss["cover_minor"] == 34_000
    losses = caller.json("GET", f"/plans/{solved[1]}/losses")["losses"]
    assert loss in losses


def key() -> dict[str, str]:
    return {"key": secrets.token_hex(8)}


def test_the_ledger_of_borders(caller: Caller, fresh: Solved) -> None:
    """Out of home, in and out of two countries, home: then all is home and nothing is owed."""
    plan = fresh[1]
    path = f"/plans/{plan}/border"
    stamp = {"step": "exportation", "country": "DE", "on": "2026-07-03", "items": "1-3"}
    refused = caller.json("POST", f"{path}/crossings", 409, json={**key(), **stamp})
    assert refused["name"] == "list-not-issued"
    issued = {**key(), "issued": "2026-06-01", "last_day": "2027-05-31"}
    caller.json("POST", f"{path}/issue", 201, json=issued)
    again = caller.json("POST", f"{path}/issue", 409, json={**issued, **key()})
    assert again["name"] == "goods-added-after-issue"
    for step, country, day in (
        ("exportation", "DE", "2026-07-03"),
        ("importation", "CH", "2026-07-03"),
        ("re-exportation", "CH", "2026-07-05"),
        ("importation", "NO", "2026-07-05"),
        ("re-exportation", "NO", "2026-07-08"),
    ):
        entry = {**key(), "step": step, "country": country, "on": day, "items": "1-3"}
        now = caller.json("POST", f"{path}/crossings", 201, json=entry)
    assert {one["place"]: one["pieces"] for one in now["places"]}["under way"] == 3
    more = {**key(), "step": "re-importation", "country": "DE", "on": "2026-07-08"}
    refused = caller.json("POST", f"{path}/crossings", 409, json={**more, "items": "1-4"})
    assert refused["name"] == "more-than-went"
    assert caller.json("POST", f"{path}/crossings", 422, json={**more, "items": "x"})
    home = caller.json("POST", f"{path}/crossings", 201, json={**more, "items": "1-3"})
    assert (home["complete"], home["owed"]) == (True, [])
    last = max(one["number"] for one in home["stamps"])
    wrong = {**key(), "entry": last, "reason": "two boxes still on the truck"}
    struck = caller.json("POST", f"{path}/corrections", 201, json=wrong)
    assert (struck["complete"], struck["owed"][-1]["pieces"]) == (False, 3)


def test_the_same_stamp_sent_twice_is_entered_once(caller: Caller, fresh: Solved) -> None:
    """A phone that lost the answer may send again under the same key."""
    path = f"/plans/{fresh[1]}/border"
    issued = {**key(), "issued": "2026-06-01", "last_day": "2027-05-31"}
    stamp = {**key(), "step": "exportation", "country": "DE", "on": "2026-07-03", "items": "1"}
    for entry, end in ((issued, "issue"), (issued, "issue"), (stamp, "crossings")):
        caller.json("POST", f"{path}/{end}", 201, json=entry)
    now = caller.json("POST", f"{path}/crossings", 201, json=stamp)
    assert len(now["stamps"]) == 1


def full_trunk(caller: Caller, plan: str) -> str:
    """A trunk with more than one object in it."""
    return next(
        str(one["case"])
        for one in caller.json("GET", f"/plans/{plan}/cases")["cases"]
        if one["case"].startswith("TRUNK") and one["objects"] > 1
    )


def test_the_workbook_knows_what_the_scale_said(
    caller: Caller, fresh: Solved, tmp_path: Path
) -> None:
    """The workbook with the measured weights judges the mended plan as the server does."""
    plan = fresh[1]
    caller.json("GET", f"/plans/{plan}/scale/workbook", 409)
    told = {"cases": [{"case": full_trunk(caller, plan), "grams": 31_600}]}
    caller.json("POST", f"/plans/{plan}/scale", 201, json=told)
    mended = caller.json("POST", f"/plans/{plan}/scale/take", 201, json={"number": 1})["id"]
    answer = caller.client.get(f"/api/v1/plans/{mended}/scale/workbook")
    (tmp_path / "weighed.xlsx").write_bytes(answer.content)
    trip = read_trip(tmp_path / "weighed.xlsx").trip
    made = plan_from_json(caller.json("GET", f"/plans/{mended}/plan.json"))
    assert trip is not None
    assert judge(trip, made).accepted


def test_what_stays_behind_is_hired_or_everything_flies(caller: Caller, fresh: Solved) -> None:
    """By 31.6 kg something must leave; told that all fly, no way leaves anything behind."""
    plan = fresh[1]
    told = {"cases": [{"case": full_trunk(caller, plan), "grams": 31_600}]}
    free = caller.json("POST", f"/plans/{plan}/scale", 201, json=told)
    assert free["pay_minor"] is None
    bound = caller.json("POST", f"/plans/{plan}/scale", 201, json={**told, "all_fly": True})
    assert len(free["mends"][0]["moves"]) <= len(bound["mends"][0]["moves"])
    for mend in free["mends"]:
        left = [move["gear"] for move in mend["moves"] if not move["target"]]
        assert bool(left) == bool(mend["orders"])
    assert all(move["target"] for mend in bound["mends"] for move in mend["moves"])


def test_a_plan_made_with_the_list_issued_keeps_to_it(caller: Caller, fresh: Solved) -> None:
    """No more flies than is on the list, and both plans share the ledger."""
    trip, plan = fresh
    caller.json("POST", f"/trips/{trip}/plans", 409, json={"seconds": 5, "issued": plan})
    issued = {**key(), "issued": "2026-06-01", "last_day": "2027-05-31"}
    caller.json("POST", f"/plans/{plan}/border/issue", 201, json=issued)
    new = caller.planned(trip, issued=plan)
    flown = {}
    for one in (plan, new):
        made = caller.json("GET", f"/plans/{one}/plan.json")
        flown[one] = {each["gear"]: each["flown"] for each in made["decisions"]}
    assert all(flown[new][gear] <= count for gear, count in flown[plan].items())
    stamp = {**key(), "step": "exportation", "country": "DE", "on": "2026-07-03", "items": "1-2"}
    caller.json("POST", f"/plans/{new}/border/crossings", 201, json=stamp)
    both = [caller.json("GET", f"/plans/{one}/border")["stamps"] for one in (plan, new)]
    assert both[0] == both[1]
    assert len(both[0]) == 1
    # and so does a plan mended on the scale
    told = {"cases": [{"case": full_trunk(caller, plan), "grams": 31_600}]}
    caller.json("POST", f"/plans/{plan}/scale", 201, json=told)
    mended = caller.json("POST", f"/plans/{plan}/scale/take", 201, json={"number": 1})["id"]
    assert caller.json("GET", f"/plans/{mended}/border")["issued"]


def test_any_two_cases_lost_at_once(caller: Caller, solved: Solved) -> None:
    """As many pairs as there are of the cases, worst first, each at least as bad as its parts."""
    plan = solved[1]
    losses = {one["case"]: one for one in caller.json("GET", f"/plans/{plan}/losses")["losses"]}
    pairs = caller.json("GET", f"/plans/{plan}/loss-pairs", params={"most": 1000})["losses"]
    assert len(pairs) == len(losses) * (len(losses) - 1) // 2
    ranks = [(one["unmet_units"], one["cover_minor"], one["value_minor"]) for one in pairs]
    assert ranks == sorted(ranks, reverse=True)
    for pair in pairs:
        assert pair["value_minor"] == sum(losses[case]["value_minor"] for case in pair["cases"])
        one, other = pair["cases"]
        params = {"also": other}
        assert caller.json("GET", f"/plans/{plan}/losses/{one}", params=params) == pair


def test_stops_that_are_over_do_not_count(caller: Caller, solved: Solved) -> None:
    """From the day of the second show on, only that one is asked about."""
    params = {"since": "2026-07-06"}
    loss = caller.json("GET", f"/plans/{solved[1]}/losses/RACK", params=params)
    assert [stop["stop"] for stop in loss["stops"]] == ["Pierhead"]
    assert loss["cover_minor"] == 16_000


def test_the_claim_for_a_lost_case(caller: Caller, solved: Solved) -> None:
    """The rack and its amplifier: 150 + 1,400; the limit of one passenger; three days to keep."""
    plan = solved[1]
    params = {"day": "2026-07-08", "sdr_rate": "1.2"}
    found = caller.json("GET", f"/plans/{plan}/claims/RACK", params=params)
    assert found["value_minor"] == 155_000
    assert {(one["name"], one["serial"]) for one in found["things"]} == {
        ("RACK", ""),
        ("AMP", "A-1001"),
    }
    assert all(one["item"] for one in found["things"])
    # article 22(2) as raised: 1,519 special drawing rights per passenger (`shared` has the source)
    assert found["limit_sdr"] == 1519 * found["people"]
    assert found["limit_minor"] == 120 * found["limit_sdr"]
    assert found["beyond_minor"] == max(0, 155_000 - found["limit_minor"])
    assert sorted(one["by"] for one in found["deadlines"]) == [
        "2026-07-15",
        "2026-07-29",
        "2026-07-29",
    ]
    for form, start in (("claim-list.pdf", b"%PDF"), ("claim-list.xlsx", b"PK")):
        answer = caller.client.get(f"/api/v1/plans/{plan}/claims/RACK/{form}", params=params)
        assert answer.content.startswith(start)
    caller.json("GET", f"/plans/{plan}/claims/RACK", 422, params={"day": "9999-12-31"})
    caller.json("GET", f"/plans/{plan}/claims/NONE", 404)


def test_goods_beyond_the_list_are_refused_with_a_proforma(
    caller: Caller, fresh: Solved, shared_server: Served
) -> None:
    """A plan that shares the ledger of one whose list has fewer goods: what is beyond is named."""
    trip, plan = fresh
    path = f"/plans/{plan}/border"
    assert caller.json("GET", f"{path}/refused")["issued"] is False
    small = caller.planned(trip, hire=["HORN", "AMP", "BASSDRUM"])
    issued = {**key(), "issued": "2026-06-01", "last_day": "2027-05-31"}
    caller.json("POST", f"/plans/{small}/border/issue", 201, json=issued)
    with_list = adopted(shared_server, plan, issued=small)
    beyond = caller.json("GET", f"/plans/{with_list}/border/refused")
    flown = {
        d["gear"]: d["flown"] for d in caller.json("GET", f"/plans/{plan}/plan.json")["decisions"]
    }
    for gear in ("HORN", "AMP", "BASSDRUM"):
        assert beyond["goods"].get(gear, 0) == flown[gear]
    assert beyond["goods"]
    assert {one["code"] for one in beyond["findings"]} == {"goods-added-after-issue"}
    answer = caller.client.get(f"/api/v1/plans/{with_list}/border/proforma-not-on-list.pdf")
    assert answer.status_code == 200
    caller.json("GET", f"/plans/{small}/border/proforma-not-on-list.xlsx", 409)


def adopted(server: Served, plan: str, **ask: Any) -> str:
    """The plan again as if asked for like this, put into the store beside the server."""
    store = Store.open(f"sqlite:///{server.data / 'holdall.db'}")
    row = store.plans.get(plan)
    asked = json.loads(row.ask)
    asked["ask"].update(ask)
    names = ("state", "message", "causes", "plan_json", "best_minor", "bound_minor")
    ending = Ending(code=row.code or 0, **{name: getattr(row, name) for name in names})
    made = store.plans.adopt(row.trip, row.upload, json.dumps(asked), ending, "test").id
    store.close()
    return str(made)


def test_a_single_object_on_the_scale(caller: Caller, fresh: Solved, tmp_path: Path) -> None:
    """A pedal of 40 kg fits no trunk; it must fly, so no way is legal. At 2 kg all is well, and
    the plan taken, its sheets and its workbook weigh it so."""
    plan = fresh[1]
    caller.json("POST", f"/plans/{plan}/scale", 422, json={})
    told = {"objects": [{"gear": "NONE", "grams": 100}]}
    caller.json("POST", f"/plans/{plan}/scale", 404, json=told)
    heavy = {"objects": [{"gear": "PEDAL", "grams": 40_000}]}
    found = caller.json("POST", f"/plans/{plan}/scale", 201, json=heavy)
    assert (found["legal"], found["impossible"], found["mends"]) == (False, True, [])
    light = {"objects": [{"gear": "PEDAL", "grams": 2000}]}
    found = caller.json("POST", f"/plans/{plan}/scale", 201, json=light)
    assert (found["legal"], found["objects"]) == (True, light["objects"])
    mended = caller.json("POST", f"/plans/{plan}/scale/take", 201, json={"number": 1})["id"]
    answer = caller.client.get(f"/api/v1/plans/{mended}/scale/workbook")
    (tmp_path / "weighed.xlsx").write_bytes(answer.content)
    trip = read_trip(tmp_path / "weighed.xlsx").trip
    assert trip is not None
    assert trip.gear_named("PEDAL").weight_g == 2000
    assert judge(trip, plan_from_json(caller.json("GET", f"/plans/{mended}/plan.json"))).accepted


def test_sheets_of_the_touched_cases_only(caller: Caller, fresh: Solved) -> None:
    """Old and new sheets name the cases that the way opens and not the rack."""
    plan = fresh[1]
    told = {"cases": [{"case": full_trunk(caller, plan), "grams": 31_600}], "all_fly": True}
    found = caller.json("POST", f"/plans/{plan}/scale", 201, json=told)
    move = found["mends"][0]["moves"][0]
    for form, case in (("old", move["source"]), ("new", move["target"])):
        path = f"/api/v1/plans/{plan}/scale/ways/1/case-sheets-{form}.pdf"
        pages = pypdfium2.PdfDocument(caller.client.get(path).content)
        text = "".join(page.get_textpage().get_text_bounded() for page in pages)
        assert case in text
        assert "RACK" not in text
    caller.json("GET", f"/plans/{plan}/scale/ways/99/case-sheets-new.pdf", 409)
