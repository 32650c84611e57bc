"""The pages in a real Chromium: on desk and phone, in sun and on stage, with the network cut."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support.browsing import browser, why_no_browser
from support.serving import Caller, Served
from support.tour import broken_sheets, tour_bytes

from api.store import Store

if why_no_browser():
    pytest.skip(why_no_browser(), allow_module_level=True)

DESK = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}
STEPS = (
    "",
    "/decisions",
    "/solve",
    "/cases",
    "/scale",
    "/papers",
    "/borders",
    "/lost",
    "/claim?case=RACK",
    "/next",
    "/history",
)
Solved = tuple[str, str]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """One browser for all tests here."""
    with browser() as launched:
        yield launched


@pytest.fixture
def page(chromium: Any, shared_server: Served) -> Iterator[Any]:
    """A phone's page that fails the test when a script fails or a foreign host is asked."""
    yield from opened(chromium, shared_server, PHONE)


@pytest.fixture
def desk_page(chromium: Any, shared_server: Served) -> Iterator[Any]:
    """The same on a desk."""
    yield from opened(chromium, shared_server, DESK)


def opened(chromium: Any, server: Served, size: dict[str, int], **more: Any) -> Iterator[Any]:
    context = chromium.new_context(viewport=size, base_url=server.url, **more)
    made = context.new_page()
    made.set_default_timeout(60_000)
    wrong: list[str] = []
    made.on("pageerror", lambda error: wrong.append(str(error)))
    made.on("request", lambda asked: wrong.extend(foreign(asked.url, server.url)))
    made.on("console", lambda said: wrong.extend(policy_breach(said.text)))
    yield made
    context.close()
    assert wrong == []


def foreign(url: str, ours: str) -> list[str]:
    own = url.startswith((ours, "data:", "blob:"))
    return [] if own else [f"asked {url}"]


def policy_breach(text: str) -> list[str]:
    return [text] if "Content Security Policy" in text else []


def faults(page: Any) -> list[str]:
    """What the accessibility checker holds against WCAG 2.2 A and AA (axe-core's rules)."""
    checker = pytest.importorskip("axe_playwright_python.sync_playwright")

    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    found = checker.Axe().run(page, options={"runOnly": {"type": "tag", "values": tags}})
    return [
        f"{one['id']}: {node['target']} {node['html'][:150]}"
        for one in found.response["violations"]
        for node in one["nodes"]
    ]


@pytest.mark.parametrize(
    ("size", "light"),
    [(DESK, "light"), (PHONE, "dark"), (PHONE, "light")],
    ids=["desk in the sun", "phone on stage", "phone in the sun"],
)
def test_every_page_is_accessible_and_fits(
    chromium: Any, shared_server: Served, solved: Solved, size: dict[str, int], light: str
) -> None:
    """No fault by the checker, one heading of the first rank, nothing wider than the screen."""
    for made in opened(chromium, shared_server, size, color_scheme=light):
        for step in ("/", *(f"/trips/{solved[0]}{one}" for one in STEPS), "/log-in", "/nothing"):
            made.goto(step)
            assert faults(made) == [], step
            assert made.locator("h1").count() == 1, step
            wide = made.evaluate("document.documentElement.scrollWidth - innerWidth")
            assert wide <= 0, step
        made.goto(f"/trips/{solved[0]}/cases#case-TRUNK-1")
        assert faults(made) == []


def test_a_broken_workbook_is_corrected_without_leaving(
    page: Any, tour: bytes, tmp_path: Path
) -> None:
    """Errors at their cells in the sheet's own shape; the corrected file clears them."""
    page.goto("/")
    broken = tour_bytes(tmp_path, broken_sheets())
    send(page, "broken.xlsx", broken)
    page.wait_for_url("**/trips/*")
    assert page.get_by_text("2 errors.").is_visible()
    cell = page.locator("td.hit.error", has_text="heavy")
    assert cell.count() == 1
    cell.get_by_role("link").first.click()
    assert "Gear D2" in page.locator(".finding:target").inner_text()
    send(page, "tour.xlsx", tour)
    page.get_by_text("No errors.").wait_for()


