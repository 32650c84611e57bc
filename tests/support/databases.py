"""A PostgreSQL server started for the tests, where one is installed on this machine."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from support.programs import WHY_NOT, find_database_programs

_OWNER = "postgres"  # the server refuses to run as root


def why_no_postgres() -> str:
    """Why no server can be started here; empty where one can."""
    if find_database_programs() is None:
        return WHY_NOT["database"]
    if os.name == "posix" and os.getuid() == 0 and shutil.which("su") is None:
        return "PostgreSQL does not run as root and there is no `su` to become another user"
    return ""


class PostgresServer:
    """A server that listens on a socket in a folder of its own, and is gone afterwards."""

    def __init__(self) -> None:
        # Not under pytest's own folder: that one is shut to every user but the one who tests.
        self._folder = Path(tempfile.mkdtemp(prefix="holdall-postgres-"))
        self._made = 0

    def __enter__(self) -> PostgresServer:
        if os.getuid() == 0:
            shutil.chown(self._folder, _OWNER)
        data = self._folder / "data"
        _run("initdb", "-D", str(data), "-A", "trust", "-U", _OWNER, "--no-sync")
        options = f"-k {self._folder} -c listen_addresses='' -c fsync=off"
        log = str(self._folder / "log")
        _run("pg_ctl", "-D", str(data), "-l", log, "-w", "-o", options, "start")
        return self

    def __exit__(self, *_: object) -> None:
        _run("pg_ctl", "-D", str(self._folder / "data"), "-m", "immediate", "stop")
        shutil.rmtree(self._folder, ignore_errors=True)

    def new_database(self) -> str:
        """The URL of a database that is empty."""
        self._made += 1
        name = f"holdall_{self._made}"
        _run("createdb", "-h", str(self._folder), "-U", _OWNER, name)
        socket = f"{self._folder}/.s.PGSQL.5432"
        return f"postgresql://{_OWNER}@/{name}?unix_sock={socket}"


def _run(program: str, *words: str) -> None:
    folder = find_database_programs()
    assert folder is not None
    command = [str(Path(folder) / program), *words]
    if os.getuid() == 0:
        quoted = " ".join(f"'{word}'" if "'" not in word else f'"{word}"' for word in command)
        command = ["su", _OWNER, "-s", "/bin/sh", "-c", quoted]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    if done.returncode:
        raise RuntimeError(f"{program}: {done.stdout}{done.stderr}")
