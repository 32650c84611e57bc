"""One writer at a time: an advisory lock on a file beside the one it guards.

The lock goes with the process: a killed one leaves none behind. In: a path. Out: a context.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_PAUSE_SECONDS = 0.02


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock of `path` (a file of the same name with `.lock` after it); waits for it.

    OSError where the folder cannot be written.
    """
    handle = os.open(path.with_name(path.name + ".lock"), os.O_RDWR | os.O_CREAT, 0o644)
    try:
        _take(handle)
        yield
    finally:
        os.close(handle)  # closing gives the lock up


if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> None:
        while True:
            try:
                os.lseek(handle, 0, os.SEEK_SET)
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            except OSError:
                time.sleep(_PAUSE_SECONDS)
            else:
                return

else:
    import fcntl

    def _take(handle: int) -> None:
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX)
            except InterruptedError:
                time.sleep(_PAUSE_SECONDS)
            else:
                return
