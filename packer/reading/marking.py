"""What marks say and look like: colours by severity, the list of findings, problems by row."""

from __future__ import annotations

from collections.abc import Iterable

from packer.model.finding import Finding, Severity

COLOURS = {Severity.ERROR: "FFF4B6B0", Severity.WARNING: "FFFFE3A3", Severity.NOTE: "FFD5E4F0"}
"""Fill colours, ARGB: pale enough that black text on them stays readable."""

FINDING_HEADINGS = (
    ("Severity", 11),
    ("Sheet", 12),
    ("Cell", 8),
    ("About", 18),
    ("What was found", 70),
    ("What to do", 50),
    ("Code", 26),
)
"""Headings of the list of findings, with widths in characters."""


def finding_row(finding: Finding) -> tuple[str, ...]:
    """A finding as one row of the list."""
    where = finding.where
    return (
        str(finding.severity),
        where.sheet if where else "",
        f"{where.column}{where.row}" if where else "",
        finding.subject,
        finding.message,
        finding.remedy,
        finding.code,
    )


def problems_of(findings: Iterable[Finding], sheet: str) -> dict[int, list[Finding]]:
    """The findings of one sheet by row, the gravest first."""
    rows: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.where and finding.where.sheet == sheet:
            rows.setdefault(finding.where.row, []).append(finding)
    return rows


def problem_text(found: Iterable[Finding]) -> str:
    """What stands beside a row, on one line: rows keep their heights."""
    return "  |  ".join(
        f"{each.severity} in {each.where.column if each.where else '?'}: "
        f"{each.message} {each.remedy}".rstrip()
        for each in found
    )


def lines_of(row: tuple[str, ...]) -> int:
    """How many lines a row of the list needs, wrapped at the widths of its columns."""
    return max(
        -(-len(text) // width) for text, (_, width) in zip(row, FINDING_HEADINGS, strict=True)
    )
