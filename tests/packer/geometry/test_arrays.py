"""Rows copied and sorted: numpy does the same."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.geometry.arrays import ascending, copy, copy_rows
from packer.geometry.spaces import as_ints


@pytest.fixture(scope="module", autouse=True)
def _compiled():
    """Before a test's time is taken."""
    ascending(as_ints([]))


@given(st.lists(st.integers(-3, 3), max_size=100))
def test_equal_keys_keep_their_order(keys):
    """Few values and many keys: numpy's stable sort gives the same positions."""
    found = ascending(as_ints(keys))
    assert found.tolist() == np.argsort(as_ints(keys), kind="stable").tolist()


@given(st.lists(st.integers(-(2**62), 2**62), max_size=300))
def test_large_keys_and_many_runs(keys):
    """Keys of any size, over several merges."""
    found = ascending(as_ints(keys))
    assert found.tolist() == np.argsort(as_ints(keys), kind="stable").tolist()


def test_the_keys_stay_as_they_are():
    """Only positions come back."""
    keys = as_ints([3, 1, 2])
    ascending(keys)
    assert keys.tolist() == [3, 1, 2]


def test_a_row_and_a_table_are_written_over_others():
    """All of them, and the source stays."""
    row, table = as_ints([5, 6]), as_ints([[1, 2], [3, 4], [5, 6]])
    to_row, to_table = np.zeros_like(row), np.zeros_like(table)
    copy(row, to_row)
    copy_rows(table, to_table)
    assert to_row.tolist() == [5, 6]
    assert to_table.tolist() == [[1, 2], [3, 4], [5, 6]]
