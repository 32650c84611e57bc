"""Two processes compile: what the child did, that it may fail, and the mark of what is done."""

import importlib
import subprocess
import sys
from pathlib import Path

import pytest

from packer.geometry import beside
from packer.geometry.beside import compiling_beside, is_compiled, note_compiled
from packer.geometry.compiling import cache_folder

CHILD = """
import os, pathlib, time

def works():
    pathlib.Path({out!r}).write_text(str(os.getpid()))

def fails():
    raise SystemExit(3)

def hangs():
    time.sleep(60)
"""


@pytest.fixture
def child(tmp_path, monkeypatch):
    """A module of functions for a child to run."""
    (tmp_path / "work_for_a_child.py").write_text(CHILD.format(out=str(tmp_path / "out")))
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setattr(beside, "_processors", lambda: 2)
    work_for_a_child = importlib.import_module("work_for_a_child")

    yield work_for_a_child
    del sys.modules["work_for_a_child"]


def test_the_work_is_done_by_another_process(child, tmp_path):
    """And it has ended when the block has."""
    import os

    with compiling_beside(child.works):
        pass
    assert int((tmp_path / "out").read_text()) != os.getpid()


def test_one_processor_gets_no_child(child, tmp_path, monkeypatch):
    """Two would only take turns."""
    monkeypatch.setattr(beside, "_processors", lambda: 1)
    with compiling_beside(child.works):
        pass
    assert not (tmp_path / "out").exists()


def test_a_child_that_fails_changes_nothing(child):
    """What it did not do is done later by whoever needs it."""
    with compiling_beside(child.fails):
        done = True
    assert done


def test_a_child_that_hangs_is_ended(child, monkeypatch):
    """After the longest wait."""
    monkeypatch.setattr(beside, "LONGEST_S", 0.2)
    with compiling_beside(child.hangs):
        pass


def test_a_child_is_ended_when_we_are_interrupted(child, monkeypatch):
    """Ctrl-C while compiling leaves no process behind."""
    started = []
    popen = subprocess.Popen

    def keep(*args, **kwargs):
        started.append(popen(*args, **kwargs))
        return started[-1]

    monkeypatch.setattr(beside.subprocess, "Popen", keep)
    with pytest.raises(KeyboardInterrupt), compiling_beside(child.hangs):
        raise KeyboardInterrupt
    assert started[0].poll() is not None


def test_python_that_cannot_be_started_changes_nothing(child, monkeypatch):
    """As in a program with Python inside."""
    monkeypatch.setattr(beside.sys, "executable", "/nowhere/python")
    with compiling_beside(child.works):
        done = True
    assert done


def test_a_folder_is_compiled_once_it_was_noted(tmp_path):
    """The mark stands in the cache's folder: other code has another."""
    cache_folder.cache_clear()
    assert not is_compiled(tmp_path)
    cache_folder(tmp_path).mkdir(parents=True)
    note_compiled(tmp_path)
    assert is_compiled(tmp_path)
    cache_folder.cache_clear()


def test_where_nothing_is_kept_nothing_is_noted():
    """A folder that cannot be written to, as that of an installed program may be."""
    assert not is_compiled(Path("/proc"))
    note_compiled(Path("/proc"))
    assert not is_compiled(Path("/proc"))
