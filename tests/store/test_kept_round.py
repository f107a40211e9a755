"""The round that was shown is kept: numbers stand all day, survive the process, and several may keep at once."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from datetime import date
from functools import cache
from pathlib import Path

from tests.demo_once import demo_entries
from tunneltui.chores.chore import Chore, Round
from tunneltui.chores.morning import plan_morning
from tunneltui.store.kept_round import as_shown, keep, round_of_day

PLAYS_ON = date(2026, 8, 20)


@cache
def walk() -> Round:
    return plan_morning(demo_entries(), PLAYS_ON).round


def chores(of: Round) -> list[Chore]:
    return [chore for spot in of.spots for chore in spot.chores]


def some(*numbers: int) -> Round:
    """The round with some of its chores alone, one a spot."""
    every = chores(walk())
    return walk()._replace(spots=tuple(walk().spots[0]._replace(chores=(every[number],)) for number in numbers))


def test_it_is_kept_as_it_was_shown(tmp_path: Path) -> None:
    shown = keep(tmp_path, "j", walk())
    assert shown == as_shown(walk()) == round_of_day(tmp_path, "j", PLAYS_ON)
    assert [shown.lines[number] for number in shown.last] == chores(walk())
    assert round_of_day(tmp_path, "j", date(2026, 8, 21)) is None
    assert round_of_day(tmp_path, "another", PLAYS_ON) is None


def test_a_number_stands_for_one_chore_all_day(tmp_path: Path) -> None:
    first = keep(tmp_path, "j", some(3, 5, 7))
    second = keep(tmp_path, "j", some(7, 1, 3))
    every = chores(walk())
    assert [second.lines[number] for number in second.last] == [every[7], every[1], every[3]]
    assert second.last == (3, 4, 1)
    assert all(second.lines[number] == chore for number, chore in first.lines.items())


def _keep(state: Path, number: int) -> tuple[int, ...]:
    return keep(state, "j", some(*range(number % 5, 20 + number))).last


def test_six_processes_at_once_number_alike(tmp_path: Path) -> None:
    with ProcessPoolExecutor(3) as pool:
        list(pool.map(_keep, [tmp_path] * 6, range(6)))
    told = round_of_day(tmp_path, "j", PLAYS_ON)
    assert told is not None
    assert sorted(told.lines) == list(range(1, 26))
    assert len({chore.id for chore in told.lines.values()}) == 25


def test_where_nothing_can_be_kept_numbers_stand_all_the_same(tmp_path: Path) -> None:
    file = tmp_path / "a file"
    file.write_text("x")
    assert keep(file, "j", walk()) == as_shown(walk())
    (tmp_path / "rounds-1.db").write_bytes(b"no database at all" * 100)
    assert keep(tmp_path, "j", walk()) == as_shown(walk())
    assert round_of_day(tmp_path, "j", PLAYS_ON) is None
