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
