"""Rows, files and names that something else wrote: set aside, told of, undone; never the end of a season."""

from __future__ import annotations

import argparse
import io
import json
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.cli.door import Door
from tests.store.making import DAY, START_US, entry, filled, note
from tests.store.private_server import NearDoor
from tunneltui.cli import main, parser
from tunneltui.holding.assumed import Assumption, assumed_holding
from tunneltui.holding.toml import to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import VERSION
from tunneltui.journal.naming import act_id
from tunneltui.journal.valid import FIRST_DAY, LAST_DAY, LAST_US, fault_of
from tunneltui.store.health import check_file
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import merge

HOLDING = to_toml(assumed_holding(["1", "2"], Assumption()))


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A journal with a holding, ours."""
    path = tmp_path / "own.db"
    with JournalFile.open(path) as journal:
        journal.append(
            [note("ours")._replace(kind="holding_set", about="", body=json.dumps({"toml": HOLDING}))], DAY
        )
    return path


@pytest.fixture
def door(own: Path, tmp_path: Path) -> Door:
    return Door(tmp_path / "home", own)


def raw(path: Path, *rows: Entry, seq: int | None = None, day: str = "", at: int | None = None) -> None:
    """Rows as something else than this program writes them."""
    with closing(sqlite3.connect(path)) as hand:
        for one in rows:
            columns = "id, act, device, day, at, by, about, kind, v, body"
            values = (
                one.id, one.act, one.device, day or one.day.isoformat(), one.at_us if at is None else at, one.by,
                one.about, one.kind, one.v, one.body,
            )  # fmt: skip
            hand.execute(
                f"INSERT INTO entries (seq, version, {columns}) VALUES (?, 0, {', '.join('?' * 10)})",  # noqa: S608
                (seq, *values),
            )
        hand.commit()


def other(tmp_path: Path, *rows: Entry, **how: Any) -> Path:
    path = tmp_path / "other.db"
    filled(path, 1)
    raw(path, *rows, **how)
    return path


STRANGE: dict[str, tuple[Entry, dict[str, Any]]] = {
    "a holding that is none": (entry("h", kind="holding_set", body='{"toml":"name = 1"}'), {}),
    "a holding of no sense": (
        entry("h", kind="holding_set", body=json.dumps({"toml": HOLDING.replace("2.2", "-3")})),
        {},
    ),
    "a forecast of the end of time": (
        entry("f", kind="forecast", body='{"issued":"9999-12-30","min_c":[1],"max_c":[2]}'),
        {"day": "9999-12-30"},
    ),
    "a body of the end of time": (entry("p", kind="put_off", body='{"until":"9999-12-31"}'), {}),
    "a time past the year 9999": (entry("t"), {"at": 2**62}),
    "the largest time": (entry("t"), {"at": 2**63 - 1}),
    "a day before all journals": (entry("d"), {"day": "0001-01-01"}),
    "no day at all": (entry("d"), {"day": "yesterday"}),
    "an empty id": (entry("e")._replace(id=""), {}),
    "a version of no sense": (entry("v")._replace(v=-(2**62)), {}),
}


@pytest.mark.parametrize("name", STRANGE)
def test_strange_rows_stop_nothing_and_can_be_undone(name: str, own: Path, door: Door, tmp_path: Path) -> None:
    one, how = STRANGE[name]
    raw(own, one, **how)
    assert door.says("round", "--on", "2026-08-21")
    assert "assumed tunnel" in door.says("holding", "show")
    assert door.says("export", "entries")
    assert door.json("journal", "show") is not None
    assert door.says("add", "note", "text=still")
    checked = door("journal", "check")
    assert "Traceback" not in checked.stderr
    assert checked.returncode == 1
    if one.id:
        door.says("journal", "cross-out", one.act)
        assert f"act {one.act}" not in door("journal", "check").stdout


@pytest.mark.parametrize("name", STRANGE)
def test_a_merge_leaves_strange_rows_where_they_are_and_says_so(name: str, own: Path, tmp_path: Path) -> None:
    one, how = STRANGE[name]
    theirs = other(tmp_path, one, **how)
    before = own.read_bytes()
    told = merge(own, theirs, dry_run=True)
    assert own.read_bytes() == before
    assert (told.new, [row.act for row in told.aside]) == (1, [one.act])
    done = merge(own, theirs)
    assert (done.new, done.backup is not None) == (1, True)
    assert sorted(kept.kind for kept in JournalFile.open(own).entries()) == ["holding_set", "note"]


def test_a_merge_names_the_backup_and_the_way_back(own: Path, door: Door, tmp_path: Path) -> None:
    theirs = other(tmp_path)
    said = door.says("journal", "merge", str(theirs))
    assert "Before it this journal was copied to" in said
    back = door.json("journal", "merge", str(theirs), "--look")
    assert back["backup"] is None
    backup = said.partition("copied to ")[2].partition(";")[0]
    door.says("journal", "restore", backup)
    assert [one.kind for one in JournalFile.open(own, accept_older=True).entries()] == ["holding_set"]


def test_a_device_whose_time_was_driven_to_the_end_writes_on(own: Path) -> None:
    with JournalFile.open(own) as journal:
        device = journal.device
    raw(own, entry("x")._replace(device=device), at=2**63 - 1)
    with JournalFile.open(own) as journal:
        (written,) = journal.append([note("on")], DAY)
        assert written.at_us < LAST_US


def test_a_trigger_under_a_name_of_sqlite_s_is_seen(own: Path) -> None:
    with closing(sqlite3.connect(own)) as hand:
        hand.execute("PRAGMA writable_schema = ON")
        hand.execute(
            "INSERT INTO sqlite_schema VALUES ('trigger', 'sqlite_x', 'entries', 0, 'CREATE TRIGGER sqlite_x "
            "BEFORE INSERT ON entries BEGIN SELECT RAISE(IGNORE); END')"
        )
        hand.commit()
    with pytest.raises(UserError, match=r"other tables|damaged"):
        JournalFile.open(own)
    assert check_file(own) != []


def test_inserts_that_are_swallowed_are_not_called_written(own: Path) -> None:
    """A trigger put there while the journal is open."""
    with JournalFile.open(own) as journal:
        with closing(sqlite3.connect(own)) as hand:
            hand.execute("CREATE TRIGGER late BEFORE INSERT ON entries BEGIN SELECT RAISE(IGNORE); END")
            hand.commit()
        with pytest.raises(UserError, match="did not take all"):
            journal.append([note("lost")], DAY)
        assert len(journal.entries()) == 1


def test_a_row_numbered_below_nought_counts_and_is_told_of(own: Path) -> None:
    raw(own, entry("below"), seq=-5)
    with JournalFile.open(own) as journal:
        assert [one.id for one in journal.entries() if one.kind == "note"] == ["below"]
    assert any("numbered below 1" in one for one in check_file(own))


def test_the_last_number_there_is_is_no_full_disk(own: Path) -> None:
    raw(own, entry("last"), seq=2**63 - 1)
    with JournalFile.open(own) as journal, pytest.raises(UserError, match="cannot be numbered on") as told:
        journal.append([note("more")], DAY)
    assert "disk" not in str(told.value)


@pytest.mark.parametrize(
    ("one", "why"),
    [
        (entry("a", day=date(1969, 12, 31)), "1970"),
        (entry("a", day=date(2200, 1, 1)), "2199"),
        (entry("a", at_us=-1), "time"),
        (entry("a", at_us=LAST_US + 1), "time"),
        (entry("a", kind="put_off", body='{"until":"2200-01-01"}'), "2200-01-01"),
        (entry("a" * 200_000), "longer"),
        (entry("a")._replace(kind=""), "no kind"),
    ],
)
def test_every_door_refuses_what_would_be_set_aside(own: Path, one: Entry, why: str) -> None:
    with JournalFile.open(own) as journal, pytest.raises(UserError, match=why):
        journal.add_entries([one])


def test_days_within_the_limits_are_taken() -> None:
    for day in (FIRST_DAY, LAST_DAY):
        assert not fault_of(entry("a", day=day, body=json.dumps({"until": day.isoformat()})))
    assert not fault_of(entry("n", kind="note", body='{"text":"9999-12-31"}'))
    assert not fault_of(Entry("i", "a", "d", DAY, START_US, "", "", "unknown_kind", VERSION, "no json at all"))


HOSTILE = "Bed\x1b]0;title\x07\x1b[31m\u202e\x9b2J"
MARKS = {"\x1b", "\x07", "\x9b", "\u202e"}
ARGUMENTS = {
    "plant": ["T1-01"], "row": ["T1"], "lower": ["T1"], "review": ["yields"], "away": ["2026-08-22", "2026-08-25"],
    "add": ["note", f"text={HOSTILE}", "--about", "T1-01"], "done": ["1"], "put-right": ["T1"], "air": ["{csv}"],
    "measurements": ["{csv}"], "picks": ["{csv}"], "holding check": ["{csv}"], "journal cross-out": [HOSTILE],
    "journal restore-act": [HOSTILE], "journal restore": ["{csv}"], "journal merge": ["{other}"],
    "journal copy": ["{new}"], "journal hand": ["{csv}", "anna"], "settings set": ["theme", HOSTILE],
    "settings check": ["{csv}"], "completion": ["bash"], "export": ["entries"], "bucket": ["--plants", "x"],
    "feed": ["--label", HOSTILE], "loads": ["--if", HOSTILE], "backtest": [],
}  # fmt: skip
"""What a command is given where it wants something: names, files of hostile names, hostile words."""


def commands(made: argparse.ArgumentParser, path: tuple[str, ...] = ()) -> Iterator[str]:
    """Every command there is."""
    below = [one for one in made._actions if isinstance(one, argparse._SubParsersAction)]
    if not below:
        yield " ".join(path)
    for one in below:
        for name, its in one.choices.items():
            yield from commands(its, (*path, name))


class Terminal(io.StringIO):
    """Takes what is printed as a terminal does."""

    def isatty(self) -> bool:
        return True


def hostile(tmp_path: Path) -> tuple[NearDoor, dict[str, str]]:
    """A journal of a hostile name with a hostile holding and note, and files beside it."""
    folder = tmp_path / HOSTILE.replace("/", "")
    folder.mkdir()
    path = folder / f"{HOSTILE}.db"
    with JournalFile.open(path) as journal:
        spelled = HOSTILE.encode("unicode_escape").decode().replace("\\x", "\\u00")
        text = HOLDING.replace("measurements without a holding", spelled)
        assert text != HOLDING
        journal.append([note("")._replace(kind="holding_set", about="", body=json.dumps({"toml": text}))], DAY)
        journal.append([note(HOSTILE, about="T1-01")], DAY)
        act = act_id(START_US, secrets.randbits)
        journal.append([note("crossed", about=HOSTILE)], DAY, act=act, by=HOSTILE)
    csv = folder / f"{HOSTILE}.csv"
    csv.write_text(f"{HOSTILE},date,{HOSTILE}\n{HOSTILE},2026-08-19,{HOSTILE}\n", encoding="utf-8")
    other = folder / f"{HOSTILE}-other.db"
    filled(other, 2)
    raw(other, entry("odd", kind=HOSTILE)._replace(act=HOSTILE, device=HOSTILE), day="yesterday")
    return NearDoor(tmp_path / "home", path), {
        "csv": str(csv), "other": str(other), "new": str(folder / f"{HOSTILE}-new.jsonl")
    }  # fmt: skip


def test_no_command_prints_a_hostile_name_as_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every command, and its error sentences; what is exported to a program keeps every byte."""
    monkeypatch.setenv("EDITOR", "true")
    monkeypatch.delenv("VISUAL", raising=False)
    door, files = hostile(tmp_path)
    for command in commands(parser()):
        words = [word.format(**files) if "{" in word else word for word in ARGUMENTS.get(command, [])]
        flags = ["--on", "2026-08-21"] if command not in ("demo", "completion") else []
        if command in ("demo", "new"):  # they make a journal of their own
            flags = ["--at", str(tmp_path / f"{HOSTILE}{command}.db")]
        done = door(*command.split(), *words, *flags)
        said = done.stderr if command == "export" else done.stdout + done.stderr
        assert not MARKS & set(said), (command, said[:300])
        assert "Traceback" not in done.stderr
        wrong = door(*command.split(), *words, HOSTILE, f"--{HOSTILE}", *flags)
        assert not MARKS & set(wrong.stderr), (command, wrong.stderr[:300])


