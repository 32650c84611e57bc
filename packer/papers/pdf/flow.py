"""Content flowing down pages: text, facts and tables, with headings repeated on every page."""

from __future__ import annotations

from dataclasses import dataclass, field

from packer.papers.drawing.scene import Anchor, Line, Shape, Text, box
from packer.papers.pdf.paper import Paper
from packer.papers.pdf.typeset import measure, wrapped
from packer.papers.table import AnyTable, Fact, Kind, Value, value_text

CELL_SIZE = 2.65
_SIZES = (3.3, 3.0, 2.8)
BELOW_SIZE = 2.6
LEADING = 1.3
PAD = 1.0
_SHADE = 0.9
_MOST_ID_MM = 45.0


@dataclass(frozen=True, slots=True)
class Carrying:
    """What a list for customs wants on every page: totals carried over, empty space struck out."""

    title: str = "Continuation sheet"
    carried: str = "Carried over"
    brought: str = "Brought forward"


@dataclass(slots=True)
class Flow:
    """Pages being filled; `y` is where the next thing goes."""

    paper: Paper
    pages: list[list[Shape]] = field(default_factory=lambda: [[]])
    y: float = 0.0

    def __post_init__(self) -> None:
        self.y = self.paper.top

    @property
    def room(self) -> float:
        """What is left on this page, mm."""
        return self.paper.floor - self.y

    def put(self, *shapes: Shape) -> None:
        """Draw on the current page."""
        self.pages[-1].extend(shapes)

    def new_page(self) -> None:
        """Go to the top of the next page."""
        self.pages.append([])
        self.y = self.paper.top

    def need(self, height: float) -> None:
        """Go to the next page unless so much room is left."""
        if self.room < height and self.y > self.paper.top:
            self.new_page()

    def space(self, height: float) -> None:
        """Leave a gap."""
        self.y += height


def add_text(flow: Flow, text: str, size: float, *, bold: bool = False) -> None:
    """A paragraph over the full width."""
    for line in wrapped(text, flow.paper.inner_width, size, bold):
        flow.need(size * LEADING)
        flow.put(Text(flow.paper.side, flow.y + size, line, size, bold))
        flow.y += size * LEADING


def add_facts(flow: Flow, facts: tuple[Fact, ...], currency: str, size: float = 3.0) -> None:
    """Labels in bold with their values beside them."""
    if not facts:
        return
    left = max(measure(fact.label, size, True) for fact in facts) + 4
    for fact in facts:
        text = value_text(fact.value, fact.kind, currency)
        lines = wrapped(text, flow.paper.inner_width - left, size)
        flow.need(len(lines) * size * LEADING)
        flow.put(Text(flow.paper.side, flow.y + size, fact.label, size, True))
        for line in lines:
            flow.put(Text(flow.paper.side + left, flow.y + size, line, size))
            flow.y += size * LEADING
    flow.space(2)


def add_table(
    flow: Flow, table: AnyTable, *, size: float | None = None, carrying: Carrying | None = None
) -> None:
    """A table with its lines above and below, its headings on every page, its totals.

    Without a size it is set as large as it can be without breaking cells, within reason.
    """
    size = size or _best_size(table, flow.paper.inner_width)
    for text in table.above:
        add_text(flow, text, 2.6, bold=text.startswith("NOT COMPLETE"))
    _Grid(flow, table, _widths(table, flow.paper.inner_width, size), size, carrying).draw()
    flow.space(1)
    for text in table.below:
        add_text(flow, text, BELOW_SIZE)
    flow.space(3)


def _best_size(table: AnyTable, room: float) -> float:
    for size in _SIZES:
        if sum(_need(table, i, size, room) for i in range(len(table.columns))) <= room:
            return size
    return CELL_SIZE


def _widths(table: AnyTable, room: float, size: float) -> list[float]:
    """Numbers and identifiers get what they need, texts share the rest by their usual width."""
    needs = [_need(table, index, size, room) for index in range(len(table.columns))]
    if sum(needs) <= room:
        return _eased(table, needs, room, size)
    fixed = [column.kind is not Kind.TEXT for column in table.columns]
    rest = room - sum(need for need, is_fixed in zip(needs, fixed, strict=True) if is_fixed)
    free = sum(c.width for c, is_fixed in zip(table.columns, fixed, strict=True) if not is_fixed)
    if free == 0:
        return [need * room / sum(needs) for need in needs]
    shared = [
        need if is_fixed else max(_word(column.heading, size), rest * column.width / free)
        for need, is_fixed, column in zip(needs, fixed, table.columns, strict=True)
    ]
    return [width * room / sum(shared) for width in shared]


def _word(heading: str, size: float) -> float:
    """The room that the longest word of a heading takes."""
    return max(measure(word, size, True) for word in heading.split()) + 2 * PAD + 0.3


def _eased(table: AnyTable, needs: list[float], room: float, size: float) -> list[float]:
    """Columns that fit with room to spare are widened until no heading wraps, as far as it goes."""
    wishes = [
        max(need, measure(column.heading, size, True) + 2 * PAD + 0.3)
        for need, column in zip(needs, table.columns, strict=True)
    ]
    more = sum(wishes) - sum(needs)
    share = min(1.0, (room - sum(needs)) / more) if more else 0.0
    return [need + (wish - need) * share for need, wish in zip(needs, wishes, strict=True)]


def _need(table: AnyTable, index: int, size: float, room: float) -> float:
    column = table.columns[index]
    texts = [table.text(index, cells[index]) for cells in table.cells()]
    totals = table.totals()
    bold = [table.text(index, totals[index])] if totals else []
    bold += column.heading.split()
    strong = column.kind is Kind.ID
    widths = [measure(text, size, strong) for text in texts]
    widest = max(widths + [measure(text, size, True) for text in bold], default=0.0)
    if column.kind is Kind.BLANK:
        widest = column.width * size * 0.6
    most = _MOST_ID_MM if column.kind is Kind.ID else room
    return min(most, widest + 2 * PAD + 0.3)


