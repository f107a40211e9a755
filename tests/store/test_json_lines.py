"""JSON Lines carry every entry out and back byte for byte, and nonsense is refused in a sentence with its line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.store.any_entries import any_entries, any_entry, any_text
from tests.store.making import entry, filled
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.json_lines import copy, entries_of, import_lines, lines, read_lines
from tunneltui.store.write_file import write_file

FAST = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def _plain(**other: Any) -> dict[str, Any]:
    (line,) = lines([entry("x")])
    plain: dict[str, Any] = json.loads(line)
    return plain | other


@FAST
@given(st.lists(any_entry(), max_size=5))
def test_any_entries_come_back_as_they_were_and_give_the_same_lines(entries: list[Entry]) -> None:
    text = [*lines(entries)]
    assert all("\n" not in line for line in text)
    assert entries_of(text) == entries
    assert [*lines(entries_of(text))] == text


@FAST
@given(any_entries(5))
def test_any_entries_come_back_from_a_file_with_all_its_ends_of_lines(
    tmp_path: Path, entries: list[Entry]
) -> None:
    """U+2028 and the like end a line for some readers; here only the line feed does."""
    file = tmp_path / "all.jsonl"
    write_file(file, "".join(f"{line}\n" for line in lines(entries)))
    assert read_lines(file) == entries


def test_unknown_kinds_keys_and_number_shapes_keep_every_byte(path: Path, tmp_path: Path) -> None:
    bodies = (
        '{"text":"x","of_tomorrow":{"a":[1.0,1.00,1e400,-0]}}',
        '{ "b" :\t1E3, "b": 2 }',
        '{"big":123456789012345678901234567890}',
        "no JSON \u2028 \r\n \x00 \x1b[2J \u202e",
    )
    entries = [entry(f"e{n}", kind="of_tomorrow", body=body)._replace(v=99) for n, body in enumerate(bodies)]
    (tmp_path / "in.jsonl").write_bytes("".join(f"{line}\n" for line in lines(entries)).encode())
    import_lines(tmp_path / "in.jsonl", path)
    assert copy(path, tmp_path / "copy.db") == len(entries)
    for file in (path, tmp_path / "copy.db"):
        with JournalFile.open(file) as journal:
            assert [one.body for one in journal.entries()] == list(bodies)
            assert (
                "".join(f"{line}\n" for line in lines(journal.entries())).encode()
                == (tmp_path / "in.jsonl").read_bytes()
            )


def _lacking(key: str) -> str:
    plain = _plain()
    del plain[key]
    return json.dumps(plain)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("[]", "an object"),
        ("3", "an object"),
        ("null", "an object"),
        ("NaN", "an object"),
        ("{", "no JSON"),
        ('{"id":"x"', "no JSON"),
        ("[" * 100_000, "no JSON"),
        ('{"id":' * 50_000, "no JSON"),
        ("9" * 10_000, "no JSON"),
        ("\x00", "no JSON"),
        (_lacking("id"), "missing: id"),
        (_lacking("body"), "missing: body"),
        (json.dumps(_plain(colour="red")), "unknown: colour"),
        (json.dumps({**_plain(), "\x1b[31m\u202e": 1}), r"unknown: \\x1b\[31m\\u202e"),
        (json.dumps(_plain(at=float("nan"))), "at must be a whole number"),
        (json.dumps(_plain(at=float("inf"))), "at must be a whole number"),
        (json.dumps(_plain(at=1.5)), "at must be a whole number"),
        (json.dumps(_plain(at=True)), "at must be a whole number"),
        (json.dumps(_plain(at="1")), "at must be a whole number"),
        (json.dumps(_plain(at=2**63)), "its time is not between"),
        (json.dumps(_plain(v=-(2**63) - 1)), "no usable number"),
        (json.dumps(_plain(at=0)).replace('"at": 0', '"at": 1e5000'), "at must be a whole number"),
        (json.dumps(_plain(at=0)).replace('"at": 0', f'"at": {"9" * 5000}'), "no JSON|its time is not between"),
        (json.dumps(_plain(day="2026-02-30")), "day must be a day"),
        (json.dumps(_plain(day="20260820")), "day must be a day"),
        (json.dumps(_plain(day=20260820)), "day must be a day"),
        (json.dumps(_plain(day="2026-W34-4")), "day must be a day"),
        (json.dumps(_plain(id="")), "has no id"),
        (json.dumps(_plain(kind="")), "has no kind"),
        (json.dumps(_plain(body={"text": "x"})), "body must be text"),
        (json.dumps(_plain(by=None)), "by must be text"),
        (json.dumps(_plain(about="\ud800")), "half a character"),
        (json.dumps(_plain())[:-1] + ', "id": "again"}', "a key comes twice"),
    ],
)
def test_a_faulty_line_is_told_with_its_number_and_nothing_is_written(
    path: Path, tmp_path: Path, line: str, says: str
) -> None:
    filled(path, 2)
    before = path.read_bytes()
    file = tmp_path / "in.jsonl"
    file.write_text(f"{json.dumps(_plain())}\n\n{line}\n", encoding="utf-8")
    with pytest.raises(UserError, match=rf"^line 3: .*({says})") as told:
        import_lines(file, path)
    assert len(told.value.problem) < 300
    assert told.value.problem.isprintable()
    assert path.read_bytes() == before


def test_many_faulty_lines_are_counted_and_the_first_twenty_told() -> None:
    with pytest.raises(UserError) as told:
        entries_of(["{"] * 50)
    assert told.value.problem.splitlines()[-1] == "and 30 more"
    assert len(told.value.problem.splitlines()) == 21


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"\xff\xfe\x00", "not UTF-8"), ("é".encode("latin-1"), "not UTF-8")],
)
def test_a_file_that_is_no_text_is_refused(path: Path, tmp_path: Path, content: bytes, says: str) -> None:
    (tmp_path / "in.jsonl").write_bytes(content)
    with pytest.raises(UserError, match=says):
        import_lines(tmp_path / "in.jsonl", path)
    with pytest.raises(UserError, match="cannot be read"):
        import_lines(tmp_path / "none.jsonl", path)
    assert not path.exists()


def test_a_mark_at_the_beginning_and_windows_ends_of_lines_are_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "in.jsonl"
    file.write_bytes(b"\xef\xbb\xbf" + json.dumps(_plain()).encode() + b"\r\n\r\n")
    assert read_lines(file) == [entry("x")]


@FAST
@given(
    st.one_of(st.text(max_size=80), st.recursive(st.none() | st.floats() | any_text(), st.lists).map(json.dumps))
)
def test_nothing_but_a_sentence_comes_of_any_line(line: str) -> None:
    if not line.strip():
        assert entries_of([line]) == []
        return
    with pytest.raises(UserError, match=r"^line 1: "):
        entries_of([line])
