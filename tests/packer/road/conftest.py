"""A medium plan for the tests of this folder, solved once."""

import pytest


@pytest.fixture(scope="session")
def medium_plan():
    """(trip, plan): a generated medium trip and a plan for it that the judge accepts."""
    from support.trips import generate

    from packer.decide import decide
    from packer.judge import judge
    from packer.model.solving import Limits

    trip = generate("weight-bound", "medium", 1)
    plan = decide(trip, Limits(seconds=60, workers=1, deterministic=0.2)).plan
    assert plan is not None
    assert judge(trip, plan).accepted
    return trip, plan


@pytest.fixture
def _untidy(monkeypatch):
    """Places as first found: tidying them takes most of the time and changes no cost."""
    from packer.geometry import Arrangement
    from packer.road import repacking

    def as_found(_inside, _items, _clearance_mm, places, _seed=0):
        return Arrangement(tuple(places), tuple(range(len(places))))

    monkeypatch.setattr(repacking, "arrange", as_found)
