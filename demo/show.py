"""Writes the invented trip as a workbook, plans it with `holdall plan`, and says where to look.

The trip stands in `demo/trip` as a folder of CSV files, one a sheet; all that comes out goes to
`demo/out`.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from workbook import write_workbook

from packer.cli import main as holdall

DEMO = Path(__file__).resolve().parent
OUT = DEMO / "out"
SECONDS = "20"


def main(words: list[str]) -> int:
    """Run the demo; `words` go to `holdall plan`."""
    OUT.mkdir(exist_ok=True)
    trip = OUT / "trip.xlsx"
    try:
        write_workbook(DEMO / "trip", trip)
    except PermissionError:
        print(f"{_short(trip)} is open in another program; close it and try again.")
        return 1
    print(f"An invented trip stands in {_short(trip)}: an act of brass and synthesisers from an")
    print("invented Estonian town plays three festivals in Norway, Iceland and Switzerland.")
    print(f"Planning it, {SECONDS} s at most; the same as:")
    print(f"  holdall plan {_short(trip)} -o {_short(OUT)}")
    print(flush=True)
    code = holdall(["plan", _short(trip), "-o", _short(OUT), "--seconds", SECONDS, *words])
    if code == 0:
        print(f"\nLook into {_short(OUT)}: summary.pdf first, then case-sheets.pdf.")
    return code


def _short(path: Path) -> str:
    """The path as seen from where the user stands, or whole where that is another drive."""
    try:
        return os.path.relpath(path)
    except ValueError:
        return str(path)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
