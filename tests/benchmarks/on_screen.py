"""What the grower waits for at the terminal, each beside a bare program of the same make in the same run."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from functools import partial
from itertools import cycle
from pathlib import Path
from time import sleep

from tests.benchmarks.figures import Figure, figure, times
from tests.benchmarks.made import DAY, LEADERS, journal
from tests.benchmarks.terminal import Program, python, told_in
from tunneltui.chores.morning import plan_morning
from tunneltui.chores.passes import passes
from tunneltui.screens.cache import DAYS_AHEAD
from tunneltui.store.journal_file import JournalFile

STARTS = 15
KEYS = 40
TICKS = 8
OF_THE_CARD = b"The walk"
"""Stands on every card of a day with work, at 100 columns and 30 rows."""


def first_paint(folder: Path) -> Iterator[Figure]:
    """From the start of the process to the card of the day, from what was kept; and on the morning after."""
    path = journal(folder, LEADERS)
    walk = _passes(path)
    _keep(folder, path, ahead=True)
    for what, day in (("start, demo", ()), ("first start of a new day", (DAY + timedelta(days=1),))):
        command = _as_a_grower(path, *day)
        with Program(command, folder) as program:
            program.until(OF_THE_CARD if day else f"{OF_THE_CARD.decode()}, {walk} passes".encode())
        yield times(
            what,
            partial(_started, command, OF_THE_CARD, folder),
            partial(_started, python("empty"), b" " * 60, folder),
            runs=STARTS,
            aim=1.25,
            note=f"{LEADERS} leaders, 100 by 30 cells",
        )


def first_paint_large(folder: Path) -> Iterator[Figure]:
    path = journal(folder, 2_000, years=4)
    with JournalFile.open(path, read_only=True) as file:
        count = file.head().count
    _keep(folder, path)
    command = _as_a_grower(path)
    yield times(
        "start, 2,000 leaders",
        partial(_started, command, OF_THE_CARD, folder),
        partial(_started, python("empty"), b" " * 60, folder),
        runs=STARTS,
        aim=1.6,
        note=f"{count} entries of four seasons",
    )


def keys(folder: Path) -> Iterator[Figure]:
    """Down and up in rounds of any length."""
    medians = []
    for count in (30, 1_000, 20_000):
        with (
            Program(python("shown_round", count, folder / f"told {count}"), folder) as ours,
            Program(python("bare", "list", count), folder) as bare,
        ):
            ours.until_told(folder / f"told {count}", 1)
            for program in (ours, bare):
                program.until(b"stem 3,")
                program.rest(1.0)
            ours_keys, bare_keys = cycle((b"j", b"k")), cycle((b"j", b"k"))
            found = times(
                f"key to repaint, {count} chores",
                lambda: ours.press(next(ours_keys)),  # noqa: B023 - used up before the next turn
                lambda: bare.press(next(bare_keys)),  # noqa: B023
                runs=KEYS,
                aim=1.5,
                note="rows of 60 cells in 100 columns",
            )
        medians.append(found.subject_ms or 0.0)
        yield found
    flat = [medians[-1] / medians[0]]
    yield figure("key to repaint, 20,000 chores against 30", "times", flat, aim=1.2)


def ticks(folder: Path, sizes: tuple[int, ...] = (LEADERS, 2_000, 20_000)) -> Iterator[Figure]:
    """From the key to the touched stem as it is now; then to its row."""
    medians: dict[int, float] = {}
    (folder / "bare").mkdir()
    bare_path = journal(folder / "bare", LEADERS)
    for leaders in sizes:
        path = journal(folder, leaders)
        told = folder / f"told {leaders}"
        rows: list[float] = []
        with (
            Program(python("subject", path, told), folder) as ours,
            Program(python("bare", "commits", 40, bare_path), folder) as bare,
        ):
            ours.until_told(told, 1)
            bare.rest(1.0)
            ours.rest(1.0)
            ours.press(b"\r")  # from the card of the day to its walk
            ours.rest(1.0)
            before = _count(path)
            found = times(
                f"tick, {leaders} leaders",
                partial(_ticked, ours, told, rows),
                partial(bare.press, b" "),
                runs=TICKS,
                aim=2.0,
                note="space on a chore of one leader; reference: one commit and its repaint",
            )
            assert _count(path) > before + TICKS - 1, "a tick that was shown is not in the journal"
        medians[leaders] = found.subject_ms or 0.0
        yield found
        yield figure(f"the rest of the row after a tick, {leaders} leaders", "ms", rows, aim=100.0)
    for leaders in sizes[1:]:
        flat = [medians[leaders] / medians[sizes[0]]]
        yield figure(f"tick, {leaders} leaders against {sizes[0]}", "times", flat, aim=1.2)


def change_of_screen(folder: Path) -> Iterator[Figure]:
    path, told = journal(folder, LEADERS), folder / "told"
    with (
        Program(python("subject", path, told), folder) as ours,
        Program(python("bare", "panes", 100), folder) as bare,
    ):
        ours.until_told(told, 1)
        for program in (ours, bare):
            program.rest(1.0)
            for key in (b"3", b"1"):
                program.press(key)
                program.rest(1.0)
        ours_keys, bare_keys = cycle((b"3", b"1")), cycle((b"3", b"1"))
        yield times(
            "change of screen",
            lambda: ours.press(next(ours_keys)),
            lambda: bare.press(next(bare_keys)),
            runs=KEYS,
            aim=1.3,
            note="Round and Loads; reference: a ContentSwitcher between two lists of the same length, with words",
        )


def memory(folder: Path) -> Iterator[Figure]:
    path, told = journal(folder, LEADERS), folder / "told"
    with (
        Program(python("subject", path, told), folder) as ours,
        Program(python("empty"), folder) as bare,
    ):
        ours.until_told(told, 1)
        ours.rest(1.0)
        bare.rest(1.0)
        used = (ours.memory_mb(), bare.memory_mb())
    yield figure(
        "memory, demo on Round", "times", [used[0] / used[1]], aim=1.4, note=f"{used[0]:.0f} MB, {used[1]:.0f} MB"
    )


def _keep(folder: Path, path: Path, *, ahead: bool = False) -> None:
    """Opens it once, until what the next start needs is kept."""
    told = folder / "told first"
    told.unlink(missing_ok=True)
    with Program(python("subject", path, told), folder) as program:
        program.until_told(told, 1)
        last = (DAY + timedelta(days=DAYS_AHEAD if ahead else 0)).isoformat()
        for _ in range(600):
            program.rest(0.1)
            kept = [file.read_text(encoding="utf-8").splitlines() for file in folder.rglob("morning-*.jsonl")]
            if any(last in json.loads(lines[0])["days"] for lines in kept if lines):
                return
            sleep(0.1)
    raise RuntimeError("nothing was kept for the next start")


def _passes(path: Path) -> int:
    """Of the day's walk."""
    with JournalFile.open(path, read_only=True) as file:
        morning = plan_morning(file.entries(), DAY)
    return len(passes(morning.season, morning.round))


def _as_a_grower(path: Path, day: date | None = None) -> list[str]:
    return [sys.executable, "-m", "tunneltui", "--at", str(path), *(("--on", str(day)) if day else ())]


def _started(command: list[str], wanted: bytes, folder: Path) -> float:
    with Program(command, folder) as program:
        return program.until(wanted)


def _ticked(program: Program, told: Path, rows: list[float]) -> float:
    """Milliseconds to the touched stem; those from there to its row go to ``rows``."""
    program.press(b"l")
    seen = len(told_in(told))
    start = program.type(b" ")
    stem = program.until_told(told, seen + 1)
    rows.append((program.until_told(told, seen + 2) - stem) * 1000)
    program.rest(0.2)
    return (stem - start) * 1000


def _count(path: Path) -> int:
    with JournalFile.open(path, read_only=True) as file:
        return file.head().count
