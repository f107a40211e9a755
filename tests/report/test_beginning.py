"""The first holding: asked in a few questions, or said by flags."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tunneltui.holding.check import checked_holding
from tunneltui.holding.layout import layout
from tunneltui.holding.new import Start
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import typed
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.report.beginning import ROWS, TUNNEL, ask_start, first_act, machine_zone, start_from
from tunneltui.report.open_journal import OpenJournal

TODAY = date(2026, 5, 10)


def read_journal(tmp_path: Path) -> OpenJournal:
    return OpenJournal(tmp_path / "journal.db", (), TODAY, TODAY, None)


def test_answers_in_turn_and_wrong_ones_asked_again() -> None:
    tunnel = ["Long field", "16", "ten", "6", "Europe/Oslo", "59.9", "Tue, sat someday", "Tue, saturday"]
    rows = ["", "30", "0.45", "2.2", "flat", "laid down", "cherry 1, beef 2", "2026-04-20"]
    answers: Iterator[str] = iter([*tunnel, *rows])
    told: list[str] = []
    asked: list[str] = []

    def ask(question: str) -> str:
        asked.append(question)
        return next(answers)

    start, planted = ask_start(ask, told.append)
    assert (start.name, start.length_m, start.width_m, start.rows) == ("Long field", 16, 6, Start().rows)
    assert (start.places_per_row, start.spacing_m, start.wire_height_m) == (30, 0.45, 2.2)
    assert (start.cultivars, start.zone, start.latitude_deg) == (("cherry 1", "beef 2"), "Europe/Oslo", 59.9)
    assert (start.training, planted) == ("laid_down", date(2026, 4, 20))
    assert start.work_days == ("Tue", "Sat")
    assert len(told) == 3
    assert "'ten' is not a length" in told[0]
    assert "'someday' is no day of the week" in told[1]
    assert "'flat' is none of: tiered, laid down, pinched at wire" in told[2]
    assert len(asked) == len(TUNNEL) + len(ROWS) + 1 + len(told)


def test_only_returns_give_a_holding_that_passes_the_check(tmp_path: Path) -> None:
    [(day, made)] = first_act(read_journal(tmp_path), *ask_start(lambda _: "", print))
    body = typed(made)
    assert isinstance(body, HoldingSet)
    assert day == TODAY
    assert checked_holding(body.toml).zone == machine_zone()


def test_plants_that_stand_already(tmp_path: Path) -> None:
    start = start_from({"rows": 2, "places_per_row": 4, "cultivars": ("cherry 1", "beef 2"), "name": None})
    act = first_act(read_journal(tmp_path), start, date(2026, 4, 20))
    assert {day for day, _ in act} == {date(2026, 4, 20)}
    body = typed(act[0][1])
    assert isinstance(body, HoldingSet)
    places = layout(checked_holding(body.toml)).places
    assert {made.about: typed(made) for _, made in act[1:]} == {
        name: Planted(one.place.cultivar) for name, one in places.items()
    }
    with pytest.raises(UserError, match="still to come"):
        first_act(read_journal(tmp_path), start, date(2026, 5, 11))


@pytest.mark.parametrize(
    ("zone", "found"), [("Europe/Oslo", "Europe/Oslo"), (":Asia/Tokyo", "Asia/Tokyo"), ("../../etc/passwd", None)]
)
def test_the_machines_zone(monkeypatch: pytest.MonkeyPatch, zone: str, found: str | None) -> None:
    monkeypatch.setenv("TZ", zone)
    assert machine_zone() == found or (found is None and "passwd" not in machine_zone())
