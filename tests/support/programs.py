"""Programs outside Python that some tests use: a browser, an office suite, a database server.

Each `find_` function gives a path, or None where the program is not there; a test that needs one
skips with `reason=WHY_NOT[...]`. Standard library only: `python3 tests` loads this before
anything is installed.
"""

import os
import shutil
import sys
from pathlib import Path

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
)
_MAC = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)
_WINDOWS = (
    r"Google\Chrome\Application\chrome.exe",
    r"Chromium\Application\chrome.exe",
    r"Microsoft\Edge\Application\msedge.exe",
)
_OFFICE_ELSEWHERE = (
    "/Applications/LibreOffice.app/Contents/MacOS/soffice",
    r"C:\Program Files\LibreOffice\program\soffice.exe",
)

WHY_NOT = {
    "browser": "no Chromium, Chrome or Edge on this machine",
    "office": "no LibreOffice on this machine",
    "database": "no PostgreSQL server programs on this machine",
}


def find_browser():
    """The path of a Chromium, Chrome or Edge, or None."""
    return _on_path(BROWSERS) or _first_file(_browser_places())


def find_office():
    """The path of LibreOffice's `soffice`, or None."""
    return _on_path(("soffice", "libreoffice")) or _first_file(_OFFICE_ELSEWHERE)


def find_database_programs():
    """The folder that holds PostgreSQL's `initdb`, `pg_ctl` and `createdb`, or None."""
    found = _on_path(("initdb",))
    versions = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    folders = [*([Path(found).parent, Path(found).resolve().parent] if found else []), *versions]
    return next((str(folder) for folder in folders if _has_all(folder)), None)


def _has_all(folder):
    """A link to one program alone does not make a server."""
    return all(shutil.which(name, path=str(folder)) for name in ("initdb", "pg_ctl", "createdb"))


def missing_debian_packages():
    """The Debian packages that would bring what is missing."""
    wanted = (
        (find_browser, "chromium"),
        (find_office, "libreoffice-calc"),
        (find_database_programs, "postgresql"),
    )
    return [package for find, package in wanted if find() is None]


def _on_path(names):
    return next((path for name in names if (path := shutil.which(name))), None)


def _first_file(places):
    return next((str(place) for place in places if Path(place).is_file()), None)


def _browser_places():
    if sys.platform == "darwin":
        return (*_MAC, *_fetched(Path.home() / "Library/Caches/ms-playwright"))
    if os.name == "nt":
        homes = [os.environ.get(v) for v in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")]
        installed = [Path(home, rest) for home in homes if home for rest in _WINDOWS]
        local = Path(os.environ.get("LOCALAPPDATA", Path.home()))
        return (*installed, *_fetched(local / "ms-playwright"))
    return _fetched(Path.home() / ".cache/ms-playwright")


def _fetched(cache):
    """Browsers that the browser driver fetched earlier."""
    names = ("chrome", "Chromium", "Google Chrome for Testing", "chrome.exe", "headless_shell")
    return sorted(path for name in names for path in cache.glob(f"chromium*/**/{name}"))
