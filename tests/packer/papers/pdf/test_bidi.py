"""The order of letters on paper, in the notation of UAX #9: capitals read from the right."""

import pytest

from packer.papers.pdf.bidi import is_right_to_left, levels, visual_order

_HEBREW = {chr(ord("A") + i): chr(0x05D0 + i) for i in range(26)}
_BACK = {v: k for k, v in _HEBREW.items()}


def shown(logical):
    """How a logical string stands on the page, in the same notation."""
    text = "".join(_HEBREW.get(ch, ch) for ch in logical)
    return "".join(_BACK.get(text[i], text[i]) for i in visual_order(levels(text)))


@pytest.mark.parametrize(
    ("logical", "visual"),
    [
        ("car", "car"),
        ("car means CAR.", "car means RAC."),  # UAX #9, the example of 3.4 without embeddings
        ("ABC", "CBA"),
        ("ABC abc", "abc CBA"),
        ("AB 12 CD", "DC 12 BA"),
        ("AB 1.5 kg", "kg 1.5 BA"),
        ("abc ABC DEF abc", "abc FED CBA abc"),
    ],
)
def test_letters_stand_in_their_order(logical, visual):
    """Rules P2, W2 to W7 in short, N1, N2, L2."""
    assert shown(logical) == visual


def test_the_first_strong_letter_sets_the_line():
    """Digits and signs are not strong."""
    assert is_right_to_left("12 \u05d0 a")
    assert not is_right_to_left("12 a \u05d0")
    assert not is_right_to_left("")
