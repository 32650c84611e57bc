"""Does this small set of boxes fit this case: exactly, by a search over who is beside whom.

Boxes are taken one by one, each in each turn, as near the origin as what was decided so far lets
it be. Where two of them overlap there, one must lie before the other on some axis: each way is
tried, and pushes the other along. Sources: Martello, Pisinger, Vigo, den Boef & Korst 2007,
"Algorithm 864: General and robot-packable variants of the three-dimensional bin packing problem";
the pair to part is the one with the fewest ways left (first-fail: Haralick & Elliott 1980).

In: the inside size, the turned sizes of each box, a limit of nodes. Out: yes with the corners, no
with proof, or neither at the limit. Fragile boxes are taken for plain ones here.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints

Table = NDArray[np.int64]

YES, NO, UNKNOWN = 1, 0, -1


class _Tree(NamedTuple):
    """The branch at hand, by depth: near corners, boxes placed, arcs known, ways tried, and the
    pair to part (-1: a box is to be placed). `size` by box; `arcs`: axis, box before, behind."""

    at: NDArray[np.int64]
    placed: Ints
    known: Ints
    tried: Ints
    pair: Table
    size: Table
    arcs: Table


@jit
def separate(inside: Ints, turned: Table, turns: Ints, most_nodes: int, corners: Table) -> int:
    """YES (then `corners[i]` are the near and the far corner of box i), NO or UNKNOWN.

    `turned[i, t]` is the size of box i in its turn t of `turns[i]`.
    """
    n = turns.shape[0]
    deepest = n + n * (n - 1) // 2 + 2
    tree = _Tree(
        np.zeros((deepest, n, 3), dtype=np.int64),
        np.zeros(deepest, dtype=np.int64),
        np.zeros(deepest, dtype=np.int64),
        np.zeros(deepest, dtype=np.int64),
        np.zeros((deepest, 2), dtype=np.int64),
        np.zeros((n, 3), dtype=np.int64),
        np.zeros((deepest, 3), dtype=np.int64),
    )
    depth = 0
    for _ in range(most_nodes):
        _find_pair(inside, tree, depth)
        if tree.pair[depth, 0] < 0 and tree.placed[depth] == n:
            for box in range(n):
                for axis in range(3):
                    corners[box, axis] = tree.at[depth, box, axis]
                    corners[box, 3 + axis] = tree.at[depth, box, axis] + tree.size[box, axis]
            return YES
        while not _go_on(inside, turned, turns, tree, depth):
            depth -= 1
            if depth < 0:
                return NO
        depth += 1
        tree.tried[depth] = 0
    return UNKNOWN


@jit
def _go_on(inside: Ints, turned: Table, turns: Ints, tree: _Tree, depth: int) -> bool:
    """Takes the next way that is not at once impossible; False if there is none left."""
    if tree.pair[depth, 0] < 0:
        return _place(turned, turns, tree, depth)
    while tree.tried[depth] < 6:
        way = tree.tried[depth]
        tree.tried[depth] += 1
        if _part(inside, tree, depth, way // 2, way % 2):
            return True
    return False


@jit
def _place(turned: Table, turns: Ints, tree: _Tree, depth: int) -> bool:
    """The next box, in its next turn, in the corner."""
    box = tree.placed[depth]
    turn = tree.tried[depth]
    if turn >= turns[box]:
        return False
    tree.tried[depth] += 1
    _deepen(tree, depth)
    for axis in range(3):
        tree.size[box, axis] = turned[box, turn, axis]
        tree.at[depth + 1, box, axis] = 0
    tree.placed[depth + 1] = box + 1
    tree.known[depth + 1] = tree.known[depth]
    return True


@jit
def _part(inside: Ints, tree: _Tree, depth: int, axis: int, swapped: int) -> bool:
    """One of the pair before the other; False if that leaves no room, or is a mirror image."""
    known = tree.known[depth]
    if swapped and not _has_arc(tree, known, axis):
        return False
    tree.arcs[known, 0] = axis
    tree.arcs[known, 1] = tree.pair[depth, swapped]
    tree.arcs[known, 2] = tree.pair[depth, 1 - swapped]
    _deepen(tree, depth)
    tree.placed[depth + 1] = tree.placed[depth]
    tree.known[depth + 1] = known + 1
    return _push(inside[axis], tree, depth + 1, axis)


@jit
def _deepen(tree: _Tree, depth: int) -> None:
    """The boxes one deeper stand where they stand here."""
    for box in range(tree.at.shape[1]):
        for axis in range(3):
            tree.at[depth + 1, box, axis] = tree.at[depth, box, axis]


@jit
def _has_arc(tree: _Tree, known: int, axis: int) -> bool:
    for k in range(known):  # noqa: SIM110 (compiles in a fraction of the time)
        if tree.arcs[k, 0] == axis:
            return True
    return False


@jit
def _push(room: int, tree: _Tree, depth: int, axis: int) -> bool:
    """Moves boxes behind those that lie before them; False if one leaves the room."""
    at, size = tree.at[depth], tree.size
    moved = True
    while moved:
        moved = False
        for k in range(tree.known[depth]):
            if tree.arcs[k, 0] == axis:
                before, behind = tree.arcs[k, 1], tree.arcs[k, 2]
                least = at[before, axis] + size[before, axis]
                if at[behind, axis] < least:
                    if least + size[behind, axis] > room:
                        return False
                    at[behind, axis] = least
                    moved = True
    return True


@jit
def _find_pair(inside: Ints, tree: _Tree, depth: int) -> None:
    """Of the pairs that overlap, the one with the fewest ways to part it; (-1, -1) if none."""
    at, size = tree.at[depth], tree.size
    tree.pair[depth, 0] = tree.pair[depth, 1] = -1
    fewest = 7
    for j in range(tree.placed[depth]):
        for i in range(j):
            ways = 0
            for a in range(3):
                if at[i, a] + size[i, a] <= at[j, a] or at[j, a] + size[j, a] <= at[i, a]:
                    ways = 7  # apart
                    break
                both = size[i, a] + size[j, a]
                ways += (at[i, a] + both <= inside[a]) + (at[j, a] + both <= inside[a])
            if ways < fewest:
                fewest = ways
                tree.pair[depth, 0], tree.pair[depth, 1] = i, j
