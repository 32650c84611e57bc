"""Sizes of paper and the furniture of a printed page: head, foot, page x of y."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packer.papers.drawing.scene import Anchor, Line, Scene, Shape, Text
from packer.papers.pdf.typeset import shortened
from packer.papers.stamp import Stamp

FOOT_SIZE = 2.1


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper and its margins, mm."""

    width: float
    height: float
    side: float
    top: float
    bottom: float

    @property
    def inner_width(self) -> float:
        """Width between the margins."""
        return self.width - 2 * self.side

    @property
    def floor(self) -> float:
        """The lowest y that content may reach."""
        return self.height - self.bottom


# ISO 216 sizes. The A4 margins leave all content whole when it is printed unscaled, centred, on
# Letter (216 x 279 mm, ANSI/ASME Y14.1), which is 18 mm shorter.
A4 = Paper(210, 297, 13, 18, 22)
A4_LANDSCAPE = Paper(297, 210, 18, 13, 17)
A5_LANDSCAPE = Paper(210, 148, 7, 7, 7)
A6_LANDSCAPE = Paper(148, 105, 5, 5, 5)


def numbered(pages: Sequence[Sequence[Shape]], paper: Paper, stamp: Stamp) -> list[Scene]:
    """The pages as scenes with their foot, numbered x of y."""
    total = len(pages)
    return [
        Scene(
            paper.width,
            paper.height,
            (*shapes, *foot(paper, stamp, f"Page {number} of {total}")),
            f"{stamp.trip}, page {number} of {total}",
        )
        for number, shapes in enumerate(pages, start=1)
    ]


def renumbered(
    sections: Sequence[tuple[Paper, Sequence[Sequence[Shape]]]], stamp: Stamp
) -> list[Scene]:
    """Pages of several sections numbered as one document."""
    total = sum(len(pages) for _, pages in sections)
    scenes: list[Scene] = []
    for paper, pages in sections:
        for scene in numbered(pages, paper, stamp):
            number = len(scenes) + 1
            scenes.append(replace(scene, shapes=_with_number(scene.shapes, number, total)))
    return scenes


def foot(paper: Paper, stamp: Stamp, number: str) -> list[Shape]:
    """The line at the foot of a page: where the paper comes from, and which page it is."""
    y = paper.floor + 5
    room = paper.inner_width - 30
    return [
        Line(paper.side, y - 3, paper.width - paper.side, y - 3, shade=0.4),
        Text(paper.side, y, shortened(stamp.line, room, FOOT_SIZE), FOOT_SIZE, shade=0.2),
        Text(paper.side, y + 3, shortened(stamp.trip, room, FOOT_SIZE), FOOT_SIZE, shade=0.2),
        Text(paper.width - paper.side, y, number, 2.8, bold=True, anchor=Anchor.END),
    ]


def _with_number(shapes: tuple[Shape, ...], number: int, total: int) -> tuple[Shape, ...]:
    last = shapes[-1]
    if not isinstance(last, Text):
        raise TypeError("a page ends with its number")
    return (*shapes[:-1], replace(last, text=f"Page {number} of {total}"))
