"""What leaves the program is written whole or not at all, never over a journal and never outside its folder."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from tests.store.making import DAY, filled, note
from tunneltui.holding.user_error import UserError
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.write_file import write_file


def test_text_is_written_as_utf8_private_and_leaves_nothing_beside(tmp_path: Path) -> None:
    place = write_file(tmp_path / "picks.csv", "day,kg\n2026-08-20,4½\n")
    assert place.read_bytes() == "day,kg\n2026-08-20,4½\n".encode()
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert [file.name for file in tmp_path.iterdir()] == ["picks.csv"]


def test_a_file_that_is_there_is_replaced_whole_and_keeps_its_rights(tmp_path: Path) -> None:
    place = tmp_path / "sheet.html"
    place.write_text("an older and much longer sheet")
    place.chmod(0o644)
    write_file(place, b"new")
    assert place.read_bytes() == b"new"
    assert stat.S_IMODE(place.stat().st_mode) == 0o644


@pytest.mark.parametrize("fails", ["fsync", "replace"])
def test_a_failure_on_the_way_leaves_the_older_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    place = tmp_path / "sheet.html"
    place.write_text("older")

    def broken(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, fails, broken)
    with pytest.raises(UserError, match="No space left"):
        write_file(place, "newer")
    assert place.read_text() == "older"
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.html"]


@pytest.mark.parametrize(
    "climbing",
    ["../out.csv", "a/../../out.csv", "/etc/out.csv", "link/out.csv", "..", "sub/../../x", "../inside-too/x"],
)
def test_a_path_that_climbs_out_of_the_export_folder_is_refused(tmp_path: Path, climbing: str) -> None:
    inside = tmp_path / "inside"
    (tmp_path / "inside-too").mkdir()
    inside.mkdir()
    (inside / "link").symlink_to(tmp_path)
    with pytest.raises(UserError, match="lies outside"):
        write_file(Path(climbing), "x", inside=inside)
    assert not (tmp_path / "out.csv").exists()
    assert list((tmp_path / "inside-too").iterdir()) == []


def test_a_path_that_stays_inside_is_taken_from_there(tmp_path: Path) -> None:
    assert write_file(Path("a/../out.csv"), "x", inside=tmp_path) == tmp_path.resolve() / "out.csv"


@pytest.mark.parametrize("name", ["x\0y.csv", "x" * 300, "a/" * 3000 + "x"])
def test_a_name_no_disk_can_hold_is_a_sentence(tmp_path: Path, name: str) -> None:
    with pytest.raises(UserError):
        write_file(tmp_path / name, "x")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_a_pipe_or_a_missing_folder_is_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path, tmp_path / "pipe", tmp_path / "none" / "x.csv"):
        with pytest.raises(UserError):
            write_file(place, "x")


def test_links_in_a_circle_are_refused(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    with pytest.raises(UserError):
        write_file(tmp_path / "a", "x")


def test_a_journal_is_never_written_over(path: Path, tmp_path: Path) -> None:
    filled(path, 3)
    (tmp_path / "link.csv").symlink_to(path)
    with JournalFile.open(path) as journal:
        before = path.read_bytes()
        for place in (path, tmp_path / "link.csv"):
            with pytest.raises(UserError, match="a journal or another database"):
                write_file(place, "x")
        assert path.read_bytes() == before
        journal.append([note("still ours")], DAY)


def test_half_a_character_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="half a character"):
        write_file(tmp_path / "x.csv", "\ud800")
    assert list(tmp_path.iterdir()) == []
