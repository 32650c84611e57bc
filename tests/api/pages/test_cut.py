"""Ticking in a real Chromium while the network, or the server, is gone: no tick lost or doubled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support.browsing import PHONE, browser, opened, until_true, why_no_browser
from support.serving import Caller, Served

from api.store import Store

if why_no_browser():
    pytest.skip(why_no_browser(), allow_module_level=True)

Solved = tuple[str, str]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """One browser for all tests here."""
    with browser() as launched:
        yield launched


@pytest.fixture
def page(chromium: Any, shared_server: Served) -> Iterator[Any]:
    """A phone's page."""
    yield from opened(chromium, shared_server, PHONE)


def test_ticking_goes_on_without_a_network_and_catches_up(
    page: Any, caller: Caller, fresh: Solved
) -> None:
    """Two ticks with the network, two without, the page loaded again, then the network is back:
    all four are in, each once."""
    trip, plan = fresh
    case = case_of_four(caller, plan)
    kept_page(page, f"/trips/{trip}/cases#case-{case}")
    section = page.locator(f"#case-{case}")
    it_is_in = section.get_by_role("button", name="It is in")
    for number in (1, 2):
        it_is_in.click()
        until_packed(page, caller, plan, number)
    page.context.set_offline(True)
    it_is_in.click()
    page.get_by_text("No network.").wait_for()
    assert caller.json("GET", f"/plans/{plan}/packing")["packed"] == 2
    page.reload()  # from what the phone has kept
    assert section.locator("input:checked").count() == 3
    it_is_in.click()
    assert section.locator("input:checked").count() == 4
    drawing = section.locator(".drawing img")
    assert drawing.evaluate("image => image.complete && image.naturalWidth > 0")
    # Not counted on the server here: while a page is loaded again the browser lifts its emulated
    # cut for a moment, and the page, told `online`, sends at once. The test below cuts for real.
    assert page.evaluate("navigator.onLine") is False
    page.context.set_offline(False)
    until_packed(page, caller, plan, 4)
    until_true(page, "localStorage.getItem('holdall-unsent-' + packing.dataset.plan) === '[]'")
    assert caller.json("GET", f"/plans/{plan}/packing")["doubles"] == []


def test_ticking_goes_on_while_the_server_is_gone_and_each_tick_arrives_once(
    chromium: Any, tmp_path: Path, tour: bytes
) -> None:
    """Two ticks, the server killed, two more with the page loaded again in between, the server
    back at its address: four ticks stand in its store, each under its own key."""
    server = Served(tmp_path)
    caller = server.caller()
    trip = caller.send_trip(tour)
    plan = caller.planned(trip)
    case = case_of_four(caller, plan)
    try:
        for page in opened(chromium, server, PHONE):
            kept_page(page, f"/trips/{trip}/cases#case-{case}")
            it_is_in = page.locator(f"#case-{case}").get_by_role("button", name="It is in")
            for number in (1, 2):
                it_is_in.click()
                until_packed(page, caller, plan, number)
            server.kill_all()
            it_is_in.click()
            page.get_by_text("No network.").wait_for()
            page.reload()
            it_is_in.click()
            assert page.locator(f"#case-{case} input:checked").count() == 4
            assert len(ticks_in(tmp_path, plan)) == 2
            server = Served(tmp_path, port=server.port)
            until_packed(page, server.caller(), plan, 4)
            until_true(page, f"localStorage.getItem('holdall-unsent-{plan}') === '[]'")
    finally:
        server.end()
    marks = ticks_in(tmp_path, plan)
    assert len(marks) == len(set(marks)) == 4


def test_a_tick_whose_answer_was_lost_counts_once(page: Any, caller: Caller, fresh: Solved) -> None:
    """The server takes it, the answer never comes; sent again under its key it is there once."""
    trip, plan = fresh
    lost: list[str] = []

    def lose(route: Any) -> None:
        if route.request.method != "POST" or lost:
            route.continue_()
            return
        lost.append(route.request.post_data)
        route.fetch()
        route.abort()

    page.route("**/packing", lose)
    page.goto(f"/trips/{trip}/cases#case-RACK")
    page.locator("#case-RACK").get_by_role("button", name="It is in").click()
    until_true(page, f"localStorage.getItem('holdall-unsent-{plan}') === '[]'")
    assert len(lost) == 1
    packing = caller.json("GET", f"/plans/{plan}/packing")
    assert (packing["packed"], packing["doubles"]) == (1, [])


def case_of_four(caller: Caller, plan: str) -> str:
    cases = caller.json("GET", f"/plans/{plan}/cases")["cases"]
    return str(next(one["case"] for one in cases if one["objects"] >= 4))


def kept_page(page: Any, path: str) -> None:
    """Open a page and have the phone keep it for when the network is gone."""
    page.goto(path)
    until_true(page, "navigator.serviceWorker.controller !== null")
    page.reload()  # this time by the worker, which keeps it
    page.wait_for_load_state("networkidle")


def ticks_in(data: Path, plan: str) -> list[str]:
    """The keys of the ticks in a server's store, read past the server."""
    store = Store.open(f"sqlite:///{data / 'holdall.db'}")
    try:
        return [row.mark for row in store.events.of(plan, "ticks")]
    finally:
        store.close()


def until_packed(page: Any, caller: Caller, plan: str, count: int) -> None:
    for _ in range(600):
        if caller.json("GET", f"/plans/{plan}/packing")["packed"] == count:
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never {count} packed")
