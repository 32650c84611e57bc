"""Opens an .xlsx as what it is, a zip of XML parts, and refuses what is none or would not end.

In: a path. Out: an `Archive` whose parts can be parsed, or `Unreadable` with a finding's code.
Sizes are checked before anything is unpacked, and XML that declares entities is refused.
"""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from xml.parsers import expat

from packer.reading.values import Unreadable

MOST_FILE_BYTES = 64 * 1024 * 1024
MOST_UNPACKED_BYTES = 256 * 1024 * 1024
MOST_ELEMENTS = 4_000_000
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # the first bytes of every OLE compound file
_SAVE_AGAIN = "Open it in a spreadsheet program and save it as .xlsx."


class Archive:
    """The parts of a workbook, by name."""

    def __init__(self, zipped: zipfile.ZipFile) -> None:
        self._zip = zipped
        self._names = {name.lower().lstrip("/"): name for name in zipped.namelist()}
        self._elements = 0

    def has(self, part: str) -> bool:
        """True where there is such a part."""
        return part.lower().lstrip("/") in self._names

    def open(self, part: str) -> IO[bytes]:
        """The bytes of a part; KeyError where there is none."""
        return self._zip.open(self._names[part.lower().lstrip("/")])

    def count(self, elements: int) -> None:
        """Count parsed elements; Unreadable beyond `MOST_ELEMENTS`."""
        self._elements += elements
        if self._elements > MOST_ELEMENTS:
            raise too_large(f"it has more than {MOST_ELEMENTS:,} cells and rows")

    def parse(self, part: str, parser: expat.XMLParserType) -> None:
        """Feed a part to an expat parser that is already set up; Unreadable if it is damaged."""
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = _refuse_doctype
        try:
            with self.open(part) as file:
                parser.ParseFile(file)
        except (expat.ExpatError, zipfile.BadZipFile, zlib.error, EOFError) as error:
            raise damaged(f"{part}: {error}") from None
        except (KeyError, NotImplementedError, RuntimeError, OSError) as error:
            raise damaged(f"{part}: {error}") from None


@contextmanager
def open_archive(path: Path) -> Iterator[Archive]:
    """Open a workbook file; Unreadable where it is no workbook, encrypted, damaged or huge."""
    size = path.stat().st_size
    if size > MOST_FILE_BYTES:
        raise too_large(f"the file has {size / 1e6:,.0f} MB")
    _refuse_other_formats(path)
    try:
        zipped = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        raise damaged(str(error)) from None
    with zipped:
        _check_parts(zipped)
        yield Archive(zipped)


def _refuse_other_formats(path: Path) -> None:
    with path.open("rb") as file:
        start = file.read(8)
    if start.startswith(_OLE):
        raise _ole(path.read_bytes())
    if start[:2] != b"PK":
        raise not_a_workbook("its content is something else")


def _ole(content: bytes) -> Unreadable:
    if "EncryptedPackage".encode("utf-16-le") in content:
        return Unreadable(
            "file-encrypted",
            "The workbook is encrypted with a password.",
            "Save a copy without a password and use that.",
        )
    return Unreadable("file-old-format", "This is the old binary .xls format.", _SAVE_AGAIN)


def _check_parts(zipped: zipfile.ZipFile) -> None:
    parts = zipped.infolist()
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MOST_UNPACKED_BYTES or len(parts) > 10_000:
        raise too_large(f"it unpacks to {unpacked / 1e6:,.0f} MB in {len(parts):,} parts")
    if any(part.flag_bits & 1 for part in parts):
        raise Unreadable(
            "file-encrypted",
            "The workbook's parts are encrypted.",
            "Save a copy without a password and use that.",
        )
    names = {part.filename.lower().lstrip("/") for part in parts}
    if "xl/workbook.bin" in names or ("mimetype" in names and "content.xml" in names):
        raise Unreadable("file-old-format", "This is a workbook of another format.", _SAVE_AGAIN)
    if "[content_types].xml" not in names:
        raise not_a_workbook("it is a zip without workbook parts")


def not_a_workbook(why: str) -> Unreadable:
    """The file is no workbook at all."""
    return Unreadable(
        "file-not-workbook",
        f"This is not an .xlsx workbook: {why}.",
        "Give an .xlsx workbook, or a folder of .csv files named like the sheets.",
    )


def damaged(why: str) -> Unreadable:
    """The file was a workbook and cannot be unpacked."""
    return Unreadable(
        "file-damaged",
        f"The workbook is damaged: {why}.",
        "Open it in a spreadsheet program, let it repair the file and save it, or take a copy.",
    )


def too_large(why: str) -> Unreadable:
    """The file would take too much time or memory."""
    return Unreadable(
        "file-too-large",
        f"The workbook is too large: {why}.",
        "Delete empty formatted rows, pictures and sheets that the trip does not need.",
    )


def _refuse_doctype(*_: object) -> None:
    raise Unreadable(
        "file-xml-entities",
        "The workbook's XML declares a document type, which no spreadsheet program writes.",
        _SAVE_AGAIN,
    )
