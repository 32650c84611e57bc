"""The joint model loosened: a switch and an amount for each named limit that may be to blame.

An elastic programme, as in Chinneck 2008, "Feasibility and Infeasibility in Optimization", ch. 6.
In: a problem and its loosest form. Out: `Elastic`, on which `packer.decide.relax` asks for least.
"""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.joint import JointModel, build_joint
from packer.decide.loosening import MOST_OVER_G, Limit, Named, roles_of, undominated
from packer.decide.problem import Problem
from packer.model.plan import Route


@dataclass(frozen=True, slots=True)
class Elastic:
    """The loosened joint model with a switch and an amount for each named limit."""

    joint: JointModel
    switches: dict[Named, cp_model.IntVar]
    amounts: dict[Named, cp_model.IntVar]


def elastic(problem: Problem, loose: Problem) -> Elastic:
    """The model of `loosest(problem)`, held to the problem but for slacks; at least one is used."""
    joint = build_joint(loose)
    model = Elastic(joint, {}, {})
    _roles(model, problem)
    _bundles(model, problem)
    _cabin(model, problem, loose)
    _cases(model, problem, loose)
    _weights(model, problem, loose)
    _lines(model, problem)
    joint.model.add_bool_or(list(model.switches.values()))
    return model


def _slack(model: Elastic, named: Named, most: int) -> cp_model.IntVar:
    name = f"{named.limit.name} {named.index}"
    amount = model.joint.model.new_int_var(0, most, f"amount {name}")
    switch = model.joint.model.new_bool_var(f"relax {name}")
    model.joint.model.add(amount <= most * switch)
    model.switches[named], model.amounts[named] = switch, amount
    return amount


def _roles(model: Elastic, problem: Problem) -> None:
    joint = model.joint
    for n, role in enumerate(roles_of(problem)):
        caps = [cap for cap in problem.roles if cap.role == role]
        units = sum(problem.lines[i].most for i in caps[0].lines)
        if not units:
            continue
        slack = _slack(model, Named(Limit.ROLE, n), units)
        for cap in caps:
            swing = sum(joint.flown[i] for i in cap.swing)
            for c in range(len(joint.used)):
                here = [joint.x[i, c] for i in cap.lines if (i, c) in joint.x]
                if here:
                    joint.model.add(sum(here) <= cap.base + swing + slack)


def _bundles(model: Elastic, problem: Problem) -> None:
    joint = model.joint
    for n, bundle in enumerate(problem.bundles):
        cases = sorted({c for i, c in joint.x if i in bundle})
        if not cases:
            continue
        slack = _slack(model, Named(Limit.BUNDLE, n), len(cases))
        homes = {c: joint.model.new_bool_var(f"bundle {n},{c}") for c in cases}
        joint.model.add(sum(homes.values()) <= 1 + slack)
        for (i, c), var in joint.x.items():
            if i in bundle:
                joint.model.add(var == 0).only_enforce_if(~homes[c])


def _cabin(model: Elastic, problem: Problem, loose: Problem) -> None:
    ways = [
        way
        for spec in loose.cases
        for option, way in zip(spec.options, model.joint.ways[spec.index], strict=True)
        if option.route is Route.CABIN
    ]
    if len(ways) > problem.cabin_pieces:
        slack = _slack(model, Named(Limit.CABIN), len(ways))
        model.joint.model.add(sum(ways) <= problem.cabin_pieces + slack)


def _cases(model: Elastic, problem: Problem, loose: Problem) -> None:
    """Cases of a group are used in their order, so the further ones only after all owned."""
    for g, group in enumerate(loose.groups):
        further = [model.joint.used[c] for c in group if c >= len(problem.cases)]
        if further:
            slack = _slack(model, Named(Limit.CASES, g), len(further))
            model.joint.model.add(sum(further) <= slack)


def _weights(model: Elastic, problem: Problem, loose: Problem) -> None:
    """Contents within what is allowed as owned, plus the slack."""
    joint = model.joint
    slack = _slack(model, Named(Limit.WEIGHT), MOST_OVER_G)
    for spec in loose.cases:
        owned = undominated(problem.cases[loose.groups[spec.group][0]].options)
        ways = zip(owned, joint.ways[spec.index], strict=True)
        room = sum((option.upto_g - spec.tare_g) * way for option, way in ways)
        joint.model.add(joint.content_g[spec.index] <= room + slack)


def _lines(model: Elastic, problem: Problem) -> None:
    for line in problem.lines:
        if line.least:
            slack = _slack(model, Named(Limit.LINE, line.index), line.least)
            model.joint.model.add(model.joint.flown[line.index] >= line.least - slack)
