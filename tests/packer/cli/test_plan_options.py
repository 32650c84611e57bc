"""Options of `holdall plan` that change what is written or how work is measured."""

import json

import pytest
from support.workbooks import minimal_trip, write_workbook

from packer.cli import main


@pytest.fixture
def trip(tmp_path):
    """The minimal trip as a workbook."""
    return write_workbook(tmp_path / "trip.xlsx", minimal_trip())


def plan(trip, out, *options):
    """Runs `holdall plan` and returns its plan without the time it was made."""
    assert main(["plan", str(trip), "-o", str(out), *options]) == 0
    made = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    del made["made"], made["solver"]["seconds"]
    return made


def test_counted_work_gives_the_same_plan_twice(trip, tmp_path):
    """With --work the clock decides nothing, so that the plans are equal to the last figure."""
    one = plan(trip, tmp_path / "one", "--work", "0.5")
    assert one == plan(trip, tmp_path / "two", "--work", "0.5")


def test_object_labels_are_written_when_asked_for(trip, tmp_path):
    """A label for every object is many pages, so it is made only on request."""
    plan(trip, tmp_path / "few", "--work", "0.2")
    plan(trip, tmp_path / "many", "--work", "0.2", "--object-labels")
    assert not (tmp_path / "few" / "object-labels-a6.pdf").exists()
    assert (tmp_path / "many" / "object-labels-a6.pdf").exists()
