"""What the program has to say about the user's data or plan: one value per thing found."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from packer.model.source import Cell


class Severity(StrEnum):
    """How much a finding matters; an error stops planning."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for an error, 1 for a warning, 2 for a note."""
        return _RANKS[self]


_RANKS = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found, in the user's words.

    `code` is stable and never reused. `message` is one sentence that names the value found and
    what was expected. `remedy` says what to do. `subject` is the gear, case, stop, leg or role
    it is about. `source` names the published rule behind it, where there is one.
    """

    code: str
    severity: Severity
    message: str
    where: Cell | None = None
    subject: str = ""
    remedy: str = ""
    source: str = ""

    def line(self) -> str:
        """The finding as one line of text: `trip.xlsx!Gear!D14: error: ... [code]`."""
        place = f"{self.where}: " if self.where else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{place}{self.severity}: {self.message}{remedy} [{self.code}]"

    def to_json(self) -> dict[str, str]:
        """The finding as plan.json and the API carry it."""
        return {
            "code": self.code,
            "severity": str(self.severity),
            "message": self.message,
            "remedy": self.remedy,
            "where": str(self.where) if self.where else "",
            "subject": self.subject,
            "source": self.source,
        }


def in_order(findings: tuple[Finding, ...] | list[Finding]) -> tuple[Finding, ...]:
    """Findings in the one fixed order: severity, then place in the workbook, then code."""
    return tuple(sorted(findings, key=_order))


def _order(finding: Finding) -> tuple[int, str, int, int, str, str, str]:
    where = finding.where
    if where is None:
        return (finding.severity.rank, "", 0, 0, finding.code, finding.subject, finding.message)
    column = _column_number(where.column)
    return (
        finding.severity.rank,
        where.sheet,
        where.row,
        column,
        finding.code,
        finding.subject,
        finding.message,
    )


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter.upper()) - ord("A") + 1
    return number
