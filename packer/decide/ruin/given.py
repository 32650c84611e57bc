"""The problem as tables for compiled code.

In: a `Problem` and the prices at each stop. Out: one array that no step ever changes; its tables
and columns are named in `packer.decide.ruin.tables`. Weights in g, lengths in mm, volumes in mm3
(outside ones in cm3), money in minor units.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from packer.decide.problem import CaseSpec, Line, Problem
from packer.decide.ranking import hardness, saving_per_share, size_rank
from packer.decide.ruin.tables import CABIN, FREIGHT, HOLD, tables_of
from packer.decide.tariff import Tariff
from packer.geometry import ANY, UPRIGHT, Item
from packer.geometry.items import grown, plain
from packer.geometry.spaces import Ints, as_ints
from packer.model.plan import Route
from packer.model.trip import CaseKind, Concept

ROUTE_NUMBERS = {Route.HOLD: HOLD, Route.CABIN: CABIN, Route.FREIGHT: FREIGHT}
KIND_NUMBERS = {CaseKind.BOX: 0, CaseKind.RACK: 1, CaseKind.SLOTS: 2}
ENDLESS_G = 2**40
SIZE_UNITS = 1_000_000  # to a full case, in RANKS
MOST_SAVING = 10**14


def given_of(problem: Problem, seed: int, tariffs: Sequence[Tariff] | None = None) -> Ints:
    """The tables of a problem; `tariffs` where they are known, one for each stop."""
    if tariffs is None:
        tariffs = [Tariff(problem.trip, hire) for hire in problem.hires]
    items = sorted(
        {_plain(line) for line in problem.lines if line.is_boxed},
        key=lambda item: (item.sides_mm, item.upright, item.fragile),
    )
    return tables_of(
        [
            *_line_tables(problem, items),
            *_case_tables(problem),
            *_group_tables(problem),
            as_ints(problem.pieces_minor),
            _rows([[b.rule.free_weight_g, b.rule.per_kg_minor] for b in _weighing(problem)], 2),
            _freight_row(problem),
            _starts([tariff.fixed for tariff in tariffs]),
            as_ints(np.concatenate([np.zeros(0), *(tariff.fixed for tariff in tariffs)])),
            *_price_tables(problem, tariffs),
            as_ints([line.index for line in problem.lines if line.most > line.least]),
            as_ints([problem.cabin_pieces, seed]),
        ]
    )


def _rows(rows: Sequence[Sequence[int]], wide: int) -> Ints:
    return as_ints(rows).reshape(len(rows), wide)


def _starts(lists: Sequence[Any]) -> Ints:
    return as_ints(np.cumsum([0, *(len(each) for each in lists)]))


def _flat(lists: Sequence[Sequence[int]]) -> Ints:
    return as_ints([value for each in lists for value in each])


def _plain(line: Line) -> Item:
    gear = line.gear
    if gear.size is None:
        raise ValueError(f"{gear.name}: box gear must have all three lengths")
    return plain(Item(gear.size.sides, gear.upright, gear.fragile))


def _line_tables(problem: Problem, items: list[Item]) -> list[Ints]:
    """LINES, RANKS, HOMES, ITEMS, CODES."""
    codes = np.random.default_rng(20_021)  # for hashes: any fixed numbers serve
    homes = np.zeros((len(problem.lines), len(problem.cases)), dtype=np.int64)
    for line in problem.lines:
        if line.most:
            homes[line.index, list(line.cases)] = 1
    bundle_of = {i: n for n, bundle in enumerate(problem.bundles) for i in bundle}
    worths = problem.worth_minor
    number = {item: k for k, item in enumerate(items)}
    lines = [
        _line_row(line, number, bundle_of.get(line.index, -1), worths[line.index])
        for line in problem.lines
    ]
    return [
        _rows(lines, 12),
        _rows([_rank_row(problem, line) for line in problem.lines], 3),
        homes,
        _rows([_item_row(problem, item) for item in items], 5),
        codes.integers(1, 2**62, size=len(items) + 1, dtype=np.int64),
    ]


def _line_row(line: Line, number: dict[Item, int], bundle: int, worth_minor: int) -> list[int]:
    return [
        line.gear.weight_g,
        line.grown_mm3,
        line.own_mm3,
        line.soft_mm3,
        line.gear.rack_half_units or 0,
        number[_plain(line)] if line.is_boxed else -1,
        line.least,
        line.most,
        line.gear.quantity,
        sum(1 << ROUTE_NUMBERS[route] for route in line.routes),
        bundle,
        worth_minor,
    ]


def _rank_row(problem: Problem, line: Line) -> list[int]:
    saving = min(MOST_SAVING, round(saving_per_share(problem, line)))
    return [
        round(SIZE_UNITS * size_rank(line)),
        saving,
        round(SIZE_UNITS * hardness(problem, line)),
    ]


def _item_row(problem: Problem, item: Item) -> list[int]:
    size = grown(item.sides_mm, problem.trip.clearance_mm)
    return [*size, UPRIGHT if item.upright else ANY, int(item.fragile)]


def _case_tables(problem: Problem) -> list[Ints]:
    """CASES, OPTIONS, OPTION_FROM, GROUPS, GROUP_FROM."""
    insides = sorted({spec.case.inside.sides for spec in problem.cases if spec.case.inside})
    options = [_option_rows(spec) for spec in problem.cases]
    return [
        _rows([_case_row(spec, insides) for spec in problem.cases], 10),
        _rows([row for of in options for row in of], 4),
        _starts(options),
        _flat(problem.groups),
        _starts(problem.groups),
    ]


def _case_row(spec: CaseSpec, insides: list[tuple[int, int, int]]) -> list[int]:
    case = spec.case
    inside = case.inside.sides if case.inside and case.kind is CaseKind.BOX else (0, 0, 0)
    return [
        KIND_NUMBERS[case.kind],
        *inside,
        spec.volume_mm3,
        spec.tare_g,
        case.rack_half_units or 0,
        case.slots or 0,
        spec.cm3,
        insides.index(inside) if inside in insides else -1,
    ]


def _option_rows(spec: CaseSpec) -> list[list[int]]:
    return [
        [ROUTE_NUMBERS[o.route], o.above_g, min(o.upto_g, ENDLESS_G), o.cost_minor]
        for o in spec.options
    ]


def _group_tables(problem: Problem) -> list[Ints]:
    """CAPS, CAP_OF, CAP_OF_FROM, SWING, SWING_FROM, BUNDLES, BUNDLE_FROM."""
    cap_of: list[list[int]] = [[] for _ in problem.lines]
    for r, cap in enumerate(problem.roles):
        for i in cap.lines:
            cap_of[i].append(r)
    swings = [cap.swing for cap in problem.roles]
    return [
        as_ints([cap.base for cap in problem.roles]),
        _flat(cap_of),
        _starts(cap_of),
        _flat(swings),
        _starts(swings),
        _flat(problem.bundles),
        _starts(problem.bundles),
    ]


def _weighing(problem: Problem) -> list[Any]:
    return [b for b in problem.bills if b.rule.concept is Concept.WEIGHT and b.rule.per_kg_minor]


def _freight_row(problem: Problem) -> Ints:
    freight = problem.freight
    if freight is None:
        return _rows([[1, 0, 0, 0]], 4)
    money = [freight.rate_per_kg.minor, freight.handling.minor, freight.minimum.minor]
    return _rows([[freight.divisor, *money]], 4)


def _price_tables(problem: Problem, tariffs: Sequence[Tariff]) -> list[Ints]:
    """PRICE_AT to KIT_PRICES. Prices of a (stop, line): by choice, then by missing units."""
    shape = (len(tariffs), len(problem.lines))
    price_at, kit_at = np.full(shape, -1), np.full(shape, -1)
    prices: list[Ints] = [np.zeros(0)]
    kit_prices: list[Ints] = [np.zeros(0)]
    kit_price_at: list[int] = []
    length = kit_length = 0
    for s, tariff in enumerate(tariffs):
        for r, line in enumerate(tariff.lines):
            wide = problem.lines[line].gear.quantity + 1
            price_at[s, line] = length
            prices.append(tariff.prices[:, r, :wide].ravel())
            length += prices[-1].size
            if tariff.kit_of[r] >= 0:
                kit_at[s, line] = len(kit_price_at) + tariff.kit_of[r]
        for k in range(len(tariff.kit_lines)):
            kit_price_at.append(kit_length)
            kit_prices.append(tariff.kit_prices[:, k])
            kit_length += len(tariff.fixed)
    kits = [lines for tariff in tariffs for lines in tariff.kit_lines]
    return [
        as_ints(price_at),
        as_ints(np.concatenate(prices)),
        as_ints(kit_at),
        _flat(kits),
        _starts(kits),
        as_ints(kit_price_at),
        as_ints(np.concatenate(kit_prices)),
    ]
