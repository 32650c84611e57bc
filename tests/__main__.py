"""`python3 tests`: makes the environment if need be, then runs all tests in it.

Anything after `tests` goes to pytest: `python3 tests tests/packer/judge -x`.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  (met by people before anything is installed)
    sys.exit("Holdall needs Python 3.11 or newer; this is Python " + sys.version.split()[0] + ".")

import importlib.util
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def main():
    """Prepare and run; the exit code is pytest's."""
    environment = _load(ROOT / ".ci" / "environment.py")
    programs = _load(ROOT / "tests" / "support" / "programs.py")
    try:
        python = environment.ready(tests=True)
    except environment.PreparationError as problem:
        print(problem, file=sys.stderr)
        return 1
    environment.install_debian_packages(programs.missing_debian_packages())
    _offer_browser(environment, programs, python)
    command = [python, "-m", "pytest", *_workers(sys.argv[1:]), *sys.argv[1:]]
    environment.say("Running the tests ...")
    return subprocess.call(command, cwd=ROOT)


def _load(path):
    """A module by its path, since neither folder is on the path before the environment stands."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


def _workers(arguments):
    """Two test processes unless the user says otherwise."""
    chosen = any(a.startswith("-n") or a == "--pdb" for a in arguments)
    return [] if chosen else ["-n", "2"]


def _offer_browser(environment, programs, python):
    """Where no browser is found, let the browser driver fetch its own, once, if it can."""
    marker = environment.VENV / ".holdall-browser-tried"
    if programs.find_browser() or marker.exists():
        return
    environment.say("No browser found; trying to fetch one for the browser tests ...")
    marker.touch()
    command = [python, "-m", "playwright", "install", "chromium"]
    if subprocess.run(command, capture_output=True, timeout=600).returncode:
        environment.say("No browser could be fetched; the browser tests will be skipped.")


if __name__ == "__main__":
    sys.exit(main())
