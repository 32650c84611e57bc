"""The command `holdall`: one file a command, each with `arguments(parser)` and `run(args)`.

In: the words of the command line. Out: an exit code of `packer.model.outcome.Outcome`.
Only the module of the command that is called is imported, and each imports what it needs when it
runs, so that `holdall --help` answers at once. To add a command, write its module and add a line
to `COMMANDS`.
"""

from __future__ import annotations

import argparse
import os
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module

from packer import __version__
from packer.model.outcome import Outcome


@dataclass(frozen=True, slots=True)
class Command:
    """A command's name, its module under `packer.cli`, and one line for the overview."""

    name: str
    module: str
    summary: str


COMMANDS = (
    Command("template", "template", "write an empty workbook to fill in"),
    Command("check", "check", "all that is wrong or doubtful in a trip, and where it stands"),
    Command("plan", "plan", "decide, pack, prove and print: the whole job"),
    Command("judge", "judge", "check any plan, also one made by hand, and reckon its costs anew"),
    Command("why", "why", "what the opposite would cost for a line of gear, or for all"),
    Command("compare", "compare", "plan several trips and set them side by side"),
    Command("sweep", "sweep", "many what-ifs at once: lighter cases, fewer pieces, more margin"),
    Command("rules", "rules", "the catalogue of checks, or the page of one"),
    Command("reckon", "reckon", "a lift, a battery, radio tones, freight weight, security"),
    Command("weigh", "weigh", "what the scale says: what it breaks, the fewest moves that mend it"),
    Command("lost", "lost", "a case is lost: what the show lacks, what covers it, what to claim"),
    Command("border", "border", "the ledger of borders: what is where, what is still owed"),
    Command("tick", "tick", "packing: what is in, what is still out, which cases are closed"),
    Command("differ", "differ", "what is different between two plans; the history of a trip"),
    Command("next", "next_trip", "start the next trip from an old one: new stops and legs"),
    Command("serve", "serve", "the pages and the API on this machine"),
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit code is that of its outcome."""
    words = list(sys.argv[1:] if argv is None else argv)
    _survive_any_terminal()
    command = next((c for c in COMMANDS if words and c.name == words[0]), None)
    if command is None:
        _overview().parse_args(words)
        _overview().print_help()
        return Outcome.BAD_INPUT
    code = _run(command, words[1:])
    if argv is None:
        _leave_solvers_behind(code)
    return code


def _leave_solvers_behind(code: int) -> None:
    """Ends the program at once where a solver is deep in work that nothing can stop.

    Python would trip over its thread on the way out.
    """
    if any(thread.name.startswith("holdall-") for thread in threading.enumerate()):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _run(command: Command, words: list[str]) -> int:
    module = import_module(f"packer.cli.{command.module}")
    parser = argparse.ArgumentParser(
        prog=f"holdall {command.name}", description=module.__doc__, formatter_class=_Helpful
    )
    module.arguments(parser)
    args = parser.parse_args(words)
    args.command = command.name
    from packer.cli.guard import guarded

    return guarded(module.run, args)


def _overview() -> argparse.ArgumentParser:
    width = max(len(command.name) for command in COMMANDS)
    lines = [f"  {command.name:<{width}}  {command.summary}" for command in COMMANDS]
    codes = [f"  {outcome.value}  {outcome.meaning}" for outcome in Outcome]
    parser = argparse.ArgumentParser(
        prog="holdall",
        description="Decides what of a band's equipment flies and what is hired, packs it, "
        "proves it and prints the papers.",
        epilog="\n".join(["commands:", *lines, "", "exit codes:", *codes])
        + "\n\nholdall COMMAND --help says more about one.",
        formatter_class=_Helpful,
    )
    parser.add_argument("--version", action="version", version=f"holdall {__version__}")
    parser.add_argument("command", choices=[c.name for c in COMMANDS], metavar="COMMAND", nargs="?")
    return parser


class _Helpful(argparse.RawDescriptionHelpFormatter):
    """Keeps the line breaks of descriptions."""


def _survive_any_terminal() -> None:
    """Print what the terminal cannot show as `?` instead of failing on it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None and os.environ.get("PYTHONIOENCODING") is None:
            reconfigure(errors="replace")
