"""The whole program in a real terminal (tmux): keys counted, killed in the middle, found again."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.screens.made_demo import demo_at
from tunneltui.journal.body import answers
from tunneltui.journal.entry import Entry
from tunneltui.screens.journal_client import FileClient

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed on this machine")


class Terminal:
    """A terminal of its own server, driven key by key."""

    def __init__(self, name: str, home: Path, size: tuple[int, int] = (80, 24), **environment: str) -> None:
        self._socket = name
        self._home = home
        self._size = size
        self._environment = {"TUNNELTUI_HOME": str(home), "COLORTERM": "truecolor", **environment}
        self.keys = 0

    def _tmux(self, *words: str) -> str:
        ran = subprocess.run(["tmux", "-L", self._socket, *words], capture_output=True, text=True, timeout=30)
        return ran.stdout

    def open(self, path: Path, *words: str) -> None:
        settings = [word for name, value in self._environment.items() for word in ("-e", f"{name}={value}")]
        command = [sys.executable, "-m", "tunneltui", "--at", str(path), *words]
        columns, rows = map(str, self._size)
        self._tmux("-f", "/dev/null", "new-session", "-d", "-x", columns, "-y", rows, *settings, *command)
        # What a crash printed stays to be read in the failed test.
        self._tmux("set-option", "remain-on-exit", "on")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.keys += 1
            self._tmux("send-keys", key)

    def screen(self) -> str:
        return self._tmux("capture-pane", "-p")

    def process(self) -> int:
        return int(self._tmux("list-panes", "-F", "#{pane_pid}").strip())

    def wait(self, holds: Callable[[str], bool], seconds: float = 30) -> str:
        end = time.monotonic() + seconds
        while not holds(shown := self.screen()):
            assert time.monotonic() < end, f"it never came to be:\n{shown}"
            time.sleep(0.05)
        return shown

    def close(self) -> None:
        self._tmux("kill-server")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    made = Terminal(f"tunneltui-test-{os.getpid()}-{tmp_path.name}", tmp_path)
    yield made
    made.close()


def written(path: Path, before: int) -> list[Entry]:
    """What came into the journal since, in order of writing."""
    return sorted(FileClient(path).entries(), key=lambda entry: entry.at_us)[before:]


def acts(entries: list[Entry]) -> list[str]:
    return list(dict.fromkeys(entry.act for entry in entries))


def ready(shown: str) -> bool:
    """The morning is planned: the header counts minutes and musts."""
    return "musts" in shown and "not yet confirmed" not in shown


def wait_for_acts(path: Path, before: int, count: int, seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while len(acts(written(path, before))) < count:
        assert time.monotonic() < end, f"{len(acts(written(path, before)))} of {count} acts came to the disk"
        time.sleep(0.1)


def to_the_plants(terminal: Terminal) -> None:
    """From the day card to the pass of plants."""
    terminal.press("Enter")
    terminal.wait(lambda shown: shown.lstrip().startswith("Look"))
    terminal.press("Right", "Right")
    terminal.wait(lambda shown: shown.lstrip().startswith("Plants"))


def test_six_places_cost_six_keys_and_survive_a_kill(terminal: Terminal, tmp_path: Path) -> None:
    path = demo_at(tmp_path)
    before = len(FileClient(path).entries())
    terminal.open(path, "demo")
    terminal.wait(ready, 60)
    to_the_plants(terminal)
    terminal.keys = 0
    for done in range(1, 7):
        terminal.press("Space")
        wait_for_acts(path, before, done)
    assert terminal.keys == 6, "a usual place costs one key"
    terminal.wait(lambda shown: shown.count("\u2713 W2") >= 5)
    os.kill(terminal.process(), 9)
    terminal.close()
    made = written(path, before)
    assert len(acts(made)) == 6
    assert all(answers(entry) for entry in made)

    terminal.open(path, "demo")
    terminal.wait(ready, 60)
    terminal.press("u")
    wait_for_acts(path, before, 7)
    assert written(path, before)[-1].kind == "crossed_out"
    terminal.press("q")


def test_it_is_killed_while_keys_come_and_loses_none_that_it_called_done(
    terminal: Terminal, tmp_path: Path
) -> None:
    path = demo_at(tmp_path)
    before = len(FileClient(path).entries())
    terminal.open(path, "demo")
    terminal.wait(ready, 60)
    to_the_plants(terminal)
    terminal.press("Space", "Space", "Space")
    shown = terminal.wait(lambda shown: "\u2713 W2" in shown)
    os.kill(terminal.process(), 9)
    called_done = shown.count("\u2713 W2")
    assert len(acts(written(path, before))) >= min(called_done, 1) > 0
    assert FileClient(path).entries(), "the journal opens again"


@pytest.mark.parametrize("term", ["xterm-256color", "linux", "vt100"])
def test_it_opens_without_colour_and_in_poor_terminals(tmp_path: Path, term: str) -> None:
    path = demo_at(tmp_path)
    name = f"tunneltui-plain-{os.getpid()}-{tmp_path.name}"
    made = Terminal(name, tmp_path, NO_COLOR="1", TERM=term)
    try:
        made.open(path, "demo")
        made.wait(ready, 60)
        coloured = made._tmux("capture-pane", "-p", "-e")
        assert "[38;" not in coloured
        assert "[48;" not in coloured
        made.press("2")
        made.wait(lambda shown: "how full each clip is" in shown)
    finally:
        made.close()


def test_settings_are_read_and_a_poor_terminal_gets_ascii(tmp_path: Path) -> None:
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "settings.toml").write_text('[keys]\n"round.don" = "g"\n', "utf-8")
    terminal = Terminal(f"tunneltui-poor-{os.getpid()}-{tmp_path.name}", tmp_path, PYTHONIOENCODING="latin-1")
    try:
        terminal.open(demo_at(tmp_path), "demo")
        terminal.wait(lambda shown: "Did you mean round.done?" in shown)
        terminal.press("2")
        shown = terminal.wait(lambda shown: "how full each clip is" in shown)
        assert shown.isascii()
    finally:
        terminal.close()


def test_from_nothing_to_a_first_round_of_ones_own_in_mid_season(terminal: Terminal, tmp_path: Path) -> None:
    """Three screens, then the day card of one's own tunnel."""
    path = tmp_path / "my own.db"
    terminal.open(path, "--on", "2026-08-15")
    terminal.wait(lambda shown: "What shall it be?" in shown)
    terminal.press("a")
    # Between one form and the next a key finds neither: a grower, too, looks before typing on.
    terminal.wait(lambda shown: "Your tunnel" in shown)
    terminal.press(*["Enter"] * 6)
    terminal.wait(lambda shown: "Your rows" in shown)
    terminal.press(*["Enter"] * 6, *"2026-05-01", "Enter")
    terminal.wait(lambda shown: "of 60 min" in shown or "min left" in shown, 60)
    entries = FileClient(path).entries()
    assert len([entry for entry in entries if entry.kind == "planted"]) == 24
