"""Fifty people looking while five plans are solved: no error, and pages stay quick."""

from __future__ import annotations

import statistics
import threading
import time
from pathlib import Path

import httpx
from support.serving import served

LOOKERS, LOOKS = 50, 4
# The page Papers is not among them on purpose: its first look writes the papers.
PAGES = ("", "/decisions", "/solve", "/cases", "/borders")


def test_fifty_look_while_five_are_solved(tmp_path: Path, tour: bytes) -> None:
    """Every answer is 200; the median is printed. Times are not asserted: machines differ."""
    with served(tmp_path, "--solves-at-once", "5") as server:
        caller = server.caller()
        trip = caller.send_trip(tour)
        plan = caller.planned(trip)
        plans = [caller.ask_plan(trip, seed=seed, seconds=5) for seed in range(1, 6)]
        found: list[tuple[int, float]] = []

        def look(person: int) -> None:
            with httpx.Client(base_url=server.url, timeout=60) as client:
                for turn in range(LOOKS):
                    page = PAGES[(person + turn) % len(PAGES)]
                    begun = time.monotonic()
                    answer = client.get(f"/trips/{trip}{page}?plan={plan}")
                    found.append((answer.status_code, time.monotonic() - begun))
                    time.sleep(1.0)  # a person looks at what came before asking for more

        threads = [threading.Thread(target=look, args=(n,)) for n in range(LOOKERS)]
        for number, thread in enumerate(threads):
            thread.start()
            time.sleep(1 / LOOKERS if number else 0)
        for thread in threads:
            thread.join()
        # They give way to pages, so on a busy machine they may come late.
        states = [caller.wait_for(one, 300)["state"] for one in plans]
    times = [seconds for _, seconds in found]
    print(
        f"\n{len(found)} pages for {LOOKERS} people, {len(plans)} plans at once: median"
        f" {statistics.median(times) * 1000:.0f} ms, slowest {max(times) * 1000:.0f} ms"
    )
    assert {status for status, _ in found} == {200}
    assert len(found) == LOOKERS * LOOKS  # nobody was left without an answer
    assert states == ["done"] * 5
