"""Boxes into identical bins: the published 240 instances, and peers with free turns.

    python tests/bench/bench_bins.py mpv [SECONDS] [FIRST LAST]    # instances FIRST to LAST of ten
    python tests/bench/bench_bins.py peers [SECONDS] [py3dbp|packingsolver3d]

Prints tables; asserts nothing. Seconds are processor seconds for each instance.
"""

from __future__ import annotations

import csv
import multiprocessing
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

from support.instances import BENCH, Boxes, absence, made_like_mpv, mpv  # noqa: E402
from support.peers import with_packingsolver3d, with_py3dbp  # noqa: E402

from packer.geometry import pack_bins  # noqa: E402

PEER_SECONDS = 60
PAPERS = ("TS3_Lodi_2002", "GLS_Faroe_2003", "TS2PACK_Crainic_2009", "GRASP_VND_Parreno_2010")


def bench_mpv(seconds: float, numbers: range) -> None:
    """Totals by class and size beside the bound and the figures of papers (from memory)."""
    pack_bins((2, 2, 2), [(1, 1, 1)] * 9, True, 0.01)
    sums: dict[tuple[int, int], list[float]] = defaultdict(lambda: [0, 0, 0, 0])
    for boxes in mpv(numbers=numbers):
        begun = time.process_time()
        found = pack_bins(boxes.inside, boxes.sizes, True, seconds)
        row = sums[int(boxes.name[5]), len(boxes.sizes)]
        spent = time.process_time() - begun
        for k, value in enumerate((boxes.l2, max(boxes.l2, found.bound), found.bins, spent)):
            row[k] += value
    print(f"{'class':>5} {'boxes':>5} {'L2':>6} {'bound':>6} {'ours':>6} {'s':>6}  {PAPERS}")
    papers = published()
    for key in sorted(sums):
        row = sums[key]
        print(
            f"{key[0]:5} {key[1]:5} {row[0]:6} {row[1]:6} {row[2]:6} {row[3]:6.1f}  {papers[key]}"
        )
    totals = [sum(row[k] for row in sums.values()) for k in range(4)]
    print(f"total       {totals[0]:6} {totals[1]:6} {totals[2]:6} {totals[3]:6.1f}")


def published() -> dict[tuple[int, int], list[str]]:
    """Means of ten by class and number of boxes."""
    with (BENCH / "mpv_published.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {(int(row["class"]), int(row["n"])): [row[paper] for paper in PAPERS] for row in rows}


def killable(peer: Callable[[Boxes], int | None], boxes: Boxes) -> int | None:
    """The peer's answer from a process of its own; None if it gave none in PEER_SECONDS."""
    pool = multiprocessing.get_context("spawn").Pool(1)
    try:
        return pool.apply_async(peer, (boxes,)).get(PEER_SECONDS)
    except multiprocessing.TimeoutError:
        return None
    finally:
        pool.terminate()


def bench_peers(seconds: float, peer: Callable[[Boxes], int | None]) -> None:
    """36 instances with six turns: six kinds, 20, 40 and 60 boxes, two each."""
    totals, worse, better, none = [0, 0], 0, 0, 0
    for kind in (1, 4, 5, 6, 7, 8):
        for count in (20, 40, 60):
            for seed in (1, 2):
                boxes = made_like_mpv(kind, count, seed)
                ours = pack_bins(boxes.inside, boxes.sizes, False, seconds).bins
                theirs = killable(peer, boxes)
                print(f"{boxes.name:14} ours {ours:3}  {peer.__name__} {theirs}", flush=True)
                if theirs is None:
                    none += 1
                else:
                    totals = [totals[0] + ours, totals[1] + theirs]
                    worse += ours > theirs
                    better += ours < theirs
    print(
        f"both answered: ours {totals[0]}, peer {totals[1]}; ours more on {worse}, "
        f"fewer on {better}; no answer from the peer on {none}"
    )


if __name__ == "__main__":
    given = sys.argv[1:]
    limit = float(given[1]) if len(given) > 1 else 2.0
    if given[:1] == ["peers"]:
        chosen = {"py3dbp": with_py3dbp, "packingsolver3d": with_packingsolver3d}
        bench_peers(limit, chosen[given[2] if len(given) > 2 else "py3dbp"])
    elif absence() is not None:
        print(absence())
    else:
        first, last = (int(given[2]), int(given[3])) if len(given) > 3 else (1, 10)
        bench_mpv(limit, range(first, last + 1))
