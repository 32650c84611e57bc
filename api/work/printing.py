"""Writes the papers of a plan and brings them back as bytes by name."""

from __future__ import annotations

import tempfile
from pathlib import Path

from packer.model.plan import Plan
from packer.model.trip import Trip


def papers_of(trip: Trip, plan: Plan) -> dict[str, bytes]:
    """Every paper of the plan; names use `/` where papers stand in folders."""
    from packer.papers import KINDS, write_papers

    with tempfile.TemporaryDirectory(prefix="holdall-") as name:
        folder = Path(name)
        write_papers(trip, plan, folder, only=frozenset(KINDS))
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file()
        }
