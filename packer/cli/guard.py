"""Runs a command and turns whatever goes wrong into a sentence and an exit code.

A command stops early by raising `Halt`, which carries an outcome and findings. Anything not
foreseen is a fault of the program: one friendly line, and the details only where
`HOLDALL_DEBUG` is set.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable

from packer.cli.talk import report, say
from packer.model.finding import Finding, Severity
from packer.model.outcome import Outcome


class Halt(Exception):  # noqa: N818  (an early end, not always an error)
    """Ends a command with an outcome and what there is to say about it."""

    def __init__(self, outcome: Outcome, findings: Iterable[Finding]) -> None:
        super().__init__(outcome.meaning)
        self.outcome = outcome
        self.findings = tuple(findings)


def halt(code: str, message: str, remedy: str = "", outcome: Outcome = Outcome.BAD_INPUT) -> Halt:
    """A `Halt` with one error finding."""
    return Halt(outcome, [Finding(code, Severity.ERROR, message, remedy=remedy)])


def guarded(run: Callable[[argparse.Namespace], int], args: argparse.Namespace) -> int:
    """The exit code of `run(args)`; never a traceback unless `HOLDALL_DEBUG` is set."""
    try:
        code = int(run(args))
        sys.stdout.flush()
        return code
    except Halt as stop:
        return report(args, stop.outcome, stop.findings)
    except KeyboardInterrupt:
        return _ended(args, "stopped", "Stopped before there was a result.", Outcome.OUT_OF_TIME)
    except BrokenPipeError:
        return _reader_left()
    except Exception as problem:
        return _fault(args, problem)


def _fault(args: argparse.Namespace, problem: Exception) -> int:
    if os.environ.get("HOLDALL_DEBUG"):
        raise problem
    from packer.papers import PapersError

    if isinstance(problem, PapersError):
        return _ended(args, "papers-not-written", str(problem), Outcome.FAULT)
    if isinstance(problem, OSError) and problem.filename:
        message = f"{problem.filename}: {problem.strerror}."
        return _ended(args, "file-trouble", message, Outcome.FAULT)
    say("Set HOLDALL_DEBUG=1 and run it again to see the details, and please pass them on.")
    message = f"Something went wrong inside Holdall: {type(problem).__name__}: {problem}."
    return _ended(args, "fault", message, Outcome.FAULT)


def _ended(args: argparse.Namespace, code: str, message: str, outcome: Outcome) -> int:
    return report(args, outcome, [Finding(code, Severity.ERROR, message)])


def _reader_left() -> int:
    """The program we print to has gone (`holdall check trip.xlsx | head`): end quietly."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return Outcome.DONE
