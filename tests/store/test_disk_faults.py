"""Failing writes and syncs, a full disk, a power cut: nothing acknowledged is lost, no act is there in part."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store import fault_layer, power_cut
from tests.store.appending import act, whole_acts
from tests.store.making import DAY
from tunneltui.holding.user_error import UserError
from tunneltui.store.journal_file import JournalFile


@pytest.fixture(scope="module")
def layer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return fault_layer.build(tmp_path_factory.mktemp("layer"))


@pytest.mark.parametrize("for_good", ["once", "for_good"])
@pytest.mark.parametrize(
    ("sort", "error"), [("write", "EIO"), ("write", "ENOSPC"), ("sync", "EIO"), ("unlink", "EIO")]
)
def test_the_kth_call_failing_for_every_k_loses_nothing_acknowledged(
    layer: Path, tmp_path: Path, home: Path, sort: str, error: str, for_good: str
) -> None:
    """As SQLite tests itself: fail the k-th call, k = 1, 2, 3 ..., once and for good ("How SQLite Is Tested",
    section 3.2)."""
    told = json.loads(
        fault_layer.run("tests.store.failing", str(tmp_path), sort, for_good, error, layer=layer, home=home)
    )
    assert told["failed"] >= {"write": 60, "sync": 15, "unlink": 3}[sort]
    assert told["acknowledged"] >= told["failed"] // 2
    assert told["troubles"]
    # The folder's sync after the commit failed, once for each act: written, and said to be uncertain.
    assert told["doubtful"] == (3 if sort == "sync" else 0)
    if error == "ENOSPC":
        assert any("full" in say for say in told["troubles"])


def _losses(layer: Path, tmp_path: Path, home: Path, acts: int, draws: int, synchronous: str) -> tuple[int, int]:
    """(cuts tried, cuts after which an acknowledged act was lost, torn, or the file unusable)."""
    live = tmp_path / f"live-{synchronous}"
    live.mkdir()
    log = tmp_path / f"{synchronous}.log"
    fault_layer.run(
        "tests.store.recording", str(live / "j.db"), str(log), str(acts), synchronous, layer=layer, home=home
    )
    draw = random.Random(20_260_820)
    disk = power_cut.DiskAtCut(str(live))
    acknowledged: set[int] = set()
    tried = lost = 0
    for change in power_cut.changes(log.read_bytes()):
        if change.sort == "M":
            acknowledged.add(change.number)
            continue
        disk.apply(change)
        for share in (0.0, 1.0, *[0.5] * draws):
            tried += 1
            lost += not _survives(disk.survivors(draw, share), live, acknowledged, tmp_path)
    return tried, lost


def _survives(files: dict[str, bytes], live: Path, acknowledged: set[int], tmp_path: Path) -> bool:
    folder = tmp_path / "cut"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    power_cut.put(files, str(live), folder)
    if not (folder / "j.db").exists():
        return not acknowledged
    try:
        with JournalFile.open(folder / "j.db", state_dir=folder / "state") as journal:
            return acknowledged <= whole_acts(journal.entries())
    except (UserError, AssertionError, ValueError):  # refused, in part, or no text of ours
        return False


def test_a_power_cut_at_any_moment_loses_nothing_acknowledged(layer: Path, tmp_path: Path, home: Path) -> None:
    tried, lost = _losses(layer, tmp_path, home, acts=3, draws=2, synchronous="EXTRA")
    assert tried >= 400
    assert lost == 0


@pytest.mark.long
def test_a_power_cut_at_any_moment_of_many_acts_loses_nothing_acknowledged(
    layer: Path, tmp_path: Path, home: Path
) -> None:
    tried, lost = _losses(layer, tmp_path, home, acts=20, draws=12, synchronous="EXTRA")
    assert tried >= 10_000
    assert lost == 0


@pytest.mark.parametrize("weaker", ["FULL", "OFF"])
def test_the_power_cut_test_sees_the_loss_that_weaker_settings_allow(
    layer: Path, tmp_path: Path, home: Path, weaker: str
) -> None:
    """FULL does not sync the folder after the rollback journal went: the last commit may come undone (SQLite
    documentation, PRAGMA synchronous). Without this the test above could not fail."""
    _, lost = _losses(layer, tmp_path, home, acts=3, draws=2, synchronous=weaker)
    assert lost > 0


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 256 KiB of its own."""
    folder = tmp_path / "small"
    folder.mkdir()
    if os.geteuid() != 0 or sys.platform != "linux":
        pytest.skip("mounting a small file system needs root")
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", folder], check=False, capture_output=True
    )
    if mounted.returncode != 0:
        pytest.skip(f"no small file system can be mounted here: {mounted.stderr.decode().strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", folder], check=True)


def test_a_really_full_disk_ends_in_a_sentence_and_keeps_every_act(small_disk: Path) -> None:
    path = small_disk / "journal.db"
    with JournalFile.open(path) as journal:
        written = _write_until_full(journal)
        assert len(written) >= 5
        assert whole_acts(journal.entries()) == set(written)
    with JournalFile.open(path) as journal:
        assert whole_acts(journal.entries()) == set(written)
    assert [file.name for file in small_disk.iterdir()] == ["journal.db"]


def _write_until_full(journal: JournalFile) -> list[int]:
    written: list[int] = []
    try:
        for number in range(1, 1000):
            journal.append(act(number), DAY)
            written.append(number)
    except UserError as trouble:
        full = trouble.problem
    assert "disk is full" in full
    return written


def test_after_room_was_made_the_same_open_journal_goes_on(small_disk: Path) -> None:
    ballast = small_disk / "ballast"
    path = small_disk / "journal.db"
    with JournalFile.open(path) as journal:
        journal.append(act(1), DAY)
        free = os.statvfs(small_disk)
        ballast.write_bytes(b"x" * (free.f_bavail * free.f_frsize))
        with pytest.raises(UserError, match="disk is full"):
            journal.append(act(2), DAY)
        ballast.unlink()
        journal.append(act(3), DAY)
        assert whole_acts(journal.entries()) == {1, 3}
