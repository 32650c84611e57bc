"""What the commands of the road have in common: weights, days, who, journals, the clock.

Each function returns the value or ends the command with findings that say what to do.
"""

from __future__ import annotations

import argparse
import getpass
import uuid
from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import Halt, halt
from packer.cli.inputs import open_plan
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from packer.model.plan import Plan
    from packer.model.trip import Trip
    from packer.road.journal import Contents, Entered


def weights_of(words: Iterable[str]) -> dict[str, int]:
    """`NAME=WEIGHT` words as grams, rounded up; kg where no unit is given."""
    weights: dict[str, int] = {}
    for word in words:
        name, sign, text = word.rpartition("=")
        if not sign or not name.strip():
            raise halt("weight-expected", f"{word!r} is no weight.", "Write it as CASE=23.4 kg.")
        weights[name.strip()] = grams_of(text)
    return weights


def grams_of(text: str) -> int:
    """A weight as people write it, in grams, rounded up: `23,4`, `51 lb`, `900 g`."""
    import shared
    from packer.reading.mistakes import Hints, Mistake
    from packer.reading.quantities import quantity_of, rounded_up

    hints = Hints(is_text=True, commas_are_decimal=lambda: True)
    try:
        grams = rounded_up(quantity_of(text.strip(), shared.MASS_UNITS, "kg", hints))
    except Mistake as mistake:
        message = f"{text!r} is no weight: expected {mistake.expected}."
        raise halt(mistake.code, message, mistake.remedy) from mistake
    if grams <= 0:
        raise halt("weight-expected", f"A weight is above 0, not {text!r}.")
    return grams


def money_text(minor: int, currency: str) -> str:
    """Money for people; imported late, so that help stays quick."""
    from packer.papers import units

    return units.money_text(minor, currency)


def kg_text(grams: int) -> str:
    """Kilograms for people; imported late, so that help stays quick."""
    from packer.papers import units

    return units.kg_text(grams)


def day_of(text: str) -> date:
    """A day as 2026-05-31."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2026-05-31") from None


def today() -> date:
    """The day on this machine's calendar."""
    return datetime.now().astimezone().date()


def now() -> str:
    """The time as journals keep it: ISO, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def who_options(parser: argparse.ArgumentParser, *, keyed: bool = True) -> None:
    """Who enters something, and the key that makes entering it twice harmless."""
    parser.add_argument("--by", metavar="NAME", default="", help="who enters it (you)")
    if not keyed:
        return
    parser.add_argument(
        "--key", metavar="KEY", default="", help="entering the same under the same key counts once"
    )


def who(args: argparse.Namespace) -> str:
    """The name given, or the name of the account."""
    try:
        return args.by or getpass.getuser()
    except (OSError, KeyError):
        return "unknown"


def key(args: argparse.Namespace) -> str:
    """The key given, or a fresh one."""
    return args.key or uuid.uuid4().hex


def open_plan_of(trip: Trip, path: str) -> Plan:
    """A plan whose names are the trip's; ends the command where it is one for another trip."""
    from packer.judge import judge

    plan = open_plan(path)
    strange = [
        breach.message
        for breach in judge(trip, plan).breaches
        if breach.code in ("unknown-gear", "unknown-case", "no-such-unit", "case-used-twice")
    ]
    if strange:
        raise halt("plan-of-another-trip", strange[0], "Give the plan that was made for this trip.")
    return plan


def open_journal(path: str) -> Contents:
    """What a journal file holds; ends the command where it was altered."""
    from packer.road.journal import read_journal

    contents = read_journal(Path(path))
    if contents.altered:
        raise Halt(Outcome.BAD_INPUT, contents.findings)
    return contents


def must_stand(entered: Entered) -> Entered:
    """Ends the command where an entry was refused."""
    if entered.refused:
        raise Halt(Outcome.BAD_INPUT, entered.findings)
    return entered
