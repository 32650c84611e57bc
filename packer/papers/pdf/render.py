"""Scenes drawn as the pages of a PDF file, and a page as a PNG picture."""

from __future__ import annotations

import io
import threading
from collections.abc import Sequence
from typing import Any

import pypdfium2
from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from packer.papers.drawing.scene import Anchor, Circle, Line, Polygon, Scene, Text, Tiles
from packer.papers.pdf.typeset import Run, glyph_runs, measure
from packer.papers.text import safe_text

_POINTS_PER_MM = 72 / 25.4
_BOLD_STROKE = 0.03  # of the size: how much a font without a bold one is thickened
rl_config.useA85 = 0  # streams as bytes: smaller and quicker than as text
_LOCK = threading.Lock()  # the PDF library's font tables are shared by the process


def pages_pdf(pages: Sequence[Scene], title: str, author: str = "") -> bytes:
    """A PDF file with one page a scene, each in its own size."""
    buffer = io.BytesIO()
    with _LOCK:
        canvas = Canvas(buffer, invariant=1, pageCompression=1)
        canvas.setTitle(safe_text(title))
        canvas.setAuthor(safe_text(author))
        canvas.setCreator("Holdall")
        for scene in pages:
            _draw_page(canvas, scene)
        canvas.save()
    return buffer.getvalue()


def scene_png(scene: Scene, dots_per_mm: float = 8.0) -> bytes:
    """The scene as a PNG picture."""
    return page_png(pages_pdf([scene], scene.title), 0, dots_per_mm)


def page_png(pdf: bytes, page: int, dots_per_mm: float = 8.0) -> bytes:
    """A page of a PDF file, counted from 0, as a PNG picture."""
    with _LOCK:
        document = pypdfium2.PdfDocument(pdf)
        try:
            picture = document[page].render(scale=dots_per_mm * 25.4 / 72, grayscale=True)
            out = io.BytesIO()
            picture.to_pil().save(out, "PNG", compress_level=6)
        finally:
            document.close()
    return out.getvalue()


def _draw_page(canvas: Any, scene: Scene) -> None:
    canvas.setPageSize((scene.width * _POINTS_PER_MM, scene.height * _POINTS_PER_MM))
    canvas.setLineJoin(1)
    for shape in scene.shapes:
        match shape:
            case Line():
                _pen(canvas, shape.width, shape.shade, shape.dash)
                canvas.line(*_at(scene, shape.x1, shape.y1), *_at(scene, shape.x2, shape.y2))
            case Polygon():
                _draw_polygon(canvas, scene, shape)
            case Circle():
                _draw_circle(canvas, scene, shape)
            case Tiles():
                _draw_tiles(canvas, scene, shape)
            case Text():
                _draw_text(canvas, scene, shape)
    canvas.showPage()


def _at(scene: Scene, x: float, y: float) -> tuple[float, float]:
    return x * _POINTS_PER_MM, (scene.height - y) * _POINTS_PER_MM


def _pen(canvas: Any, width: float, shade: float, dash: tuple[float, ...]) -> None:
    canvas.setLineWidth(width * _POINTS_PER_MM)
    canvas.setStrokeGray(shade)
    canvas.setDash([length * _POINTS_PER_MM for length in dash] if dash else [])


def _draw_polygon(canvas: Any, scene: Scene, shape: Polygon) -> None:
    path = canvas.beginPath()
    path.moveTo(*_at(scene, *shape.points[0]))
    for point in shape.points[1:]:
        path.lineTo(*_at(scene, *point))
    path.close()
    _pen(canvas, shape.width, shape.shade, shape.dash)
    canvas.setFillGray(1.0 if shape.fill is None else shape.fill)
    canvas.drawPath(path, stroke=int(shape.width > 0), fill=int(shape.fill is not None))


def _draw_tiles(canvas: Any, scene: Scene, shape: Tiles) -> None:
    path = canvas.beginPath()
    for x, y, width, height in shape.tiles:
        left, low = _at(scene, x, y + height)
        path.rect(left, low, width * _POINTS_PER_MM, height * _POINTS_PER_MM)
    canvas.setFillGray(0.0)
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_circle(canvas: Any, scene: Scene, shape: Circle) -> None:
    _pen(canvas, shape.width, shape.shade, ())
    canvas.setFillGray(1.0 if shape.fill is None else shape.fill)
    canvas.circle(
        *_at(scene, shape.x, shape.y),
        shape.radius * _POINTS_PER_MM,
        stroke=int(shape.width > 0),
        fill=int(shape.fill is not None),
    )


def _draw_text(canvas: Any, scene: Scene, shape: Text) -> None:
    size = shape.size * _POINTS_PER_MM
    canvas.saveState()
    canvas.translate(*_at(scene, shape.x, shape.y))
    if shape.turned:
        canvas.rotate(90)
    canvas.setFillGray(shape.shade)
    pen = -_shift(shape.anchor) * measure(shape.text, size, shape.bold)
    for run in glyph_runs(shape.text, shape.bold):
        _draw_run(canvas, run, pen, size, shape)
        pen += run.width * size / 1000
    canvas.restoreState()


def _shift(anchor: Anchor) -> float:
    return {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[anchor]


def _draw_run(canvas: Any, run: Run, pen: float, size: float, shape: Text) -> None:
    canvas.setFont(run.face.font.fontName, size)
    mode = 0
    if shape.bold and run.face.name != "NotoSans-Bold":
        mode = 2  # fill and stroke: thickened
        canvas.setStrokeGray(shape.shade)
        canvas.setLineWidth(size * _BOLD_STROKE)
    if run.text:
        canvas.drawString(pen, 0, run.text, mode=mode)
    for glyph in run.glyphs:
        x, y = pen + glyph.x * size / 1000, glyph.y * size / 1000
        canvas.drawString(x, y, glyph.letter, mode=mode)
