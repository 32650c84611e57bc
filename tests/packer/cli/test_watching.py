"""Signs of life during long work, and Ctrl-C."""

import os
import signal
import threading
import time

import pytest

from packer.cli.watching import narrow_text, progress_text, watch
from packer.model.solving import COMPILING, Progress


def test_the_line_says_best_bound_gap_and_what_goes_on():
    """120 EUR found and 90 EUR proved leave a gap of a quarter."""
    progress = Progress(1.0, 12000, 9000, "packing cases", "EUR")
    text = progress_text(progress, 7.4)
    assert text == ("7 s  best 120.00 EUR  proved at least 90.00 EUR  gap 25.0 %  packing cases")


def test_a_narrow_terminal_gets_the_same_in_fewer_words():
    """Sixty columns hold the best plan, the bound, the gap and what goes on."""
    text = narrow_text(Progress(1.0, 680_031, 609_453, "packing anew", "EUR"), 8)
    assert text == "8 s  6,800.31 EUR  >= 6,094.53  gap 10.4 %  packing anew"
    assert len(text) < 60


def test_before_the_first_plan_it_says_so():
    """Nothing is made up."""
    assert progress_text(Progress(0.1, None, None, "reading", "EUR"), 0) == (
        "0 s  no plan yet  reading"
    )


def test_currencies_without_decimals_have_none():
    """ISO 4217: the yen has no minor unit."""
    text = progress_text(Progress(0.1, 1250, None, "", "JPY"), 0)
    assert text == "0 s  best 1,250 JPY"


def test_the_result_of_the_work_comes_back():
    """And what it raises is raised."""
    assert watch(lambda _progress, _stop: "done", silent=True) == "done"
    with pytest.raises(ValueError, match="odd"):
        watch(_raise_odd, silent=True)


def _raise_odd(_progress, _stop):
    raise ValueError("odd")


@pytest.mark.skipif(os.name == "nt", reason="a process cannot send itself Ctrl-C on Windows")
def test_ctrl_c_asks_the_work_to_stop_and_keeps_its_result():
    """The best plan so far is not lost."""

    def work(_progress, should_stop):
        threading.Timer(0.1, os.kill, (os.getpid(), signal.SIGINT)).start()
        deadline = time.monotonic() + 10
        while not should_stop() and time.monotonic() < deadline:
            time.sleep(0.01)
        return should_stop()

    assert watch(work, silent=True) is True


def test_without_a_terminal_lines_are_sparse(capsys, monkeypatch):
    """A log gets a line when the best plan changes, not one each tenth of a second."""
    monkeypatch.setattr("packer.cli.watching.SPARSE_SECONDS", 0.3)
    monkeypatch.setattr("packer.cli.watching.REDRAW_SECONDS", 0.02)

    def work(on_progress, _stop):
        for step in range(20):
            on_progress(Progress(step, 5000, 4000, "packing", "EUR"))
            time.sleep(0.03)

    watch(work)
    lines = capsys.readouterr().err.splitlines()
    assert 1 <= len(lines) <= 5  # one here; a crowded machine takes longer over the twenty steps
    assert "best 50.00 EUR" in lines[0]


def test_a_log_says_at_once_that_code_is_being_compiled(capsys, monkeypatch):
    """Ten seconds of silence before the first plan of all would look like a fault."""
    monkeypatch.setattr("packer.cli.watching.REDRAW_SECONDS", 0.02)

    def work(on_progress, _stop):
        on_progress(Progress(0.0, None, None, COMPILING, "EUR"))
        time.sleep(0.2)

    watch(work)
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert "compiling the packing code" in lines[0]
