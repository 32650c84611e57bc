"""Files are written whole or not at all."""

import errno
import os

import pytest

from packer.papers import PapersError, write_whole
from packer.papers import files as module


def names(folder):
    """Everything that stands in a folder, temporary files too."""
    return sorted(path.name for path in folder.iterdir())


def test_files_appear_whole_and_nothing_else(tmp_path):
    """The folder is made, the files stand in it, no temporary file stays."""
    folder = tmp_path / "new"
    write_whole({folder / "a": b"1", folder / "b": b"22"})
    assert names(folder) == ["a", "b"]
    assert (folder / "b").read_bytes() == b"22"


def test_a_full_disk_is_reported_and_nothing_is_lost(tmp_path, monkeypatch):
    """ENOSPC while writing the second: the first keeps its old content."""
    (tmp_path / "a").write_bytes(b"old")
    real, calls = os.fsync, []

    def full(descriptor):
        calls.append(descriptor)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(descriptor)

    monkeypatch.setattr(module.os, "fsync", full)
    with pytest.raises(PapersError, match=r"b could not be written .* the disk is full"):
        write_whole({tmp_path / "a": b"new", tmp_path / "b": b"new"})
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == b"old"


def test_a_file_open_elsewhere_is_reported_and_all_are_put_back(tmp_path, monkeypatch):
    """The rename of the second is refused, as Windows does: the first gets its old content back."""
    (tmp_path / "a").write_bytes(b"old a")
    (tmp_path / "b").write_bytes(b"old b")
    real = os.replace

    def locked(source, target):
        if target == tmp_path / "b":
            raise PermissionError(errno.EACCES, "Permission denied")
        real(source, target)

    monkeypatch.setattr(module.os, "replace", locked)
    with pytest.raises(PapersError, match="open in another program"):
        write_whole({tmp_path / "a": b"new", tmp_path / "b": b"new", tmp_path / "c": b"new"})
    assert names(tmp_path) == ["a", "b"]
    assert (tmp_path / "a").read_bytes() == b"old a"
    assert (tmp_path / "b").read_bytes() == b"old b"


def test_a_folder_in_the_way_is_reported(tmp_path):
    """A folder named like the paper stays what it is."""
    (tmp_path / "a").mkdir()
    with pytest.raises(PapersError, match="a folder of that name"):
        write_whole({tmp_path / "a": b"new", tmp_path / "b": b"new"})
    assert names(tmp_path) == ["a"]


def test_a_file_where_the_folder_should_be_is_reported(tmp_path):
    """The message is a sentence, not a traceback."""
    (tmp_path / "place").write_bytes(b"")
    with pytest.raises(PapersError, match="Nothing was changed"):
        write_whole({tmp_path / "place" / "a": b"new"})
