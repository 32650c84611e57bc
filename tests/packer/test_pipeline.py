"""The whole program: what comes of a trip, what is written, and what never is."""

import json
from dataclasses import replace
from types import SimpleNamespace

import pytest
from support.workbooks import minimal_trip, write_csv_folder, write_workbook

from packer import pipeline
from packer.judge import judge
from packer.model.finding import Severity
from packer.model.outcome import Outcome
from packer.model.plan_json import read_plan
from packer.model.solving import Limits, Wishes
from packer.reading import read_trip

LIMITS = Limits(seconds=20, workers=1)


def _plan(tmp_path, change=None, wishes=Wishes()):
    sheets = minimal_trip()
    if change is not None:
        change(sheets)
    trip = write_workbook(tmp_path / "trip.xlsx", sheets)
    return pipeline.plan_trip(trip, tmp_path / "out", LIMITS, wishes)


def test_a_trip_becomes_a_judged_plan_and_its_papers(tmp_path):
    """Two horns of 20.5 cm are 1 cm too wide for one trunk, and one piece is free on a flight.

    The second trunk costs 75.00 on each of two flights.
    """
    planned = _plan(tmp_path)
    assert planned.outcome is Outcome.DONE
    assert planned.verdict.accepted
    assert (planned.plan.objective_minor, planned.bound_minor) == (15_000, 15_000)
    assert len(planned.plan.pieces) == 2
    assert {path.name for path in planned.papers} >= {"plan.json", "manifest.xlsx"}
    assert all(path.stat().st_size for path in planned.papers)


def test_the_plan_file_says_where_it_came_from(tmp_path):
    """Version, trip, hash of the input, time with offset, and the findings of the checks."""
    planned = _plan(tmp_path)
    plan = read_plan(tmp_path / "out" / "plan.json")
    assert plan == planned.plan
    assert plan.trip == "Invented minimal trip"
    assert plan.input_sha256 == planned.trip.input_sha256
    assert plan.made.endswith("+00:00")
    assert plan.findings == tuple(finding.to_json() for finding in planned.findings)


def test_a_folder_of_csv_files_is_planned_alike(tmp_path):
    """The same rows give the same costs."""
    folder = write_csv_folder(tmp_path / "trip", minimal_trip())
    planned = pipeline.plan_trip(folder, tmp_path / "out", LIMITS)
    assert planned.plan.objective_minor == 15_000


def test_an_error_in_the_input_stops_before_solving(tmp_path, monkeypatch):
    """The solver is not even asked."""

    def spoil(sheets):
        sheets["Gear"][0]["Weight"] = "heavy"

    monkeypatch.setattr(pipeline, "decide", None)
    planned = _plan(tmp_path, spoil)
    assert planned.outcome is Outcome.BAD_INPUT
    assert any(finding.where.row == 2 for finding in planned.findings if finding.where)
    assert not (tmp_path / "out").exists()


def test_an_impossible_trip_says_why_and_writes_nothing(tmp_path):
    """A horn of 40 kg that must fly is above every limit of 32 kg."""

    def weigh_down(sheets):
        sheets["Gear"][0] |= {"Weight": 40, "Source": "fly"}

    planned = _plan(tmp_path, weigh_down)
    assert planned.outcome is Outcome.IMPOSSIBLE
    assert any("HORN" in (cause.subject, *cause.message.split()) for cause in planned.causes)
    assert not (tmp_path / "out").exists()


def test_a_plan_that_the_judge_refuses_is_never_written(tmp_path, monkeypatch):
    """A solver that overlooks weight is found out."""
    honest = pipeline.decide

    def careless(*args):
        answer = honest(*args)
        pieces = tuple(replace(piece, planning_g=1) for piece in answer.plan.pieces)
        return replace(answer, plan=replace(answer.plan, pieces=pieces))

    monkeypatch.setattr(pipeline, "decide", careless)
    planned = _plan(tmp_path)
    assert planned.outcome is Outcome.FAULT
    assert planned.verdict.codes == {"wrong-weight"}
    assert planned.papers == ()
    assert not (tmp_path / "out").exists()