@pytest.mark.parametrize("what", ["entries", "picks", "chores", "season", "sheet"])
def test_what_is_exported_to_a_terminal_is_made_safe_and_to_a_file_is_not(
    tmp_path: Path, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    door, _ = hostile(tmp_path)
    shown = Terminal()
    monkeypatch.setenv("TUNNELTUI_HOME", str(door.home))
    monkeypatch.setattr("sys.stdout", shown)
    assert main(["--at", str(door.at), "export", what, "--on", "2026-08-21"]) == 0
    assert not MARKS & set(shown.getvalue()), shown.getvalue()[:300]
    if what == "entries":
        assert HOSTILE in door.says("export", what, "--on", "2026-08-21")


def test_json_of_a_hostile_name_is_json_and_gives_it_back(tmp_path: Path) -> None:
    door, _ = hostile(tmp_path)
    said = door.says("journal", "show", "--json", "--on", "2026-08-21")
    assert not MARKS & set(said)
    assert HOSTILE in [one["body"].get("text") for one in json.loads(said)]


@pytest.mark.parametrize("what", ["entries", "picks"])
def test_a_full_device_is_a_sentence(door: Door, what: str) -> None:
    import subprocess
    import sys

    command = f"{sys.executable} -m tunneltui --at {door.at} export {what} > /dev/full"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 1
    assert done.stderr.startswith("The output could not be written")
    assert "Traceback" not in done.stderr


def test_an_act_of_two_letters_can_be_crossed_out(own: Path, door: Door) -> None:
    raw(own, entry("short")._replace(act="ab"))
    door.says("journal", "cross-out", "ab")
    assert all(one["act"] != "ab" for one in door.json("journal", "show"))
