"""Writing files whole or not at all, one or many together.

Every file is first written beside its place under a temporary name and flushed to the disk;
only when all of them are complete are they renamed, and if one rename fails, those already
renamed are put back. What stood there before is never half overwritten.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path

_FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))


class PapersError(Exception):
    """A paper could not be written; the message is one sentence for the user."""


def write_whole(contents: Mapping[Path, bytes]) -> None:
    """Write all files, or none: on failure every file is as it was, and PapersError says why."""
    staged: dict[Path, Path] = {}
    try:
        for path, data in contents.items():
            staged[path] = _stage(path, data)
        _replace_all(staged)
    finally:
        _remove(staged.values())


def _stage(path: Path, data: bytes) -> Path:
    temporary = _beside(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        _remove([temporary])
        raise PapersError(_sentence(path, error)) from error
    return temporary


def _replace_all(staged: Mapping[Path, Path]) -> None:
    kept: dict[Path, Path | None] = {}
    current = Path()
    try:
        for path in staged:
            current = path
            kept[path] = _keep(path)
        for path, temporary in staged.items():
            current = path
            os.replace(temporary, path)
    except OSError as error:
        _put_back(kept, staged)
        raise PapersError(_sentence(current, error)) from error
    finally:
        _remove([copy for copy in kept.values() if copy])


def _keep(path: Path) -> Path | None:
    """A second name (or a copy) of the file that stands there now, to put back if need be."""
    if not path.exists():
        return None
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, "is a folder", str(path))
    copy = _beside(path)
    try:
        os.link(path, copy)
    except OSError:
        shutil.copy2(path, copy)
    return copy


def _put_back(kept: Mapping[Path, Path | None], staged: Mapping[Path, Path]) -> None:
    for path, copy in kept.items():
        if staged[path].exists():
            continue  # this one was never replaced
        with contextlib.suppress(OSError):
            if copy is None:
                path.unlink(missing_ok=True)
            else:
                os.replace(copy, path)


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")


def _remove(paths: Iterable[Path]) -> None:
    for path in tuple(paths):
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)


def _sentence(path: Path, error: OSError) -> str:
    if error.errno in _FULL:
        reason = "the disk is full; free some space and try again"
    elif error.errno == errno.EROFS:
        reason = "the disk is read-only; choose another folder"
    elif isinstance(error, PermissionError):
        reason = "it is open in another program or you may not write there; close it and try again"
    elif isinstance(error, IsADirectoryError):
        reason = "a folder of that name stands in its place; rename the folder and try again"
    else:
        reason = error.strerror or str(error)
    return f"{path.name} could not be written to {path.parent}: {reason}. Nothing was changed."
