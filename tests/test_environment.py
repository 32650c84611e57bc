"""Making the environment: renewed when its ingredients change, mended when broken, else kept."""

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def environment(tmp_path, monkeypatch):
    """`.ci/environment.py`, made to work in an empty project folder with two ingredients."""
    spec = importlib.util.spec_from_file_location("environment", ROOT / ".ci" / "environment.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    (tmp_path / "pins").write_text("a==1\n")
    (tmp_path / "project").write_text("[project]\n")
    monkeypatch.setattr(module, "ROOT", tmp_path)
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "STAMPED", (tmp_path / "pins", tmp_path / "project"))
    return module


@pytest.fixture
def made(environment, monkeypatch):
    """The same, with what needs time or a network counted and not done; (module, calls)."""
    calls = []
    monkeypatch.setattr(environment, "_works", lambda _python: True)
    monkeypatch.setattr(environment, "_make_venv", lambda _: environment.VENV.mkdir(exist_ok=True))
    monkeypatch.setattr(environment, "_install", lambda _python, tests: calls.append(tests))
    monkeypatch.setattr(environment, "_compile", lambda _python: None)
    return environment, calls


def test_the_second_run_installs_nothing(made):
    """So it needs no network and starts at once."""
    environment, calls = made
    environment.ready(tests=True)
    environment.ready(tests=True)
    assert calls == [True]


def test_the_demo_is_content_with_the_environment_of_the_tests(made):
    """The tests need more; the other way round they install the rest."""
    environment, calls = made
    environment.ready(tests=False)
    environment.ready(tests=True)
    environment.ready(tests=False)
    assert calls == [False, True]


@pytest.mark.parametrize("ingredient", ["pins", "project"])
def test_a_changed_ingredient_renews_it(made, tmp_path, ingredient):
    """A pull that brings other versions is noticed."""
    environment, calls = made
    environment.ready(tests=True)
    (tmp_path / ingredient).write_text("changed\n")
    environment.ready(tests=True)
    assert calls == [True, True]


def test_a_moved_project_renews_it(made, tmp_path, monkeypatch):
    """What is installed points to the old place."""
    environment, calls = made
    environment.ready(tests=True)
    monkeypatch.setattr(environment, "ROOT", tmp_path / "elsewhere")
    environment.ready(tests=True)
    assert calls == [True, True]


def test_a_folder_that_does_not_work_is_made_anew(environment, capsys):
    """A .venv that came with a copy of the project, with a Python that is not there."""
    (environment.VENV / "bin").mkdir(parents=True)
    (environment.VENV / "bin" / "python").write_text("#!/nonexistent\n")
    environment._make_venv(environment._python_in(environment.VENV))
    assert environment._works(environment._python_in(environment.VENV))
    assert "does not work here" in capsys.readouterr().out


def test_a_failed_install_says_what_pip_said(environment, monkeypatch):
    """In a sentence, without a traceback."""
    answer = subprocess.CompletedProcess([], 1, "", "no such host\n")
    monkeypatch.setattr(environment.subprocess, "run", lambda *_args, **_more: answer)
    with pytest.raises(environment.PreparationError, match="no such host"):
        environment._install(Path(sys.executable), tests=False)


def test_without_apt_or_root_missing_programs_are_named(environment, monkeypatch, capsys):
    """Nothing fails; the tests that need them are skipped with the reason."""
    monkeypatch.setattr(environment, "_may_apt", lambda: False)
    environment.install_debian_packages(["chromium"])
    assert "Not installed here: chromium" in capsys.readouterr().out


@pytest.mark.parametrize("folder", ["demo", "tests"])
def test_an_old_python_is_refused_in_a_sentence(folder):
    """3.11 is the oldest that is supported; the check comes before anything newer is imported."""
    code = (
        "import sys, runpy; sys.version_info = (3, 10, 0); sys.version = '3.10.0 (old)';"
        f"runpy.run_path({str(ROOT / folder)!r}, run_name='__main__')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stderr == "Holdall needs Python 3.11 or newer; this is Python 3.10.0.\n"
