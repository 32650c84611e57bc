"""The one function through which every text passes on its way into a workbook, page or CSV file.

A workbook stores what comes out of it as text, never as a formula; control characters that no
file format may hold are left out, and a text longer than a cell can hold is cut with a mark.
"""

from __future__ import annotations

import re

CELL_LIMIT = 32_767  # characters that one cell can hold (ECMA-376 workbooks, program limit)
_FORBIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def safe_text(text: str) -> str:
    """The text without characters that files refuse, at most as long as a cell can hold."""
    clean = _FORBIDDEN.sub("", text)
    return clean if len(clean) <= CELL_LIMIT else clean[: CELL_LIMIT - 1] + "…"


def csv_safe(text: str) -> str:
    """The text for a CSV file: one that a spreadsheet would take for a formula gets a leading '.

    A CSV file cannot say that a cell is text, and spreadsheet programs run what begins with
    = + - @ (OWASP, "CSV Injection", recommends the leading apostrophe; common practice).
    """
    clean = safe_text(text)
    return f"'{clean}" if clean.startswith(_FORMULA_SIGNS) else clean


def sheet_name(wanted: str, taken: set[str]) -> str:
    """A name that a workbook accepts for a sheet and that is not among `taken` (case-folded)."""
    clean = re.sub(r"[\[\]:*?/\\]", "-", safe_text(wanted)).strip("' ") or "Sheet"
    name = "History." if clean.casefold() == "history" else clean[:31].rstrip("' ")
    for number in range(2, len(taken) + 3):
        if name.casefold() not in taken:
            break
        tail = f" ({number})"
        name = clean[: 31 - len(tail)] + tail
    taken.add(name.casefold())
    return name
