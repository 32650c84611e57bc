"""The linear solver as a program of its own, which can be ended at any time.

In: lines of two file names, a task to read and an answer to write (both pickled; only
`packer.decide.linear` starts this program). Out: a line for each answer written.
"""

from __future__ import annotations

import pickle
import sys
from pathlib import Path
from typing import Any

from scipy.optimize import linprog


def solve(task: dict[str, Any]) -> dict[str, Any]:
    """Minimises; the answer has `solved`, and if so `x`, `loose`, `tight` (duals), `nit`."""
    found = linprog(**task)
    if found.status != 0:
        return {"solved": False}
    return {
        "solved": True,
        "x": found.x,
        "loose": found.ineqlin.marginals,
        "tight": found.eqlin.marginals,
        "nit": int(found.nit),
    }


def serve() -> None:
    """Answers until there is nothing more to read."""
    for line in sys.stdin:
        source, target = line.rstrip("\n").split("\t")
        answer = solve(pickle.loads(Path(source).read_bytes()))
        Path(target).write_bytes(pickle.dumps(answer))
        print("done", flush=True)


if __name__ == "__main__":
    serve()
