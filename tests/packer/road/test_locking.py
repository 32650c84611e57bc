"""The lock: one at a time, and none left behind by whoever dies."""

import subprocess
import sys
import threading
import time
from pathlib import Path

from packer.road.locking import locked

HOLD = """
import sys, time
from pathlib import Path
from packer.road.locking import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def test_one_thread_at_a_time(tmp_path):
    """Eight threads add to a counter with a pause in between: no step is lost."""
    path, count = tmp_path / "book", [0]

    def step():
        for _ in range(5):
            with locked(path):
                before = count[0]
                time.sleep(0.001)
                count[0] = before + 1

    threads = [threading.Thread(target=step) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert count[0] == 40


def test_a_killed_process_leaves_no_lock(tmp_path):
    """The lock goes with the process that held it."""
    path = tmp_path / "book"
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[3],
    )
    assert process.stdout.readline() == "held\n"
    process.kill()
    process.wait()
    process.stdout.close()
    with locked(path):
        pass
