"""Linear programs solved in a process of its own: ended at once when time is over.

HiGHS does not look at the clock while it presolves or factorises, seconds on the largest trips,
and a thread of it cannot be ended. Smaller programs are solved here.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from packer.decide import linear_child

LARGE = 100_000  # figures in the matrix; below, a solve takes a tenth of a second at most
LOOK_S = 0.02  # between two looks at the clock

_START = """import runpy, sys
sys.path[:] = {path!r}
runpy.run_path({program!r}, run_name="__main__")
"""


class LinearSolver:
    """Solves one program after the other; `over` says when to give up."""

    def __init__(self, over: Callable[[], bool]) -> None:
        self._over = over
        self._child: subprocess.Popen[str] | None = None

    def solve(self, task: dict[str, Any]) -> dict[str, Any] | None:
        """The answer of `linear_child.solve` to a task for scipy's `linprog`; None if stopped."""
        size = sum(task[name].nnz for name in ("A_ub", "A_eq"))
        if size < LARGE or not self._started():
            return linear_child.solve(task)
        with tempfile.TemporaryDirectory(prefix="holdall-") as folder:
            source, target = Path(folder, "task"), Path(folder, "answer")
            source.write_bytes(pickle.dumps(task))
            if not self._asked(f"{source}\t{target}\n"):
                self.end()
                return None if self._over() else linear_child.solve(task)
            answer: dict[str, Any] = pickle.loads(target.read_bytes())
            return answer

    def end(self) -> None:
        """Ends the process, whatever it is doing."""
        if self._child is not None:
            self._child.kill()
            self._child.wait()
            self._child = None

    def _started(self) -> bool:
        if self._child is None:
            program = linear_child.__file__
            call = _START.format(path=sys.path, program=program)
            try:
                self._child = subprocess.Popen(
                    [sys.executable, "-c", call],
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                    text=True,
                )  # fmt: skip
            except OSError:
                return False
        return True

    def _asked(self, line: str) -> bool:
        """Hands a line over and waits; False where the process ended or time did."""
        child = self._child
        assert child is not None
        assert child.stdin is not None
        answered = threading.Event()
        told: list[str] = []

        def listen() -> None:
            assert child.stdout is not None
            told.append(child.stdout.readline())
            answered.set()

        try:
            child.stdin.write(line)
            child.stdin.flush()
        except OSError:
            return False
        threading.Thread(target=listen, name="holdall-listener", daemon=True).start()
        while not answered.wait(LOOK_S):
            if self._over():
                return False
        return told == ["done\n"]
