"""A line of text as glyphs: one font a run, right order, letters joined and marks placed.

`measure` and `wrapped` are for layout, `glyph_runs` for drawing. All widths are in the unit of
`size`. A letter that no font has is spelled out as `[U+1F3BA]` and can be listed (`unprintable`).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import uharfbuzz

from packer.papers.pdf.bidi import levels, visual_order
from packer.papers.pdf.fonts import LOADING, Face, face, face_for
from packer.papers.text import safe_text

_IGNORED = frozenset("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\ufe0e\ufe0f\u061c")
_JOINERS = frozenset("\u200c\u200d")
_ELLIPSIS = "…"
_PRIVATE = 0xE000  # where the private area of Unicode begins


@dataclass(frozen=True, slots=True)
class Glyph:
    """One glyph of a run: the letter that stands for it in the font, where, in thousandths."""

    letter: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Run:
    """Glyphs of one font, left to right; `width` in thousandths of the size.

    `text` holds the letters where they stand by themselves and can be printed as a string.
    """

    face: Face
    text: str
    glyphs: tuple[Glyph, ...]
    width: float


def clean(text: str) -> str:
    """Text on one line, composed (NFC), control characters out."""
    return " ".join(unicodedata.normalize("NFC", safe_text(text)).split())


def unprintable(text: str) -> tuple[str, ...]:
    """The letters of a text that no font here has, each once."""
    letters = dict.fromkeys(clean(text))
    return tuple(ch for ch in letters if ch not in _IGNORED and face_for(ch) is None)


def spelled_out(text: str) -> str:
    """The text with every letter that no font has as its code point: '[U+1F3BA]'."""
    missing = set(unprintable(text))
    return "".join(f"[U+{ord(ch):04X}]" if ch in missing else ch for ch in clean(text))


@lru_cache(maxsize=20_000)
def glyph_runs(text: str, bold: bool = False) -> tuple[Run, ...]:
    """The runs of a line from left to right."""
    ready = spelled_out(text)
    if not ready:
        return ()
    level = levels(ready)
    faces = _faces(ready, bold)
    ordered = visual_order(level)
    parts = groupby(ordered, key=lambda i: (faces[i].name, level[i] % 2))
    return tuple(_run(ready, sorted(indexes), faces, odd) for (_, odd), indexes in parts)


@lru_cache(maxsize=50_000)
def measure(text: str, size: float, bold: bool = False) -> float:
    """The width of a line, in the unit of `size`."""
    return sum(run.width for run in glyph_runs(text, bold)) * size / 1000


def wrapped(text: str, width: float, size: float, bold: bool = False) -> tuple[str, ...]:
    """The text on as many lines as it needs; words longer than a line are broken."""
    lines: list[str] = []
    for word in clean(text).split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and measure(joined, size, bold) <= width:
            lines[-1] = joined
        else:
            lines.extend(_broken(word, width, size, bold))
    return tuple(lines) or ("",)


def shortened(text: str, width: float, size: float, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `width`."""
    line = clean(text)
    if measure(line, size, bold) <= width:
        return line
    low, high = 0, len(line)
    while low < high:
        middle = (low + high + 1) // 2
        fits = measure(line[:middle].rstrip() + _ELLIPSIS, size, bold) <= width
        low, high = (middle, high) if fits else (low, middle - 1)
    return line[:low].rstrip() + _ELLIPSIS


def fitting_size(text: str, width: float, largest: float, smallest: float, bold: bool) -> float:
    """The largest size at which the text fits the width, not below `smallest`."""
    natural = measure(text, 1.0, bold)
    return largest if natural * largest <= width else max(smallest, width / natural)


def _broken(word: str, width: float, size: float, bold: bool) -> list[str]:
    if measure(word, size, bold) <= width:
        return [word]
    parts, current = [], ""
    for letter in word:
        if current and measure(current + letter, size, bold) > width:
            parts.append(current)
            current = ""
        current += letter
    return [*parts, current]


def _faces(text: str, bold: bool) -> list[Face]:
    """A font for every letter; spaces and marks stay in the font of what stands before them."""
    found: list[Face] = []
    for letter in text:
        previous = found[-1] if found else None
        found.append(_face_of(letter, previous, bold))
    return found


def _face_of(letter: str, previous: Face | None, bold: bool) -> Face:
    stays = letter in _IGNORED or (unicodedata.combining(letter) or letter == " ")
    if previous and stays and (letter in _IGNORED or previous.has(letter)):
        return previous
    return face_for(letter, bold) or previous or face("NotoSans-Regular")


def _run(text: str, indexes: list[int], faces: list[Face], odd: int) -> Run:
    font = faces[indexes[0]]
    letters = "".join(text[i] for i in indexes)
    if font.shaped:
        return _shaped(font, letters, "rtl" if odd else "ltr")
    plain = "".join(ch for ch in letters if ch not in _IGNORED)
    visible = _mirrored(plain) if odd else plain
    return Run(font, visible, (), font.width(visible))


def _mirrored(text: str) -> str:
    return text[::-1].translate(_MIRROR)


_MIRROR = str.maketrans("()[]{}<>«»", ")(][}{><»«")


def _shaped(font: Face, letters: str, direction: str) -> Run:
    buffer = uharfbuzz.Buffer()
    buffer.add_str("".join(ch for ch in letters if ch in _JOINERS or ch not in _IGNORED))
    buffer.guess_segment_properties()
    buffer.direction = direction
    uharfbuzz.shape(font.shaper, buffer)
    scale = 1000 / font.shaper.face.upem
    return _placed(font, zip(buffer.glyph_infos, buffer.glyph_positions, strict=True), scale)


def _placed(font: Face, shaped: Iterable[tuple[object, object]], scale: float) -> Run:
    glyphs, pen = [], 0.0
    for info, position in shaped:
        letter = _letter_for(font, info.codepoint, position.x_advance * scale)  # type: ignore[attr-defined]
        x = pen + position.x_offset * scale  # type: ignore[attr-defined]
        glyphs.append(Glyph(letter, x, position.y_offset * scale))  # type: ignore[attr-defined]
        pen += position.x_advance * scale  # type: ignore[attr-defined]
    return Run(font, "", tuple(glyphs), pen)


def _letter_for(font: Face, glyph: int, advance: float) -> str:
    """The letter that prints this glyph; glyphs without one get a letter of the private area."""
    table = font.font.face
    with LOADING:
        known = table.glyphToChar.get(glyph)
        if known:
            return chr(known[0])
        code = _PRIVATE
        while code in table.charToGlyph:
            code += 1
        table.charToGlyph[code] = glyph
        table.glyphToChar[glyph] = [code]
        table.charWidths[code] = advance
        return chr(code)