@dataclass(slots=True)
class _Grid:
    """One table on its way down the pages."""

    flow: Flow
    table: AnyTable
    widths: list[float]
    size: float
    carrying: Carrying | None
    running: list[int] = field(default_factory=list)

    def draw(self) -> None:
        self.running = [0] * len(self.table.columns)
        self.flow.need(self._heading_height() + 3 * self._row_height([]))
        self._heading()
        rows = self.table.cells()
        for number, cells in enumerate(rows, start=1):
            self._row(cells, last=number == len(rows))
            self._add(cells)
        if not self.table.rows:
            self._line([self.table.empty, *[""] * (len(self.widths) - 1)], span=True)
        totals = self.table.totals()
        if totals and self.table.rows:
            self._line(self._texts(totals), bold=True)
        if self.carrying:
            self._strike_out()

    def _row(self, cells: tuple[Value, ...], *, last: bool) -> None:
        """A row; the last one takes the totals and, on a carried list, the closing lines along."""
        texts = self._texts(cells)
        reserve = self._row_height([]) * 2 if self.carrying else 0.0
        if last:
            reserve = self._tail_height()
        if self.flow.room < self._row_height(texts) + reserve:
            self._turn_page()
        self._line(texts)

    def _tail_height(self) -> float:
        totals = self.table.totals()
        height = self._row_height(self._texts(totals), bold=True) if totals else 0.0
        return height + (self._below_height() if self.carrying else 0.0)

    def _below_height(self) -> float:
        width = self.flow.paper.inner_width
        lines = sum(len(wrapped(text, width, BELOW_SIZE)) for text in self.table.below)
        return lines * BELOW_SIZE * LEADING + 3

    def _turn_page(self) -> None:
        if self.carrying:
            self._line(self._carried(self.carrying.carried), bold=True)
        self.flow.new_page()
        if self.carrying:
            number = len(self.flow.pages)
            add_text(self.flow, f"{self.carrying.title}, sheet {number}", 3.2, bold=True)
            self.flow.space(1)
        self._heading()
        if self.carrying:
            self._line(self._carried(self.carrying.brought), bold=True)

    def _carried(self, label: str) -> list[str]:
        sums: list[Value] = [
            total if column.summed else None
            for column, total in zip(self.table.columns, self.running, strict=True)
        ]
        texts = self._texts((None, *sums[1:]))
        at = 1 if self.table.columns[1].kind is Kind.TEXT else 0
        texts[at] = label
        return texts

    def _add(self, cells: tuple[Value, ...]) -> None:
        for index, value in enumerate(cells):
            if self.table.columns[index].summed and isinstance(value, int):
                self.running[index] += value

    def _texts(self, cells: tuple[Value, ...]) -> list[str]:
        return [
            value if isinstance(value, str) else self.table.text(index, value)
            for index, value in enumerate(cells)
        ]

    def _wrapped(self, texts: list[str], bold: bool) -> list[tuple[str, ...]]:
        return [
            wrapped(text, width - 2 * PAD, self.size, bold or column.kind is Kind.ID)
            for text, width, column in zip(texts, self.widths, self.table.columns, strict=False)
        ]

    def _row_height(self, texts: list[str], bold: bool = False) -> float:
        lines = max((len(lines) for lines in self._wrapped(texts, bold)), default=1)
        return lines * self.size * LEADING + PAD

    def _heading_height(self) -> float:
        return self._row_height([column.heading for column in self.table.columns], bold=True)

    def _heading(self) -> None:
        headings = [column.heading for column in self.table.columns]
        self._line(headings, bold=True, shaded=True)

    def _line(
        self, texts: list[str], *, bold: bool = False, shaded: bool = False, span: bool = False
    ) -> None:
        height = self._row_height([] if span else texts, bold)
        x, y = self.flow.paper.side, self.flow.y
        if span:
            self.flow.put(box(x, y, sum(self.widths), height))
            self.flow.put(Text(x + PAD, y + self.size * 1.15, texts[0], self.size))
        else:
            self._cells(texts, height, bold, shaded)
        self.flow.y += height

    def _cells(self, texts: list[str], height: float, bold: bool, shaded: bool) -> None:
        x, y = self.flow.paper.side, self.flow.y
        columns = self.table.columns
        for column, width, lines in zip(
            columns, self.widths, self._wrapped(texts, bold), strict=True
        ):
            self.flow.put(box(x, y, width, height, fill=_SHADE if shaded else None))
            right = column.kind.is_number and not shaded
            strong = bold or column.kind is Kind.ID
            for number, line in enumerate(lines):
                self.flow.put(self._text(line, x, y, width, number, strong, right))
            x += width

    def _text(
        self, line: str, x: float, y: float, width: float, number: int, bold: bool, right: bool
    ) -> Text:
        baseline = y + self.size * 1.1 + number * self.size * LEADING
        at = x + width - PAD if right else x + PAD
        return Text(at, baseline, line, self.size, bold, Anchor.END if right else Anchor.START)

    def _strike_out(self) -> None:
        """Draw the unused space of the page as empty and crossed, so that nothing can be added."""
        height = self.flow.room - self._below_height()
        if height < 6:
            return
        left, width = self.flow.paper.side, sum(self.widths)
        top, bottom = self.flow.y + 1, self.flow.y + height
        self.flow.put(box(left, top, width, bottom - top))
        self.flow.put(Line(left, bottom, left + width, top, 0.35))
        self.flow.y = bottom