def send(page: Any, name: str, content: bytes) -> None:
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    page.set_input_files("#workbook", {"name": name, "mimeType": kind, "buffer": content})
    page.locator(".drop button").click()


def test_a_lock_moves_the_total(desk_page: Any, fresh: Solved) -> None:
    """Ask the other way, lock it, solve again: the total rises by what was proved."""
    trip = fresh[0]
    desk_page.goto(f"/trips/{trip}/decisions")
    line = desk_page.locator("#line-AMP")
    line.get_by_role("button", name="And if it were hired?").click()
    line.locator(".proof").wait_for(timeout=60_000)
    proved = line.locator(".proof strong").inner_text()
    line.get_by_role("button", name="Must hire").click()
    desk_page.get_by_text("1 change not in this total yet").wait_for()
    assert line.get_by_role("button", name="Must hire").get_attribute("aria-pressed") == "true"
    desk_page.get_by_role("button", name="Solve again from here").click()
    desk_page.locator("#watched .go", has_text="Decisions").wait_for(timeout=90_000)
    desk_page.locator("#watched .go", has_text="Decisions").click()
    assert desk_page.locator(".totals").get_by_text(proved).is_visible()


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


def until_true(page: Any, expression: str) -> None:
    """Waits for a page to agree. The browser's own waiting needs an eval that our pages forbid."""
    for _ in range(600):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never true: {expression}")


def until_packed(page: Any, caller: Caller, plan: str, count: int) -> None:
    for _ in range(600):
        if caller.json("GET", f"/plans/{plan}/packing")["packed"] == count:
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never {count} packed")


def test_another_phone_s_ticks_appear(page: Any, caller: Caller, fresh: Solved) -> None:
    """What somebody else ticked is seen here without loading the page again."""
    trip, plan = fresh
    page.goto(f"/trips/{trip}/cases#case-RACK")
    entry = {"key": "another-phone-1", "kind": "tick", "case": "RACK", "gear": "AMP", "unit": 1}
    batch = {"entries": [{**entry, "at": "2026-07-01T10:00:00Z"}]}
    caller.json("POST", f"/plans/{plan}/packing", json=batch)
    page.locator("#case-RACK input:checked").wait_for(timeout=60_000)
    page.locator("#case-RACK").get_by_role("button", name="Close the case").click()
    for _ in range(50):
        cases = caller.json("GET", f"/plans/{plan}/packing")["cases"]
        if [one["closed"] for one in cases if one["case"] == "RACK"] == [True]:
            return
        page.wait_for_timeout(100)
    raise AssertionError("the case was not closed")


def test_a_case_closes_with_what_is_out_excused_by_name(
    page: Any, caller: Caller, fresh: Solved
) -> None:
    """Without a reason it says so; with one the case is closed and the page names what is out."""
    trip, plan = fresh
    page.goto(f"/trips/{trip}/cases#case-RACK")
    section = page.locator("#case-RACK")
    section.get_by_role("button", name="Close without it").click()
    section.get_by_text("Say why it may be missing").wait_for()
    section.get_by_label("Why may it be missing?").fill("on stage until noon")
    section.get_by_role("button", name="Close without it").click()
    section.get_by_text("Closed without AMP 1 (on stage until noon).").wait_for()
    rack = until_closed(page, caller, plan, "RACK")
    assert rack["excused"] == [{"gear": "AMP", "unit": 1, "reason": "on stage until noon"}]
    page.reload()
    section.get_by_text("Closed without AMP 1 (on stage until noon).").wait_for()
    section.get_by_role("button", name="Open it again").click()
    section.get_by_role("button", name="Close without it").wait_for()


def until_closed(page: Any, caller: Caller, plan: str, case: str) -> Any:
    for _ in range(600):
        cases = caller.json("GET", f"/plans/{plan}/packing")["cases"]
        found = next(one for one in cases if one["case"] == case)
        if found["closed"]:
            return found
        page.wait_for_timeout(100)
    raise AssertionError(f"{case} was not closed")


