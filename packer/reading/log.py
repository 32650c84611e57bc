"""Collects findings while reading; knows how to say what stands in a cell."""

from __future__ import annotations

from dataclasses import dataclass, field

from packer.model.finding import Finding, Severity
from packer.model.source import Cell
from packer.reading.codes import finding
from packer.reading.values import shown


@dataclass(slots=True)
class Log:
    """All findings so far."""

    findings: list[Finding] = field(default_factory=list)

    def add(
        self,
        code: str,
        message: str,
        remedy: str = "",
        where: Cell | None = None,
        subject: str = "",
    ) -> None:
        """Add a finding with the severity of its code."""
        self.findings.append(finding(code, message, remedy, where, subject))

    def cell(
        self,
        code: str,
        where: Cell,
        value: object,
        expected: str,
        remedy: str = "",
        subject: str = "",
    ) -> None:
        """Add a finding about what stands in one cell."""
        heading = where.heading or "The cell"
        message = f"{heading} is {shown(value)}; expected {expected}."
        self.add(code, message, remedy, where, subject)

    @property
    def has_errors(self) -> bool:
        """True where any finding is an error."""
        return any(each.severity is Severity.ERROR for each in self.findings)
