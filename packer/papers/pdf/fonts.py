"""The fonts that ship with the papers, and which of them has a given letter.

Every file is loaded at its first use. A letter that no font has is None: whoever prints it says
so (`typeset.spelled_out`), it never becomes an empty box.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import uharfbuzz
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FOLDER = Path(__file__).resolve().parent.parent / "fonts"

LOADING = threading.RLock()  # fonts and their tables are shared by all threads

_MAIN, _MAIN_BOLD = "NotoSans-Regular", "NotoSans-Bold"
_BROAD = (
    "DroidSansFallbackFull",  # Chinese and Japanese
    "NanumSquareR",  # Korean
    "NotoSansSymbols-Regular",
    "NotoSansSymbols2-Regular",
)

# Unicode blocks (Unicode Standard, Blocks.txt) and the font that has them.
_SCRIPTS: tuple[tuple[int, int, str], ...] = (
    (0x0530, 0x058F, "Armenian"),
    (0x0590, 0x05FF, "Hebrew"),
    (0x0600, 0x06FF, "Arabic"),
    (0x0750, 0x077F, "Arabic"),
    (0x08A0, 0x08FF, "Arabic"),
    (0x0900, 0x097F, "Devanagari"),
    (0x0980, 0x09FF, "Bengali"),
    (0x0A00, 0x0A7F, "Gurmukhi"),
    (0x0A80, 0x0AFF, "Gujarati"),
    (0x0B80, 0x0BFF, "Tamil"),
    (0x0C00, 0x0C7F, "Telugu"),
    (0x0C80, 0x0CFF, "Kannada"),
    (0x0D00, 0x0D7F, "Malayalam"),
    (0x0D80, 0x0DFF, "Sinhala"),
    (0x0E00, 0x0E7F, "Thai"),
    (0x0E80, 0x0EFF, "Lao"),
    (0x1000, 0x109F, "Myanmar"),
    (0x10A0, 0x10FF, "Georgian"),
    (0x1200, 0x139F, "Ethiopic"),
    (0x1780, 0x17FF, "Khmer"),
    (0x1C90, 0x1CBF, "Georgian"),
    (0x2D00, 0x2D2F, "Georgian"),
    (0x2D80, 0x2DDF, "Ethiopic"),
    (0xAA60, 0xAA7F, "Myanmar"),
    (0xA8E0, 0xA8FF, "Devanagari"),
    (0xFB13, 0xFB17, "Armenian"),
    (0xFB1D, 0xFB4F, "Hebrew"),
    (0xFB50, 0xFDFF, "Arabic"),
    (0xFE70, 0xFEFE, "Arabic"),
)
_UNSHAPED = frozenset({_MAIN, _MAIN_BOLD, *_BROAD})


@dataclass(frozen=True, slots=True)
class Face:
    """A loaded font. `shaped` says that its letters change with their neighbours."""

    name: str
    shaped: bool
    font: Any  # reportlab's TTFont
    shaper: Any  # uharfbuzz.Font, None where letters stand by themselves

    def has(self, letter: str) -> bool:
        """True where the font has a shape for the letter."""
        return ord(letter) in self.font.face.charToGlyph

    def width(self, text: str) -> float:
        """Width of letters that stand by themselves, in thousandths of the size."""
        widths, default = self.font.face.charWidths, self.font.face.defaultWidth
        return float(sum(widths.get(ord(letter), default) for letter in text))


def face(name: str) -> Face:
    """The font of this file name, loaded once and known to the PDF library."""
    with LOADING:
        return _loaded(name)


@cache
def _loaded(name: str) -> Face:
    font = TTFont(f"Papers-{name}", str(FOLDER / f"{name}.ttf"), shapable=False)
    pdfmetrics.registerFont(font)
    if name in _UNSHAPED:
        return Face(name, False, font, None)
    blob = uharfbuzz.Blob.from_file_path(str(FOLDER / f"{name}.ttf"))
    return Face(name, True, font, uharfbuzz.Font(uharfbuzz.Face(blob)))


@cache
def face_for(letter: str, bold: bool = False) -> Face | None:
    """The first font that has the letter; None where none has."""
    faces = (face(name) for name in _candidates(letter, bold))
    return next((font for font in faces if font.has(letter)), None)


def _candidates(letter: str, bold: bool) -> tuple[str, ...]:
    code = ord(letter)
    script = next((name for low, high, name in _SCRIPTS if low <= code <= high), None)
    own = (f"NotoSans{script}-Regular",) if script else ()
    return ((_MAIN_BOLD if bold else _MAIN), *own, *_BROAD)
