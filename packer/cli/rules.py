"""The catalogue of rules: all of them on a line each, or the page of one."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.rules import RulePage


def arguments(parser: argparse.ArgumentParser) -> None:
    """CODE, and --json."""
    parser.add_argument("code", nargs="?", metavar="CODE", help="print the page of this rule")
    parser.add_argument("--json", action="store_true", help="print JSON instead of text")


def run(args: argparse.Namespace) -> int:
    """Print the catalogue or one page; BAD_INPUT for a code that no rule has."""
    from packer.rules import catalogue

    pages = [page for page in catalogue() if args.code in (None, page.code)]
    if not pages:
        return _unknown(args)
    if args.json:
        held = [page.to_json() for page in pages]
        print(json.dumps(held if args.code is None else held[0], indent=2, ensure_ascii=False))
    else:
        print(_overview(pages) if args.code is None else pages[0].text(), end="")
    return Outcome.DONE


def _overview(pages: list[RulePage]) -> str:
    width = max(len(page.code) for page in pages)
    lines: list[str] = []
    for family in dict.fromkeys(page.family for page in pages):
        lines += ["", family]
        lines += [
            f"  {page.code:<{width}}  {page.severity.value:<8} {page.title}"
            for page in pages
            if page.family == family
        ]
    return "\n".join([*lines[1:], "", "holdall rules CODE prints the page of one.", ""])


def _unknown(args: argparse.Namespace) -> int:
    from difflib import get_close_matches

    from packer.rules import catalogue

    near = get_close_matches(args.code, [page.code for page in catalogue()], 3, 0.5)
    hint = f" Near: {', '.join(near)}." if near else " `holdall rules` lists them."
    message = f"There is no rule {args.code!r}.{hint}"
    if args.json:
        print(json.dumps({"code": int(Outcome.BAD_INPUT), "message": message}))
    else:
        print(message)
    return Outcome.BAD_INPUT
