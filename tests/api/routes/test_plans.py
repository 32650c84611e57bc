"""Plans over HTTP: asking, following, stopping, decisions, cases, papers, customs."""

from __future__ import annotations

import io
import json
import zipfile
from xml.etree import ElementTree

from support.serving import Caller
from support.tour import tour_sheets
from support.workbooks import write_workbook

from packer.judge import judge
from packer.model.plan_json import plan_from_json

Solved = tuple[str, str]


def test_a_plan_passes_the_judge_and_adds_up(caller: Caller, solved: Solved, tmp_path) -> None:
    """plan.json over HTTP holds for the judge, and the summary tells its money."""
    from packer.reading import read_trip

    plan = plan_from_json(caller.json("GET", f"/plans/{solved[1]}/plan.json"))
    trip = read_trip(write_workbook(tmp_path / "trip.xlsx", tour_sheets())).trip
    assert trip is not None
    assert judge(trip, plan).breaches == ()
    money = caller.json("GET", f"/plans/{solved[1]}")["summary"]["money"]
    parts = ("baggage_minor", "hire_minor", "delivery_minor", "freight_minor")
    assert sum(money[part] for part in parts) == money["cash_minor"]
    assert money["cash_minor"] + money["worth_minor"] == money["objective_minor"]
    assert money["objective_minor"] == plan.objective_minor


def test_progress_comes_as_server_sent_events(caller: Caller, tour: bytes) -> None:
    """Events by the standard's form (WHATWG HTML, server-sent events), the last one `end`."""
    plan = caller.ask_plan(caller.send_trip(tour))
    with caller.client.stream("GET", f"/api/v1/plans/{plan}/progress") as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        text = answer.read().decode()
    blocks = [block for block in text.split("\n\n") if block and not block.startswith(":")]
    kinds = [block.split("\n")[0] for block in blocks]
    assert kinds[-1] == "event: end"
    assert json.loads(blocks[-1].split("\n")[1].removeprefix("data: "))["state"] == "done"


def test_the_rest_waits_and_says_so(caller: Caller, tour: bytes) -> None:
    """With one solve at once, the third of three says how many are ahead, and all come out."""
    trip = caller.send_trip(tour)
    plans = [caller.ask_plan(trip, seed=seed) for seed in range(3)]
    ahead = [caller.json("GET", f"/plans/{plan}")["ahead"] for plan in plans]
    assert ahead == sorted(ahead)
    assert ahead[-1] >= 1
    assert {caller.wait_for(plan)["state"] for plan in plans} == {"done"}


def test_stopping_what_has_not_begun_takes_it_out_of_the_queue(caller: Caller, tour: bytes) -> None:
    """It ends as out of time, code 4, and is not solved after all."""
    trip = caller.send_trip(tour)
    first = caller.ask_plan(trip)
    second = caller.ask_plan(trip)
    caller.json("POST", f"/plans/{second}/stop", 202)
    found = caller.wait_for(second)
    assert (found["state"], found["code"]) == ("out-of-time", 4)
    assert caller.wait_for(first)["state"] == "done"
    assert caller.json("POST", f"/plans/{first}/stop", 202)["state"] == "done"


def test_a_lock_changes_the_next_plan_and_is_kept_with_history(
    caller: Caller, fresh: Solved
) -> None:
    """The amplifier flew; locked to hire it does not, and the total is what was proved before."""
    trip, plan = fresh
    other = caller.json("POST", f"/plans/{plan}/other-ways/AMP?forced=hire")
    assert other["exact"]
    caller.json("PUT", f"/trips/{trip}/locks/AMP", json={"lock": "hire", "why": "too heavy"})
    second = caller.planned(trip, keep=plan)
    compared = caller.json("GET", f"/comparison?first={plan}&second={second}")
    assert compared["objective_minor"] == other["most_minor"]
    assert {"kind": "fewer fly", "subject": "AMP", "before": "1", "after": "0"} in compared[
        "changes"
    ]
    lines = {x["gear"]: x for x in caller.json("GET", f"/plans/{second}/decisions")["decisions"]}
    assert (lines["AMP"]["way"], lines["AMP"]["lock"]) == ("hire", "hire")
    caller.json("PUT", f"/trips/{trip}/locks/AMP", json={"lock": ""})
    edits = caller.json("GET", f"/trips/{trip}/edits")
    assert edits["standing"] == []
    assert [one["setting"] for one in edits["history"]] == ["hire", ""]


def test_every_other_way_at_once_agrees_with_asking_one(caller: Caller, fresh: Solved) -> None:
    """The amplifier, hired by force, costs what lies within the range told for all lines."""
    plan = fresh[1]
    ways = caller.json("POST", f"/plans/{plan}/other-ways?seconds=10")["ways"]
    one = caller.json("POST", f"/plans/{plan}/other-ways/AMP?forced=hire")
    amp = next(way for way in ways if (way["gear"], way["forced"]) == ("AMP", "hire"))
    assert {way["gear"] for way in ways} == {"HORN", "STAND", "AMP", "BASSDRUM", "PEDAL", "CLOTH"}
    caller.json("POST", f"/plans/{plan}/other-ways/AMP?forced=fly")
    told = {
        (line["gear"], way["forced"])
        for line in caller.json("GET", f"/plans/{plan}/decisions")["decisions"]
        for way in line["other_ways"]
    }
    assert told == {(way["gear"], way["forced"]) for way in ways} | {("AMP", "fly")}
    assert amp["least_minor"] is None or amp["least_minor"] <= one["most_minor"]
    assert amp["most_minor"] is None or amp["most_minor"] >= one["least_minor"]


