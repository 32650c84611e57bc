"""Compiling on two processors: a child process compiles for the cache on disk what we load later.

Only for what was never compiled on this machine; a mark in the cache's folder says what was. A
child that cannot start, fails or hangs changes nothing: what is not in the cache is compiled here.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from packer.geometry.compiling import cache_folder
from packer.geometry.parts import processor

LONGEST_S = 120.0  # a child is waited for; many times what it takes


def is_compiled(source: Path) -> bool:
    """Whether all kernels of a source folder were once compiled for this processor, and kept."""
    mark = _mark(source)
    return mark is not None and mark.exists()


def note_compiled(source: Path) -> None:
    """Say so from now on; where nothing is kept, nothing is said."""
    mark = _mark(source)
    if mark is None:
        return
    try:
        mark.touch()
    except OSError:
        return


@contextmanager
def compiling_beside(work: Callable[[], None]) -> Iterator[None]:
    """`work`, a function of a module without arguments, runs in a process of its own meanwhile."""
    child = _started(work) if _processors() > 1 else None
    try:
        yield
        if child is not None:
            child.wait(LONGEST_S)
    except subprocess.TimeoutExpired:
        pass
    finally:
        if child is not None and child.poll() is None:
            child.kill()
            child.wait()


def _mark(source: Path) -> Path | None:
    folder = cache_folder(source)
    if folder is None or not folder.exists():
        return None
    return folder / f"whole-{hashlib.sha256(processor().encode()).hexdigest()[:16]}"


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _started(work: Callable[[], None]) -> subprocess.Popen[bytes] | None:
    """Python once more, with the same modules in reach."""
    call = (
        f"import sys; sys.path[:] = {sys.path!r}; "
        f"from {work.__module__} import {work.__name__}; {work.__name__}()"
    )
    quiet = subprocess.DEVNULL
    try:
        return subprocess.Popen(
            [sys.executable, "-c", call], stdin=quiet, stdout=quiet, stderr=quiet
        )
    except OSError:
        return None
