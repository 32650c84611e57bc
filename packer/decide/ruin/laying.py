"""Laying units over cases that are given, even where they are too heavy for them. Compiled.

The class model says how many cases of a bay travel how, and what travels in all of them together.
Here that is spread: each unit goes where it leaves the case least full. What is too much after
that is for `packer.decide.ruin.exchange` to mend; places are never overfilled.
"""

from __future__ import annotations

import numpy as np

from packer.decide.ruin.exchange import MILLION, come_in
from packer.decide.ruin.money import book
from packer.decide.ruin.places import SOFT_SHARE, Ask, places_hold
from packer.decide.ruin.state import (
    CONTENT_G,
    OPTION,
    SUM_COLUMNS,
    SUM_HALVES,
    SUM_OWN,
    SUM_SOFT,
    SUMS,
    UNITS,
    close,
    open_by,
    take,
    touch,
)
from packer.decide.ruin.tables import (
    BOX_KIND,
    BUNDLE,
    CASES,
    HALVES,
    HOMES,
    KIND,
    LINES,
    OPTIONS,
    OWN,
    RACK_HALVES,
    RACK_KIND,
    SLOTS,
    SOFT,
    TARE,
    UPTO,
    VOLUME,
    WEIGHT,
    read,
)
from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints


def lay_steps(given: Ints, state: Ints, cases: Ints, options: Ints, lines: Ints, ask: Ask) -> None:
    """Spreads units, by line and in this order, over unused cases, each by an option (a row of
    OPTIONS); units of a bundle stay together; what finds no place stays at home."""
    for k in range(cases.shape[0]):
        touch(state, cases[k])
        open_by(given, state, cases[k], options[k])
    first = 0
    while first < lines.shape[0]:
        bundle = read(given, LINES, lines[first], BUNDLE)
        last = first + 1
        while bundle >= 0 and last < lines.shape[0]:
            if read(given, LINES, lines[last], BUNDLE) != bundle:
                break
            last += 1
        _spread(given, state, cases, lines[first:last], ask)
        first = last
    for case in cases:
        if read(state, SUMS, case, UNITS) == 0:
            close(given, state, case)


@jit
def _spread(given: Ints, state: Ints, cases: Ints, lines: Ints, ask: Ask) -> None:
    """Puts units together in the case that they leave least full, if any has places for them."""
    tried = np.zeros(cases.shape[0], dtype=np.int64)
    for _ in range(cases.shape[0]):
        best = np.int64(-1)
        least = np.int64(0)
        for k in range(cases.shape[0]):
            if tried[k] or not read(given, HOMES, lines[0], cases[k]):
                continue
            full = _fullness(given, state, cases[k], lines)
            if best < 0 or full < least:
                best, least = np.int64(k), np.int64(full)
        if best < 0:
            return
        tried[best] = 1
        if _settle_in(given, state, cases[best], lines, ask):
            return


@jit
def _settle_in(given: Ints, state: Ints, case: int, lines: Ints, ask: Ask) -> bool:
    """Puts units in a case if route, roles and places allow it; weight is not asked for."""
    before = read(state, SUMS, case, UNITS)
    for line in lines:
        book(given, state, line, 1)
    holds = True
    for line in lines:
        holds = holds and come_in(given, state, case, line)
    if holds and places_hold(given, state, case, -1, ask):
        return True
    while read(state, SUMS, case, UNITS) > before:
        take(given, state, case, read(state, SUMS, case, UNITS) - 1)
    for line in lines:
        book(given, state, line, -1)
    return False


@jit
def _fullness(given: Ints, state: Ints, case: int, lines: Ints) -> int:
    """How full a case is with some units more, in millionths, by what is fullest."""
    sums = state[SUMS] + case * SUM_COLUMNS
    spec = given[CASES] + case * given[CASES + 1]
    room = read(given, OPTIONS, state[sums + OPTION], UPTO) - given[spec + TARE]
    weight, halves = state[sums + CONTENT_G], state[sums + SUM_HALVES]
    filled = 100 * state[sums + SUM_SOFT] + SOFT_SHARE * state[sums + SUM_OWN]
    for line in lines:
        unit = given[LINES] + line * given[LINES + 1]
        weight += given[unit + WEIGHT]
        halves += given[unit + HALVES]
        filled += 100 * given[unit + SOFT] + SOFT_SHARE * given[unit + OWN]
    full = weight * MILLION // max(1, room)
    kind = given[spec + KIND]
    if kind == RACK_KIND:
        return int(max(full, halves * MILLION // max(1, given[spec + RACK_HALVES])))
    if kind != BOX_KIND:
        units = state[sums + UNITS] + lines.shape[0]
        return int(max(full, units * MILLION // max(1, given[spec + SLOTS])))
    return int(max(full, filled // max(1, SOFT_SHARE * given[spec + VOLUME] // MILLION)))