def test_a_price_and_a_worth_change_the_total(caller: Caller, fresh: Solved) -> None:
    """The bass drum was hired at 45 and 40; at 50 in Lakeside the plan is 5.00 dearer."""
    trip, plan = fresh
    before = caller.json("GET", f"/plans/{plan}")["summary"]["money"]["objective_minor"]
    price = {"stop": "Lakeside", "target": "BASSDRUM", "supplier": "Seebach Hire"}
    caller.json("PUT", f"/trips/{trip}/prices", json={**price, "price": "50"})
    caller.json("PUT", f"/trips/{trip}/worths/BASSDRUM", json={"worth": "1.25"})
    after = caller.json("GET", f"/plans/{caller.planned(trip)}")["summary"]["money"]
    # 5.00 more hire, and 1.25 of worth given up at each of the two stops
    assert after["objective_minor"] - before == 500 + 2 * 125
    caller.json("PUT", f"/trips/{trip}/prices", 422, json={**price, "price": "many"})
    caller.json("PUT", f"/trips/{trip}/prices", 404, json={**price, "stop": "X", "price": "1"})
    caller.json("PUT", f"/trips/{trip}/locks/PEDAL", 409, json={"lock": "hire"})


def test_every_case_is_against_its_limits_with_its_contents(caller: Caller, solved: Solved) -> None:
    """Planning weight is empty + contents + margin, and the contents weigh what they should."""
    cases = caller.json("GET", f"/plans/{solved[1]}/cases")["cases"]
    for case in cases:
        assert case["planning_g"] == case["empty_g"] + case["contents_g"] + case["margin_g"]
        whole = caller.json("GET", f"/plans/{solved[1]}/cases/{case['case']}")
        assert sum(step["weight_g"] for step in whole["steps"]) == case["contents_g"]
        assert [step["number"] for step in whole["steps"]] == list(range(1, case["objects"] + 1))
    caller.json("GET", f"/plans/{solved[1]}/cases/NONE", 404)


def test_a_drawing_is_well_formed_and_may_be_kept(caller: Caller, solved: Solved) -> None:
    """SVG by its name space (W3C SVG 1.1), step by step, with leave to keep it offline."""
    case = caller.json("GET", f"/plans/{solved[1]}/cases")["cases"][0]["case"]
    for query in ("", "?upto=1"):
        answer = caller.client.get(f"/api/v1/plans/{solved[1]}/cases/{case}/drawing.svg{query}")
        assert ElementTree.fromstring(answer.text).tag == "{http://www.w3.org/2000/svg}svg"
        assert "immutable" in answer.headers["cache-control"]


def test_papers_one_by_one_and_all_as_a_zip(caller: Caller, solved: Solved) -> None:
    """Every file in the list can be fetched, has its size, and is the same in the zip."""
    plan = solved[1]
    papers = caller.json("GET", f"/plans/{plan}/papers")["papers"]
    answer = caller.client.get(f"/api/v1/plans/{plan}/papers.zip")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        assert sorted(archive.namelist()) == sorted(paper["name"] for paper in papers)
        for paper in papers:
            content = caller.client.get(paper["path"]).content
            assert len(content) == paper["size"]
            assert archive.read(paper["name"]) == content
    for name in ("nothing.pdf", "../../secret", "..%2f..%2fetc%2fpasswd"):
        assert caller.client.get(f"/api/v1/plans/{plan}/papers/{name}").status_code == 404


def test_the_customs_list_numbers_without_gaps(caller: Caller, solved: Solved) -> None:
    """Item numbers run from 1, and totals are the sums of the rows."""
    goods = caller.json("GET", f"/plans/{solved[1]}/customs")
    following = 1
    for item in goods["items"]:
        assert item["first"] == following
        assert item["pieces"] == item["last"] - item["first"] + 1
        following = item["last"] + 1
    assert goods["pieces"] == following - 1
    assert goods["value_minor"] == sum(item["value_minor"] or 0 for item in goods["items"])
    assert goods["problems"] == []


def test_health_really_plans(caller: Caller) -> None:
    """A tiny trip whose cheapest plan costs nothing was solved and judged."""
    health = caller.json("GET", "/health")
    assert (health["well"], health["code"], health["objective_minor"]) == (True, 0, 0)


def test_rules_have_pages(caller: Caller) -> None:
    """Every rule in the list has a page with a source and who decides."""
    rules = caller.json("GET", "/rules")["rules"]
    assert len(rules) > 20
    page = caller.json("GET", f"/rules/{rules[0]['code']}")
    assert page == rules[0]
    assert page["source"]
    assert page["decides"]
