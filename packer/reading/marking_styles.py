"""Adds the styles of marks to a workbook's styles part; what is there keeps its number."""

from __future__ import annotations

import re

from packer.model.finding import Severity
from packer.reading.marking import COLOURS

_XF = re.compile(r"<(?:\w+:)?xf\b[^>]*?(?:/>|>.*?</(?:\w+:)?xf\s*>)", re.DOTALL)


class Styles:
    """The styles part, growing. Without one, every style is 0: nothing is coloured."""

    def __init__(self, content: bytes) -> None:
        self._xml = content.decode("utf-8")
        block = _block(self._xml, "cellXfs")
        self._known = _XF.findall(self._xml[block[0] : block[1]]) if block else []
        self._count = len(self._known)
        self._added: list[str] = []
        self._filled: dict[tuple[int, Severity], int] = {}
        self._fills = self._append_fills() if self._known else {}
        self.heading = self._add_heading() if self._known else 0
        self.beside = self._add_text(wraps=False) if self._known else 0
        self.wrapped = self._add_text(wraps=True) if self._known else 0

    def filled(self, style: int, severity: Severity) -> int:
        """The style that is like another one but filled with a severity's colour."""
        if not self._known:
            return 0
        key = (style, severity)
        if key not in self._filled:
            styles = [*self._known, *self._added]
            like = styles[style] if style < len(styles) else styles[0]
            self._filled[key] = self._add(_with(like, fillId=self._fills[severity], applyFill="1"))
        return self._filled[key]

    def content(self) -> bytes:
        """The styles part with everything added."""
        return _appended(self._xml, "cellXfs", self._added).encode()

    def _add(self, xf: str) -> int:
        self._added.append(xf)
        return self._count + len(self._added) - 1

    def _append_fills(self) -> dict[Severity, str]:
        prefix = _prefix(self._xml)
        first = _size(self._xml, "fill")
        fills = [
            f'<{prefix}fill><{prefix}patternFill patternType="solid"><{prefix}fgColor '
            f'rgb="{colour}"/></{prefix}patternFill></{prefix}fill>'
            for colour in COLOURS.values()
        ]
        self._xml = _appended(self._xml, "fills", fills)
        return {severity: str(first + number) for number, severity in enumerate(COLOURS)}

    def _add_heading(self) -> int:
        prefix = _prefix(self._xml)
        number = _size(self._xml, "font")
        self._xml = _appended(self._xml, "fonts", [_bold(self._xml, prefix)])
        return self._add(
            f'<{prefix}xf numFmtId="0" fontId="{number}" fillId="0" borderId="0" applyFont="1"/>'
        )

    def _add_text(self, wraps: bool) -> int:
        prefix = _prefix(self._xml)
        return self._add(
            f'<{prefix}xf numFmtId="49" fontId="0" fillId="0" borderId="0" applyAlignment="1">'
            f'<{prefix}alignment vertical="top" wrapText="{int(wraps)}"/></{prefix}xf>'
        )


def _bold(xml: str, prefix: str) -> str:
    """The workbook's first font, bold."""
    font = re.search(rf"<{prefix}font>(.*?)</{prefix}font>", xml, re.DOTALL)
    inner = re.sub(rf"<{prefix}b\b[^>]*/>", "", font[1]) if font else ""
    return f"<{prefix}font><{prefix}b/>{inner}</{prefix}font>"


def _prefix(xml: str) -> str:
    found = re.search(r"<((?:\w+:)?)styleSheet\b", xml)
    return found[1] if found else ""


def _block(xml: str, name: str) -> tuple[int, int] | None:
    """Where the content of an element begins and ends."""
    start = re.search(rf"<(?:\w+:)?{name}\b[^>]*[^/]>", xml)
    end = re.search(rf"</(?:\w+:)?{name}\s*>", xml)
    return (start.end(), end.start()) if start and end else None


def _size(xml: str, child: str) -> int:
    block = _block(xml, f"{child}s")
    if block is None:
        return 0
    return len(re.findall(rf"<(?:\w+:)?{child}\b(?![^<]*</\w*:?dxf)", xml[block[0] : block[1]]))


def _appended(xml: str, name: str, elements: list[str]) -> str:
    """The XML with elements at the end of a counted list, and its count put right."""
    block = _block(xml, name)
    if block is None or not elements:
        return xml
    opening = xml[: block[0]]
    tag = opening.rfind("<")
    counted = re.sub(
        r'\bcount="(\d+)"',
        lambda match: f'count="{int(match[1]) + len(elements)}"',
        opening[tag:],
    )
    return opening[:tag] + counted + xml[block[0] : block[1]] + "".join(elements) + xml[block[1] :]


def _with(xf: str, **attributes: str) -> str:
    """An xf element with some attributes set."""
    for name, value in attributes.items():
        if re.search(rf'\b{name}="[^"]*"', xf.partition(">")[0]):
            xf = re.sub(rf'\b{name}="[^"]*"', f'{name}="{value}"', xf, count=1)
        else:
            xf = re.sub(r"^(<(?:\w+:)?xf\b)", rf'\1 {name}="{value}"', xf)
    return xf
