"""`python3 demo`: makes the environment if need be, then plans an invented trip before your eyes.

Anything after `demo` goes to `holdall plan`: `python3 demo --seconds 60`.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  (met by people before anything is installed)
    sys.exit("Holdall needs Python 3.11 or newer; this is Python " + sys.version.split()[0] + ".")

import importlib.util
import subprocess
from pathlib import Path

DEMO = Path(__file__).resolve().parent


def main():
    """Prepare and run; the exit code is that of `holdall plan`."""
    environment = _environment()
    try:
        python = environment.ready(tests=False)
    except environment.PreparationError as problem:
        print(problem, file=sys.stderr)
        return 1
    return subprocess.call([python, DEMO / "show.py", *sys.argv[1:]])


def _environment():
    """`.ci/environment.py`, which needs nothing but the standard library."""
    path = DEMO.parent / ".ci" / "environment.py"
    spec = importlib.util.spec_from_file_location("environment", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


if __name__ == "__main__":
    sys.exit(main())
