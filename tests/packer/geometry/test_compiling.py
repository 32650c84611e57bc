"""Compiled code on disk: loaded where it stands, made anew where it or what it calls changed."""

import importlib.util
import os
import time

import numpy as np
import pytest
from numba import types

from packer.geometry.compiling import cache_folder
from packer.geometry.parts import Kernel

CODE = """
from packer.geometry.compiling import jit, jit_as

STEP = {step}

@jit
def part(value: int, by: int) -> int:
    return value + by * STEP

@jit
def whole(values, by: int) -> int:
    total = 0
    for value in values:
        total += part(value, 1) + part(value, 2) + part(value, by)
    return total

@jit
def share(value: int, by: int) -> int:
    return value // by

@jit
def shares(values, by: int) -> int:
    return share(values[0], by) + share(values[1], by)
"""


def _module(path, step=1, name="kernels_for_a_test"):
    cache_folder.cache_clear()
    path.write_text(CODE.format(step=step))
    spec = importlib.util.spec_from_file_location(name, path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def path(tmp_path):
    """Where a module with kernels stands, in a folder of its own."""
    yield tmp_path / "kernels.py"
    cache_folder.cache_clear()


def test_compiled_code_does_what_python_does(path):
    """1 + 2 + 3 by 1, 2 and 5: what Python says of the same functions."""
    module = _module(path)
    values = np.array([1, 2, 3])
    by_hand = sum(v + 1 + v + 2 + v + 5 for v in (1, 2, 3))
    assert module.whole(values, 5) == by_hand
    assert module.part(2, 3) == 5


def test_a_part_is_compiled_once_whatever_constants_it_is_given(path):
    """numba alone would compile it for 1, for 2 and for any figure."""
    module = _module(path)
    module.whole(np.array([1]), 5)
    assert list(module.part._part.overloads) == [(types.int64, types.int64)]


def test_only_what_python_calls_becomes_machine_code(path):
    """Python never called the part by itself."""
    module = _module(path)
    module.whole(np.array([1]), 5)
    assert len(module.whole.overloads) == 1
    assert not module.part.overloads


def test_it_is_loaded_the_next_time(path):
    """The second reading of the same file compiles nothing."""
    first = _module(path)
    first.whole(np.array([1]), 5)
    assert not first.whole._cache_hits
    again = _module(path)
    again.whole(np.array([1]), 5)
    assert sum(again.whole._cache_hits.values()) == 1
    assert not again.part._part.overloads


def test_a_changed_part_makes_its_callers_anew(path):
    """numba alone would go on with the old one, where it stands in another file."""
    assert _module(path, step=1).whole(np.array([0]), 5) == 8
    assert _module(path, step=10).whole(np.array([0]), 5) == 80


def test_code_in_use_is_kept_however_old(path):
    """What was not written to for days goes only if it is of other code."""
    module = _module(path)
    module.whole(np.array([1]), 5)
    folder = cache_folder(path.parent)
    other = folder.with_name("kernels-0123456789abcdef")
    other.mkdir()
    long_ago = time.time() - 10 * 24 * 3600
    for each in (folder, other):
        os.utime(each, (long_ago, long_ago))
    cache_folder.cache_clear()
    assert cache_folder(path.parent) == folder
    assert folder.exists()
    assert not other.exists()


def test_an_error_in_a_part_is_raised(path):
    """Compiled now or loaded: division by nothing is told, and the next call is right."""
    for _ in range(2):
        module = _module(path)
        with pytest.raises(ZeroDivisionError):
            module.shares(np.array([6, 8]), 0)
        assert module.shares(np.array([6, 8]), 2) == 7


def test_settings_of_the_compiler_stay_as_they_were(path):
    """Others in the same process compile as before."""
    import gc

    import numba

    before = (numba.config.OPT, numba.config.LOOP_VECTORIZE, gc.isenabled())
    _module(path).whole(np.array([1]), 5)
    assert (numba.config.OPT, numba.config.LOOP_VECTORIZE, gc.isenabled()) == before


def test_kernels_are_numbas_own_dispatchers(path):
    """So that they may be handed to compiled code as an argument."""
    module = _module(path)
    assert isinstance(module.whole, Kernel)
    assert module.whole.py_func(np.array([1]), 5) == module.whole(np.array([1]), 5)
