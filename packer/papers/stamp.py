"""What every paper says about itself: from which input, when, by which version, for which plan."""

from __future__ import annotations

from dataclasses import dataclass

from packer.model.plan import Plan
from packer.model.trip import Trip


@dataclass(frozen=True, slots=True)
class Stamp:
    """The origin of a paper. `made` is the plan's own time, so the same plan prints the same."""

    trip: str
    file: str
    sha256: str
    made: str
    version: str

    @property
    def line(self) -> str:
        """One line for the foot of every page."""
        source = f"{self.file or 'the trip'} ({self.sha256[:12] or 'no checksum'})"
        return f"Holdall {self.version}, plan of {self.made}, from {source}"


def stamp_of(trip: Trip, plan: Plan) -> Stamp:
    """The stamp for all papers of a plan."""
    sha256 = plan.input_sha256 or trip.input_sha256
    return Stamp(trip.name, trip.file, sha256, plan.made, plan.holdall)
