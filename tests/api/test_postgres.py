"""The whole server over a real PostgreSQL: a trip, a plan, a tick, a restart."""

from __future__ import annotations

from pathlib import Path

from support.databases import PostgresServer
from support.serving import served


def test_the_server_works_on_postgresql(
    postgres: PostgresServer, tmp_path: Path, tour: bytes
) -> None:
    """What was acknowledged before the restart is there after it, byte for byte."""
    url = postgres.new_database()
    with served(tmp_path / "one", environment={"HOLDALL_DATABASE": url}) as server:
        caller = server.caller()
        trip = caller.send_trip(tour)
        plan = caller.planned(trip)
        case = caller.json("GET", f"/plans/{plan}/packing")["cases"][0]
        entry = {"key": "postgres-tick-1", "kind": "tick", "case": case["case"], **case["out"][0]}
        batch = {"entries": [{**entry, "at": "2026-07-01T10:00:00Z"}]}
        assert caller.json("POST", f"/plans/{plan}/packing", json=batch)["packed"] == 1
    with served(tmp_path / "two", environment={"HOLDALL_DATABASE": url}) as server:
        caller = server.caller()
        assert caller.client.get(f"/api/v1/trips/{trip}/uploads/1/original").content == tour
        assert caller.json("POST", f"/plans/{plan}/packing", json=batch)["packed"] == 1
    assert not (tmp_path / "two" / "holdall.db").exists()
