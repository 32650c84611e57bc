"""The next trip from an old one, run in a reading process: bytes in, bytes and findings out."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

from api.settings import Ceilings
from api.work.uploads import check_bearable, lay_out


@dataclass(frozen=True, slots=True)
class Begun:
    """The new trip's workbook and what to look at; `content` is empty where none was written."""

    content: bytes
    looked: tuple[dict[str, str], ...]


def begin_next(old: bytes, old_form: str, new: bytes, new_form: str, ceilings: Ceilings) -> Begun:
    """Put the old inventory and the new stops and legs together.

    Raises TooMuchError or NotATripError for the new workbook; the old one was taken in before.
    """
    from packer.next_trip import NoStartError, start_next

    check_bearable(new, new_form, ceilings)
    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        folder = Path(name)
        old_path = _laid(folder / "old", old, old_form)
        new_path = _laid(folder / "new", new, new_form)
        out = folder / "next.xlsx"
        try:
            started = start_next(old_path, new_path, out)
        except NoStartError as problem:
            return Begun(b"", tuple(found.to_json() for found in problem.findings))
        return Begun(out.read_bytes(), tuple(found.to_json() for found in started.looked))


def route_workbook(content: bytes, form: str) -> bytes:
    """The stops, legs and rules of a trip as a workbook to be changed; empty where unreadable."""
    from packer.next_trip import NoStartError, write_route

    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        out = Path(name) / "route.xlsx"
        try:
            write_route(lay_out(content, form, Path(name)), out)
        except NoStartError:
            return b""
        return out.read_bytes()


def _laid(folder: Path, content: bytes, form: str) -> Path:
    folder.mkdir()
    return lay_out(content, form, folder)
