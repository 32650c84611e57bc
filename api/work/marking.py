"""Workbooks to take away: the user's own with the findings beside the cells, an empty one."""

from __future__ import annotations

import tempfile
from pathlib import Path

from api.work.uploads import lay_out


def marked_copy(content: bytes, form: str) -> bytes:
    """Read it again and mark it."""
    from packer.reading import read_trip
    from packer.reading.marked import write_marked
    from packer.rules import check_trip

    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        source, target = lay_out(content, form, Path(name)), Path(name) / "marked.xlsx"
        reading = read_trip(source)
        more = check_trip(reading.trip) if reading.trip is not None else ()
        write_marked(source, (*reading.findings, *more), target)
        return target.read_bytes()


def empty_workbook() -> bytes:
    """An empty workbook to fill in, with headings, choices and help."""
    from packer.reading.template import write_template

    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        return write_template(Path(name) / "trip.xlsx").read_bytes()
