"""Writes a file whole or not at all: beside its place first, then moved there."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from pathlib import Path


def write_whole(path: Path, write: Callable[[Path], object]) -> Path:
    """Let `write` fill a new file, then move it to `path`; returns `path`.

    Raises what `write` raises, and OSError; then nothing is left behind and `path` is as before.
    """
    draft = path.parent / f".{secrets.token_hex(8)}.xlsx"
    try:
        write(draft)
        os.replace(draft, path)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    return path
