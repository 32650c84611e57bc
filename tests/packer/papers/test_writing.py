"""All papers together: reproducible, whole, honest about what they cannot print, quick."""

import time
from dataclasses import replace

import pypdfium2
import pytest
from support.large_plan import large_plan, large_trip

from packer.model.plan_json import read_plan
from packer.papers import KINDS, PapersError, write_papers


def test_every_paper_is_written(papers):
    """One file a kind, none empty."""
    assert [kind for kind, _ in papers.files] == list(KINDS)
    assert all(path.stat().st_size > 100 for path in papers)


def test_plan_json_reads_back_as_the_plan(papers, plan):
    """Nothing is lost on the way."""
    assert read_plan(papers.path("plan")) == plan


def test_the_same_plan_gives_the_same_files(papers, trip, plan, tmp_path):
    """Byte by byte: the time in the files is the plan's own."""
    again = write_papers(trip, plan, tmp_path, only=frozenset(KINDS))
    differing = [
        kind for kind in KINDS if again.path(kind).read_bytes() != papers.path(kind).read_bytes()
    ]
    assert differing == []


def test_object_labels_are_written_only_where_asked_for(trip, plan, tmp_path):
    """A page an object is much paper."""
    names = {path.name for path in write_papers(trip, plan, tmp_path)}
    assert "object-labels-a6.pdf" not in names
    assert "labels-a6.pdf" in names


def test_an_unknown_kind_is_refused(trip, plan, tmp_path):
    """The message names the kinds there are."""
    with pytest.raises(ValueError, match="no such paper: menu; there are plan, "):
        write_papers(trip, plan, tmp_path, only=frozenset({"menu"}))


def test_a_refusing_disk_leaves_the_old_papers(trip, plan, tmp_path):
    """One paper's place is taken by a folder: none of the others changes."""
    (tmp_path / "plan.json").write_text("old")
    (tmp_path / "manifest.xlsx").mkdir()
    with pytest.raises(PapersError, match=r"manifest\.xlsx"):
        write_papers(trip, plan, tmp_path)
    assert (tmp_path / "plan.json").read_text() == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["manifest.xlsx", "plan.json"]


def test_letters_that_no_font_has_are_reported(trip, plan, tmp_path):
    """A notice says which, on the summary too; the papers spell them out."""
    gear = (replace(trip.gear[0], description="Trombone 🎺"), *trip.gear[1:])
    kinds = frozenset({"labels-a6", "summary"})
    written = write_papers(replace(trip, gear=gear), plan, tmp_path, only=kinds)
    assert written.notices == (
        "No font here can print U+1F3BA; PDF papers show the code in its place.",
    )
    summary = pypdfium2.PdfDocument(written.path("summary"))[0].get_textpage().get_text_range()
    assert "No font here can print U+1F3BA" in summary


def test_a_plan_in_which_nothing_flies_has_papers_too(trip, plan, tmp_path):
    """Empty lists say that they are empty."""
    decisions = tuple(replace(d, flown=0, covers=()) for d in plan.decisions)
    empty = replace(plan, pieces=(), decisions=decisions, charges=())
    written = write_papers(trip, empty, tmp_path, only=frozenset(KINDS))
    assert all(path.stat().st_size for path in written)


def test_500_units_in_60_cases_take_under_20_seconds(tmp_path, capsys):
    """All papers, labels for every object apart."""
    trip = large_trip()
    plan = large_plan(trip)
    wall, work = time.perf_counter(), time.process_time()
    written = write_papers(trip, plan, tmp_path)
    wall, work = time.perf_counter() - wall, time.process_time() - work
    with capsys.disabled():
        count = len(written.paths)
        print(f"\n500 units, 60 cases: {count} papers in {wall:.1f} s ({work:.1f} s of work)")
    assert work < 20  # other programs on the machine do not count
