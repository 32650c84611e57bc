"""The one function through which text passes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.papers.text import CELL_LIMIT, csv_safe, safe_text, sheet_name


@given(st.text())
def test_no_forbidden_character_comes_out(text):
    """XML 1.0 allows tab, line feed, carriage return and from U+0020 on, no lone surrogates."""
    out = safe_text(text)
    assert all(ch in "\t\n\r" or ord(ch) >= 0x20 for ch in out)
    assert len(out) <= CELL_LIMIT
    out.encode()


def test_long_text_is_cut_with_a_mark():
    """A cell holds 32,767 characters."""
    assert len(safe_text("x" * 40_000)) == CELL_LIMIT
    assert safe_text("x" * 40_000).endswith("…")


@pytest.mark.parametrize("text", ["=1+1", "+49 30", "-5", "@here", "\tx"])
def test_a_csv_cell_never_begins_like_a_formula(text):
    """OWASP, CSV injection: a leading apostrophe."""
    assert csv_safe(text).startswith("'")


def test_sheet_names_are_accepted_and_distinct():
    """At most 31 characters, none of []:*?/\\, not `History`, no two alike whatever the case."""
    taken = set()
    names = [
        sheet_name(wanted, taken)
        for wanted in ["a/b", "A/B", "History", "", "x" * 40, "x" * 40, "'quoted'"]
    ]
    assert names[:3] == ["a-b", "A-B (2)", "History."]
    assert len({name.casefold() for name in names}) == len(names)
    assert all(1 <= len(name) <= 31 for name in names)
