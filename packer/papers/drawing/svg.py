"""A scene as a self-contained SVG picture for pages, sized in millimetres."""

from __future__ import annotations

from html import escape

from packer.papers.drawing.scene import Circle, Line, Polygon, Scene, Shape, Text, Tiles
from packer.papers.text import safe_text

_FAMILY = "'Noto Sans', 'Liberation Sans', Arial, sans-serif"


def scene_svg(scene: Scene) -> str:
    """The scene as SVG text; the title is what a screen reader says."""
    title = f"<title>{_escaped(scene.title)}</title>" if scene.title else ""
    shapes = "".join(_shape(shape) for shape in scene.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="0 0 {_n(scene.width)} {_n(scene.height)}" '
        f'width="{_n(scene.width)}mm" height="{_n(scene.height)}mm" '
        f'font-family="{_FAMILY}">{title}{shapes}</svg>'
    )


def _shape(shape: Shape) -> str:
    match shape:
        case Line():
            return (
                f'<line x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" '
                f'y2="{_n(shape.y2)}" {_stroke(shape.width, shape.shade, shape.dash)}/>'
            )
        case Polygon():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            return f'<polygon points="{points}" {_fill(shape)}/>'
        case Circle():
            return (
                f'<circle cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.radius)}" '
                f"{_fill(shape)}/>"
            )
        case Tiles():
            steps = "".join(
                f"M{_n(x)},{_n(y)}h{_n(w)}v{_n(h)}h{_n(-w)}z" for x, y, w, h in shape.tiles
            )
            return f'<path d="{steps}" fill="#000000"/>'
        case Text():
            return _text(shape)


def _text(shape: Text) -> str:
    turn = f' transform="rotate(-90 {_n(shape.x)} {_n(shape.y)})"' if shape.turned else ""
    weight = ' font-weight="bold"' if shape.bold else ""
    return (
        f'<text x="{_n(shape.x)}" y="{_n(shape.y)}" font-size="{_n(shape.size)}"{weight} '
        f'text-anchor="{shape.anchor}" fill="{_grey(shape.shade)}"{turn}>'
        f"{_escaped(shape.text)}</text>"
    )


def _fill(shape: Polygon | Circle) -> str:
    fill = "none" if shape.fill is None else _grey(shape.fill)
    dash = shape.dash if isinstance(shape, Polygon) else ()
    return f'fill="{fill}" {_stroke(shape.width, shape.shade, dash)}'


def _stroke(width: float, shade: float, dash: tuple[float, ...]) -> str:
    if width <= 0:
        return 'stroke="none"'
    dashes = f' stroke-dasharray="{" ".join(_n(d) for d in dash)}"' if dash else ""
    return f'stroke="{_grey(shade)}" stroke-width="{_n(width)}" stroke-linejoin="round"{dashes}'


def _grey(shade: float) -> str:
    level = round(min(1.0, max(0.0, shade)) * 255)
    return f"#{level:02x}{level:02x}{level:02x}"


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"


def _escaped(text: str) -> str:
    return escape(safe_text(text), quote=True)
