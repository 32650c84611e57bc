"""Whatever goes wrong in a command ends as a sentence and an exit code."""

import argparse
import json

import pytest

from packer.cli.guard import guarded, halt
from packer.model.outcome import Outcome


def _run_and_raise(problem):
    def run(_args):
        raise problem

    return run


ARGS = argparse.Namespace(command="plan")


def test_a_fault_is_one_friendly_line_and_exit_code_1(capsys, monkeypatch):
    """No traceback reaches a production manager."""
    monkeypatch.delenv("HOLDALL_DEBUG", raising=False)
    assert guarded(_run_and_raise(ZeroDivisionError("by nought")), ARGS) == Outcome.FAULT
    shown = capsys.readouterr()
    assert "ZeroDivisionError: by nought" in shown.out
    assert "Traceback" not in shown.out + shown.err


def test_a_fault_shows_its_details_when_asked(monkeypatch):
    """With HOLDALL_DEBUG the exception comes through."""
    monkeypatch.setenv("HOLDALL_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        guarded(_run_and_raise(ZeroDivisionError()), ARGS)


def test_a_halt_says_why_and_what_to_do(capsys):
    """Wrong names on the command line are the user's to mend: exit code 2."""
    stop = halt("unknown-name", "The trip has no case 'X'.", "Did you mean 'Y'?")
    assert guarded(_run_and_raise(stop), ARGS) == Outcome.BAD_INPUT
    assert "The trip has no case 'X'. Did you mean 'Y'?" in capsys.readouterr().out


def test_faults_are_json_too(capsys):
    """A program that reads the answer gets one object in any case."""
    args = argparse.Namespace(command="plan", json=True)
    assert guarded(_run_and_raise(ValueError("odd")), args) == Outcome.FAULT
    assert json.loads(capsys.readouterr().out)["code"] == 1


def test_an_impatient_stop_is_no_fault(capsys):
    """The second Ctrl-C ends without a result."""
    assert guarded(_run_and_raise(KeyboardInterrupt()), ARGS) == Outcome.OUT_OF_TIME
    assert "Stopped" in capsys.readouterr().out
