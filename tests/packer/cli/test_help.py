"""The command's help: quick, complete, and light on imports."""

import subprocess
import sys
import time
from importlib import import_module
from pathlib import Path

import pytest

from packer.cli import COMMANDS, main
from packer.model.outcome import Outcome

ROOT = Path(__file__).resolve().parents[3]
HEAVY = ("numpy", "numba", "ortools", "openpyxl", "pandas", "fastapi", "xlsxwriter", "reportlab")


def _holdall(*words):
    return subprocess.run(
        [sys.executable, "-m", "packer", *words], cwd=ROOT, capture_output=True, text=True
    )


def test_help_answers_at_once():
    """Best of three under 0.4 s (the bound that is promised), process start included."""
    seconds = []
    for _ in range(3):
        start = time.perf_counter()
        assert _holdall("--help").returncode == 0
        seconds.append(time.perf_counter() - start)
    assert min(seconds) < 0.4


def test_no_command_imports_anything_heavy_before_it_runs():
    """Help for any command stays quick."""
    modules = [f"packer.cli.{command.module}" for command in COMMANDS]
    code = (
        "import sys, importlib\n"
        f"for name in {modules!r}: importlib.import_module(name)\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c.name)
def test_every_command_has_arguments_a_run_and_help(command, capsys):
    """The table of commands names only what is there."""
    module = import_module(f"packer.cli.{command.module}")
    assert callable(module.run)
    with pytest.raises(SystemExit) as end:
        main([command.name, "--help"])
    assert end.value.code == 0
    assert f"holdall {command.name}" in capsys.readouterr().out


def test_the_overview_names_commands_and_exit_codes(capsys):
    """Somebody who types `holdall --help` sees all there is."""
    with pytest.raises(SystemExit):
        main(["--help"])
    text = capsys.readouterr().out
    assert all(f"  {command.name} " in text for command in COMMANDS)
    assert all(f"  {outcome.value}  {outcome.meaning}" in text for outcome in Outcome)


def test_no_command_at_all_shows_the_overview_and_is_no_success(capsys):
    """A script that calls `holdall` without a word notices."""
    assert main([]) == Outcome.BAD_INPUT
    assert "commands:" in capsys.readouterr().out


def test_an_unknown_command_is_refused(capsys):
    """With the list of those there are."""
    with pytest.raises(SystemExit) as end:
        main(["flyit"])
    assert end.value.code == Outcome.BAD_INPUT
    assert "template" in capsys.readouterr().err


def test_the_program_ends_while_a_solver_is_still_at_work():
    """Its thread is left behind; the exit code and all that was printed stay."""
    code = (
        "import sys, threading, time\n"
        "from packer.cli import main\n"
        "work = threading.Thread(target=time.sleep, args=(60,), name='holdall-work')\n"
        "work.start()\n"
        "sys.argv = ['holdall', 'rules']\n"
        "sys.exit(main())\n"
    )
    begun = time.monotonic()
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) > 10
    assert time.monotonic() - begun < 50
