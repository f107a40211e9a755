"""The journal kept from the door: backups nobody asked for, older copies put back, ways out of damage."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

from tests.cli.door import Door


def _backups(door: Door) -> list[str]:
    """Why each was made, oldest first."""
    files = sorted(file.name for file in (door.home / "data" / "backups").rglob("*.db"))
    return [name.rsplit("-", 1)[1].removesuffix(".db") for name in files]


def _offered(refusal: str) -> list[list[str]]:
    """The commands that a refusal offers, as the grower would type them."""
    return [shlex.split(command)[1:] for command in re.findall(r"`(tunneltui [^`]+)`", refusal)]


def test_the_first_command_of_a_day_backs_up_and_an_import_does(demo: Door, tmp_path: Path) -> None:
    demo.says("round")
    demo.says("round")
    demo.says("add", "note", "text=seen")
    assert _backups(demo) == ["start"]
    air = tmp_path / "air.csv"
    air.write_text("day,min,max\n2026-08-18,11,27\n2026-08-19,12,26\n")
    demo.says("air", str(air))
    assert _backups(demo) == ["start", "import"]
    demo.says("air", str(air))  # nothing new: nothing to guard
    assert _backups(demo) == ["start", "import"]


def test_a_backup_that_cannot_be_made_is_told_and_the_round_is_printed(demo: Door) -> None:
    demo.says("round")
    shutil.rmtree(demo.home / "data")
    (demo.home / "data").write_text("no folder")
    done = demo("round")
    assert done.returncode == 0
    assert "backup could not be made" in done.stderr
    assert done.stdout


def test_an_older_copy_put_back_is_refused_and_each_command_offered_works(demo: Door, tmp_path: Path) -> None:
    assert demo.at is not None
    old, newer = tmp_path / "old.db", tmp_path / "newer.db"
    demo.says("round")
    shutil.copy(demo.at, old)
    demo.says("add", "note", "text=newer")
    shutil.copy(demo.at, newer)
    for way_out in (0, 1):
        shutil.copy(old, demo.at)
        refusal = demo.refuses("round")
        assert "is older than what this machine last saw" in refusal
        words = [str(newer) if word == "NEWER_COPY" else word for word in _offered(refusal)[way_out]]
        plain = Door(demo.home)
        plain.says(*words)
        demo.says("round")
        shutil.copy(newer, demo.at)
        demo.says("journal", "check", "--accept")


def test_a_damaged_journal_is_refused_and_each_command_offered_works(demo: Door) -> None:
    assert demo.at is not None
    demo.says("round")
    whole = demo.at.read_bytes()
    demo.at.write_bytes(whole[: len(whole) // 2])
    check, restore, salvage = _offered(demo.refuses("round"))
    plain = Door(demo.home)
    looked = plain(*check)
    assert looked.returncode == 1
    assert "damaged" in looked.stdout
    assert "entries saved into" in plain.says(*salvage)
    assert "entries are back" in plain.says(*restore)
    demo.says("round")
    kept = next(demo.at.parent.glob("*.before-restore-*"))
    assert kept.read_bytes() == whole[: len(whole) // 2]


def test_a_dry_run_of_a_merge_changes_no_byte(demo: Door, tmp_path: Path) -> None:
    assert demo.at is not None
    other = tmp_path / "other.jsonl"
    demo.says("journal", "copy", str(other))
    text = other.read_text()
    other.write_text(text.splitlines()[-1].replace('"id":"', '"id":"x') + "\n")
    before = demo.at.read_bytes()
    assert "Would bring: 1 new" in demo.says("journal", "merge", str(other), "--dry-run")
    assert demo.at.read_bytes() == before
    assert _backups(demo) == []


def test_a_journal_that_is_gone_is_missed_and_comes_back_from_its_backup(demo: Door) -> None:
    assert demo.at is not None
    written = demo.json("journal", "show")
    demo.at.unlink()
    for words in ((), ("round",), ("add", "note", "text=into the void")):
        assert "is gone; when this machine last saw it, it held" in demo.refuses(*words)
        assert not demo.at.exists()
    demo.says("journal", "restore")
    assert demo.json("journal", "show") == written
