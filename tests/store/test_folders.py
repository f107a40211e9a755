"""Where files are kept, and the machine's name."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import platformdirs
import pytest

from tests.store.fault_layer import REPOSITORY
from tunneltui.store import folders


def test_all_folders_follow_the_variable(home: Path) -> None:
    assert folders.data_folder() == home / "data"
    assert folders.state_folder() == home / "state"
    assert folders.cache_folder() == home / "cache"
    assert folders.default_journal().parent == home / "data"
    assert folders.default_journal() != folders.demo_journal()


def test_without_it_they_are_the_systems_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(folders.HOME_VARIABLE)
    assert folders.data_folder() == platformdirs.user_data_path("tunneltui", appauthor=False)
    assert folders.state_folder() == platformdirs.user_state_path("tunneltui", appauthor=False)
    assert folders.cache_folder() == platformdirs.user_cache_path("tunneltui", appauthor=False)


def test_a_machine_keeps_its_name_and_two_have_different_ones(tmp_path: Path) -> None:
    first = folders.device_id(tmp_path / "a")
    assert folders.device_id(tmp_path / "a") == first
    assert folders.device_id(tmp_path / "b") != first
    assert len(first) == 12
    assert [file.name for file in (tmp_path / "a").iterdir()] == ["device"]


def test_programs_that_start_at_once_agree_on_the_name(tmp_path: Path) -> None:
    say = "import sys; from pathlib import Path; from tunneltui.store import folders; print(folders.device_id())"
    started = [
        subprocess.Popen(
            [sys.executable, "-c", say],
            env={**os.environ, folders.HOME_VARIABLE: str(tmp_path)},
            cwd=REPOSITORY,
            stdout=subprocess.PIPE,
        )
        for _ in range(6)
    ]
    assert len({child.communicate()[0] for child in started}) == 1


def test_a_machine_whose_folder_cannot_be_written_has_a_name_for_this_run(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("no folder")
    name = folders.device_id(blocked / "state")
    assert folders.device_id(blocked / "state") == name
    assert len(name) == 12


@pytest.mark.parametrize("content", [b"", b"\xff\xff", b"../../etc", b"x" * 400])
def test_a_spoiled_name_is_not_used(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "device").write_bytes(content)
    name = folders.device_id(tmp_path)
    assert len(name) == 12
    assert name.encode() not in content or not content
