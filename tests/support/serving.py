"""A server for tests: in this process, or one of its own that can be killed in the middle."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import httpx

ROOT = Path(__file__).resolve().parents[2]
OPEN = ("waiting", "solving")


class Caller:
    """Calls the API as one person; `json` checks the status on the way."""

    def __init__(self, client: httpx.Client) -> None:
        self.client = client

    def json(self, method: str, path: str, status: int = 200, **more: Any) -> Any:
        """The JSON of an answer that has this status."""
        answer = self.client.request(method, f"/api/v1{path}", **more)
        assert answer.status_code == status, f"{method} {path}: {answer.status_code} {answer.text}"
        return answer.json() if answer.content else None

    def send_trip(self, content: bytes, file: str = "tour.xlsx") -> str:
        """Send a trip; returns its id."""
        sent = self.json("POST", "/trips", 201, files={"workbook": (file, content)})
        return str(sent["id"])

    def ask_plan(self, trip: str, **ask: Any) -> str:
        """Ask for a plan; returns its id."""
        asked = self.json("POST", f"/trips/{trip}/plans", 202, json={"seconds": 5, **ask})
        return str(asked["id"])

    def wait_for(self, plan: str, seconds: float = 180) -> Any:
        """The plan once it has a result."""
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            found = self.json("GET", f"/plans/{plan}")
            if found["state"] not in OPEN:
                return found
            time.sleep(0.1)
        raise AssertionError(f"plan {plan} has no result after {seconds} s")

    def planned(self, trip: str, **ask: Any) -> str:
        """A plan of the trip that is done; returns its id."""
        plan = self.ask_plan(trip, **ask)
        found = self.wait_for(plan)
        assert found["state"] == "done", found
        return plan


class Served:
    """A server process of its own on a free port of this machine."""

    def __init__(
        self, data: Path, *words: str, port: int = 0, environment: Mapping[str, str] | None = None
    ) -> None:
        self.port = port or free_port()
        self.data = data
        self.log = data / "server.log"
        data.mkdir(parents=True, exist_ok=True)
        command = [sys.executable, "-m", "packer", "serve", "--data", str(data)]
        self._process = subprocess.Popen(
            [*command, "--port", str(self.port), *words],
            cwd=ROOT,
            env={**os.environ, **(environment or {})},
            stdout=subprocess.DEVNULL,
            stderr=self.log.open("ab"),
        )
        self.url = f"http://127.0.0.1:{self.port}"
        self._wait()

    def _wait(self) -> None:
        for _ in range(300):
            if self._process.poll() is not None:
                raise AssertionError(f"the server ended: {self.log.read_text()}")
            try:
                httpx.get(f"{self.url}/static/icon.svg", timeout=1)
                return
            except httpx.TransportError:
                time.sleep(0.1)
        raise AssertionError("the server did not come up within 30 s")

    def caller(self, **more: Any) -> Caller:
        """Someone who calls this server."""
        return Caller(httpx.Client(base_url=self.url, timeout=60, **more))

    def kill(self) -> None:
        """End it as a power cut would."""
        self._process.kill()
        self._process.wait(10)

    def children(self) -> list[int]:
        """The processes that the server started and that still run."""
        found: list[int] = []
        for path in Path("/proc").glob("[0-9]*/stat"):
            try:
                parent = path.read_text().rsplit(")", 1)[1].split()[1]
            except OSError:
                continue  # it has just ended
            if int(parent) == self._process.pid:
                found.append(int(path.parent.name))
        return found

    def kill_all(self) -> None:
        """End the server and every process that it started, all as a power cut would."""
        children = self.children()
        self._process.kill()
        for child in children:
            with suppress(ProcessLookupError):
                os.kill(child, signal.SIGKILL)
        self._process.wait(10)

    def end(self) -> None:
        """End it in order."""
        self._process.terminate()
        try:
            self._process.wait(20)
        except subprocess.TimeoutExpired:
            self.kill()


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(data: Path, *words: str, **more: Any) -> Iterator[Served]:
    """A server process for the length of a block."""
    server = Served(data, *words, **more)
    try:
        yield server
    finally:
        server.end()
