"""Whose turn it is: of several ways to improve a plan the one that has lately paid best.

Each way is tried, then the one that gained most by the second last time goes on; one that has not
had a turn for a while gets one, since what pays changes as a plan gets better. Source of the
idea: adaptive large neighbourhood search (Ropke & Pisinger 2006).
"""

from __future__ import annotations

from collections.abc import Sequence

PATIENCE = 4  # turns of others after which one is due


class Turns:
    """Chooses among names, in the order given where nothing speaks for one."""

    def __init__(self, names: Sequence[str]) -> None:
        self._names = tuple(names)
        self._rate = dict.fromkeys(self._names, float("inf"))
        self._waited = dict.fromkeys(self._names, 0)

    def next(self) -> str:
        """The one that has waited too long, else the one that gained most by the second."""
        late = max(self._names, key=lambda name: self._waited[name])
        if self._waited[late] >= PATIENCE:
            return late
        return max(self._names, key=lambda name: (self._rate[name], self._waited[name]))

    def note(self, name: str, gain_minor: int, seconds: float) -> None:
        """Says what a turn has brought and taken."""
        self._rate[name] = gain_minor / max(seconds, 1e-3)
        for other in self._names:
            self._waited[other] = 0 if other == name else self._waited[other] + 1