def test_wishes_are_heeded_and_cost_what_they_cost(tmp_path):
    """Two horns hired: 2 x 60 CHF at 1.05 + delivery 42.00 + worth 2 x 100 = 368.00 EUR."""
    planned = _plan(tmp_path, wishes=Wishes(hire=("HORN",)))
    assert planned.plan.objective_minor == 36_800


def test_a_wish_for_unknown_gear_is_an_error(tmp_path):
    """With the nearest name."""
    planned = _plan(tmp_path, wishes=Wishes(fly=("HORM",)))
    assert planned.outcome is Outcome.BAD_INPUT
    errors = [f.code for f in planned.findings if f.severity is Severity.ERROR]
    assert errors == ["wish-unknown-gear"]


def test_progress_tells_its_currency(tmp_path):
    """So that whoever shows it can write the money."""
    seen = []
    trip = write_workbook(tmp_path / "trip.xlsx", minimal_trip())
    pipeline.plan_trip(trip, tmp_path / "out", LIMITS, on_progress=seen.append)
    assert {progress.currency for progress in seen} <= {"EUR"}


def test_each_better_plan_can_be_had_on_the_way_judged_and_signed(tmp_path):
    """What the last sign of life stands for costs what it says, and passes the judge."""
    seen = []
    trip = read_trip(write_workbook(tmp_path / "trip.xlsx", minimal_trip())).trip

    def hear(progress):
        if progress.plan is not None:
            seen.append((progress.best_minor, progress.plan()))

    pipeline.solve(trip, (), LIMITS, on_progress=hear)
    assert seen
    assert all(best == plan.objective_minor for best, plan in seen)
    assert seen[-1][1].input_sha256 == trip.input_sha256
    assert [judge(trip, plan).breaches for _, plan in seen] == [()] * len(seen)


def test_a_plan_on_the_way_that_the_judge_refuses_is_not_given(tmp_path, monkeypatch):
    """Who listens gets None instead."""
    seen = []
    trip = read_trip(write_workbook(tmp_path / "trip.xlsx", minimal_trip())).trip
    monkeypatch.setattr(pipeline, "judge", lambda *_: SimpleNamespace(breaches=("refused",)))

    def hear(progress):
        if progress.plan is not None:
            seen.append(progress.plan())

    pipeline.solve(trip, (), LIMITS, on_progress=hear)
    assert seen
    assert set(seen) == {None}


def test_plans_of_too_many_pieces_are_not_shown_on_the_way(tmp_path):
    """Two trunks are needed to fly both horns; asked for one piece, no sign names two."""
    seen = []
    trip = read_trip(write_workbook(tmp_path / "trip.xlsx", minimal_trip())).trip
    wishes = Wishes(most_pieces=1)
    pipeline.solve(trip, (), LIMITS, wishes, on_progress=seen.append)
    plans = [progress.plan() for progress in seen if progress.plan is not None]
    assert all(len(plan.pieces) <= 1 for plan in plans)
    dearest = max((p.best_minor for p in seen if p.best_minor is not None), default=0)
    assert dearest < 10_000_000  # the price put on a piece too many is never told


def test_asked_to_stop_at_once_it_has_a_plan_or_says_that_time_ran_out(tmp_path):
    """Never a half-made plan."""
    trip = write_workbook(tmp_path / "trip.xlsx", minimal_trip())
    planned = pipeline.plan_trip(trip, tmp_path / "out", LIMITS, should_stop=lambda: True)
    assert planned.outcome in (Outcome.DONE, Outcome.OUT_OF_TIME)
    assert (planned.plan is None) == (planned.outcome is Outcome.OUT_OF_TIME)


@pytest.mark.parametrize("content", [b"", b"no workbook", b"PK\x03\x04broken"])
def test_what_is_no_workbook_is_a_finding(tmp_path, content):
    """Empty, text, and half a zip."""
    path = tmp_path / "trip.xlsx"
    path.write_bytes(content)
    planned = pipeline.plan_trip(path, tmp_path / "out", LIMITS)
    assert planned.outcome is Outcome.BAD_INPUT
    assert planned.findings


def test_the_plan_file_is_json_with_the_contracts_keys(tmp_path):
    """The first four keys as the contract lists them."""
    _plan(tmp_path)
    data = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert list(data)[:4] == ["holdall", "trip", "input_sha256", "made"]
