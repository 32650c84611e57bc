"""Walking parsed JSON with its path in hand, so that what is wrong can be named to the letter.

In: values as `json.loads` gives them. Out: checked Python values, or a `WalkError` that says where
(`pieces[2].contents[0].unit`), what was found and what was expected.
"""

from __future__ import annotations

import difflib
import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

MOST_WHOLE = 10**15
"""No figure of a plan is above this; it keeps sums far from absurd lengths."""


class WalkError(ValueError):
    """The JSON is not what was expected; the message names the path, the value and the remedy."""


@dataclass(frozen=True, slots=True)
class Walker:
    """A JSON value and the path that led to it; `path` is empty for the whole document."""

    value: Any
    path: str = ""

    def fail(self, expected: str) -> WalkError:
        """An error that says what stands here and what should."""
        return WalkError(
            f"{self.path or 'the plan'}: expected {expected}, found {shown(self.value)}"
        )

    def object(self, allowed: Iterable[str]) -> Walker:
        """This value, checked to be an object with none but the allowed keys."""
        if not isinstance(self.value, dict):
            raise self.fail("an object { }")
        names = list(allowed)
        for key in self.value:
            if key not in names:
                raise WalkError(_unknown_key(self.path, key, names))
        return self

    def has(self, key: str) -> bool:
        """True where the object has the key with a value other than null."""
        return self.value.get(key) is not None

    def at(self, key: str) -> Walker:
        """The value under a key that must be there."""
        if key not in self.value:
            raise WalkError(f"{self._step(key)}: is missing")
        return Walker(self.value[key], self._step(key))

    def items(self, key: str) -> tuple[Walker, ...]:
        """The items of a list under a key; an absent key is an empty list."""
        if not self.has(key):
            return ()
        return self.at(key).list()

    def list(self) -> tuple[Walker, ...]:
        """The items of this list."""
        if not isinstance(self.value, list):
            raise self.fail("a list [ ]")
        return tuple(Walker(item, f"{self.path}[{i}]") for i, item in enumerate(self.value))

    def text(self) -> str:
        """This value as text."""
        if not isinstance(self.value, str):
            raise self.fail("text in quotes")
        return self.value

    def whole(self, least: int = 0) -> int:
        """This value as a whole number of at least `least`."""
        if isinstance(self.value, bool) or not isinstance(self.value, int):
            raise self.fail("a whole number")
        if not least <= self.value <= MOST_WHOLE:
            raise self.fail(f"a whole number from {least} to {MOST_WHOLE}")
        return self.value

    def number(self) -> float:
        """This value as a finite number of at least 0."""
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            raise self.fail("a number")
        if not (math.isfinite(self.value) and 0 <= self.value <= MOST_WHOLE):
            raise self.fail("a finite number of at least 0")
        return float(self.value)

    def _step(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key


def parse(text: str) -> Walker:
    """JSON text as a walker; raises `WalkError` for text that is no JSON or repeats a key."""
    try:
        return Walker(json.loads(text, object_pairs_hook=_without_repeats))
    except WalkError:
        raise
    except (ValueError, RecursionError) as error:
        raise WalkError(f"the plan is not JSON: {error}") from None


def shown(value: object) -> str:
    """A value as JSON, shortened to what fits in a sentence."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else f"a list of {len(value)}"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else text[:57] + "..."


def _without_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    seen: dict[str, Any] = {}
    for key, value in pairs:
        if key in seen:
            raise WalkError(f"the key {shown(key)} stands twice in one object")
        seen[key] = value
    return seen


def _unknown_key(path: str, key: str, allowed: list[str]) -> str:
    near = difflib.get_close_matches(str(key), allowed, n=1)
    hint = f"did you mean {near[0]!r}?" if near else "expected one of " + ", ".join(allowed)
    return f"{path or 'the plan'}: {shown(key)} is not known here; {hint}"
