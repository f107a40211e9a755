"""``kill -9`` inside commits, and two programs on one file: nothing acknowledged is lost, no half act."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.benchmarks.terminal import Program
from tests.store import fault_layer
from tests.store.appending import whole_acts
from tests.store.making import filled
from tunneltui.demo.make import make_demo
from tunneltui.store.health import check_file
from tunneltui.store.journal_file import JournalFile


def _start(path: Path, home: Path, device: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.store.appending", str(path), device],
        env=fault_layer.environment(home),
        cwd=fault_layer.REPOSITORY,
        stdout=subprocess.PIPE,
    )


def _acknowledged_until_killed(child: subprocess.Popen[bytes], wait_s: float, acts: int = 1) -> set[int]:
    """Kills the writer ``wait_s`` after it acknowledged ``acts`` acts; the numbers it had acknowledged."""
    assert child.stdout is not None
    first = b"".join(child.stdout.readline() for _ in range(acts))
    assert first.count(b"\n") == acts, "the writer ended by itself"
    with pytest.raises(subprocess.TimeoutExpired):
        child.wait(timeout=wait_s)
    child.send_signal(signal.SIGKILL)
    rest = child.stdout.read()
    child.wait()
    # A number that was cut in the pipe by the kill is no acknowledgement.
    return {int(line) for line in (first + rest).split(b"\n")[:-1]}


def _kill_again_and_again(path: Path, home: Path, times: int) -> int:
    """Kills the writer; after each kill everything acknowledged must be there. Returns how many that were."""
    draw = random.Random(9)
    acknowledged: set[int] = set()
    for _ in range(times):
        child = _start(path, home, "one")
        acknowledged |= _acknowledged_until_killed(child, draw.uniform(0.0, 0.02))
        with JournalFile.open(path) as journal:
            there = whole_acts(journal.entries(), "one")
        assert acknowledged <= there
        # At most the one act that was under way may be there without having been acknowledged.
        assert len(there - acknowledged) <= times
    return len(acknowledged)


def test_kill_9_inside_commits_loses_nothing_acknowledged(path: Path, home: Path) -> None:
    assert _kill_again_and_again(path, home, 10) >= 10
    assert check_file(path) == []


@pytest.mark.long
def test_kill_9_inside_commits_500_times_loses_nothing_acknowledged(path: Path, home: Path) -> None:
    assert _kill_again_and_again(path, home, 500) >= 500
    assert check_file(path) == []


@pytest.mark.long
def test_kill_9_of_the_running_program_200_times_leaves_a_journal_in_order(tmp_path: Path) -> None:
    """The screens, while a walk is being ticked off; what they said to be done is there."""
    draw = random.Random(200)
    path = tmp_path / "demo.db"
    said = 0
    for turn in range(200):
        if turn % 4 == 0:  # before the day's work is all done
            path = tmp_path / f"demo{turn}.db"
            make_demo(path)
        with JournalFile.open(path, read_only=True) as journal:
            before = journal.head().count
        with Program([sys.executable, "-m", "tunneltui", "--at", str(path)], tmp_path) as program:
            program.until(b"keys")
            program.type(b"\r")
            program.until(b"min left")
            program.type(b"\x1b[C")
            program.rest(0.3)
            program.type(b"\x1b[C")
            program.rest(0.3)
            program.seen = b""
            for _ in range(draw.randint(1, 4)):
                program.type(b" ")
                program.rest(draw.uniform(0.05, 0.6))
        with JournalFile.open(path) as journal:
            after = journal.head().count
        assert after >= before
        assert after > before or b"takes it back" not in program.seen
        said += b"takes it back" in program.seen
        assert check_file(path) == []
    assert said > 20


def test_two_programs_on_one_file_both_write_and_a_killed_one_stops_nobody(path: Path, home: Path) -> None:
    JournalFile.open(path).close()
    one, two = _start(path, home, "one"), _start(path, home, "two")
    of_one = _acknowledged_until_killed(one, 0.1, acts=5)
    of_two = _acknowledged_until_killed(two, 0.1, acts=5)
    with JournalFile.open(path) as journal:
        entries = journal.entries()
        assert of_one <= whole_acts(entries, "one")
        assert of_two <= whole_acts(entries, "two")


_DIES_IN_A_TRANSACTION = """
import os, sqlite3, sys
raw = sqlite3.connect(sys.argv[1], isolation_level=None)
raw.execute("PRAGMA cache_size = 1")  # so that half of the transaction reaches the file before it ends
raw.execute("BEGIN IMMEDIATE")
raw.executemany(
    "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body)"
    " VALUES (?, 0, 'half', 'x', '2026-08-20', ?, '', '', 'note', 1, '{}')",
    ((f"half-{n}", n) for n in range(2000)),
)
os.kill(os.getpid(), 9)
"""


def test_a_write_cut_off_half_way_is_undone_even_when_the_next_start_only_reads(path: Path) -> None:
    """The rollback journal that a kill leaves must not make the morning's round unreadable."""
    before = filled(path, 30)
    subprocess.run([sys.executable, "-c", _DIES_IN_A_TRANSACTION, path], check=False)
    assert Path(f"{path}-journal").stat().st_size > 0
    with JournalFile.open(path, read_only=True) as journal:
        assert journal.entries() == before
