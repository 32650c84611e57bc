"""Parts of trips small enough to work out by hand: one stop, one leg, cubes of 10 cm. Invented.

`trip_of` takes lines and cases and whatever else of a `Trip` a test wants to change.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from packer.model.solving import Limits
from packer.model.trip import (
    Band,
    Box,
    Case,
    CaseKind,
    Concept,
    Gear,
    Leg,
    Offer,
    Rule,
    Stop,
    Trip,
)
from support.worked import eur

QUAY = Stop("Quay", "NO", date(2026, 6, 2))
MOOR = Stop("Moor", "NO", date(2026, 6, 4))
OUT = Leg("OUT", "Home", "Quay", date(2026, 6, 1), "By piece", 0)
BACK = Leg("BACK", "Quay", "Home", date(2026, 6, 5), "By piece", 0)
BY_PIECE = Rule("By piece", Concept.PIECE, 23_000, extra_minor=(5000, 6000, 7000),
                bands=(Band(23_000, 32_000, 4000),))  # fmt: skip
BY_WEIGHT = Rule("By weight", Concept.WEIGHT, 40_000, per_kg_minor=1000)
CUBE = Box(100, 100, 100)
ROOM = Box(210, 210, 210)
LIMITS = Limits(seconds=10, workers=1)


def thing(name: str, quantity: int = 1, weight_g: int = 5_000, **more: Any) -> Gear:
    """A line of cubes of 100 mm and 5 kg, needed at the one stop."""
    return Gear(name, name, quantity, weight_g, **{"size": CUBE, "needed_at": ("Quay",)} | more)


def crate(name: str, inside: Box = ROOM, **more: Any) -> Case:
    """A box of 4 kg that goes in the hold; all of one size are identical but for the name."""
    outside = Box(*(side + 40 for side in inside.sides))
    return replace(Case(name, name, CaseKind.BOX, outside, 4_000, inside=inside), **more)


def rack(name: str, half_units: int = 8, depth_mm: int = 400, **more: Any) -> Case:
    """A rack of 6 kg."""
    return Case(name, name, CaseKind.RACK, Box(600, 500, 300), 6_000, rack_half_units=half_units,
                rack_depth_mm=depth_mm, **more)  # fmt: skip


def vault(name: str, slots: int = 1, kind: str = "neck") -> Case:
    """A case of slots, 5 kg."""
    return Case(name, name, CaseKind.SLOTS, Box(1000, 400, 200), 5_000, slot=kind, slots=slots)


def price(target: str, cents: int, supplier: str = "Reed Hire", **more: Any) -> Offer:
    """An offer at the one stop."""
    return Offer(**{"stop": "Quay", "target": target, "is_kit": False, "supplier": supplier,
                    "price": eur(cents)} | more)  # fmt: skip


def trip_of(lines: list[Gear], cases: list[Case], **more: Any) -> Trip:
    """One stop, one leg; a piece costs 50.00, 60.00, then 70.00; 40.00 above 23 kg."""
    found = Trip("By hand (invented)", "DE", "EUR", (QUAY,), (OUT,), (BY_PIECE, BY_WEIGHT),
                 tuple(lines), tuple(cases))  # fmt: skip
    return replace(found, **more)
