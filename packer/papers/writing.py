"""All papers of a plan built in memory, then written together: whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from packer.model.plan import Plan
from packer.model.plan_json import plan_text
from packer.model.trip import Trip
from packer.papers.book import write_book
from packer.papers.case_sheets import case_sheets_pdf
from packer.papers.csv_text import table_csv
from packer.papers.drawing.scene import Scene
from packer.papers.drawing.svg import scene_svg
from packer.papers.files import write_whole
from packer.papers.labels import labels_a5, labels_a6, object_labels_a6
from packer.papers.notices import notices
from packer.papers.pdf.flow import Carrying
from packer.papers.pdf.render import scene_png
from packer.papers.pdf.sheets import sheets_pdf
from packer.papers.sheets import (
    battery_sheets,
    customs_sheets,
    hire_sheets,
    house_sheets,
    insurance_sheets,
    manifest_sheets,
    piece_sheets,
    power_sheets,
    proforma_sheets,
)
from packer.papers.stamp import stamp_of
from packer.papers.summary_page import money_picture, summary_pdf, weights_picture
from packer.papers.table import Sheet
from packer.papers.tables.customs import customs_list, customs_table


@dataclass(frozen=True, slots=True)
class Papers:
    """The files written, by kind, in the order of `KINDS`; `notices` are sentences for the user."""

    files: tuple[tuple[str, Path], ...]
    notices: tuple[str, ...] = ()

    @property
    def paths(self) -> tuple[Path, ...]:
        """The paths alone."""
        return tuple(path for _, path in self.files)

    def path(self, kind: str) -> Path:
        """The path of one kind; KeyError if it was not written."""
        return dict(self.files)[kind]

    def __iter__(self) -> Iterator[Path]:
        return iter(self.paths)


_Build = Callable[[Trip, Plan], bytes]
_Sheets = Callable[[Trip, Plan], list[Sheet]]


def plan_file(_: Trip, plan: Plan) -> bytes:
    """plan.json as the contract has it."""
    return plan_text(plan).encode()


def customs_csv(trip: Trip, plan: Plan) -> bytes:
    """The general list as a CSV file."""
    return table_csv(customs_table(customs_list(trip, plan)))


def customs_pdf(trip: Trip, plan: Plan) -> bytes:
    """The general list with continuation sheets, totals carried over, empty space struck out."""
    number = trip.carnet.number or "not stated"
    carrying = Carrying(f"General list of goods, continuation. Carnet number: {number}")
    return sheets_pdf(customs_sheets(trip, plan), stamp_of(trip, plan), carrying=carrying)


def _book(sheets: _Sheets) -> _Build:
    return lambda trip, plan: write_book(sheets(trip, plan), stamp_of(trip, plan))


def _pdf(sheets: _Sheets) -> _Build:
    return lambda trip, plan: sheets_pdf(sheets(trip, plan), stamp_of(trip, plan))


def _svg(scene: Callable[[Trip, Plan], Scene]) -> _Build:
    return lambda trip, plan: scene_svg(scene(trip, plan)).encode()


def _png(scene: Callable[[Trip, Plan], Scene]) -> _Build:
    return lambda trip, plan: scene_png(scene(trip, plan))


_BUILDERS: Mapping[str, tuple[str, _Build]] = {
    "plan": ("plan.json", plan_file),
    "summary": ("summary.pdf", summary_pdf),
    "manifest": ("manifest.xlsx", _book(manifest_sheets)),
    "case-sheets": ("case-sheets.pdf", case_sheets_pdf),
    "labels-a6": ("labels-a6.pdf", labels_a6),
    "labels-a5": ("labels-a5.pdf", labels_a5),
    "object-labels": ("object-labels-a6.pdf", object_labels_a6),
    "customs-list": ("customs-list.xlsx", _book(customs_sheets)),
    "customs-list-pdf": ("customs-list.pdf", customs_pdf),
    "customs-list-csv": ("customs-list.csv", customs_csv),
    "proforma": ("proforma.xlsx", _book(proforma_sheets)),
    "proforma-pdf": ("proforma.pdf", _pdf(proforma_sheets)),
    "hire-orders": ("hire-orders.xlsx", _book(hire_sheets)),
    "hire-orders-pdf": ("hire-orders.pdf", _pdf(hire_sheets)),
    "house-list": ("house-list.xlsx", _book(house_sheets)),
    "house-list-pdf": ("house-list.pdf", _pdf(house_sheets)),
    "piece-list": ("airline-piece-list.xlsx", _book(piece_sheets)),
    "piece-list-pdf": ("airline-piece-list.pdf", _pdf(piece_sheets)),
    "batteries": ("battery-list.xlsx", _book(battery_sheets)),
    "batteries-pdf": ("battery-list.pdf", _pdf(battery_sheets)),
    "insurance": ("insurance-list.xlsx", _book(insurance_sheets)),
    "insurance-pdf": ("insurance-list.pdf", _pdf(insurance_sheets)),
    "mains-radio": ("mains-and-radio.xlsx", _book(power_sheets)),
    "mains-radio-pdf": ("mains-and-radio.pdf", _pdf(power_sheets)),
    "weights-svg": ("weights.svg", _svg(weights_picture)),
    "weights-png": ("weights.png", _png(weights_picture)),
    "money-svg": ("money.svg", _svg(money_picture)),
    "money-png": ("money.png", _png(money_picture)),
}

KINDS: tuple[str, ...] = tuple(_BUILDERS)
IF_WANTED = frozenset({"object-labels"})  # many pages; written only where asked for


def write_papers(
    trip: Trip, plan: Plan, directory: Path, *, only: frozenset[str] | None = None
) -> Papers:
    """Build the papers of these kinds and write them into the folder.

    Where `only` is None, all kinds but those of `IF_WANTED`.

    Raises ValueError for a kind that does not exist, and `PapersError` where the disk refuses:
    then every file is as it was.
    """
    wanted = [kind for kind in KINDS if (kind not in IF_WANTED if only is None else kind in only)]
    if only is not None and (unknown := sorted(only - set(KINDS))):
        raise ValueError(f"no such paper: {', '.join(unknown)}; there are {', '.join(KINDS)}")
    files = tuple((kind, directory / _BUILDERS[kind][0]) for kind in wanted)
    write_whole({path: _BUILDERS[kind][1](trip, plan) for kind, path in files})
    return Papers(files, notices(trip))