def test_a_lid_without_script(chromium: Any, shared_server: Served, fresh: Solved) -> None:
    """An ordinary form closes a case with the exception named, and refuses one without a reason."""
    context = chromium.new_context(base_url=shared_server.url, java_script_enabled=False)
    made = context.new_page()
    made.goto(f"/trips/{fresh[0]}/cases#case-RACK")
    made.locator("#case-RACK").get_by_role("button", name="Close without it").click()
    assert "No reason is given for AMP 1" in made.get_by_role("alert").inner_text()
    made.goto(f"/trips/{fresh[0]}/cases#case-RACK")
    section = made.locator("#case-RACK")
    section.get_by_label("Why may it be missing?").fill("with the crew")
    section.get_by_role("button", name="Close without it").click()
    assert "Closed without AMP 1 (with the crew)." in section.inner_text()
    context.close()


def test_a_phone_on_plain_http_is_told_that_it_keeps_no_page(page: Any, fresh: Solved) -> None:
    """On the machine itself pages are kept; where they are not, a plain hint says so."""
    page.goto(f"/trips/{fresh[0]}/cases")
    hint = page.get_by_text("This page came over plain http")
    assert hint.is_hidden()
    page.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")
    page.goto(f"/trips/{fresh[0]}/cases")
    hint.wait_for()


def test_everything_can_be_done_with_the_keyboard(page: Any, fresh: Solved) -> None:
    """Tab to the first tick box of a case and press the space bar."""
    page.goto(f"/trips/{fresh[0]}/cases#case-RACK")
    box = page.locator("#case-RACK .ticks input").first
    for _ in range(60):
        page.keyboard.press("Tab")
        if box.evaluate("box => box === document.activeElement"):
            break
    page.keyboard.press("Space")
    assert box.is_checked()


def test_the_scale_shows_what_breaks_and_what_mends(
    page: Any, caller: Caller, fresh: Solved
) -> None:
    """31.6 kg for a trunk: it does not hold like this; one press makes it a plan that does."""
    trip, plan = fresh
    case = next(
        one["case"]
        for one in caller.json("GET", f"/plans/{plan}/cases")["cases"]
        if one["case"].startswith("TRUNK") and one["objects"] > 1
    )
    page.goto(f"/trips/{trip}/scale")
    page.locator("label", has_text=case).locator("input[name=kg]").fill("31,6")
    page.get_by_role("button", name="See what it breaks").click()
    page.get_by_text("It does not hold like this").wait_for(timeout=60_000)
    page.get_by_role("button", name="Do this").first.click()
    page.get_by_role("heading", name="Cases").wait_for()


def test_pages_work_without_script(chromium: Any, shared_server: Served, fresh: Solved) -> None:
    """With script off, ticks are kept by an ordinary form."""
    context = chromium.new_context(base_url=shared_server.url, java_script_enabled=False)
    made = context.new_page()
    made.goto(f"/trips/{fresh[0]}/cases#case-RACK")
    made.locator("#case-RACK .ticks input").first.check()
    made.locator("#case-RACK").get_by_role("button", name="Keep these ticks").click()
    assert made.locator("#case-RACK .ticks input").first.is_checked()
    context.close()


def test_borders_refuse_in_words(page: Any, fresh: Solved) -> None:
    """More pieces than went out: the page says so, in the ledger's words, and keeps nothing."""
    page.goto(f"/trips/{fresh[0]}/borders")
    page.get_by_label("Issued on").fill("2026-06-01")
    page.get_by_label("Last valid day").fill("2027-05-31")
    page.get_by_role("button", name="It was issued").click()
    page.get_by_label("Country of the office").fill("de")
    page.get_by_label("Date").fill("2026-07-03")
    page.get_by_label("Item numbers").fill("1-400")
    page.get_by_role("button", name="Enter the stamp").click()
    assert "is not on the list" in page.get_by_role("alert").inner_text()
    assert page.get_by_text("None yet.").is_visible()
