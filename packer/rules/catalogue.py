"""The catalogue: each rule is one function with a code, and its docstring is its page.

What comes in: a `Scope`, the trip and, once there is one, the plan. What goes out: findings in
the fixed order, and pages for people. A docstring opens with one sentence and then has the
parts of `PARTS`, each as `Part: text`, continued on indented lines.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from inspect import cleandoc

from packer.model.finding import Finding, Severity, in_order
from packer.model.plan import Plan
from packer.model.source import Cell
from packer.model.trip import Trip
from packer.rules.scope import Scope

PARTS = ("What", "Why", "Source", "Fails", "Passes", "Limits", "Decides")

FAMILIES = (
    "batteries",
    "cabin",
    "customs",
    "freight",
    "liability",
    "lifting",
    "mains",
    "radio",
    "roles",
    "species",
    "weight",
)

RETIRED: frozenset[str] = frozenset()
"""Codes that were used once and mean something in old plans; none may come back."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a rule yields: one sentence, the cell, what it is about, what to do."""

    message: str
    where: Cell | None = None
    subject: str = ""
    remedy: str = ""


Check = Callable[[Scope], Iterable[Found]]


@dataclass(frozen=True, slots=True)
class RulePage:
    """The page of a rule, as `holdall rules CODE` prints it and the API serves it."""

    code: str
    family: str
    severity: Severity
    looks_at: str
    title: str
    what: str
    why: str
    source: str
    fails: str
    passes: str
    limits: str
    decides: str

    def text(self) -> str:
        """The page as plain text."""
        seen = "trip and the plan" if self.looks_at == "both" else self.looks_at
        head = f"{self.code} ({self.family}, {self.severity}, looks at the {seen})"
        parts = [f"{part}: {getattr(self, part.lower())}" for part in PARTS]
        return "\n".join([head, "", self.title, "", *parts]) + "\n"

    def to_json(self) -> dict[str, str]:
        """The page as the API carries it."""
        return {name: str(getattr(self, name)) for name in self.__slots__}


@dataclass(frozen=True, slots=True)
class Rule:
    """A registered rule: its page and its check."""

    page: RulePage
    check: Check

    def findings(self, scope: Scope) -> Iterator[Finding]:
        """What the check finds, as findings under the rule's code."""
        for found in self.check(scope):
            yield Finding(
                self.page.code,
                self.page.severity,
                found.message,
                found.where,
                found.subject,
                found.remedy,
                self.page.source,
            )


_RULES: dict[str, Rule] = {}


def rule(
    code: str, family: str, severity: Severity, looks_at: str = "trip"
) -> Callable[[Check], Check]:
    """Register a check. `looks_at`: `trip`, `plan`, or `both` (the plan's own findings are added).

    ValueError for a code that is taken, retired or badly written, or an unknown family.
    """

    def register(check: Check) -> Check:
        _refuse(code, family, looks_at)
        _RULES[code] = Rule(_page(code, family, severity, looks_at, check.__doc__ or ""), check)
        return check

    return register


def _refuse(code: str, family: str, looks_at: str) -> None:
    if code in _RULES or code in RETIRED:
        raise ValueError(f"the code {code!r} is taken")
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", code):
        raise ValueError(f"a code is words in small letters joined by hyphens, not {code!r}")
    if family not in FAMILIES or looks_at not in ("trip", "plan", "both"):
        raise ValueError(f"{code}: unknown family {family!r} or scope {looks_at!r}")


def _page(code: str, family: str, severity: Severity, looks_at: str, doc: str) -> RulePage:
    title, _, body = cleandoc(doc).partition("\n\n")
    parts = _parts(body)
    texts = {part.lower(): parts.get(part, "") for part in PARTS}
    return RulePage(code, family, severity, looks_at, _joined(title), **texts)


def _parts(body: str) -> dict[str, str]:
    pieces = re.split(rf"^({'|'.join(PARTS)}): ", body, flags=re.MULTILINE)
    return {name: _joined(text) for name, text in zip(pieces[1::2], pieces[2::2], strict=True)}


def _joined(text: str) -> str:
    return " ".join(text.split())


def catalogue() -> tuple[RulePage, ...]:
    """All pages, by family and then by code."""
    pages = (held.page for held in _RULES.values())
    return tuple(sorted(pages, key=lambda page: (page.family, page.code)))


def page(code: str) -> RulePage:
    """The page of one rule; KeyError for an unknown code."""
    return _RULES[code].page


def check_trip(trip: Trip) -> tuple[Finding, ...]:
    """All findings of the rules that need no plan, in the fixed order."""
    return in_order(list(_run(Scope(trip), ("trip", "both"))))


def check_plan(trip: Trip, plan: Plan) -> tuple[Finding, ...]:
    """Findings that only the plan brings, in the fixed order; the trip's are not repeated."""
    known = {_identity(finding) for finding in _run(Scope(trip), ("both",))}
    found = _run(Scope(trip, plan), ("plan", "both"))
    return in_order([finding for finding in found if _identity(finding) not in known])


def _run(scope: Scope, looks_at: tuple[str, ...]) -> Iterator[Finding]:
    for held in _RULES.values():
        if held.page.looks_at in looks_at:
            yield from held.findings(scope)


def _identity(finding: Finding) -> tuple[str, str, str]:
    return (finding.code, str(finding.where), finding.subject)
