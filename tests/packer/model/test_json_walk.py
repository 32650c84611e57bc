"""Walking JSON: values are checked, and every error carries the path that led to it."""

from __future__ import annotations

import pytest

from packer.model.json_walk import Walker, WalkError, parse, shown


def test_path_grows_with_each_step() -> None:
    """Keys with a point between them, list places in brackets."""
    walker = Walker({"a": [{"b": 3}]})
    (item,) = walker.items("a")
    assert (item.at("b").path, item.at("b").whole()) == ("a[0].b", 3)


def test_absent_list_is_empty_and_null_counts_as_absent() -> None:
    """A hand-made file may leave lists out, or write null."""
    assert Walker({"a": None}).items("a") == ()
    assert not Walker({"a": None}).has("a")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('{"a": 1, "a": 2}', "stands twice"),
        ("{", "not JSON"),
        ("[" * 50_000, "not JSON"),
        ('{"a": ' + "9" * 5000 + "}", "not JSON"),
    ],
)
def test_text_that_is_no_good_json(text: str, expected: str) -> None:
    """Repeated keys, broken text, endless nesting and absurd numbers are named, not met as bugs."""
    with pytest.raises(WalkError, match=expected):
        parse(text)


@pytest.mark.parametrize("value", [1.0, "1", True, None, -1, 10**15 + 1])
def test_whole_takes_only_whole_numbers_in_range(value: object) -> None:
    """No floats, no text, no yes or no, nothing below the least and nothing absurd."""
    with pytest.raises(WalkError, match="expected a whole number"):
        Walker(value, "x").whole()


@pytest.mark.parametrize("value", [float("inf"), float("nan"), -0.5, "1", False])
def test_number_takes_only_finite_ones(value: object) -> None:
    """JSON readers accept NaN and Infinity; a plan does not."""
    with pytest.raises(WalkError):
        Walker(value, "x").number()


def test_long_values_are_shortened_in_sentences() -> None:
    """A sentence stays a sentence."""
    assert len(shown("x" * 500)) == 60
    assert (shown({"a": 1}), shown([1, 2])) == ("an object", "a list of 2")
