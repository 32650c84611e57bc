"""The catalogue of rules: all of them on a line each, or the page of one."""

from __future__ import annotations

import argparse
import shutil
import textwrap
from typing import TYPE_CHECKING

from packer.cli.talk import json_option, report
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.rules import RulePage


def arguments(parser: argparse.ArgumentParser) -> None:
    """CODE, and --json."""
    parser.add_argument("code", nargs="?", metavar="CODE", help="print the page of this rule")
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """Print the catalogue or one page; BAD_INPUT for a code that no rule has."""
    from packer.rules import catalogue

    pages = [page for page in catalogue() if args.code in (None, page.code)]
    if not pages:
        return report(args, Outcome.BAD_INPUT, lines=[_unknown(args.code)], rules=[])
    lines = _overview(pages) if args.code is None else _wrapped(pages[0])
    return report(args, Outcome.DONE, lines=lines, rules=[page.to_json() for page in pages])


def _overview(pages: list[RulePage]) -> list[str]:
    width = max(len(page.code) for page in pages)
    lines: list[str] = []
    for family in dict.fromkeys(page.family for page in pages):
        held = (page for page in pages if page.family == family)
        lines += [
            family,
            *(f"  {page.code:<{width}}  {page.severity.value:<8} {page.title}" for page in held),
            "",
        ]
    return [*lines, "holdall rules CODE prints the page of one."]


def _wrapped(page: RulePage) -> list[str]:
    width = min(shutil.get_terminal_size().columns, 100)
    return [
        wrapped
        for line in page.text().splitlines()
        for wrapped in textwrap.wrap(line, width, subsequent_indent="    ") or [""]
    ]


def _unknown(code: str) -> str:
    from difflib import get_close_matches

    from packer.reading.codes import SEVERITIES
    from packer.rules import catalogue

    if code in SEVERITIES:
        return f"{code} is found while reading: its message says what was expected in the cell."
    near = get_close_matches(code, [page.code for page in catalogue()], 3, 0.5)
    hint = f"Near: {', '.join(near)}." if near else "`holdall rules` lists them."
    return f"There is no rule {code!r}. {hint}"
