"""Studies over HTTP: what if one thing changed, what a little more would save."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from support.serving import Caller, Served, served

Solved = tuple[str, str]
OPEN = ("waiting", "solving")


def studied(caller: Caller, study: str, seconds: float = 120) -> Any:
    """The study once it has ended."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = caller.json("GET", f"/studies/{study}")
        if found["state"] not in OPEN:
            return found
        time.sleep(0.1)
    raise AssertionError(f"study {study} has not ended after {seconds} s")


def ask(caller: Caller, plan: str, kind: str) -> str:
    asked = caller.json("POST", f"/plans/{plan}/studies", 202, json={"kind": kind, "seconds": 1})
    return str(asked["id"])


@pytest.fixture(scope="module")
def swept(caller: Caller, solved: Solved) -> Any:
    """A sweep of the shared plan, to the end."""
    return studied(caller, ask(caller, solved[1], "sweep"))


def test_a_sweep_solves_the_trip_with_one_thing_changed(swept: Any) -> None:
    """Every change once; what is proved is never above what was found; fewer pieces never pay."""
    assert (swept["state"], swept["code"], swept["margins"]) == ("done", 0, [])
    names = [one["name"] for one in swept["what_ifs"]]
    assert len(names) == len(set(names)) > 8
    assert {"no piece above 23 kg", "1 free piece more on every flight"} <= set(names)
    for one in swept["what_ifs"]:
        if one["objective_minor"] is None:
            assert one["code"] != 0
            continue
        assert one["bound_minor"] <= one["objective_minor"]
        assert one["least_minor"] <= one["most_minor"]
        assert one["cash_minor"] + one["worth_minor"] == one["objective_minor"]
    freer = next(one for one in swept["what_ifs"] if one["name"].startswith("1 free piece more"))
    assert freer["least_minor"] <= 0
    fewer = [one for one in swept["what_ifs"] if one["name"].startswith("at most")]
    assert all(one["most_minor"] is None or one["most_minor"] >= 0 for one in fewer)


def test_a_sweep_has_a_picture(caller: Caller, swept: Any) -> None:
    """SVG by its name space (W3C SVG 1.1), with the name of each change in it."""
    answer = caller.client.get(f"/api/v1/studies/{swept['id']}/picture.svg")
    assert answer.headers["content-type"].startswith("image/svg+xml")
    root = ElementTree.fromstring(answer.text)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    words = "".join(root.itertext())
    assert all(one["name"] in words for one in swept["what_ifs"])


def test_a_little_more_saves_between_what_was_found_and_what_is_proved(
    caller: Caller, solved: Solved
) -> None:
    """Pieces, kilograms and cases by name, those that surely save most first; no picture."""
    found = studied(caller, ask(caller, solved[1], "margins"))
    assert (found["state"], found["what_ifs"]) == ("done", [])
    names = " ".join(one["name"] for one in found["margins"])
    assert all(words in names for words in ("more free piece", "1 kg more", "1 more TRUNK"))
    for one in found["margins"]:
        assert 0 <= (one["saves_least_minor"] or 0) <= one["saves_most_minor"]
    sure = [one["saves_least_minor"] or 0 for one in found["margins"]]
    assert sure == sorted(sure, reverse=True)
    refused = caller.json("GET", f"/studies/{found['id']}/picture.svg", 409)
    assert refused["name"] == "no-picture"


def test_studies_keep_a_plan_s_locks(caller: Caller, fresh: Solved) -> None:
    """With the amplifier locked to hire, no what-if is told as cheaper by letting it fly."""
    trip, _ = fresh
    caller.json("PUT", f"/trips/{trip}/locks/AMP", json={"lock": "hire"})
    plan = caller.planned(trip)
    ways = caller.json("POST", f"/plans/{plan}/other-ways?seconds=10")["ways"]
    one = caller.json("POST", f"/plans/{plan}/other-ways/HORN?forced=hire")
    horn = next(way for way in ways if (way["gear"], way["forced"]) == ("HORN", "hire"))
    assert horn["least_minor"] <= one["most_minor"]
    assert one["least_minor"] <= horn["most_minor"]
    # Its own lock is let go of: to fly it costs less than the plan that may not.
    amp = next(way for way in ways if (way["gear"], way["forced"]) == ("AMP", "fly"))
    assert amp["most_minor"] < 0


def test_a_plan_without_a_result_has_no_studies(caller: Caller, tour: bytes) -> None:
    """409 in the one shape; and unknown studies are not found."""
    plan = caller.ask_plan(caller.send_trip(tour))
    body = {"kind": "sweep"}
    answer = caller.client.post(f"/api/v1/plans/{plan}/studies", json=body)
    assert answer.status_code in (202, 409)  # it may have been solved by now
    if answer.status_code == 409:
        assert answer.json()["name"] == "no-plan-yet"
    caller.wait_for(plan)
    caller.json("GET", "/studies/nothing", 404)


def test_lines_found_before_a_kill_stand_and_the_rest_follows(tmp_path: Path, tour: bytes) -> None:
    """kill -9 in the middle of a sweep: what was shown is there, each line once; it goes on."""
    first = Served(tmp_path)
    caller = first.caller()
    plan = caller.planned(caller.send_trip(tour))
    study = ask(caller, plan, "sweep")
    shown: list[str] = []
    while len(shown) < 2:
        shown = [one["name"] for one in caller.json("GET", f"/studies/{study}")["what_ifs"]]
    first.kill_all()
    with served(tmp_path) as second:
        caller, names = second.caller(), list(shown)
        while len(names) == len(shown):
            names = [one["name"] for one in caller.json("GET", f"/studies/{study}")["what_ifs"]]
        caller.json("POST", f"/studies/{study}/stop", 202)
        found = studied(caller, study)
        names = [one["name"] for one in found["what_ifs"]]
        assert names[: len(shown)] == shown
        assert len(names) == len(set(names)) > len(shown)
        assert (found["state"], found["message"]) == ("done", "Stopped; what was found stands.")
