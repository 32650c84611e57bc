"""Names that rows give and other rows refer to: uniqueness, spelling, the nearest known one."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field

from packer.reading.cell_text import same_name
from packer.reading.log import Log
from packer.reading.tables import Row
from packer.reading.values import shown


@dataclass(slots=True)
class Names:
    """The names of one sheet; `code` is the finding for a reference to none of them.

    `is_blind` where the sheet could not be read, which was said: then any name will do.
    """

    code: str
    what: str
    known: dict[str, object] = field(default_factory=dict)
    is_blind: bool = False
    comparisons_left: int = 200_000  # near names among thousands take their time
    _alike: dict[str, list[str]] = field(default_factory=dict)

    def add(self, name: str) -> None:
        """Make a name known."""
        if name not in self.known:
            self.known[name] = None
            self._alike.setdefault(same_name(name), []).append(name)

    def find(self, text: str) -> str | None:
        """The name that the text is, in any case and spacing; None for none or several."""
        if text in self.known:
            return text
        alike = self._alike.get(same_name(text), [])
        return alike[0] if len(alike) == 1 else None

    def resolve(self, row: Row, key: str, text: str, log: Log) -> str | None:
        """The name that a cell refers to; None, with a finding, where there is none."""
        name = text if self.is_blind else self.find(text)
        if name is None:
            row.says(
                log,
                self.code,
                key,
                f"{row.cell(key).heading or key} names {shown(text)}; expected {self.what}.",
                self._nearest(text),
            )
            row.bad = True
        elif name != text:
            row.says(log, "reference-spelling", key, f"{shown(text)} was read as {shown(name)}.")
        return name

    def _nearest(self, text: str) -> str:
        self.comparisons_left -= len(self._alike)
        if self.comparisons_left < 0:
            return ""
        close = difflib.get_close_matches(same_name(text)[:100], list(self._alike), n=1, cutoff=0.5)
        if close:
            return f"Did you mean {self._alike[close[0]][0]}?"
        some = list(self.known)[:5]
        return f"Known are: {', '.join(some)}." if some else ""


def names_of(rows: Iterable[Row], code: str, what: str, log: Log) -> Names:
    """The names that rows give; a name given twice makes the later row bad."""
    names = Names(code, what)
    first: dict[str, Row] = {}
    for row in rows:
        name = row.get("name")
        if name is None:
            continue
        if name in first:
            cell = first[name].cell("name")
            expected = f"each once; it stands in {cell.column}{cell.row} already"
            row.fails(log, "name-duplicate", "name", expected, "Rename or delete one row.")
        first.setdefault(name, row)
        names.add(name)
    return names


def log_spellings(rows: Iterable[Row], keys: tuple[str, ...], log: Log) -> None:
    """Warn of words that differ from an earlier one by case or spaces only: they count as two."""
    for key in keys:
        seen: dict[str, str] = {}
        warned = set()
        for row in rows:
            text = row.get(key)
            if text is None:
                continue
            before = seen.setdefault(same_name(text), text)
            if before != text and text not in warned:
                warned.add(text)
                message = f"{shown(text)} and {shown(before)} are taken as two different ones."
                row.says(log, "name-spelling", key, message, "Spell both alike if they are one.")
