"""Conflicts in words: which limit, by how much it misses, what would do instead.

In: a problem without a plan and the conflicts that `packer.decide.relax` found. Out: findings, one
for each limit of the smallest set. A sum that is exceeded is told with its figures, since that is
a proof anybody can follow; where only the search proves it, the sentence says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.decide.cuts import Cut
from packer.decide.loosening import Limit, Relaxed, roles_of
from packer.decide.problem import Line, Problem
from packer.decide.relax import Conflict, conflicts
from packer.decide.sums import Overfull, overfull, overfull_around, shortages
from packer.decide.watch import Watch
from packer.model.finding import Finding, Severity
from packer.model.source import Cell, Source
from packer.model.trip import Leg, Rule

UNTOLD = Finding(
    "no-plan",
    Severity.ERROR,
    "It is proved that no plan satisfies the trip, and no single line is to blame; the smallest "
    "set of causes was not found in the time.",
    remedy="Allow more time with --seconds.",
)


def causes_together(
    problem: Problem, watch: Watch, cuts: Sequence[Cut] = ()
) -> tuple[Finding, ...]:
    """Why a problem has no plan though each line by itself could be served; never empty.

    Call it only where it is proved that there is no plan. `cuts` are what the search learned.
    """
    found = conflicts(problem, watch, cuts)
    if not found:
        return (UNTOLD,)
    others = "; or ".join(_instead(problem, part) for other in found[1:] for part in other.parts)
    return tuple(_finding(problem, found[0], part, others) for part in found[0].parts)


@dataclass(frozen=True, slots=True)
class _Told:
    """A cause in words; `instead` is how the same relaxation reads as something to do."""

    code: str
    subject: str
    message: str
    remedy: str
    where: Cell | None


def _finding(problem: Problem, conflict: Conflict, part: Relaxed, others: str) -> Finding:
    told = _TELL[part.named.limit](problem, part, conflict.counted)
    remedy = told.remedy + (f" What would do as well: {others}." if others else "")
    message = f"{told.message}{_together(conflict)}{_certainty(conflict)}"
    return Finding(told.code, Severity.ERROR, message, told.where, told.subject, remedy)


def _together(conflict: Conflict) -> str:
    others = len(conflict.parts) - 1
    if not others or conflict.counted:
        return ""
    return f" This and {others} more {'cause' if others == 1 else 'causes'} listed go together."


def _certainty(conflict: Conflict) -> str:
    """What is not proved is said, nothing where all is."""
    if conflict.counted:
        return " This alone forbids every plan; what else may be in the way was not decided."
    if not conflict.fits:
        return " It is likely, not proved, that no more than this is in the way."
    if not conflict.smallest:
        return " That no smaller set of causes would do is likely, not proved."
    amounts = sum(part.amount for part in conflict.parts)
    if not conflict.least and amounts > len(conflict.parts):
        return " A smaller amount might do; that was not decided in the time."
    return ""


def _role(problem: Problem, part: Relaxed, _counted: bool) -> _Told:
    role = roles_of(problem)[part.named.index]
    caps = [cap for cap in problem.roles if cap.role == role]
    tight = min(caps, key=lambda cap: cap.base)
    lines = [problem.lines[i] for i in tight.lines]
    must = sum(line.least for line in lines)
    cases = sorted({c for line in lines if line.least for c in line.cases})
    where = (
        f"only in {_names(problem, cases)}"
        if len(cases) <= 3
        else f"in {len(cases)} cases that other things need too"
    )
    allowed = tight.base + sum(problem.lines[i].least for i in tight.swing)
    return _Told(
        "role-cannot-be-split",
        role,
        f"One case lost: no one case may hold more than {allowed} of role {role} at {tight.stop}, "
        f"but {must} must fly, {where}; some case holds at least {part.amount} too many.",
        f"Let more cases take {_list([line.gear.name for line in lines])}, have some covered by "
        "offers at every stop, or lower Role needs.",
        _cell(lines[0].gear.source, "role"),
    )


def _bundle(problem: Problem, part: Relaxed, _counted: bool) -> _Told:
    lines = [problem.lines[i] for i in problem.bundles[part.named.index]]
    label = lines[0].gear.pack_with or ""
    cases = set(lines[0].cases).intersection(*(line.cases for line in lines if line.least))
    return _Told(
        "bundle-in-no-case",
        label,
        f"Everything packed with {label!r} has to share one case ("
        f"{_list([line.gear.name for line in lines])}), but {_bundle_why(problem, lines, cases)}; "
        f"it takes {part.amount + 1} cases.",
        "Clear Pack with for some of it, or have some covered by offers at every stop.",
        _cell(lines[0].gear.source, "pack_with"),
    )


def _bundle_why(problem: Problem, lines: list[Line], cases: set[int]) -> str:
    if not cases:
        return "no case takes all of it"
    roomiest = max((problem.cases[c] for c in cases), key=lambda spec: spec.most_content_g)
    must_g = sum(line.least * line.gear.weight_g for line in lines)
    over_g = must_g - roomiest.most_content_g
    if over_g > 0:
        return (
            f"what must fly of it weighs {_kg(must_g)} and the roomiest case for it, "
            f"{roomiest.case.name}, takes {_kg(roomiest.most_content_g)}: {_kg(over_g)} too heavy"
        )
    over = overfull(problem, lines, cases, single=True)
    if over is not None:
        return _sum(problem, over, single=True)
    return "it does not go into one together with what else must fly"


def _cabin(problem: Problem, part: Relaxed, counted: bool) -> _Told:
    leg = _tightest_leg(problem)
    free = problem.cabin_pieces
    return _Told(
        "too-few-cabin-pieces",
        leg.name if leg else "",
        f"What must fly in the cabin takes {'at least ' if counted else ''}{free + part.amount} "
        f"cabin pieces, but only {free} "
        f"{'is' if free == 1 else 'are'} free on {leg.name if leg else 'some leg'}: "
        f"{part.amount} too many.",
        "Let somebody more carry a piece, or take less that has to be in the cabin.",
        _cell(leg.source, "free_cabin_pieces") if leg else None,
    )


def _cases(problem: Problem, part: Relaxed, counted: bool) -> _Told:
    group = problem.groups[part.named.index]
    spec = problem.cases[group[0]]
    over = shortages(problem).get(part.named.index) or overfull_around(problem, group[0])
    like = f"{part.amount} more {'case' if part.amount == 1 else 'cases'} like {spec.case.name}"
    reason = _sum(problem, over) if over else "it does not all go in by weight and place together"
    so_many = f"it takes {like} at least" if counted else f"with {like} it would"
    return _Told(
        "too-few-cases",
        spec.case.name,
        f"There are too few cases for what must fly ({len(group)} like {spec.case.name}): "
        f"{reason}; {so_many}.",
        f"Bring {like}, or have something covered by offers at every stop.",
        _cell(spec.case.source, "quantity"),
    )


def _weight(problem: Problem, part: Relaxed, _counted: bool) -> _Told:
    rule = _tightest_rule(problem)
    return _Told(
        "pieces-too-heavy",
        rule.name if rule else "",
        "What must fly goes into the cases by place, but not by weight: the heaviest piece would "
        f"be {_kg(part.amount)} above what it may weigh.",
        "Hire the heaviest things, take lighter cases, or ask the carrier about heavier pieces.",
        _cell(rule.source, "most_weight") if rule else None,
    )


def _line(problem: Problem, part: Relaxed, _counted: bool) -> _Told:
    gear = problem.lines[part.named.index].gear
    least = problem.lines[part.named.index].least
    return _Told(
        "no-room-with-the-rest",
        gear.name,
        f"{least} of {gear.name} must fly, and there is no room for {part.amount} of them beside "
        "what else must fly.",
        "Have it covered by offers at every stop, or leave it out.",
        _cell(gear.source, "source"),
    )


_TELL = {
    Limit.ROLE: _role,
    Limit.BUNDLE: _bundle,
    Limit.CABIN: _cabin,
    Limit.CASES: _cases,
    Limit.WEIGHT: _weight,
    Limit.LINE: _line,
}


def _instead(problem: Problem, part: Relaxed) -> str:
    """The relaxation as something to do, for the list of what would do as well."""
    index, amount = part.named.index, part.amount
    if part.named.limit is Limit.ROLE:
        return f"Role needs of {roles_of(problem)[index]} lower by {amount}"
    if part.named.limit is Limit.BUNDLE:
        label = problem.lines[problem.bundles[index][0]].gear.pack_with
        return f"{label!r} packed in {amount + 1} cases"
    if part.named.limit is Limit.CABIN:
        return f"{amount} more free cabin {'piece' if amount == 1 else 'pieces'}"
    if part.named.limit is Limit.CASES:
        return f"{amount} more of {problem.cases[problem.groups[index][0]].case.name}"
    if part.named.limit is Limit.WEIGHT:
        return f"hold pieces {_kg(amount)} heavier than allowed"
    return f"{amount} of {problem.lines[index].gear.name} not flying"


def _sum(problem: Problem, over: Overfull, *, single: bool = False) -> str:
    """The figures of a sum that is exceeded."""
    names = _names(problem, over.cases)
    holders = f"one of {names} has" if single else f"{names} {_have(len(over.cases))}"
    need, has, more = (_figure(amount, over.scale) for amount in (over.need, over.has, over.excess))
    return (
        f"{over.units} units need {need} {over.unit} and {holders} {has}: "
        f"{more} {over.unit} too many"
    )


def _have(count: int) -> str:
    return "has" if count == 1 else "have"


def _figure(amount: int, scale: int) -> str:
    decimals = {1: 0, 2: 1}.get(scale, 2)
    text = f"{amount / scale:.{decimals}f}"
    return text.removesuffix(".0")


def _names(problem: Problem, cases: Sequence[int]) -> str:
    names = [problem.cases[c].case.name for c in cases]
    if len(names) > 4:
        return f"the {len(names)} cases for it"
    return _list(names)


def _list(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _tightest_leg(problem: Problem) -> Leg | None:
    return min(problem.trip.legs, key=lambda leg: leg.free_cabin_pieces, default=None)


def _tightest_rule(problem: Problem) -> Rule | None:
    rules = [problem.trip.rule_of(leg) for leg in problem.trip.legs]
    return min(rules, key=lambda rule: rule.most_weight_g, default=None)


def _cell(source: Source, field: str) -> Cell | None:
    return source.cell(field) if source.columns else None


def _kg(grams: int) -> str:
    return f"{grams / 1000:.2f} kg"
