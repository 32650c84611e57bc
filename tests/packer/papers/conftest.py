"""The sample trip and plan for all tests of papers, and its papers written once."""

import pytest
from support.sample_trip import sample_plan, sample_trip

from packer.papers import KINDS, write_papers


@pytest.fixture(scope="session")
def trip():
    """The invented trip."""
    return sample_trip()


@pytest.fixture(scope="session")
def plan():
    """The plan made by hand for it."""
    return sample_plan()


@pytest.fixture(scope="session")
def papers(trip, plan, tmp_path_factory):
    """Every paper of it, those only written if wanted too."""
    return write_papers(trip, plan, tmp_path_factory.mktemp("papers"), only=frozenset(KINDS))
