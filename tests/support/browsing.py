"""A real Chromium for tests, kept from any address but this machine's."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from support.programs import WHY_NOT, find_browser

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
