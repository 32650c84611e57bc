"""One way to compile: numba with a cache on disk that can never serve code of another day.

numba renews a cached function when its own file changes, not when a function it calls does. So
the cache stands in a folder named after the contents of every source file that holds kernels,
which may use nothing compiled or constant from other files. Takes a plain function, returns the
compiled one.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

from packer.geometry.parts import Kernel

Function = TypeVar("Function", bound=Callable[..., Any])

_HERE = Path(__file__).resolve().parent
_STALE_SECONDS = 2 * 24 * 3600


def jit(function: Function) -> Function:
    """Compile on first call, keep on disk. Integer arithmetic wraps; indices are not checked."""
    return _compiled(function)


def jit_as(function: Function, signature: Any) -> Function:
    """Compile at once for one numba signature, so that compiled code may take it as an argument.

    A function handed over stays a call: what calls it compiles without it, in a fraction of the
    time.
    """
    compiled: Any = _compiled(function)
    compiled.compile(signature)
    compiled.disable_compile()
    return cast(Function, compiled)


def _compiled(function: Function) -> Function:
    folder = cache_folder(Path(function.__code__.co_filename).resolve().parent)
    settings: Any = numba.config
    before = settings.CACHE_DIR
    if folder is not None:
        settings.CACHE_DIR = str(folder)
    try:
        compiled = Kernel(function)
        compiled.enable_caching()
    finally:
        settings.CACHE_DIR = before
    return cast(Function, compiled)


@cache
def cache_folder(source: Path) -> Path | None:
    """Where compiled code of the folder `source` is kept; None where nothing can be written."""
    base = source / "__pycache__"
    if not _writable(base):
        return None
    folder = base / f"kernels-{_digest({source, _HERE})}"
    _sweep(base, folder)
    return folder


def _writable(base: Path) -> bool:
    try:
        base.mkdir(exist_ok=True)
    except OSError:
        return False
    return os.access(base, os.W_OK)


def _digest(folders: set[Path]) -> str:
    """A name for what is compiled, and how: all files of the folders that speak of it."""
    files = sorted(path for folder in folders for path in folder.glob("*.py"))
    texts = (path.read_bytes() for path in files)
    whole = b"\0".join(text for text in texts if b"jit" in text)
    return hashlib.sha256(whole + numba.__version__.encode()).hexdigest()[:16]


def _sweep(base: Path, used: Path) -> None:
    """Forget caches of other code that nothing has written to for two days."""
    limit = time.time() - _STALE_SECONDS
    for folder in base.glob("kernels-*"):
        if folder != used and folder.stat().st_mtime < limit:
            shutil.rmtree(folder, ignore_errors=True)
