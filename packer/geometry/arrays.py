"""What numpy says in one word, as loops: compiled in a tenth of the time, and no slower.

numba compiles a slice assignment or a sort of numpy's as hundreds of lines, down to the text of
error messages that cannot arise here. Arrays of 64-bit integers in, the like out.
"""

from __future__ import annotations

import numpy as np

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

_RUN = 16  # so many are sorted by insertion


@jit
def copy(source: Ints, target: Ints) -> None:
    """Write one row over another of the same length."""
    for k in range(source.shape[0]):
        target[k] = source[k]


@jit
def copy_rows(source: Ints, target: Ints) -> None:
    """Write one table over another of the same shape."""
    for row in range(source.shape[0]):
        for k in range(source.shape[1]):
            target[row, k] = source[row, k]


@jit
def ascending(keys: Ints) -> Ints:
    """The positions of `keys` from the smallest to the largest, equal ones in their order."""
    n = keys.shape[0]
    order = np.empty(n, dtype=np.int64)
    for first in range(0, n, _RUN):
        _insert_run(keys, order, first, min(first + _RUN, n))
    spare = np.empty(n, dtype=np.int64)
    width = _RUN
    while width < n:
        for first in range(0, n, 2 * width):
            _merge_runs(keys, order, spare, first, min(first + width, n), min(first + 2 * width, n))
        copy(spare, order)
        width *= 2
    return order


@jit
def _insert_run(keys: Ints, order: Ints, first: int, last: int) -> None:
    for k in range(first, last):
        at = k
        while at > first and keys[order[at - 1]] > keys[k]:
            order[at] = order[at - 1]
            at -= 1
        order[at] = k


@jit
def _merge_runs(keys: Ints, order: Ints, spare: Ints, first: int, middle: int, last: int) -> None:
    """Two sorted runs of `order` become one of `spare`."""
    left, right = first, middle
    for k in range(first, last):
        if right >= last or (left < middle and keys[order[left]] <= keys[order[right]]):
            spare[k] = order[left]
            left += 1
        else:
            spare[k] = order[right]
            right += 1
