"""Cells as text: one line, nothing invisible, not too long; names and lists of names."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from decimal import Decimal

from packer.reading.cell_text import hidden_character, one_line
from packer.reading.columns import Column
from packer.reading.mistakes import Hints, Mistake
from packer.reading.values import Raw, plain

MOST_NAME_CHARACTERS = 100
MOST_TEXT_CHARACTERS = 5_000


def as_text(raw: Raw) -> str:
    """A cell as one line of text: numbers without trailing zeros, dates as ISO."""
    if isinstance(raw, str):
        return one_line(raw)
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    return plain(raw) if isinstance(raw, Decimal) else str(raw)


def text_of(raw: Raw, _: Column, hints: Hints) -> str:
    """A cell as text that everybody can see; raises Mistake."""
    if isinstance(raw, Decimal) and raw.adjusted() >= 15:
        hints.notes.append(
            ("number-digits-lost", "A number of more than 15 digits has lost its last ones.")
        )
    text = as_text(raw)
    if isinstance(raw, str) and (hidden := hidden_character(raw)):
        raise Mistake(
            "control-character", f"text without invisible characters ({hidden})", "Type it again."
        )
    if len(text) > MOST_TEXT_CHARACTERS:
        raise Mistake("text-too-long", f"at most {MOST_TEXT_CHARACTERS} characters", "Shorten it.")
    return text


def name_of(raw: Raw, column: Column, hints: Hints) -> str:
    """An id or name; raises Mistake."""
    text = text_of(raw, column, hints)
    if len(text) > MOST_NAME_CHARACTERS:
        raise Mistake("text-too-long", f"at most {MOST_NAME_CHARACTERS} characters", "Shorten it.")
    if ";" in text:
        raise Mistake("name-character", "a name without ;", "Use another sign.")
    return text


def list_of(raw: Raw, column: Column, hints: Hints) -> tuple[str, ...]:
    """The names in a cell, with ; or line breaks between them; raises Mistake."""
    if isinstance(raw, str):
        raw = raw.replace("\n", ";")
    text = text_of(raw, column, hints)
    return tuple(part.strip() for part in text.split(";") if part.strip())


def near(word: str, known: Mapping[str, str]) -> str:
    """`Did you mean x?`, or '' where nothing known is near."""
    close = difflib.get_close_matches(word[:60], known, n=1, cutoff=0.6)
    return f"Did you mean {known[close[0]]}?" if close else ""
