"""The pages in a real Chromium: on desk and phone, in sun and on stage."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support.browsing import DESK, PHONE, browser, opened, why_no_browser
from support.serving import Caller, Served
from support.tour import broken_sheets, tour_bytes

if why_no_browser():
    pytest.skip(why_no_browser(), allow_module_level=True)

STEPS = (
    "",
    "/decisions",
    "/what-if",
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
    hint = page.get_by_text("This phone cannot keep this page")
    assert hint.is_hidden()
    # As browsers have it on plain http (W3C Service Workers: secure contexts only).
    page.add_init_script("delete Navigator.prototype.serviceWorker")
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
