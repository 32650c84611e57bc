"""The money side of a CP-SAT model: hire, deliveries, worth, baggage and freight as expressions.

The joint model (one variable a case) and the class model (cases counted) share these rows, so
that both price a plan alike. `flown[i]` is the number of units of line i that fly.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.hire import StopHire
from packer.decide.problem import Problem
from packer.model.trip import Concept

Linear = cp_model.LinearExprT


@dataclass(frozen=True, slots=True)
class PieceSums:
    """What the charges need to know of the pieces: counts, grams and cubic centimetres."""

    hold_pieces: Linear
    hold_g: Linear
    freight_pieces: Linear
    freight_g: Linear
    freight_cm3: Linear


def hire_cost(
    model: cp_model.CpModel, problem: Problem, flown: Sequence[cp_model.IntVar]
) -> list[Linear]:
    """Terms for hire, deliveries and worth given up, over all stops."""
    terms: list[Linear] = []
    for line, worth in zip(problem.lines, problem.worth_minor, strict=True):
        simple = sum(problem.hires[s].simple_price(line.index) or 0 for s in line.stops)
        each = worth + simple
        if each:
            terms.append(each * (line.gear.quantity - flown[line.index]))
    for hire in problem.hires:
        terms += _stop_terms(model, problem, hire, flown)
    return terms


def _stop_terms(
    model: cp_model.CpModel, problem: Problem, hire: StopHire, flown: Sequence[cp_model.IntVar]
) -> list[Linear]:
    lines = [
        i for i in hire.lines if hire.simple_price(i) is None and problem.lines[i].least
        < problem.lines[i].gear.quantity
    ]  # fmt: skip
    kits = {
        kit.offer: model.new_bool_var(f"kit {hire.stop} {kit.offer}")
        for kit in hire.kits
        if any(i in lines for i in kit.lines)
    }
    delivered = {s: model.new_bool_var(f"delivery {hire.stop} {s}") for s in hire.delivery_minor}
    terms: list[Linear] = [hire.delivery_minor[s] * var for s, var in delivered.items()]
    terms += [kit.price_minor * kits[kit.offer] for kit in hire.kits if kit.offer in kits]
    for kit in hire.kits:
        if kit.offer in kits and kit.supplier in delivered:
            model.add_implication(kits[kit.offer], delivered[kit.supplier])
    for i in lines:
        terms += _line_terms(model, problem, hire, i, flown[i], kits, delivered)
    return terms


def _line_terms(
    model: cp_model.CpModel,
    problem: Problem,
    hire: StopHire,
    line: int,
    flown: cp_model.IntVar,
    kits: dict[int, cp_model.IntVar],
    delivered: dict[str, cp_model.IntVar],
) -> list[Linear]:
    quantity = problem.lines[line].gear.quantity
    parts: list[Linear] = []
    terms: list[Linear] = []
    for offer in hire.offers_for(line):
        taken = model.new_int_var(0, offer.most, f"take {hire.stop} {offer.offer}")
        parts.append(taken)
        terms.append(offer.price_minor * taken)
        if offer.supplier in delivered:
            model.add(taken <= offer.most * delivered[offer.supplier])
    by_kit = [kits[kit.offer] for kit in hire.kits_for(line) if kit.offer in kits]
    if by_kit:
        covered = model.new_int_var(0, quantity, f"kit covers {hire.stop} {line}")
        model.add(covered <= quantity * sum(by_kit))
        parts.append(covered)
    model.add(sum(parts) == quantity - flown)
    return terms


def travel_cost(
    model: cp_model.CpModel, problem: Problem, sums: PieceSums, most_g: int
) -> list[Linear]:
    """Terms for the number of hold pieces, the total weight and freight; not the bands."""
    terms = _piece_count(model, problem, sums)
    for bill in problem.bills:
        if bill.rule.concept is Concept.WEIGHT and bill.rule.per_kg_minor:
            kilos = model.new_int_var(0, most_g // 1000 + 1, f"excess kg {bill.name}")
            model.add(1000 * kilos >= sums.hold_g - bill.rule.free_weight_g)
            terms.append(bill.rule.per_kg_minor * kilos)
    return terms + _freight_terms(model, problem, sums, most_g)


def _piece_count(model: cp_model.CpModel, problem: Problem, sums: PieceSums) -> list[Linear]:
    """A chain of booleans, one for each further piece: exact also where fees do not rise."""
    table = problem.pieces_minor
    if not any(table):
        return []
    steps = [model.new_bool_var(f"hold piece {n}") for n in range(1, len(table))]
    for earlier, later in itertools.pairwise(steps):
        model.add_implication(later, earlier)
    model.add(sum(steps) == sums.hold_pieces)
    rises = [high - low for low, high in itertools.pairwise(table)]
    return [rise * step for rise, step in zip(rises, steps, strict=True) if rise]


def _freight_terms(
    model: cp_model.CpModel, problem: Problem, sums: PieceSums, most_g: int
) -> list[Linear]:
    """Freight in whole minor units: rounded half up once, so 2 x cost is at least the sum."""
    freight = problem.freight
    if freight is None:
        return []
    total_cm3 = sum(spec.cm3 for spec in problem.cases)
    most_half = max(most_g // 500, 2 * total_cm3 // freight.divisor) + 1
    sent = model.new_bool_var("freight")
    half_kg = model.new_int_var(0, most_half, "chargeable half kg")
    model.add(sums.freight_pieces <= len(problem.cases) * sent)
    model.add(500 * half_kg >= sums.freight_g)
    model.add(freight.divisor * half_kg >= 2 * sums.freight_cm3)
    rate = freight.rate_per_kg.minor
    most_minor = freight.handling.minor + freight.minimum.minor + rate * most_half + 1
    cost = model.new_int_var(0, most_minor, "freight cost")
    handling = 2 * freight.handling.minor
    model.add(2 * cost >= handling * sent + rate * half_kg)
    model.add(2 * cost >= (handling + 2 * freight.minimum.minor) * sent)
    return [cost]
