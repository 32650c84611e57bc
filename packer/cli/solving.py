"""Solves a trip for a command that wants the plan and nothing written.

In: the command's options and a trip. Out: a judged plan, or the command ends with the outcome
and its causes.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from packer.cli.guard import Halt
from packer.cli.plan import limits_of
from packer.cli.watching import watch
from packer.model.finding import Finding
from packer.model.outcome import Outcome
from packer.model.solving import Wishes

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.model.trip import Trip


def solved(
    args: argparse.Namespace,
    trip: Trip,
    findings: Iterable[Finding] = (),
    wishes: Wishes = Wishes(),
) -> Plan:
    """The plan, with signs of life meanwhile unless `--json` was asked for."""
    from packer.pipeline import solve

    planned = watch(
        lambda on_progress, should_stop: solve(
            trip, findings, limits_of(args), wishes, on_progress, should_stop
        ),
        silent=args.json,
    )
    if planned.plan is None or planned.outcome is not Outcome.DONE:
        raise Halt(planned.outcome, [*planned.findings, *planned.causes])
    return planned.plan
