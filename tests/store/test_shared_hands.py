"""Several hands on one season, on a real server: nothing missed, nothing doubled, the same season for all."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Event

import pytest

from tests.season.entries import differences
from tests.store import fault_layer
from tests.store.appending import act, whole_acts
from tests.store.making import DAY, entry, note, texts
from tests.store.private_server import NearDoor, PrivateServer
from tunneltui.demo.make import make_demo
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.season.fold import fold
from tunneltui.store import shared_connection, shared_tables
from tunneltui.store.health import check_journal
from tunneltui.store.journals import open_journal
from tunneltui.store.rows import sealed
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.where import SharedAt, Where

HANDS = 4
ACTS = 250


def _started(module: str, home: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", f"tests.store.{module}", *words],
        env=fault_layer.environment(home),
        cwd=fault_layer.REPOSITORY,
        stdout=subprocess.PIPE,
        text=True,
    )


def _read_until(
    done: Event, at: SharedAt, state: Path, wait: Callable[[SharedJournal], None]
) -> list[tuple[int, Entry]]:
    """What one reader reads on while others write; once more after the last of them is done."""
    rows: list[tuple[int, Entry]] = []
    with SharedJournal.open(at, create=False, read_only=True, state_dir=state) as journal:
        last_look = False
        while not last_look:
            last_look = done.is_set()
            rows += journal.entries_after(rows[-1][0] if rows else 0)
            if not last_look:
                wait(journal)
    return rows


def _polls(_: SharedJournal) -> None:
    time.sleep(0.002)


def _listens(journal: SharedJournal) -> None:
    journal.wait_for_more(0.2)


def test_four_hands_with_acts_taken_back_miss_nothing_and_double_nothing(
    server: PrivateServer, tmp_path: Path
) -> None:
    at = server.new()
    make_demo(at)
    with open_journal(at, read_only=True) as journal:
        begun = journal.head().count
    done = Event()
    with ThreadPoolExecutor(2) as pool:
        readers = [
            pool.submit(_read_until, done, at, tmp_path / str(n), wait)
            for n, wait in enumerate((_polls, _listens))
        ]
        hands = [_started("hand", tmp_path / f"hand{n}", at.url, f"hand{n}", str(ACTS)) for n in range(HANDS)]
        told = [hand.communicate(timeout=300)[0].splitlines() for hand in hands]
        done.set()
        read = [reader.result() for reader in readers]

    assert [hand.returncode for hand in hands] == [0] * HANDS
    assert [len(acts) for acts in told] == [ACTS] * HANDS
    wrote = [name for acts in told for act_ in acts for name in act_.split()]
    assert len(set(wrote)) == len(wrote)
    for rows in read:
        assert [seq for seq, _ in rows] == list(range(1, begun + len(wrote) + 1)), "no number missed or read twice"
        assert sorted(one.id for _, one in rows[begun:]) == sorted(wrote), (
            "all that was told written, nothing else"
        )
    assert read[0] == read[1]
    _one_season_for_all(at, [[one for _, one in rows] for rows in read], server, tmp_path)


def _one_season_for_all(at: SharedAt, readings: list[list[Entry]], server: PrivateServer, tmp_path: Path) -> None:
    """The same season and, byte for byte, the same round; also in a file it was copied to, and back from there."""
    file, back = tmp_path / "copy.db", server.new()
    NearDoor(tmp_path / "a").says("journal", "copy", str(at), str(file))
    NearDoor(tmp_path / "b").says("journal", "copy", str(file), str(back))
    for place in (file, back):
        with open_journal(place, read_only=True) as journal:
            readings.append([one for _, one in journal.entries_after(0)])
    first, *others = readings
    season = fold(first, DAY)
    assert season.leaders
    for reading in others:
        assert reading == first
        assert differences(fold(list(reversed(reading)), DAY), season) == []
    places: tuple[Where, ...] = (at, at, file, back)
    rounds = [
        NearDoor(tmp_path / f"reader{n}").says("--at", str(place), "round", "--json")
        for n, place in enumerate(places)
    ]
    assert '"spots"' in rounds[0]
    assert set(rounds) == {rounds[0]}


def test_a_reader_that_polls_misses_nothing_of_a_slow_writer(server: PrivateServer, tmp_path: Path) -> None:
    """The slow one has its number first and commits last: whoever wants the next number waits for it."""
    at = server.new()
    with open_journal(at) as quick, closing(shared_connection.connect(at)) as slow, ThreadPoolExecutor(2) as pool:
        quick.append([note("first")], DAY)
        done, began = Event(), Event()

        def write_slowly() -> None:
            with shared_connection.writing(slow):
                shared_tables.insert(slow, [(0, *sealed(entry("slow")))])
                began.set()
                time.sleep(0.5)

        reading = pool.submit(_read_until, done, at, tmp_path, _polls)
        writing = pool.submit(write_slowly)
        assert began.wait(30)
        quick.append([note("last")], DAY)
        assert writing.done(), "the second writer's commit came after the slow one's"
        done.set()
        rows = reading.result()
    assert [seq for seq, _ in rows] == [1, 2, 3]
    assert [one.id for _, one in rows][1] == "slow"


def test_a_server_killed_twice_while_two_write_keeps_every_act_whole_and_once(
    server: PrivateServer, tmp_path: Path
) -> None:
    at = server.new()
    open_journal(at).close()
    writers = {name: _started("appending", tmp_path / name, at.url, name) for name in ("one", "two")}
    try:
        for _ in range(2):
            for writer in writers.values():
                _told(writer, 40)
            server.kill()
            server.start()
        told = {name: _told(writer, 40) for name, writer in writers.items()}
    finally:
        for writer in writers.values():
            writer.kill()
    for name, writer in writers.items():
        assert writer.stdout is not None
        rest = writer.stdout.read().split()
        writer.wait()
        told[name] = int(rest[-1]) if rest else told[name]
    with open_journal(at, create=False) as journal:
        # The last act may have been written but not told: the writer was killed in between.
        wanted = {name: set(range(1, last + 1)) for name, last in told.items()}
        entries = journal.entries()
        for name, last in told.items():
            assert whole_acts(entries, name) - {last + 1} == wanted[name]
        rows = journal.entries_after(0)
        assert [seq for seq, _ in rows] == list(range(1, len(rows) + 1))


@pytest.mark.long
def test_twenty_hands_on_a_server_restarted_frozen_and_cut_keep_every_act_once(
    server: PrivateServer, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    """Five minutes of it, a trouble every few seconds."""
    at = server.new()
    open_journal(at).close()
    draw = random.Random(20)
    names = [f"hand{n}" for n in range(20)]
    files = {name: (tmp_path / f"{name}.told").open("wb") for name in names}
    hands = {
        name: subprocess.Popen(
            [sys.executable, "-m", "tests.store.patient_hand", at.url, name],
            env=fault_layer.environment(tmp_path / name),
            cwd=fault_layer.REPOSITORY,
            stdout=files[name],
        )
        for name in names
    }
    troubles: Counter[str] = Counter()
    try:
        while not all((tmp_path / f"{name}.told").stat().st_size for name in names):
            time.sleep(0.1)  # who starts the program is told at once that the server is away, and does not wait
        until = time.monotonic() + 300
        while time.monotonic() < until:
            time.sleep(draw.uniform(3, 9))
            trouble = draw.choice(["restarted", "frozen", "cut"])
            troubles[trouble] += 1
            if trouble == "restarted":
                server.kill()
                server.start()
            elif trouble == "frozen":
                with server.frozen():
                    time.sleep(draw.uniform(2, 9))
            else:
                _end_connections(at)
        assert [name for name, hand in hands.items() if hand.poll() is not None] == [], "a hand gave up"
    finally:
        for name, hand in hands.items():
            hand.kill()
            hand.wait()
            files[name].close()
    told = {name: [int(line) for line in _whole_lines(tmp_path / f"{name}.told")] for name in names}
    with open_journal(at, create=False, accept_older=True) as journal:
        entries = journal.entries()
        numbers = [seq for seq, _ in journal.entries_after(0)]
    assert numbers == list(range(1, len(numbers) + 1))
    for name in names:
        there = whole_acts(entries, name)
        assert told[name] == list(range(1, len(told[name]) + 1))
        # The last one may be there without having been told of: the hand was killed in between.
        assert set(told[name]) <= there <= {*told[name], len(told[name]) + 1}
    assert check_journal(at) == []
    acts = sum(map(len, told.values()))
    record_property("tells", f"{acts} acts of 20 hands in five minutes, the server {dict(troubles)}")


def _whole_lines(file: Path) -> list[bytes]:
    return file.read_bytes().split(b"\n")[:-1]


def _told(writer: subprocess.Popen[str], acts: int) -> int:
    """Waits until the writer has told of so many more acts; the number of the last."""
    assert writer.stdout is not None
    for _ in range(acts):
        line = writer.stdout.readline()
        assert line.strip(), "a writer ended"
    return int(line)


# ------------------------------------------------------------------------------------- a connection that is lost


def test_a_connection_lost_before_the_commit_is_sought_again_and_the_act_written_once(
    server: PrivateServer,
) -> None:
    at = server.new()
    asked = 0

    def clock() -> int:
        """Asked within the transaction, just before the rows go in."""
        nonlocal asked
        asked += 1
        if asked == 2:
            _end_connections(at)
        return 1_787_000_000_000_000

    with open_journal(at, clock=clock) as journal:
        written = journal.append([note("a"), note("b")], DAY)
        assert [one for _, one in journal.entries_after(0)] == written
    assert texts(written) == ["a", "b"]
    assert asked == 3, "it was tried twice"


def test_a_connection_lost_after_the_commit_tells_what_was_written_and_writes_no_second_act(
    server: PrivateServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    import psycopg

    at = server.new()
    whole = shared_connection.writing
    lost: list[object] = []

    class LosingItsAnswer:
        """A transaction that is committed, and whose answer is lost the first time."""

        def __init__(self, connection: shared_connection.Connection) -> None:
            self._connection = connection
            self._whole = whole(connection)

        def __enter__(self) -> None:
            self._whole.__enter__()

        def __exit__(self, *why: object) -> None:
            self._whole.__exit__(*why)  # type: ignore[arg-type]
            if not lost:
                lost.append(self)
                self._connection.close()
                raise psycopg.OperationalError("server closed the connection unexpectedly")

    with open_journal(at) as journal:
        monkeypatch.setattr(shared_connection, "writing", LosingItsAnswer)
        written = journal.append(act(1), DAY)
        assert lost
        assert [one for _, one in journal.entries_after(0)] == written
        assert whole_acts(journal.entries()) == {1}
        lost.clear()
        added = journal.add_entries([entry("x"), entry("y")])
        assert lost
        assert (len(added.new), added.same) == (2, 0), "they are new, although the second try found them there"
        assert len(journal.entries_after(0)) == 5


def _end_connections(at: SharedAt) -> None:
    with shared_connection.connect(at) as ours:
        ours.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )


def test_a_lock_waited_for_too_long_is_told_and_nothing_written(server: PrivateServer) -> None:
    at = server.new()
    with open_journal(at) as journal, closing(shared_connection.connect(at)) as other:
        assert isinstance(journal, SharedJournal)
        journal._connection.execute("SET lock_timeout = '100ms'")  # type: ignore[union-attr]
        with shared_connection.writing(other), pytest.raises(UserError, match="has been writing to the journal"):
            journal.append([note("x")], DAY)
        assert journal.entries() == []
        assert texts(journal.append([note("y")], DAY)) == ["y"]


def test_a_server_that_is_gone_for_long_is_told_with_what_was_written(
    server: PrivateServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tunneltui.store.shared_journal.PATIENCE_SECONDS", 0.3)
    at = server.new()
    with open_journal(at) as journal:
        server.kill()
        try:
            with pytest.raises(UserError, match=r"does not answer.* Nothing was written"):
                journal.append([note("x")], DAY)
        finally:
            server.start()
        assert texts(journal.append([note("y")], DAY)) == ["y"], "the same journal goes on when it is back"
