"""Numbers and money in words."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.papers.words import money_in_words, number_in_words

_VALUES = {
    word: value
    for value, word in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
}
_VALUES |= {
    word: 20 + 10 * i
    for i, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
    )
}
_SCALES = {"thousand": 10**3, "million": 10**6, "billion": 10**9, "trillion": 10**12}


def read_back(words):
    """The number that English words mean, by an independent reading from left to right."""
    total = part = 0
    for word in re.split(r"[ -]", words):
        if word in _VALUES:
            part += _VALUES[word]
        elif word == "hundred":
            part *= 100
        elif word in _SCALES:
            total, part = total + part * _SCALES[word], 0
        else:
            assert word == "and"
    return total + part


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "zero"),
        (7, "seven"),
        (21, "twenty-one"),
        (100, "one hundred"),
        (650, "six hundred and fifty"),
        (1234, "one thousand two hundred and thirty-four"),
        (1005, "one thousand and five"),
        (2_000_000, "two million"),
    ],
)
def test_numbers_in_words(number, words):
    """British usage with `and`; 7 and 650 are the totals of the worked list in standards."""
    assert number_in_words(number) == words


@given(st.integers(0, 10**15 - 1))
def test_words_read_back_as_the_number(number):
    """Whatever the number, its words mean it."""
    assert read_back(number_in_words(number)) == number


@pytest.mark.parametrize("number", [-1, 10**18])
def test_out_of_range_is_refused(number):
    """Nothing is written in wrong words."""
    with pytest.raises(ValueError, match="in words only"):
        number_in_words(number)


def test_money_in_words_keeps_the_minor_units_as_a_fraction():
    """EUR has hundredths, KWD thousandths, JPY none (ISO 4217)."""
    assert money_in_words(123_405, "EUR") == (
        "EUR one thousand two hundred and thirty-four and 05/100"
    )
    assert money_in_words(1001, "KWD") == "KWD one and 001/1000"
    assert money_in_words(12, "JPY") == "JPY twelve"
