"""How one server is set up: where it keeps things, whom it lets in, how much it takes on.

One frozen value, made by `packer.cli.serve` or by a test, and read by every part of `api`.
"""

from __future__ import annotations

import ipaddress
import os
from dataclasses import dataclass
from pathlib import Path

MEGABYTE = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Ceilings:
    """The most that the server takes from anyone: bytes, cells, seconds, solves at once."""

    upload_bytes: int = 25 * MEGABYTE
    unpacked_bytes: int = 300 * MEGABYTE
    cells: int = 2_000_000
    read_seconds: float = 60.0
    paper_seconds: float = 120.0
    solve_seconds: float = 900.0
    solves_at_once: int = 1
    solves_waiting: int = 50
    solver_workers: int = 2
    desk_hands: int = 2


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything a server is told before it starts.

    `database` is a URL (`sqlite:///...`, `postgresql://...`) or empty for one file in `data`.
    `token` lets its bearer in with the role manage; empty for none.
    `https` says that pages are served over TLS, so cookies may be marked for it.
    """

    data: Path
    database: str = ""
    host: str = "127.0.0.1"
    port: int = 8750
    token: str = ""
    https: bool = False
    ceilings: Ceilings = Ceilings()

    @property
    def is_loopback(self) -> bool:
        """True when only this machine can reach the server."""
        return is_loopback(self.host)

    @property
    def database_url(self) -> str:
        """The URL of the store; by default one SQLite file in the data folder."""
        return self.database or f"sqlite:///{self.data / 'holdall.db'}"


def is_loopback(host: str) -> bool:
    """True for `localhost` and the addresses that never leave this machine (RFC 1122, RFC 4291)."""
    bare = host.strip("[]").lower()
    if bare == "localhost":
        return True
    try:
        return ipaddress.ip_address(bare).is_loopback
    except ValueError:
        return False


def default_data_folder() -> Path:
    """Where the server keeps its one file: `HOLDALL_DATA`, or the user's own data folder."""
    named = os.environ.get("HOLDALL_DATA")
    if named:
        return Path(named)
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA", Path.home())) / "holdall"
    base = os.environ.get("XDG_DATA_HOME")
    return (Path(base) if base else Path.home() / ".local" / "share") / "holdall"
