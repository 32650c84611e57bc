"""Text of any script: a font for every letter, measured, wrapped, never an empty box."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packer.papers.pdf.fonts import FOLDER, face_for
from packer.papers.pdf.typeset import (
    glyph_runs,
    measure,
    shortened,
    spelled_out,
    unprintable,
    wrapped,
)

SAMPLES = {
    "Latin": "Flügelhorn Łódź Việt Nam Ğ ß",
    "Greek": "Ελληνικά",
    "Cyrillic": "Ђорђе Ёлка Ґ",
    "Hebrew": "מגבר שָׁלוֹם",
    "Arabic": "لابتوب پژوهش",
    "Devanagari": "हिन्दी क्ष",
    "Bengali": "বাংলা",
    "Tamil": "தமிழ்",
    "Telugu": "తెలుగు",
    "Kannada": "ಕನ್ನಡ",
    "Malayalam": "മലയാളം",
    "Gujarati": "ગુજરાતી",
    "Gurmukhi": "ਪੰਜਾਬੀ",
    "Sinhala": "සිංහල",
    "Thai": "ที่นี่ ผู้",
    "Lao": "ລາວ",
    "Khmer": "ខ្មែរ",
    "Myanmar": "မြန်မာ",
    "Georgian": "ქართული",
    "Armenian": "Հայերեն",
    "Ethiopic": "አማርኛ",
    "Chinese": "笔记本 繁體",
    "Japanese": "楽器 カタカナ ひらがな",
    "Korean": "한국어 악기",
}


@pytest.mark.parametrize("script", SAMPLES)
def test_every_letter_of_the_script_has_a_font(script):
    """Nothing is spelled out as a code point."""
    assert unprintable(SAMPLES[script]) == ()
    assert measure(SAMPLES[script], 10) > 0


@pytest.mark.parametrize("script", SAMPLES)
def test_no_glyph_is_the_empty_box(script):
    """Glyph 0 of a font is what it draws for letters that it lacks."""
    for run in glyph_runs(SAMPLES[script]):
        table = run.face.font.face.charToGlyph
        letters = run.text or "".join(glyph.letter for glyph in run.glyphs)
        assert all(table.get(ord(letter), 0) > 0 for letter in letters)


def test_arabic_letters_join_and_thai_marks_stand_above():
    """Shaped: other glyphs than the letters alone; a mark is set without its own advance."""
    (run,) = glyph_runs("لا")
    assert len(run.glyphs) == 1  # lam and alef are one glyph
    (thai,) = glyph_runs("ที่")
    assert [round(glyph.y) for glyph in thai.glyphs[1:]] != []
    assert thai.width < 1000


def test_a_letter_without_a_font_is_spelled_out_and_reported():
    """A trumpet picture is in no font here."""
    assert spelled_out("Horn 🎺") == "Horn [U+1F3BA]"
    assert unprintable("Horn 🎺") == ("🎺",)
    assert face_for("🎺") is None


def test_wrapping_keeps_every_letter_within_the_width():
    """Also a word longer than the line."""
    text = "Synthesiser with a " + "very" * 20 + " long word"
    lines = wrapped(text, 30, 3)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(measure(line, 3) <= 30 for line in lines)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_any_text_can_be_set(text):
    """Whatever a user writes is measured and shortened without a fault."""
    assert measure(text, 3) >= 0
    assert measure(shortened(text, 20, 3), 3) <= 20 or len(shortened(text, 20, 3)) <= 1


def test_the_licences_of_the_fonts_stand_beside_them():
    """OFL 1.1 and Apache 2.0 ask for that."""
    names = {path.name for path in FOLDER.iterdir()}
    assert {
        "LICENCE-NotoSans-OFL-1.1.txt",
        "LICENCE-NanumSquare-OFL-1.1.txt",
        "LICENCE-DroidSansFallback-Apache-2.0.txt",
    } <= names
    assert sum(path.stat().st_size for path in FOLDER.iterdir()) < 12_000_000
