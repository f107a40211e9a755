"""The journal's promises as a grower meets them: through commands, each a process of its own."""

from __future__ import annotations

import ast
import json
import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

import tunneltui
from tests.cli.door import Door
from tests.screens.made_demo import demo_at
from tests.season.entries import TWO_ROWS
from tests.store.making import entry
from tunneltui.holding.toml import to_toml
from tunneltui.store.backup import backups
from tunneltui.store.folders import HOME_VARIABLE
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import holding_in_force
from tunneltui.values import replace

HOSTILE = (
    "[bold red]markup[/] [link=http://example.org]x[/link] [/]",
    "\x1b[2J\x1b]0;title\x07\x1b[31m red \x9b31m",
    "right \u202eto\u202c left \u2066and\u2069 \u200f",
    "two\nlines\r\nand\ttabs \u2028 \u2029 \x85",
    "a null \x00 character",
    "combining " + "e\u0301\u0301\u0301" * 20,
    "<script>alert(1)</script> ' \" ; DROP TABLE entries; --",
    "long " * 2_000,
)


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Door:
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path / "grower"))
    return Door(tmp_path / "grower", demo_at(tmp_path))


def _at(door: Door) -> Path:
    assert door.at is not None
    return door.at


def _why(door: Door) -> list[str]:
    return [made.why for made in reversed(backups(_at(door)))]


def test_the_first_command_of_a_day_makes_a_backup_and_the_second_none(demo: Door) -> None:
    assert _why(demo) == []
    demo.says("journal", "show")
    demo.says("journal", "show")
    assert _why(demo) == ["start"]


def test_a_holding_taken_from_a_file_as_the_first_command_of_a_day_makes_one_too(
    demo: Door, tmp_path: Path
) -> None:
    with JournalFile.open(_at(demo), read_only=True) as journal:
        entries = journal.entries()
    (tmp_path / "holding.toml").write_text(holding_in_force(entries) + "\n# seen through\n", encoding="utf-8")
    demo.says("holding", "edit", "--from", str(tmp_path / "holding.toml"))
    assert _why(demo) == ["start"]
    with JournalFile.open(backups(_at(demo))[0].path, read_only=True) as before:
        assert before.entries() == entries


