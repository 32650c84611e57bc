"""Cleans text of cells: escapes of the file format, spaces of all kinds, comparison of names."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_SPACES = re.compile(r"\s+")
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def unescaped(text: str) -> str:
    """Text with the format's `_x000D_` escapes undone."""
    if "_x" not in text:
        return text
    return _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)


def one_line(text: str) -> str:
    """Text with each run of white space, of whatever kind, as one space, and none at the ends."""
    if text.isascii() and text.isprintable() and "  " not in text:
        return text.strip()
    return _SPACES.sub(" ", text.replace("\u200b", "").replace("\ufeff", "")).strip()


def hidden_character(text: str) -> str | None:
    """The first character that nobody can see: a control or direction mark; None if there is none.

    Tabs and line breaks are white space and no finding.
    """
    if text.isprintable():
        return None
    for char in text:
        if char not in "\t\r\n" and (unicodedata.category(char) == "Cc" or char in _BIDI):
            return f"U+{ord(char):04X}"
    return None


@lru_cache(maxsize=4096)
def folded(text: str) -> str:
    """Text without case, spaces and punctuation, for matching headings and sheets."""
    decomposed = unicodedata.normalize("NFKD", text).casefold()
    return "".join(char for char in decomposed if char.isalnum())


def same_name(text: str) -> str:
    """Text as names are compared when they differ in spelling only: case and spaces."""
    return _SPACES.sub(" ", text).strip().casefold()


def printable(text: str) -> str:
    """Text that a workbook's XML can hold: forbidden characters as `?`, at most 32,000 long."""
    return _FORBIDDEN.sub("?", text)[:32_000]
