"""The journal: nothing acknowledged is lost, nothing is doubled, nothing is edited away."""

import itertools
import json
import os
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packer.model.finding import Finding, Severity
from packer.road.journal import Draft, append, read_journal

AT = "2026-05-01T10:00:00+00:00"


def anything(_entries, _draft):
    return ()


def never(_entries, _draft):
    return (Finding("no", Severity.ERROR, "No."),)


def draft(key, **event):
    return Draft("Mika", key, event)


def codes(findings):
    return [finding.code for finding in findings]


def test_what_is_entered_is_read_back(tmp_path):
    """Entries come back numbered from 1, with time, person, key and event."""
    path = tmp_path / "book.jsonl"
    append(path, (draft("a", x=1), draft("b", x="ü")), anything, AT)
    append(path, (draft("c", x=None),), anything, AT)
    entries = read_journal(path).entries
    assert [(e.number, e.key, e.event) for e in entries] == [
        (1, "a", {"x": 1}),
        (2, "b", {"x": "ü"}),
        (3, "c", {"x": None}),
    ]
    assert {(e.who, e.at) for e in entries} == {("Mika", AT)}


def test_an_absent_journal_is_empty(tmp_path):
    """A journal that does not exist holds nothing and is not made by reading."""
    assert read_journal(tmp_path / "none.jsonl").entries == ()
    assert list(tmp_path.iterdir()) == []


def test_the_same_key_enters_once(tmp_path):
    """Sending the same thing again gives the first entry and writes nothing."""
    path = tmp_path / "book.jsonl"
    first = append(path, (draft("a", x=1),), anything, AT)
    size = path.stat().st_size
    again = append(path, (draft("a", x=1),), anything, "2026-05-02T00:00:00+00:00")
    assert again.entries == first.entries
    assert path.stat().st_size == size


def test_the_same_key_with_other_contents_is_refused(tmp_path):
    """A key stands for one event."""
    path = tmp_path / "book.jsonl"
    append(path, (draft("a", x=1),), anything, AT)
    assert codes(append(path, (draft("a", x=2),), anything, AT).findings) == ["key-used-twice"]
    assert len(read_journal(path).entries) == 1


def test_a_refusal_writes_nothing_of_what_came_with_it(tmp_path):
    """Drafts sent together stand together or not at all."""
    path = tmp_path / "book.jsonl"

    def second_is_bad(entries, one):
        return never(entries, one) if one.key == "b" else ()

    result = append(path, (draft("a"), draft("b")), second_is_bad, AT)
    assert result.refused
    assert read_journal(path).entries == ()


def test_a_draft_is_ruled_on_with_the_one_before_it(tmp_path):
    """The rule sees what the same call has entered so far."""
    seen = []

    def watch(entries, one):
        seen.append((one.key, len(entries)))
        return ()

    append(tmp_path / "book.jsonl", (draft("a"), draft("b")), watch, AT)
    assert seen == [("a", 0), ("b", 1)]


@given(cut=st.integers(1, 100))
def test_a_torn_last_line_is_ignored_reported_and_not_in_the_way(tmp_path_factory, cut):
    """A line that broke off at any byte costs nothing that was acknowledged before it."""
    path = tmp_path_factory.mktemp("torn") / "book.jsonl"
    append(path, (draft("a", x=1),), anything, AT)
    whole = path.read_bytes()
    append(path, (draft("b", x=2),), anything, AT)
    torn = path.read_bytes()[len(whole) :]
    path.write_bytes(whole + torn[: min(cut, len(torn) - 2)])
    contents = read_journal(path)
    assert [e.key for e in contents.entries] == ["a"]
    assert codes(contents.findings) == ["journal-line-torn"]
    append(path, (draft("b", x=2),), anything, AT)
    assert [(e.number, e.key) for e in read_journal(path).entries] == [(1, "a"), (2, "b")]


@pytest.mark.parametrize("change", ["event", "removed", "swapped", "number"])
def test_an_entry_changed_by_hand_is_noticed(tmp_path, change):
    """Editing, cutting out or swapping lines shows, and nothing more is entered."""
    path = tmp_path / "book.jsonl"
    append(path, tuple(draft(k, x=1) for k in "abc"), anything, AT)
    lines = path.read_text().splitlines()
    if change == "event":
        lines[1] = lines[1].replace('"x": 1', '"x": 2')
    elif change == "removed":
        del lines[1]
    elif change == "swapped":
        lines[0], lines[1] = lines[1], lines[0]
    else:
        lines[1] = json.dumps({**json.loads(lines[1]), "number": 7})
    path.write_text("\n".join(lines) + "\n")
    contents = read_journal(path)
    assert contents.altered
    assert codes(contents.findings) == ["journal-altered"]
    result = append(path, (draft("d"),), anything, AT)
    assert result.refused
    assert path.read_text().splitlines() == lines


WRITER = textwrap.dedent(
    """
    import sys
    from pathlib import Path
    from packer.road.journal import Draft, append
    path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    print("ready", flush=True)
    sys.stdin.readline()
    for k in range(count):
        key = f"{name}-{k}"
        append(path, (Draft(name, key, {"k": k}),), lambda entries, draft: (), "now")
        print(key, flush=True)
    """
)


def writer(path, name, count):
    """A process that enters `count` events and prints the key of each once it stands; see `go`."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name, str(count)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[3],
    )
    assert process.stdout.readline() == "ready\n"
    return process


def go(process):
    """Let a waiting writer start."""
    process.stdin.write("go\n")
    process.stdin.close()


def test_two_writers_at_once_neither_lose_nor_double(tmp_path):
    """Two processes entering side by side: every event once, numbers without a gap."""
    path = tmp_path / "book.jsonl"
    processes = [writer(path, name, 150) for name in ("first", "second")]
    for process in processes:
        go(process)
    printed = [process.stdout.read().split() for process in processes]
    assert [process.wait(60) for process in processes] == [0, 0]
    assert [len(keys) for keys in printed] == [150, 150]
    entries = read_journal(path).entries
    assert [e.number for e in entries] == list(range(1, 301))
    changes = sum(a.who != b.who for a, b in itertools.pairwise(entries))
    assert changes > 1, "the two writers did not overlap"
    assert sorted(e.key for e in entries) == sorted(
        f"{name}-{k}" for name in ("first", "second") for k in range(150)
    )


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGKILL")
def test_a_killed_writer_loses_nothing_that_it_acknowledged(tmp_path):
    """Killed in the middle of writing, four times over: all acknowledged entries stand."""
    path = tmp_path / "book.jsonl"
    acknowledged = []
    for turn in range(4):
        process = writer(path, f"turn{turn}", 100_000)
        go(process)
        acknowledged.append(process.stdout.readline().strip())
        time.sleep(0.05 * turn)
        process.send_signal(signal.SIGKILL)
        acknowledged += [line.strip() for line in process.stdout if line.endswith("\n")]
        process.wait()
        process.stdout.close()
    contents = read_journal(path)
    assert not contents.altered
    assert set(acknowledged) <= {e.key for e in contents.entries}
    assert [e.number for e in contents.entries] == list(range(1, len(contents.entries) + 1))
    append(path, (draft("after"),), anything, AT)
    assert read_journal(path).entries[-1].key == "after"
