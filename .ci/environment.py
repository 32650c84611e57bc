"""Makes the environment that Holdall runs in: `.venv` in the project, from pinned versions.

What for: `python3 demo` and `python3 tests` work on a machine with nothing but Python.
In: the project folder and whether the test packages are wanted. Out: the path of a Python that
has everything. Standard library only, since nothing else stands yet.

A stamp inside `.venv` holds a hash of all that the environment was made from, so the second run
installs nothing and needs no network. Run as a program, `environment.py pins` writes
`.constraints.txt` anew from what is installed.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tomllib
import venv
from itertools import chain
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
CONSTRAINTS = ROOT / ".constraints.txt"
STAMPED = (CONSTRAINTS, ROOT / "pyproject.toml", Path(__file__))
TESTS_EXTRA = "tests"


class PreparationError(Exception):
    """The environment cannot be made; the message says why and what to do."""


def say(text: str) -> None:
    """One plain sentence for the person who waits."""
    print(text, flush=True)


def ready(*, tests: bool) -> Path:
    """The Python of a complete environment, made or mended if need be.

    Raises PreparationError with a sentence for people.
    """
    python = _python_in(VENV)
    if _stamp_is_current(tests):
        return python
    _make_venv(python)
    _install(python, tests)
    _compile(python)
    _stamp(tests)
    say("The environment stands; the next run starts at once.")
    return python


def _python_in(folder: Path) -> Path:
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


# --- the stamp ------------------------------------------------------------------------------


def _stamp_file(extra: str) -> Path:
    return VENV / f".holdall-{extra}"


def _fingerprint() -> str:
    """A hash of what the environment is made from, and of where it stands: it cannot be moved."""
    digest = hashlib.sha256(str(ROOT).encode())
    for path in STAMPED:
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _stamp_is_current(tests: bool) -> bool:
    """Whether an earlier run finished with the same ingredients and its Python still starts."""
    wanted = [TESTS_EXTRA] if tests else [TESTS_EXTRA, "runtime"]
    stamps = [_stamp_file(extra) for extra in wanted]
    current = any(s.is_file() and s.read_text() == _fingerprint() for s in stamps)
    return current and _works(_python_in(VENV))


def _stamp(tests: bool) -> None:
    _stamp_file(TESTS_EXTRA if tests else "runtime").write_text(_fingerprint())


# --- making and filling ---------------------------------------------------------------------


def _works(python: Path) -> bool:
    """Whether this Python starts, is new enough, has pip and belongs to our folder."""
    probe = "import sys, pip; print(sys.version_info >= (3, 11) and sys.prefix != sys.base_prefix)"
    try:
        done = subprocess.run([python, "-c", probe], capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.SubprocessError):
        return False
    return done.stdout.strip() == "True"


def _make_venv(python: Path) -> None:
    """Make `.venv`, or keep the one there if it works; one that came from elsewhere may not."""
    if _works(python):
        return
    if VENV.exists():
        say("The folder .venv does not work here (moved, or of another Python); making it anew.")
        shutil.rmtree(VENV, ignore_errors=True)
    say(f"Making a Python environment in {VENV} ...")
    try:
        venv.EnvBuilder(with_pip=True, clear=True, symlinks=os.name != "nt").create(VENV)
    except (OSError, subprocess.CalledProcessError) as problem:
        raise PreparationError(
            f"Python could not make an environment in {VENV} ({problem}).\n"
            "On Debian and Ubuntu the package python3-venv is needed: apt-get install python3-venv"
        ) from problem


def _install(python: Path, tests: bool) -> None:
    what = ".[tests]" if tests else "."
    say(
        "Installing what Holdall needs, in the versions of .constraints.txt "
        "(some 200 MB the first time, a few minutes) ..."
    )
    command = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    command += ["--constraint", CONSTRAINTS, "--editable", what]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        lines = (done.stderr or done.stdout).strip().splitlines()
        raise PreparationError(
            "The packages could not be installed. Is there a network? pip said:\n  "
            + "\n  ".join(lines[-8:])
        )


def _compile(python: Path) -> None:
    """Compile the packing code and keep it on disk, so that the first plan starts at once."""
    say("Compiling the packing code for this machine (once, about ten seconds) ...")
    command = [python, "-c", "from packer.decide import warm_up; warm_up()"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        raise PreparationError(f"The packing code could not be compiled:\n{done.stderr[-800:]}")


# --- programs that are not Python packages ----------------------------------------------------


def install_debian_packages(packages: list[str]) -> None:
    """Install system packages on a Debian-like machine as root; elsewhere say what is missing.

    Never fails: the tests that need a program that is not there say so and are skipped.
    """
    if not packages:
        return
    names = " ".join(packages)
    if not _may_apt():
        say(f"Not installed here: {names}. The tests that need them will be skipped.")
        return
    say(f"Installing for the tests, by apt-get: {names} ...")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (
        ["apt-get", "update", "-qq"],
        ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages],
    ):
        done = subprocess.run(command, env=environment, capture_output=True, text=True)
    if done.returncode:
        say(f"apt-get could not install {names}: {done.stderr.strip()[-300:]}")


def _may_apt() -> bool:
    return shutil.which("apt-get") is not None and getattr(os, "geteuid", lambda: 1)() == 0


# --- pins -------------------------------------------------------------------------------------

# Needed on Windows only, hence not installed where the pins are written.
_WINDOWS_PINS = ("colorama==0.4.6",)


def pins() -> list[str]:
    """`name==version` of all that Holdall and its tests need, however deep, as installed here."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"].values()
    found: dict[tuple[str, str], str] = {}
    _gather([*project["dependencies"], *chain.from_iterable(extras)], "", found)
    lines = [f"{name}=={version}" for (name, _extra), version in found.items()]
    return sorted({*lines, *_WINDOWS_PINS})


def _gather(requirements: list[str], extra: str, found: dict[tuple[str, str], str]) -> None:
    """Add to `found` (package, extra) what these requirements bring, however deep."""
    from importlib.metadata import PackageNotFoundError, distribution

    from packaging.requirements import Requirement
    from packaging.utils import canonicalize_name

    for need in map(Requirement, requirements):
        if need.marker is not None and not need.marker.evaluate({"extra": extra}):
            continue
        name = canonicalize_name(need.name)
        try:
            package = distribution(name)
        except PackageNotFoundError:
            continue
        for key in [(name, inner) for inner in ("", *need.extras)]:
            if key not in found:
                found[key] = package.version
                _gather(package.requires or [], key[1], found)


def _write_pins() -> None:
    heading = (
        "# Every package that Holdall and its tests need, pinned.\n"
        "# Written by: .venv/bin/python .ci/environment.py pins\n"
    )
    CONSTRAINTS.write_text(heading + "\n".join(pins()) + "\n")


if __name__ == "__main__":
    if sys.argv[1:] != ["pins"]:
        sys.exit("usage: environment.py pins")
    _write_pins()
