"""On a terminal that is a terminal: questions are asked, and a dumb one gets print instead of screens."""

from __future__ import annotations

import os
import select
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.cli.door import Door

pty = pytest.importorskip("pty", reason="no pseudo-terminals here")
ANSWERED_WITHIN_S = 60


def on_a_terminal(
    door: Door, words: Sequence[str], term: str, answers: Sequence[bytes] = (), ahead: bytes = b""
) -> tuple[int, str]:
    """Exit status and everything shown; an answer is typed whenever a question ends in brackets, ``ahead`` before
    anything is asked."""
    ours, theirs = pty.openpty()
    running = subprocess.Popen(
        [sys.executable, "-m", "tunneltui", *words],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=os.environ | {"TERM": term, "TUNNELTUI_HOME": str(door.home), "TZ": "UTC"},
    )
    os.close(theirs)
    os.write(ours, ahead)
    left, shown = list(answers), b""
    while select.select([ours], [], [], ANSWERED_WITHIN_S)[0]:
        try:
            came = os.read(ours, 65536)
        except OSError:
            break
        shown += came
        if not came:
            break
        if left and shown.rstrip(b" ").endswith(b"]"):
            os.write(ours, left.pop(0))
    os.close(ours)
    return running.wait(ANSWERED_WITHIN_S), shown.decode()


def test_new_asks_and_writes(door: Door) -> None:
    answers = [b"Long field\n", b"long\n", *[b"\n"] * 12]
    status, shown = on_a_terminal(door, ["new"], "xterm", answers)
    assert status == 0, shown
    assert "What do you call your tunnels? [My tunnels]" in shown
    assert "'long' is not a length in metres" in shown
    assert "Written: holding_set" in shown
    assert 'name = "Long field"' in door.says("holding", "show")


def test_the_end_of_input_stops_without_a_traceback(door: Door) -> None:
    status, shown = on_a_terminal(door, ["new"], "xterm", [b"\x04"])
    assert status == 130
    assert "Traceback" not in shown
    assert not list(door.home.glob("data/*.db"))


def test_a_dumb_terminal_gets_print(door: Door, tmp_path: Path) -> None:
    status, shown = on_a_terminal(door, ["demo", "--at", str(tmp_path / "demo.db")], "dumb")
    assert status == 0, shown
    assert shown.startswith("Thu 20 Aug 2026  Saltmarsh Lane")
    assert "\x1b" not in shown


def test_the_put_right_walk_asks_takes_back_and_stops(demo: Door) -> None:
    """Answers come as one paste: what is typed ahead reaches its question."""
    status, shown = on_a_terminal(demo, ["--at", str(demo.at), "put-right", "E1"], "dumb", [], b"s\nu\nx\n\nq\n")
    assert status == 0, shown
    assert "E1-01a, standard 2: hook 26 6 cm short of place 04" in shown
    assert "says no place and no tip" in shown
    assert "Put right E1: 1 of 10 answered." in shown
