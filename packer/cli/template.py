"""Writes an empty trip workbook: headings, drop-downs, units, and a page of help."""

from __future__ import annotations

import argparse

from packer.cli.guard import halt
from packer.cli.inputs import place_for
from packer.cli.talk import json_option, report
from packer.model.outcome import Outcome


def arguments(parser: argparse.ArgumentParser) -> None:
    """Where to write it."""
    parser.add_argument("file", metavar="FILE.xlsx", help="the workbook to write")
    parser.add_argument("--force", action="store_true", help="write over a file that is there")
    json_option(parser)


def run(args: argparse.Namespace) -> int:
    """Write the template; a file that is there is left alone unless told otherwise."""
    from packer.reading.template import write_template

    target = place_for(args.file, ".xlsx")
    if target.exists() and not args.force:
        remedy = "Choose another name, or --force to write over it."
        raise halt("file-exists", f"{target} is there already.", remedy)
    write_template(target)
    lines = [
        f"Written: {target}. Start with its Help sheet; then: holdall check {target}",
    ]
    return report(args, Outcome.DONE, lines=lines, file=str(target))
