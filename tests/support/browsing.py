"""A real Chromium for tests, kept from any address but this machine's."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from support.programs import WHY_NOT, find_browser
from support.serving import Served

DESK = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}

_WORDS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)


def why_no_browser() -> str:
    """Why no browser can be driven here; empty where one can."""
    try:
        import playwright.sync_api  # noqa: F401
    except ImportError:
        return "playwright is not installed"
    return "" if find_browser() else str(WHY_NOT["browser"])


@contextmanager
def browser() -> Iterator[object]:
    """A Chromium without a window."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        launched = driver.chromium.launch(executable_path=find_browser(), args=list(_WORDS))
        yield launched
        launched.close()


def opened(chromium: Any, server: Served, size: dict[str, int], **more: Any) -> Iterator[Any]:
    """A page that fails its test when a script fails or a foreign host is asked."""
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


def until_true(page: Any, expression: str) -> None:
    """Waits for a page to agree. The browser's own waiting needs an eval that our pages forbid."""
    for _ in range(600):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never true: {expression}")
