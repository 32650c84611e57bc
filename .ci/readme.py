"""Keeps the parts of README.md that the code knows better: columns, commands, exit codes.

Each stands between `<!-- NAME: written by .ci/readme.py -->` and `<!-- end of NAME -->`. Run as a
program it rewrites them; a test compares them.
"""

from __future__ import annotations

import re
from pathlib import Path

from packer.cli import COMMANDS
from packer.model.outcome import Outcome
from packer.reading.schema import markdown_table

README = Path(__file__).resolve().parent.parent / "README.md"


def commands() -> str:
    """Every command with its one line."""
    rows = [f"| `holdall {command.name}` | {command.summary} |" for command in COMMANDS]
    return "\n".join(["| command | does |", "|---|---|", *rows]) + "\n"


def exit_codes() -> str:
    """Every outcome with its code and what the API answers."""
    rows = [f"| {o.value} | {o.http_status} | {o.meaning} |" for o in Outcome]
    heading = "| exit code, and `code` in JSON | HTTP status | meaning |"
    return "\n".join([heading, "|---|---|---|", *rows]) + "\n"


PARTS = {"columns": markdown_table, "commands": commands, "exit codes": exit_codes}


def renewed(text: str) -> str:
    """The README with every part as the code has it now; KeyError for a part that is missing."""
    for name, write in PARTS.items():
        pattern = rf"(<!-- {name}: .*? -->\n).*?(<!-- end of {name} -->)"
        part = write()
        text, count = re.subn(
            pattern, lambda m, part=part: f"{m[1]}\n{part}\n{m[2]}", text, flags=re.DOTALL
        )
        if count != 1:
            raise KeyError(name)
    return text


if __name__ == "__main__":
    README.write_text(renewed(README.read_text(encoding="utf-8")), encoding="utf-8")
