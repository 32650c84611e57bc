"""What commands print: findings, tables of a few columns, or one JSON object with `--json`.

In: an outcome, findings and lines of text. Out: text on standard output that fits the terminal,
in colour only on a terminal, and the exit code.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from packer import __version__
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome

_COLOUR = {Severity.ERROR: "31", Severity.WARNING: "33", Severity.NOTE: "36"}


def report(
    args: argparse.Namespace,
    outcome: Outcome,
    findings: Iterable[Finding] = (),
    lines: Iterable[str] = (),
    **data: Any,
) -> int:
    """Print the findings and then the lines, or all as JSON; the exit code of the outcome.

    The JSON is one object: `holdall` (version), `command`, `code`, `meaning`, `findings` and the
    command's own `data`.
    """
    found = tuple(findings)
    if getattr(args, "json", False):
        _print_json(args, outcome, found, data)
    else:
        for finding in found:
            print(finding_text(finding))
        for line in lines:
            print(line)
    return int(outcome)


def _print_json(
    args: argparse.Namespace, outcome: Outcome, found: Iterable[Finding], data: dict[str, Any]
) -> None:
    answer = {
        "holdall": __version__,
        "command": args.command,
        "code": int(outcome),
        "meaning": outcome.meaning,
        "findings": [finding.to_json() for finding in found],
        **data,
    }
    print(json.dumps(answer, indent=1, ensure_ascii=False))


def json_option(parser: argparse.ArgumentParser) -> None:
    """The option `--json`, the same for every command."""
    parser.add_argument("--json", action="store_true", help="print one JSON object instead of text")


def say(text: str) -> None:
    """A sentence on standard error, for people who wait; never part of the result."""
    print(text, file=sys.stderr, flush=True)


def finding_text(finding: Finding) -> str:
    """A finding as text: wrapped and coloured on a terminal, one line elsewhere."""
    line = finding.line()
    if not sys.stdout.isatty():
        return line
    wrapped = textwrap.fill(line, width(), subsequent_indent="    ", break_on_hyphens=False)
    word = f"{finding.severity}:"
    return wrapped.replace(word, coloured(word, _COLOUR[finding.severity]), 1)


def coloured(text: str, code: str) -> str:
    """The text in a terminal colour, or plain where there is no terminal or `NO_COLOR` is set."""
    if not sys.stdout.isatty() or os.environ.get("NO_COLOR"):
        return text
    return f"\033[{code}m{text}\033[0m"


def width() -> int:
    """Columns to fill: the terminal's, within 40 and 110."""
    return min(110, max(40, shutil.get_terminal_size().columns))


def table(
    rows: Sequence[Sequence[str]], right: Sequence[int] = (), indent: str = "  "
) -> list[str]:
    """Rows as aligned lines of text; the columns in `right` stand to the right."""
    if not rows:
        return []
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = [_table_line(row, widths, right, indent) for row in rows]
    return [
        line if len(line) <= width() or not sys.stdout.isatty() else line[: width()]
        for line in lines
    ]


def _table_line(row: Sequence[str], widths: list[int], right: Sequence[int], indent: str) -> str:
    cells = [
        cell.rjust(widths[i]) if i in right else cell.ljust(widths[i]) for i, cell in enumerate(row)
    ]
    return (indent + "  ".join(cells)).rstrip()


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: `1 case`, `3 cases`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def finding_summary(findings: Sequence[Finding]) -> str:
    """How many of each kind: `2 errors, 1 warning, 14 notes`."""
    counts = [(sum(f.severity is s for f in findings), str(s)) for s in Severity]
    return ", ".join(counted(n, word) for n, word in counts if n) or "nothing found"
