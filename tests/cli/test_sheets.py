"""Sheets through the door: what is wrong with them is said or asked for, and nothing is written meanwhile."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.door import NO_TERMINAL, Door
from tests.growth.open_data import folder, needs_open_data
from tests.store.messy_sheets import book, stem_rows, stems

FIRST = date(2026, 5, 4)


@pytest.fixture
def trial(tmp_path: Path) -> Door:
    """On a journal that is not there yet."""
    return Door(tmp_path / "home", tmp_path / "trial.db")


def write(tmp_path: Path, text: str | bytes, name: str = "sheet.csv") -> str:
    file = tmp_path / name
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return str(file)


def visit(n: int) -> date:
    return FIRST + timedelta(days=7 * n)


def test_columns_that_contradict_each_other_are_told_and_growth_is_kept(trial: Door, tmp_path: Path) -> None:
    """The height of a lowered crop says nothing of its stems' growth; it won without a word."""
    sheet = "Date,Plant,Stem length (cm),Crop height (cm)\n" + "".join(
        f"{visit(n)},{plant},{20 + (n * 7 + plant) % 11},{180 + (n * 13 + plant) % 23}\n"
        for n in range(10)
        for plant in range(1, 7)
    )
    said = trial.json("measurements", write(tmp_path, sheet))
    told = next(one for one in said["says"] if "contradict" in one)
    assert "contradict each other in 54 of 54 rows, first in line 8" in told
    assert "Crop height (cm) is left out" in told
    grown = [one["body"] for one in trial.json("journal", "show") if one["kind"] == "measured"]
    assert all("growth_m" in one and "length_m" not in one for one in grown)
    other = Door(tmp_path / "home", tmp_path / "other.db")
    said = other.json("measurements", write(tmp_path, sheet), "--map", "total=none", "--as", "increments")
    assert "total" not in said["columns"]


def test_where_most_rows_cannot_be_taken_nothing_is(trial: Door, tmp_path: Path) -> None:
    rows = "".join(f"2026-07-06,,{n}\n" for n in range(9)) + "2026-07-13,1,120\n"
    said = trial.refuses("measurements", write(tmp_path, "Date,Plant,Stem length (cm)\n" + rows), "--as", "totals")
    assert "9 of 10 rows" in said
    assert not (tmp_path / "trial.db").exists()


def test_cultivars_and_blocks_are_kept_apart(trial: Door, tmp_path: Path) -> None:
    sheet = "Date,Block,Plant,Cultivar,Stem length (cm)\n" + "".join(
        f"{visit(n)},{block},{plant},{'cherry x' if block == 'A' else 'beef y'},{100 + 20 * n}\n"
        for n in range(4)
        for block in "AB"
        for plant in (1, 2)
    )
    assert trial.json("measurements", write(tmp_path, sheet))["new"] == 16
    holding = trial.says("holding", "show")
    assert 'key = "cherry x"' in holding
    assert 'key = "beef y"' in holding
    assert {one["about"] for one in trial.json("journal", "show") if one["kind"] == "measured"} == {
        "T1-A01",
        "T1-A02",
        "T1-B01",
        "T1-B02",
    }


def test_stems_faster_than_any_tomato_are_cucumbers(trial: Door, tmp_path: Path) -> None:
    sheet = "Date,Total length cm\n" + "".join(f"{visit(n)},{110 + 70 * n}\n" for n in range(6))
    said = trial.json("measurements", write(tmp_path, sheet), "--lit")
    assert said["left_out"] == []
    holding = trial.says("holding", "show")
    assert 'crop = "cucumber"' in holding
    assert "lit = true" in holding


def test_weights_that_no_plant_bears_are_asked_about(demo: Door, tmp_path: Path) -> None:
    sheet = write(tmp_path, "Date,Cultivar,Row,Weight\n2026-08-17,beef 3,W1,4500\n2026-08-20,beef 3,W1,3900\n")
    said = demo.refuses("picks", sheet)
    assert "--unit kg=g" in said
    assert "4500 kg from" in said
    assert demo.json("picks", sheet, "--unit", "kg=g", "--look")["new"] == 2
    early = write(tmp_path, "Date,Cultivar,kg\n2026-02-17,beef 3,2\n", "early.csv")
    assert "2026-02-17 is before anything was planted here (2026-04-25)" in demo.refuses("picks", early)


def test_a_week_s_two_sheets_in_one_command(trial: Door, tmp_path: Path) -> None:
    traits = write(tmp_path, book(("stems", stem_rows())), "traits.xlsx")
    picks = write(tmp_path, "Datum;kg\n20.07.2026;1,5\n", "picks.csv")
    said = trial.json("measurements", traits, picks, "--as", "totals")
    assert [one["new"] for one in said] == [6, 1]
    kinds = [one["kind"] for one in trial.json("journal", "show")]
    assert kinds.count("picked") == 1


@needs_open_data
@pytest.mark.parametrize(
    ("name", "new"),
    [
        ("ohio/crop.csv", 160),
        ("challenge/compartment-1/crop.csv", 17),
        ("challenge/compartment-2/crop.csv", 17),
        ("cucumber-1/stem.csv", 13),
        ("cucumber-2/stem.csv", 13),
        ("field-1/stem.csv", 0),
    ],
)
def test_open_registrations_as_they_lie(trial: Door, name: str, new: int) -> None:
    said = trial.json("measurements", str(folder() / name), "--latitude", "40")
    assert said["new"] >= new > 0 or (new == 0 and said["new"] > 100)
    # The lit compartments end in rows that hold no reading.
    assert all("nothing was read" in one["why"] for one in said["refused"][2:])


def typed(command: list[str], answers: dict[str, str], home: Path) -> str:
    """What a terminal shows while each prompt is answered as soon as it stands there."""
    screen, slave = pty.openpty()
    env = os.environ | NO_TERMINAL | {"TUNNELTUI_HOME": str(home)}
    running = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=env)
    os.close(slave)
    shown, left, until = "", dict(answers), time.monotonic() + 60
    while time.monotonic() < until:
        if select.select([screen], [], [], 0.2)[0]:
            try:
                shown += os.read(screen, 65536).decode()
            except OSError:
                break
        for prompt in list(left):
            if prompt in shown.replace("\r\n", "\n"):
                os.write(screen, left.pop(prompt).encode() + b"\n")
        if running.poll() is not None and not select.select([screen], [], [], 0)[0]:
            break
    running.wait(30)
    return shown.replace("\r\n", "\n")


def test_on_a_terminal_it_is_shown_and_asked_before_it_is_written(trial: Door, tmp_path: Path) -> None:
    sheet = write(
        tmp_path, stems("Week,Plant,Stem length (cm)", lambda d, p, c: f"{d.isocalendar().week},{p},{c}")
    )
    command = [sys.executable, "-m", "tunneltui", "--at", str(trial.at), "measurements", sheet]
    shown = typed(command, {"Of which year": "2026", "(enter: 1)": "", "enter writes this": "q"}, trial.home)
    assert "do not name their year" in shown
    assert "Stem length (cm) cm  120, 110, 150" in shown
    assert "Nothing was written." in shown
    assert not (tmp_path / "trial.db").exists()
    typed(command, {"Of which year": "2026", "(enter: 1)": "", "enter writes this": ""}, trial.home)
    assert sum(one["kind"] == "measured" for one in trial.json("journal", "show")) == 6
