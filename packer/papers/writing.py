"""All papers of a plan built in memory, then written together: whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from packer.model.plan import Plan
from packer.model.plan_json import plan_text
from packer.model.trip import Trip
from packer.papers import books
from packer.papers.files import write_whole


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


def plan_file(_: Trip, plan: Plan) -> bytes:
    """plan.json as the contract has it."""
    return plan_text(plan).encode()


_BUILDERS: Mapping[str, tuple[str, _Build]] = {
    "plan": ("plan.json", plan_file),
    "manifest": ("manifest.xlsx", books.manifest_book),
    "customs-list": ("customs-list.xlsx", books.customs_book),
    "proforma": ("proforma.xlsx", books.proforma_book),
    "hire-orders": ("hire-orders.xlsx", books.hire_book),
}

KINDS: tuple[str, ...] = tuple(_BUILDERS)


def write_papers(
    trip: Trip, plan: Plan, directory: Path, *, only: frozenset[str] | None = None
) -> Papers:
    """Build the papers of these kinds (all where None) and write them into the folder.

    Raises ValueError for a kind that does not exist, and `PapersError` where the disk refuses:
    then every file is as it was.
    """
    wanted = [kind for kind in KINDS if only is None or kind in only]
    if only is not None and (unknown := sorted(only - set(KINDS))):
        raise ValueError(f"no such paper: {', '.join(unknown)}; there are {', '.join(KINDS)}")
    files = tuple((kind, directory / _BUILDERS[kind][0]) for kind in wanted)
    write_whole({path: _BUILDERS[kind][1](trip, plan) for kind, path in files})
    return Papers(files)
