"""The walk: ruin, recreate, keep what is cheaper or nearly so, else take it back. Compiled.

Source of the scheme: Schrimpf et al. 2000, "Record breaking optimization results using the ruin
and recreate principle"; accepted by a falling threshold (Dueck & Scheuer 1990).
"""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numba import types

from packer.decide.ruin.exchange import trade_steps
from packer.decide.ruin.laying import lay_steps
from packer.decide.ruin.money import book, price_empty, tighten, total_minor
from packer.decide.ruin.packing import (
    CASE_NOISE,
    DROP,
    GROW,
    NOISE,
    OPEN,
    RANK,
    SKIP,
    recreate,
)
from packer.decide.ruin.parcels import into_pool, ruin, wish
from packer.decide.ruin.places import Ask, ask_geometry, roles_hold
from packer.decide.ruin.state import (
    BEST,
    BUNDLE_UNITS,
    COUNT_TOUCHED,
    CURRENT,
    OPTION,
    SUMS,
    TOTALS,
    TOUCHED,
    begin,
    dice,
    keep_best,
    open_by,
    put,
    take_back,
    touch,
)
from packer.decide.ruin.tables import (
    BUNDLE,
    BUNDLE_FROM,
    BUNDLES,
    HARD,
    LARGE,
    LINES,
    SAVING,
    read,
    rows,
)
from packer.geometry.compiling import jit, jit_as
from packer.geometry.spaces import Ints

_TABLE, _NUMBER = types.int64[::1], types.int64
_QUESTION = types.boolean(_TABLE, _TABLE, _NUMBER, _NUMBER)


class _Compiled(NamedTuple):
    walk: Any
    trade: Any
    lay: Any
    construct: Any
    empty: Any
    load: Any
    stand: Any


@cache
def compiled() -> _Compiled:
    """All else that is called from outside, compiled or loaded from the cache."""
    table, number, pointer = _TABLE, _NUMBER, types.FunctionType(_QUESTION)
    return _Compiled(
        walk=jit_as(_walk, types.void(table, table, number, number, pointer)),
        trade=jit_as(trade_steps, types.void(table, table, table, pointer)),
        lay=jit_as(lay_steps, types.void(table, table, table, table, table, pointer)),
        construct=jit_as(_construct, types.void(table, table, table, pointer)),
        empty=jit_as(_empty, types.void(table, table)),
        load=jit_as(_load, types.void(table, table, number, number, table)),
        stand=jit_as(_stand, types.void(table, table)),
    )


@cache
def asking() -> Any:
    """The question about places, compiled or loaded from the cache."""
    return jit_as(ask_geometry, _QUESTION)


def walk(given: Ints, state: Ints, steps: int, threshold_minor: int) -> None:
    """Takes so many steps; what costs up to `threshold_minor` more is kept too."""
    compiled().walk(given, state, steps, threshold_minor, asking())


def trade(given: Ints, state: Ints, mood: Ints) -> None:
    """Exchanges units as `mood` says (`exchange.FIRST` and after); what holds may be the best."""
    compiled().trade(given, state, mood, asking())


def lay(given: Ints, state: Ints, cases: Ints, options: Ints, lines: Ints) -> None:
    """Spreads units (by line) over unused cases, each by an option, even beyond their weight."""
    compiled().lay(given, state, cases, options, lines, asking())


def construct(given: Ints, state: Ints, more: Ints) -> None:
    """Packs so many more units of each line; what finds no case stays at home, or is short."""
    compiled().construct(given, state, more, asking())


def empty(given: Ints, state: Ints) -> None:
    """Makes a new state ready: priced with nothing packed, in a step of its own."""
    compiled().empty(given, state)


def load(given: Ints, state: Ints, case: int, option: int, lines: Ints) -> None:
    """Puts units (by line) in an empty case that travels by an option, unasked."""
    compiled().load(given, state, case, option, lines)


def stand(given: Ints, state: Ints) -> None:
    """Makes the packing as it stands the start of a walk and its best."""
    compiled().stand(given, state)


def _walk(given: Ints, state: Ints, steps: int, threshold_minor: int, ask: Ask) -> None:
    mood = np.zeros(7, dtype=np.int64)
    totals = state[TOTALS]
    for _ in range(steps):
        begin(state)
        _feel(state, mood)
        pool = wish(given, state, ruin(given, state))
        recreate(given, state, pool, mood, ask)
        if not _settle(given, state):
            take_back(state)
            continue
        cost = total_minor(given, state)
        if cost > state[totals + CURRENT] + threshold_minor:
            take_back(state)
            continue
        state[totals + CURRENT] = cost
        if cost < state[totals + BEST]:
            keep_best(state)


@jit
def _feel(state: Ints, mood: Ints) -> None:
    """How this step packs."""
    mood[SKIP] = 50 if dice(state, 100) < 70 else 350
    share = dice(state, 100)
    mood[DROP] = 0 if share < 60 else (150 if share < 85 else 500)
    mood[GROW] = 400
    mood[OPEN] = 500
    noise = dice(state, 4)
    mood[NOISE] = 0 if noise == 0 else (100 if noise == 1 else (400 if noise == 2 else 1_000))
    fancy = dice(state, 100)
    mood[CASE_NOISE] = 0 if fancy < 50 else (500 if fancy < 80 else 20_000)
    mood[RANK] = SAVING if dice(state, 100) < 35 else LARGE


@jit
def _settle(given: Ints, state: Ints) -> bool:
    """Touched cases travel by their cheapest option; False if none takes one, or a role breaks."""
    for k in range(state[state[TOTALS] + COUNT_TOUCHED]):
        case = read(state, TOUCHED, k, 0)
        if read(state, SUMS, case, OPTION) >= 0 and not tighten(given, state, case):
            return False
    return roles_hold(given, state)


def _empty(given: Ints, state: Ints) -> None:
    price_empty(given, state)
    begin(state)


def _load(given: Ints, state: Ints, case: int, option: int, lines: Ints) -> None:
    touch(state, case)
    open_by(given, state, case, option)
    for line in lines:
        put(given, state, case, line)
        book(given, state, line, 1)


def _stand(given: Ints, state: Ints) -> None:
    state[state[TOTALS] + CURRENT] = total_minor(given, state)
    keep_best(state)


def _construct(given: Ints, state: Ints, more: Ints, ask: Ask) -> None:
    pool: Any = np.int64(0)  # a plain 0 would be compiled for twice
    for line in range(more.shape[0]):
        if read(given, LINES, line, BUNDLE) < 0:
            for _ in range(more[line]):
                pool = into_pool(state, pool, line, -1)
    for bundle in range(rows(given, BUNDLE_FROM) - 1):
        units = 0
        for k in range(
            read(given, BUNDLE_FROM, bundle, 0), read(given, BUNDLE_FROM, bundle + 1, 0)
        ):
            line = read(given, BUNDLES, k, 0)
            state[state[BUNDLE_UNITS] + line] = more[line]
            units += more[line]
        if units:
            pool = into_pool(state, pool, -1, bundle)
    mood = np.zeros(7, dtype=np.int64)
    mood[OPEN] = 1_000
    mood[RANK] = HARD
    recreate(given, state, pool, mood, ask)
    _settle(given, state)
