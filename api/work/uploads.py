"""From uploaded bytes to a trip: what form it has, whether it is bearable, what it says.

No name that a user sends reaches the file system: the workbook is written as `trip.xlsx`, and
CSV sheets under the letters and digits of their names, in a folder that is gone afterwards.
"""

from __future__ import annotations

import io
import re
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.settings import Ceilings
from packer.model.finding import Severity, in_order
from packer.model.outcome import Outcome
from packer.model.trip import Trip

if TYPE_CHECKING:
    from packer.reading import Reading

XLSX, CSV_ZIP = "xlsx", "csv-zip"
_MOST_FILES = 2_000
_CHUNK = 1 << 20
_NOT_LETTERS = re.compile(r"[^A-Za-z0-9 _-]")


class NotATripError(ValueError):
    """The bytes are neither a workbook nor a zip of CSV sheets; the message says what they are."""


class TooMuchError(ValueError):
    """The upload is larger than this server takes; the message says by what measure."""


@dataclass(frozen=True, slots=True)
class Read:
    """What reading an upload found. `trip` is None where errors leave nothing to plan."""

    trip: Trip | None
    name: str
    code: int
    findings: tuple[dict[str, str], ...]
    facts: dict[str, Any]


def form_of(content: bytes) -> str:
    """`xlsx` or `csv-zip`; raises NotATripError."""
    if not content:
        raise NotATripError("The file is empty.")
    if content[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        # The container of old and of encrypted workbooks ([MS-CFB], header signature).
        raise NotATripError("This workbook is encrypted or in the old .xls form.")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            names = archive.namelist()
    except (zipfile.BadZipFile, ValueError, OSError):
        raise NotATripError("This is neither an .xlsx workbook nor a zip of .csv sheets.") from None
    if "[Content_Types].xml" in names:
        return XLSX
    if any(name.lower().endswith(".csv") for name in names):
        return CSV_ZIP
    raise NotATripError("This zip holds neither a workbook nor .csv sheets.")


def check_bearable(content: bytes, form: str, ceilings: Ceilings) -> None:
    """Unpack it once, counting bytes and cells; raises TooMuchError or NotATripError."""
    size = cells = 0
    mark = b"<c" if form == XLSX else b","
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if len(archive.infolist()) > _MOST_FILES:
                raise TooMuchError(f"The file holds more than {_MOST_FILES:,} parts.")
            for name, chunk in _chunks(archive):
                size += len(chunk)
                cells += chunk.count(mark) if name.endswith((".xml", ".csv")) else 0
                _check_counts(size, cells, ceilings)
    except (zlib.error, zipfile.BadZipFile, RuntimeError, EOFError, OSError) as error:
        raise NotATripError(f"The file is damaged: {error}.") from error


def _check_counts(size: int, cells: int, ceilings: Ceilings) -> None:
    if size > ceilings.unpacked_bytes:
        raise TooMuchError(f"Unpacked, the file is larger than {ceilings.unpacked_bytes:,} bytes.")
    if cells > ceilings.cells:
        raise TooMuchError(f"The file has more than {ceilings.cells:,} cells.")


def _chunks(archive: zipfile.ZipFile) -> Iterator[tuple[str, bytes]]:
    for info in archive.infolist():
        with archive.open(info) as part:
            while chunk := part.read(_CHUNK):
                yield info.filename.lower(), chunk


def read_upload(content: bytes, form: str, ceilings: Ceilings) -> Read:
    """Check an upload against the ceilings, read it and check the trip by every rule."""
    from packer.rules import check_trip

    check_bearable(content, form, ceilings)
    reading = read_content(content, form)
    findings = list(reading.findings)
    if reading.trip is not None:
        findings += check_trip(reading.trip)
    errors = any(finding.severity is Severity.ERROR for finding in findings)
    return Read(
        reading.trip,
        reading.trip.name if reading.trip else "",
        int(Outcome.BAD_INPUT if errors else Outcome.DONE),
        tuple(finding.to_json() for finding in in_order(findings)),
        _facts(reading.trip),
    )


def read_content(content: bytes, form: str) -> Reading:
    """The trip in an upload, by way of a folder that is gone afterwards."""
    from packer.reading import read_trip

    with tempfile.TemporaryDirectory(prefix="holdall-") as folder:
        return read_trip(lay_out(content, form, Path(folder)))


def lay_out(content: bytes, form: str, folder: Path) -> Path:
    """Write an upload into a folder as the readers take it; returns the path to read."""
    if form == XLSX:
        path = folder / "trip.xlsx"
        path.write_bytes(content)
        return path
    target = folder / "trip"
    target.mkdir()
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for info in archive.infolist():
            name = info.filename.replace("\\", "/").rsplit("/", 1)[-1]
            if name.lower().endswith(".csv") and not name.startswith("."):
                (target / f"{_plain(name[:-4])}.csv").write_bytes(archive.read(info))
    return target


def _plain(stem: str) -> str:
    return _NOT_LETTERS.sub("", stem)[:60] or "sheet"


def _facts(trip: Trip | None) -> dict[str, Any]:
    if trip is None:
        return {}
    return {
        "currency": trip.currency,
        "stops": [
            {"name": stop.name, "country": stop.country, "date": stop.date.isoformat()}
            for stop in trip.stops
        ],
        "legs": len(trip.legs),
        "lines": len(trip.gear),
        "units": sum(line.quantity for line in trip.gear),
        "cases": len(trip.cases),
    }
