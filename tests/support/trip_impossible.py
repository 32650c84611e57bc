"""The two impossible flavours: a generated trip with one thing in it that no plan can satisfy."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from packer.model.trip import Box, CaseKind, Choice, Gear, Trip


def make_impossible(rng: Random, flavour: str, trip: Trip) -> Trip:
    """The trip, with its impossible thing where the flavour asks for one."""
    if flavour == "impossible-weight":
        return replace(_in_place_of_first(trip, _too_heavy(rng, trip)), freight=None)
    if flavour == "impossible-role":
        return _in_place_of_first(trip, _one_case_role(trip))
    return trip


def _in_place_of_first(trip: Trip, line: Gear) -> Trip:
    gone = trip.gear[0]
    offers = tuple(offer for offer in trip.offers if offer.target != gone.name)
    kits = {each.kit for each in trip.gear[1:]}
    offers = tuple(offer for offer in offers if not offer.is_kit or offer.target in kits)
    return replace(trip, gear=(*trip.gear[1:], line), offers=offers)


def _too_heavy(rng: Random, trip: Trip) -> Gear:
    """It must fly, and is heavier than any hold takes; it would fit a trunk by size."""
    return Gear(
        name="ANVIL",
        description="Tuned anvil on a frame, invented",
        quantity=1,
        weight_g=rng.randrange(31_500, 39_000, 10),
        size=Box(380, 220, 200),
        needed_at=tuple(stop.name for stop in trip.stops),
        choice=Choice.FLY,
    )


def _one_case_role(trip: Trip) -> Gear:
    """Two units of which one must survive, and only one case that they may fly in."""
    box = next(case for case in trip.cases if case.kind is CaseKind.BOX)
    return Gear(
        name="DRONE",
        description="Drone pipe, invented",
        quantity=2,
        weight_g=900,
        size=Box(210, 90, 60),
        only_in=(box.name,),
        role="Drone",
        role_needs=1,
        needed_at=tuple(stop.name for stop in trip.stops),
        choice=Choice.FLY,
    )
