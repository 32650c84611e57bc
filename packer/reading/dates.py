"""Reads dates as people write them, and asks where two readings are possible.

`2026-07-03` (ISO 8601), `3 July 2026`, `July 3, 2026`, `03.07.2026` (with points: day first);
with slashes only where one reading is possible.
"""

from __future__ import annotations

import re
from datetime import date, datetime

from packer.reading.mistakes import Mistake

_MONTH_NAMES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTHS = {name: number for number, name in enumerate(_MONTH_NAMES, 1)}
_ISO = re.compile(r"([0-9]{4})([-/.]?)([0-9]{1,2})\2([0-9]{1,2})(?:[T ][0-9:.+Z-]*)?")
_DAY_FIRST = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?[\s.-]*([A-Za-z]{3,9})\.?,?[\s-]*([0-9]{4})")
_MONTH_FIRST = re.compile(r"([A-Za-z]{3,9})\.?\s*([0-9]{1,2})(?:st|nd|rd|th)?,?\s+([0-9]{4})")
_POINTS = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})")
_SLASHES = re.compile(r"([0-9]{1,2})[/-]([0-9]{1,2})[/-]([0-9]{4})")
_WEEKDAY = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
_ISO_REMEDY = "Write it as year-month-day, such as 2026-07-03."
FIRST_YEAR, LAST_YEAR = 1990, 2100


def date_of(text: str) -> date:
    """The date that the text is; raises Mistake."""
    return sane(_parsed(_WEEKDAY.sub("", text.strip(), count=1)))


def sane(day: date | datetime) -> date:
    """The date itself; Mistake for a year far from any trip."""
    day = day.date() if isinstance(day, datetime) else day
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Mistake("date-absurd", f"a year from {FIRST_YEAR} to {LAST_YEAR}", "Check the year.")
    return day


def _parsed(text: str) -> date:
    if match := _ISO.fullmatch(text):
        if match[2] or len(match[3]) == len(match[4]) == 2:
            return _day(int(match[1]), int(match[3]), int(match[4]))
    elif match := _DAY_FIRST.fullmatch(text):
        return _day(int(match[3]), _month(match[2]), int(match[1]))
    elif match := _MONTH_FIRST.fullmatch(text):
        return _day(int(match[3]), _month(match[1]), int(match[2]))
    elif match := _POINTS.fullmatch(text):
        return _day(int(match[3]), int(match[2]), int(match[1]))
    elif match := _SLASHES.fullmatch(text):
        return _slashes(int(match[1]), int(match[2]), int(match[3]))
    raise Mistake("date-unreadable", "a date", _ISO_REMEDY)


def _month(name: str) -> int:
    number = _MONTHS.get(name[:3].lower())
    if number is None:
        raise Mistake("date-unreadable", "a date with an English month, or in numbers", _ISO_REMEDY)
    return number


def _slashes(first: int, second: int, year: int) -> date:
    if first != second and first <= 12 and second <= 12:
        one, other = _day(year, second, first), _day(year, first, second)
        raise Mistake(
            "date-ambiguous",
            f"a date that can be read one way only; this may be {one} or {other}",
            f"Write {one} or {other}.",
        )
    return _day(year, second, first) if second <= 12 else _day(year, first, second)


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise Mistake(
            "date-impossible", "a date that the calendar has", "Check day and month."
        ) from None
