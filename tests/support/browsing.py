"""A real Chromium for tests, kept from any address but this machine's."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PLACES = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
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
    return "" if _browser() else "no Chromium is installed on this machine"


@contextmanager
def browser() -> Iterator[object]:
    """A Chromium without a window."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        launched = driver.chromium.launch(executable_path=_browser(), args=list(_WORDS))
        yield launched
        launched.close()


def _browser() -> str:
    for place in PLACES:
        if Path(place).exists():
            return place
    return shutil.which("chromium") or ""
