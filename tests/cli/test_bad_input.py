"""Whatever is typed, read or broken: one clear sentence, exit 1, nothing lost, nothing half written."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.door import NO_TERMINAL, Door

CASES: dict[str, tuple[list[str], str]] = {
    "unknown place": (["add", "note", "x", "--about", "W1-99"], "no place, row or tunnel 'W1-99'"),
    "unknown leader": (["add", "measured", "leader=W9-01a", "growth_m=0.2"], "Nothing stands under the name"),
    "unknown clip": (["add", "clip_failed", "fixing=W1-08a string 99", "how=broke"], "no clip that holds"),
    "one of several clips": (["add", "clip_failed", "fixing=W1-08a", "how=broke"], "one of several clips"),
    "unknown string": (["add", "string_cut", "string=W1/99"], "No string"),
    "unknown cultivar": (["add", "picked", "cultivar=banana", "kg=1", "--about", "W1"], "no cultivar 'banana'"),
    "one of several cultivars": (["add", "picked", "cultivar=cherry", "kg=1"], "may be cherry 1, cherry 4"),
    "negative weight": (["add", "picked", "cultivar=beef 3", "kg=-2", "--about", "W1"], 'kg is "-2"'),
    "absurd weight": (["add", "picked", "cultivar=beef 3", "kg=99999999", "--about", "W1"], "kg is"),
    "no number": (["add", "picked", "cultivar=beef 3", "kg=lots", "--about", "W1"], 'kg is "lots"'),
    "not a number at all": (["add", "picked", "cultivar=beef 3", "kg=nan", "--about", "W1"], "kg is"),
    "unknown key": (["add", "picked", "cultivar=beef 3", "pounds=2", "--about", "W1"], "pounds"),
    "missing key": (["add", "measured"], "leader"),
    "key twice": (["add", "picked", "kg=1", "kg=2"], "given twice"),
    "no pair": (["add", "picked", "kg"], "no KEY=VALUE"),
    "unknown kind": (["add", "pickd", "kg=1"], "Nearest: picked"),
    "kind with a command of its own": (["add", "holding_set", "toml=x"], "holding edit"),
    "planted nowhere": (["add", "planted", "cultivar=beef 3"], "--about"),
    "planted twice": (["add", "planted", "cultivar=beef 3", "--about", "W1-07"], "W1-07 is planted"),
    "a day beyond all calendars": (["add", "note", "x", "--on", "2300-01-01"], "more than two years off"),
    "a day far in the future": (["done", "all", "--on", "2126-08-21"], "more than two years off"),
    "before anything stood": (["holding", "show", "--on", "1999-01-01"], "no holding"),
    "line not understood": (["done", "all; dance"], "'dance' is not understood"),
    "line with a wrong place": (["done", "77 slid"], "'77'"),
    "act too short": (["journal", "cross-out", "01"], "too short"),
    "act unknown": (["journal", "cross-out", "ffffffff"], "No act or entry"),
    "act not crossed out": (["journal", "restore-act", "{act}"], "nothing to restore"),
    "no such file": (["air", "gone.csv"], "no file"),
    "a folder": (["measurements", "."], "folder"),
    "no such backup": (["journal", "restore", "gone.db"], "no backup"),
    "merge with itself": (["journal", "merge", "{at}"], ""),
    "merge with nothing": (["journal", "merge", "gone.db"], ""),
    "copy over itself": (["journal", "copy", "{at}"], "already"),
    "a change that is none": (["loads", "--if", "dance"], "no change to try"),
    "a kind of clip that is not listed": (
        ["add", "clipped", "leader=W1-08a", "s_m=1", "on=head", "clip_kind=purple"],
        "lists no kind of clip 'purple'",
    ),
    "flags for an empty journal": (["measurements", "{sheet}", "--wire", "2.1"], "has a holding already"),
    "labels that stand nowhere": (["measurements", "{sheet}"], "No row of sheet.csv could be taken"),
}


@pytest.mark.parametrize("case", list(CASES))
def test_a_clear_sentence_and_nothing_written(demo: Door, tmp_path: Path, case: str) -> None:
    words, say = CASES[case]
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("Date,Label,Length (m)\n2026-08-01,X9,2.0\n2026-08-08,X9,2.2\n", encoding="utf-8")
    act = demo.json("journal", "show")[0]["act"] if "{act}" in words else ""
    said = demo.refuses(*(word.format(at=demo.at, sheet=sheet, act=act) for word in words))
    assert say in said


FILES: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "empty"),
    "a spreadsheet": (b"PK\x03\x04" + bytes(200), "cannot be read as a spreadsheet"),
    "EBCDIC": ("Date,Label,Length\n2026-08-01,1,2\n".encode("cp037"), "encoding"),
    "half a UTF-16": ("\ufeffDate,Label\n".encode("utf-16-le")[:-1], "cannot be read as utf-16"),
    "mixed date orders": (
        b"Date,Label,Length,T Air,kg\n13/08/2026,1,2,20,1\n08/14/2026,1,3,20,1\n",
        "mixes orders",
    ),
    "no day in it": (b"Date,Label,Length,T Air,kg\nnever,1,2,20,1\nsoon,1,3,21,1\n", "no day that can be read"),
    "Fahrenheit": (b"Date,T Air\n2026-08-01,59.5\n2026-08-02,59.9\n", "Fahrenheit"),
}


@pytest.mark.parametrize("case", list(FILES))
@pytest.mark.parametrize("command", ["air", "measurements", "picks"])
def test_faulty_files_leave_the_journal_alone(demo: Door, tmp_path: Path, command: str, case: str) -> None:
    if case == "Fahrenheit" and command != "air":
        pytest.skip("only air has degrees")
    data, say = FILES[case]
    file = tmp_path / "file.csv"
    file.write_bytes(data)
    assert say in demo.refuses(command, str(file))


def test_a_refused_sheet_says_what_most_of_its_rows_were_refused_for(demo: Door, tmp_path: Path) -> None:
    """It named the sum at the foot, and not the cultivar that the holding has not."""
    file = tmp_path / "picks.csv"
    file.write_text(
        "Date,Row,Variety,kg\n2026-08-01,W1,cerise,3\n2026-08-08,W1,cerise,4\nTotal,,,7\n", encoding="utf-8"
    )
    assert "Line 2: The holding has no cultivar 'cerise'" in demo.refuses("picks", str(file))


@pytest.mark.parametrize("command", ["air", "picks"])
def test_the_holding_comes_before_anything_else(door: Door, tmp_path: Path, command: str) -> None:
    """A new file without a holding: nothing stands that a logger or a pick could speak of."""
    at = Door(door.home, tmp_path / "new.db")
    file = tmp_path / "file.csv"
    file.write_text("Date,T Air,kg\n2026-08-01,20,1\n2026-08-02,21,1\n", encoding="utf-8")
    at.refuses(command, str(file))
    at.refuses("round")
    assert at.at is not None
    assert not at.at.exists(), "a refusal makes no file"


def test_every_command_on_an_empty_journal(door: Door, tmp_path: Path) -> None:
    from tunneltui.store.journal_file import JournalFile

    empty = Door(door.home, tmp_path / "empty.db")
    assert empty.at is not None
    JournalFile.open(empty.at, state_dir=door.home / "state").close()
    for words in (["round"], ["loads"], ["outlook"], ["add", "note", "x"], ["done", "all"], ["export", "sheet"]):
        assert "no holding yet" in empty.refuses(*words)
    assert empty.json("journal", "show") == []


def test_a_file_that_is_no_journal_is_left_as_it_is(door: Door, tmp_path: Path) -> None:
    for name, data in (("notes.txt", b"my notes"), ("zeros.db", bytes(8192)), ("other.db", b"")):
        file = tmp_path / name
        file.write_bytes(data)
        if name == "other.db":
            with sqlite3.connect(file) as other:
                other.execute("CREATE TABLE someone_elses (x)")
            other.close()
        theirs = Door(door.home, file)
        theirs.refuses("round")
        theirs.refuses("add", "note", "x")
        theirs.refuses("demo")


def test_a_newer_journal_is_left_as_it_is(demo: Door) -> None:
    assert demo.at is not None
    with sqlite3.connect(demo.at) as newer:
        newer.execute("PRAGMA user_version = 99")
    newer.close()
    assert "newer" in demo.refuses("round")
    assert "newer" in demo.refuses("add", "note", "x")


@pytest.mark.parametrize("share", [0.02, 0.5, 0.99])
def test_a_file_cut_short_is_left_as_it_is(demo: Door, share: float) -> None:
    assert demo.at is not None
    whole = demo.at.read_bytes()
    demo.at.write_bytes(whole[: int(len(whole) * share)])
    demo.refuses("round")
    demo.refuses("add", "note", "x")


def test_a_full_disk_says_so_and_loses_nothing(demo: Door) -> None:
    """The largest file the process may write is made smaller than the journal: what a full disk looks like."""
    assert demo.at is not None
    before, sound = demo.at.read_bytes(), demo("journal", "check").stdout
    command = f"ulimit -f 8; exec {sys.executable} -m tunneltui --at '{demo.at}' add note 'no room'"
    done = subprocess.run(
        ["bash", "-c", command],
        capture_output=True,
        text=True,
        env=os.environ | NO_TERMINAL | {"TUNNELTUI_HOME": str(demo.home)},
        check=False,
    )
    assert done.returncode == 1, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()
    assert demo.at.read_bytes() == before
    assert demo("journal", "check").stdout == sound


def test_a_place_that_cannot_be_written(door: Door) -> None:
    nowhere = Door(door.home, Path("/proc/tunneltui/journal.db"))
    nowhere.refuses("new", "--name", "Nowhere")
    nowhere.refuses("demo")


@pytest.mark.skipif(os.name != "nt" and os.geteuid() == 0, reason="root may write what is read-only")
def test_a_read_only_journal_can_be_read_and_not_written(demo: Door) -> None:
    assert demo.at is not None
    demo.at.chmod(0o444)
    demo.at.parent.chmod(0o555)
    try:
        demo.says("round")
        demo.refuses("add", "note", "x")
    finally:
        demo.at.parent.chmod(0o755)


def test_a_text_that_is_no_text(demo: Door) -> None:
    """Bytes of another encoding on the command line."""
    assert demo.at is not None
    before = demo.at.read_bytes()
    done = subprocess.run(
        [sys.executable.encode(), b"-m", b"tunneltui", b"--at", os.fsencode(demo.at), b"add", b"note", b"caf\xe9"],
        capture_output=True,
        env=os.environ | NO_TERMINAL | {"TUNNELTUI_HOME": str(demo.home)},
        check=False,
    )
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr
    assert demo.at.read_bytes() == before
