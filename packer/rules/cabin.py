"""What does not belong in the cabin.

What comes in: descriptions of lines meant for the cabin, or in the plan's cabin pieces. What
goes out: warnings. Security at the airport decides.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import shared
from packer.model.finding import Severity
from packer.model.plan import Route
from packer.model.trip import Carry, Gear
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope


def _never_word(line: Gear) -> str | None:
    text = f"{line.category} {line.description}".casefold()
    words: Iterable[str] = shared.cabin_figures().never_words
    return next((word for word in words if re.search(rf"\b{word}s?\b", text)), None)


@rule("tool-in-cabin", "cabin", Severity.WARNING, looks_at="both")
def tools(scope: Scope) -> Iterator[Found]:
    """A tool, a blade or an aerosol is meant for the cabin.

    What: Lines whose category or description names one, with Carry `cabin`, or in a cabin piece
        of the plan.
    Why: Security takes it away, and with it whatever the show needed it for.
    Source: common practice, no published source (shared/figures.toml, cabin.never_words).
    Fails: `Screwdriver set` with Carry `cabin`.
    Passes: The same with Carry `hold`.
    Limits: Knows a few words in English; sizes that some airports allow are not known here.
    Decides: airport security.
    """
    lines: Iterable[Gear] = [line for line in scope.lines if line.carry is Carry.CABIN]
    if scope.plan is not None:
        lines = dict.fromkeys(
            line for piece in scope.pieces(Route.CABIN) for line in scope.lines_in(piece)
        )
    for line in lines:
        word = _never_word(line)
        if word is not None:
            yield Found(
                f"{line.name}: found {line.description!r} for the cabin, where a {word} is usually "
                "taken away.",
                line.source.cell("carry"),
                line.name,
                "Put `hold` in Carry.",
            )
