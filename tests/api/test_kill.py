"""Killed in the middle of anything: nothing that was acknowledged is lost, and solving goes on."""

from __future__ import annotations

import os
import secrets
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest
from support.serving import Caller, Served, served
from support.trip_sheets import sheets_of
from support.trips import generate
from support.workbooks import write_workbook

from api.store.plans import MOST_TRIES
from api.work.keeping import PROVED, STOPPED
from api.work.solving import NICENESS
from packer.judge import judge
from packer.model.plan_json import plan_from_json
from packer.reading import read_trip


@pytest.fixture(scope="module")
def hard(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A generated trip that takes the solver longer than a test waits."""
    path = tmp_path_factory.mktemp("hard") / "hard.xlsx"
    return write_workbook(path, sheets_of(generate("tangled-fees", "large", 1))).read_bytes()


def test_a_solve_that_was_cut_off_goes_on_after_the_restart(tmp_path: Path, tour: bytes) -> None:
    """kill -9 while one solves and one waits: the next server brings both to a result."""
    first = Served(tmp_path)
    caller = first.caller()
    trip = caller.send_trip(tour)
    plans = [caller.ask_plan(trip), caller.ask_plan(trip, seed=1)]
    first.kill()
    second = Served(tmp_path)
    try:
        again = second.caller()
        assert [again.wait_for(plan)["state"] for plan in plans] == ["done", "done"]
    finally:
        second.end()


def test_an_orderly_end_costs_no_try(tmp_path: Path, hard: bytes) -> None:
    """Ended in order while solving, the plan waits again; nothing is left running behind."""
    first = Served(tmp_path)
    caller = first.caller()
    plan = caller.ask_plan(caller.send_trip(hard), seconds=300)
    until_state(caller, plan, "solving")
    first.end()
    second = Served(tmp_path)
    try:
        found = second.caller().json("GET", f"/plans/{plan}")
        assert found["state"] in ("waiting", "solving")
        second.caller().json("POST", f"/plans/{plan}/stop", 202)
    finally:
        second.kill()


def test_stopping_early_keeps_the_best(tmp_path: Path, hard: bytes) -> None:
    """Stopped once a plan was found, long before its time: done, judged, with an honest bound."""
    server = Served(tmp_path)
    try:
        caller = server.caller()
        plan = caller.ask_plan(caller.send_trip(hard), seconds=300)
        until(lambda: caller.json("GET", f"/plans/{plan}")["best_minor"] is not None, 90)
        caller.json("POST", f"/plans/{plan}/stop", 202)
        found = caller.wait_for(plan, 60)
        assert found["state"] == "done"
        assert found["seconds"] < 200
        assert found["bound_minor"] <= found["best_minor"]
    finally:
        server.kill()


def test_a_stop_that_was_asked_for_holds_through_a_kill(tmp_path: Path, hard: bytes) -> None:
    """kill -9 of server and solver right after the stop: the plan that was shown, or a better."""
    first, plan, shown = shown_and_solving(tmp_path, hard)
    first.caller().json("POST", f"/plans/{plan}/stop", 202)
    first.kill_all()
    with served(tmp_path) as second:
        found = second.caller().wait_for(plan, 60)
        assert (found["state"], found["code"]) == ("done", 0)
        assert found["best_minor"] <= shown
        assert found["message"] in (STOPPED, PROVED)
        assert judged(second.caller(), found, tmp_path, hard)


def test_the_best_so_far_is_still_shown_after_a_kill_and_solving_goes_on(
    tmp_path: Path, hard: bytes
) -> None:
    """kill -9 of server and solver: the restart shows what was shown, solves on, and can stop."""
    first, plan, shown = shown_and_solving(tmp_path, hard)
    first.kill_all()
    with served(tmp_path) as second:
        caller = second.caller()
        now = caller.json("GET", f"/plans/{plan}")
        assert now["state"] in ("waiting", "solving")
        assert now["best_minor"] is not None
        assert now["best_minor"] <= shown
        caller.json("POST", f"/plans/{plan}/stop", 202)
        found = caller.wait_for(plan, 60)
        assert found["state"] == "done"
        assert found["best_minor"] <= shown
        assert judged(caller, found, tmp_path, hard)


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="no /proc to find children in")
def test_a_solver_that_is_killed_alone_is_started_again_and_in_the_end_given_up(
    tmp_path: Path, hard: bytes
) -> None:
    """kill -9 of the solving process, three times: each time another, then the best plan shown."""
    server, plan, shown = shown_and_solving(tmp_path, hard)
    try:
        caller = server.caller()
        for _ in range(MOST_TRIES):
            until(lambda: solving_process(server) is not None, 60)
            os.kill(solving_process(server) or 0, signal.SIGKILL)
            until(lambda: solving_process(server) is None, 30)
        found = caller.wait_for(plan, 60)
        assert (found["state"], found["code"]) == ("done", 0)
        assert found["message"].startswith(f"Cut off {MOST_TRIES} times")
        assert found["best_minor"] <= shown
    finally:
        server.kill()


def shown_and_solving(data: Path, content: bytes) -> tuple[Served, str, int]:
    """A server that solves a hard trip, its plan, and the best total that it has shown."""
    server = Served(data)
    caller = server.caller()
    plan = caller.ask_plan(caller.send_trip(content), seconds=300)
    until(lambda: caller.json("GET", f"/plans/{plan}")["best_minor"] is not None, 90)
    return server, plan, caller.json("GET", f"/plans/{plan}")["best_minor"]


def judged(caller: Caller, found: dict[str, Any], folder: Path, content: bytes) -> bool:
    """Whether the plan holds for the judge and costs what it says."""
    path = folder / "judged.xlsx"
    path.write_bytes(content)
    trip = read_trip(path).trip
    assert trip is not None
    plan = plan_from_json(caller.json("GET", f"/plans/{found['id']}/plan.json"))
    return judge(trip, plan).accepted and plan.objective_minor == found["best_minor"]


def solving_process(server: Served) -> int | None:
    """The process that solves: the youngest child that gives way to others."""
    return max((one for one in server.children() if niceness(one) == NICENESS), default=None)


def niceness(process: int) -> int | None:
    """How far a process gives way beyond this one; None when it has gone."""
    try:
        return os.getpriority(os.PRIO_PROCESS, process) - os.getpriority(os.PRIO_PROCESS, 0)
    except ProcessLookupError:
        return None


def test_every_acknowledged_tick_is_there_after_a_kill(tmp_path: Path, tour: bytes) -> None:
    """Ticks pour in from four threads while the server is killed; each acknowledged one stands."""
    first = Served(tmp_path)
    caller = first.caller()
    trip = caller.send_trip(tour)
    plan = caller.planned(trip)
    case = caller.json("GET", f"/plans/{plan}/packing")["cases"][0]
    unit = case["out"][0]
    acknowledged: list[str] = []
    path = f"{first.url}/api/v1/plans/{plan}/packing"

    def pour() -> None:
        with httpx.Client(timeout=10) as client:
            for number in range(10_000):
                entry = {
                    "key": secrets.token_hex(8),
                    "kind": "tick",
                    "case": case["case"],
                    **unit,
                    "at": f"2026-07-01T10:{number // 60 % 60:02}:{number % 60:02}Z",
                    "packed": number % 2 == 0,
                }
                try:
                    answer = client.post(path, json={"entries": [entry]})
                except httpx.TransportError:
                    return
                acknowledged.extend(answer.json()["taken"])

    threads = [threading.Thread(target=pour) for _ in range(4)]
    for thread in threads:
        thread.start()
    until(lambda: len(acknowledged) > 40, 30)
    first.kill()
    for thread in threads:
        thread.join()
    second = Served(tmp_path)
    try:
        from api.store import Store

        store = Store.open(f"sqlite:///{tmp_path / 'holdall.db'}")
        kept = {row.mark for row in store.events.of(plan, "ticks")}
        store.close()
        assert set(acknowledged) <= kept
        assert second.caller().json("GET", f"/plans/{plan}/packing")["planned"] > 0
    finally:
        second.end()


def test_an_upload_is_there_whole_or_not_at_all(tmp_path: Path, tour: bytes) -> None:
    """Uploads pour in while the server is killed; each acknowledged one is there byte for byte."""
    first = Served(tmp_path)
    acknowledged: list[str] = []

    def pour() -> None:
        caller = first.caller()
        while True:
            try:
                acknowledged.append(caller.send_trip(tour))
            except httpx.TransportError:
                return

    thread = threading.Thread(target=pour)
    thread.start()
    until(lambda: len(acknowledged) > 3, 60)
    first.kill()
    thread.join()
    second = Served(tmp_path)
    try:
        caller = second.caller()
        listed = [trip["id"] for trip in caller.json("GET", "/trips")["trips"]]
        assert set(acknowledged) <= set(listed)
        for trip in listed:
            original = caller.client.get(f"/api/v1/trips/{trip}/uploads/1/original").content
            assert original == tour
    finally:
        second.end()


def until_state(caller: Caller, plan: str, state: str) -> None:
    """Wait until a plan is in a state."""
    until(lambda: caller.json("GET", f"/plans/{plan}")["state"] == state, 30)


def until(true: Callable[[], bool], seconds: float) -> None:
    """Wait until something is true; AssertionError when it does not become so."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return
        time.sleep(0.05)
    raise AssertionError(f"not within {seconds} s")