@pytest.mark.parametrize(
    ("words", "file", "text"),
    [
        (["air"], "air.csv", "time,temperature\n2026-08-10 00:00,15\n2026-08-10 12:00,25\n2026-08-10 23:00,17\n"),
        (["picks"], "picks.csv", "day,cultivar,kg\n2026-08-10,{cultivar},1.5\n"),
        (["measurements", "--as", "totals"], "measured.csv", "day,plant,length_cm\n2026-08-10,{place},201\n"),
    ],
)
def test_an_import_that_brings_something_makes_a_backup_without_it(
    demo: Door, tmp_path: Path, words: list[str], file: str, text: str
) -> None:
    with JournalFile.open(_at(demo), read_only=True) as journal:
        entries = journal.entries()
    names = [one for one in entries if one.kind == "planted"]
    cultivar = json.loads(names[0].body)["cultivar"]
    (tmp_path / file).write_text(text.format(cultivar=cultivar, place=names[0].about), encoding="utf-8")
    done = demo(*words, str(tmp_path / file), "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["new"] > 0, told
    assert _why(demo)[-1] == "import"
    with JournalFile.open(backups(_at(demo))[0].path, read_only=True) as before:
        assert before.entries() == entries


def test_a_merge_by_command_backs_up_before_and_a_look_writes_nothing(demo: Door, tmp_path: Path) -> None:
    other = Door(demo.home, tmp_path / "other.db")
    demo.says("journal", "copy", str(other.at))
    other.says("add", "note", "theirs")
    before = _at(demo).read_bytes()
    for flag in ("--look", "--dry-run"):
        assert demo.json("journal", "merge", str(other.at), flag)["new"] == 1
    assert _at(demo).read_bytes() == before
    assert "merge" not in _why(demo)
    demo.says("journal", "merge", str(other.at))
    assert _why(demo)[-1] == "merge"
    kept = backups(_at(demo))[0].path
    with JournalFile.open(kept, read_only=True) as copy:
        assert "theirs" not in {json.loads(one.body).get("text") for one in copy.entries()}


def test_differing_holdings_and_hostile_names_of_another_laptop_are_told_in_printable_lines(
    demo: Door, tmp_path: Path
) -> None:
    theirs = to_toml(replace(TWO_ROWS, name="made up \\u202e elsewhere"))
    with JournalFile.open(_at(demo)) as ours:
        entries = ours.entries()
        ours.append_entries([entry("two")._replace(about="\x1b[31m", kind="\x1b[2J")])
        text = holding_in_force(entries)
    other = tmp_path / "other.db"
    body = json.dumps({"toml": theirs + "# \u202e\n"})
    last = entries[-1]
    with JournalFile.open(other, state_dir=tmp_path / "elsewhere") as journal:
        journal.append_entries(
            [
                last._replace(id="their holding", act="their act", kind="holding_set", about="", body=body),
                entry("two", body='{"text":"otherwise"}')._replace(about="\x1b[31m", kind="\x1b[2J"),
            ]
        )
    said = demo.says("journal", "merge", str(other), "--dry-run")
    assert "The two holdings differ" in said
    assert " | " in said
    assert "says two things" in said
    assert all(line.isprintable() for line in said.split("\n")), ascii(said)
    pairs = demo.json("journal", "merge", str(other), "--dry-run")["holdings"]
    assert {ours for ours, _ in pairs} <= {*text.splitlines(), ""}
    assert any("made up" in their for _, their in pairs)


def test_an_older_copy_put_back_is_told_with_the_way_on_and_accepted_on_request(demo: Door) -> None:
    older = _at(demo).read_bytes()
    demo.says("add", "note", "newer")
    demo.says("journal", "show")
    _at(demo).write_bytes(older)
    told = demo.refuses("journal", "show")
    assert "older than what this machine last saw" in told
    assert "journal check --accept" in told
    assert demo("journal", "check").returncode == 1
    demo.says("journal", "check", "--accept")
    demo.says("journal", "show")
    assert _at(demo).read_bytes() == older


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_note_is_kept_to_the_byte_and_shown_in_printable_lines(
    demo: Door, tmp_path: Path, hostile: str
) -> None:
    with JournalFile.open(_at(demo)) as journal:
        last = journal.entries()[-1]
        place = next(one.about for one in journal.entries() if one.kind == "planted")
        body = json.dumps({"text": hostile}, ensure_ascii=False)
        made = last._replace(id="hostile", act="act", kind="note", about=place, by=hostile, body=body)
        odd = made._replace(id="odd", kind=hostile, about=hostile, body=hostile)
        journal.append_entries([made, odd])
        wanted = journal.entries()
    for words in (["journal", "show"], ["journal", "show", "--about", place]):
        said = demo.says(*words)
        assert all(line.isprintable() for line in said.split("\n")), ascii(said[-500:])
    shown = demo.json("journal", "show", "--about", place)
    assert [one["body"]["text"] for one in shown if one["id"] == "hostile"] == [hostile]
    lines = tmp_path / "all.jsonl"
    demo.says("journal", "copy", str(lines))
    third = Door(demo.home, tmp_path / "third.db")
    third.says("journal", "merge", str(lines))
    with JournalFile.open(_at(third), read_only=True) as journal:
        assert journal.entries() == wanted


def test_every_file_and_folder_the_program_makes_is_for_this_user_only(demo: Door, tmp_path: Path) -> None:
    old = os.umask(0o022)
    try:
        demo.says("add", "note", "x")
        demo.says("journal", "backup")
        demo.says("journal", "copy", str(tmp_path / "all.jsonl"))
        demo.says("journal", "copy", str(tmp_path / "deep" / "er" / "copy.db"))
    finally:
        os.umask(old)
    made = [tmp_path / "all.jsonl", tmp_path / "deep", *(tmp_path / "deep").rglob("*"), *demo.home.rglob("*")]
    assert len(made) > 10
    for one in [demo.home, *made]:
        wanted = 0o700 if one.is_dir() else 0o600
        assert stat.S_IMODE(one.stat().st_mode) == wanted, one


# ----------------------------------------------------------------------------------------- what is never used


def _called(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            yield ast.unparse(node.func)
            yield from (f"{word.arg}={ast.unparse(word.value)}" for word in node.keywords)
        elif isinstance(node, ast.Import):
            yield from (f"import {one.name}" for one in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield f"import {node.module}"


NEVER = re.compile(
    r"(builtins\.)?(eval|exec|compile|__import__)|os\.(system|popen|exec\w*|spawn\w*)|shell=(?!False).*"
    r"|import (pickle|shelve|marshal|dill|cPickle)(\..*)?|.*\.(getoutput|getstatusoutput)"
)


def test_nothing_in_the_program_runs_text_as_code_or_through_a_shell() -> None:
    files = sorted(Path(tunneltui.__file__).parent.rglob("*.py"))
    assert len(files) > 100
    found = [
        f"{file.name}: {what}"
        for file in files
        for what in _called(ast.parse(file.read_text(encoding="utf-8")))
        if NEVER.fullmatch(what)
    ]
    assert found == []


@pytest.mark.parametrize(
    "text",
    ["eval('1')", "exec(x)", "import pickle", "from pickle import loads", "subprocess.run(x, shell=True)"],
)
def test_the_search_for_such_calls_finds_them(text: str) -> None:
    assert any(NEVER.fullmatch(what) for what in _called(ast.parse(text)))
