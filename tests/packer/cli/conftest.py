"""A trip on the road, written once for the tests of this folder."""

import pytest
from support.road_commands import on_the_road


@pytest.fixture(scope="session")
def road(tmp_path_factory):
    """An invented trip and its plan on disk; tests write only files of their own beside them."""
    return on_the_road(tmp_path_factory.mktemp("road"))
