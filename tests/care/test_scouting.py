"""When to look for what: disease weather until it was looked for, the way along a row, and what is not known.

Criteria: Hutton (AHDB), HDC PC 301; day list made up; the season is the fortnight of June, which asks
for the first look on its last day.
"""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from tests.care.june import DAY, june, later
from tunneltui.care.advice import Advice
from tunneltui.care.disease_weather import DayAir, grey_mould_weather, leaf_mould_weather
from tunneltui.care.scouting import STILL_SHOWS_DAYS, scouting, spells, weekly_look
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air, Scouted
from tunneltui.season.fold import fold

BEGAN = DAY - timedelta(days=1)


def _asked(entries: list[Entry], day: date) -> list[Advice]:
    season = fold(entries, day)
    return list(scouting(season, season.holding.tunnels[0]))


def _dry(entries: list[Entry], days: int) -> list[Entry]:
    """Some dry days after the fixture's own."""
    for n in range(days):
        entries = later(
            entries, DAY + timedelta(days=n), "T", Air("sensor", 12.0, 24.0, 18.0, (18.0,) * 24, (60.0,) * 24)
        )
    return entries


def test_a_look_that_nobody_took_is_asked_for_until_nothing_more_would_show() -> None:
    """Whoever does not open the round on the first day is asked on the next."""
    assert not _asked(june(), BEGAN)
    entries = _dry(june(), 10)
    asked_on = [n for n in range(12) if _asked(entries, DAY + timedelta(days=n))]
    assert asked_on == list(range(STILL_SHOWS_DAYS))
    (advice,) = _asked(entries, DAY + timedelta(days=2))
    assert advice.must
    assert advice.why.startswith("Fri 19 Jun: two nights of 10 degC or more")


def test_one_look_at_every_row_is_enough_for_a_spell() -> None:
    entries = later(_dry(june(), 5), DAY + timedelta(days=1), "T1", Scouted())
    assert _asked(entries, DAY + timedelta(days=1)) == []
    assert _asked(entries, DAY + timedelta(days=4)) == []
    before = later(june(), BEGAN, "T1", Scouted())
    assert _asked(before, DAY), "a look before the weather came is none after it"


def test_the_way_along_a_row_looks_for_what_the_weather_brought() -> None:
    looked_for = weekly_look(fold(june(), DAY), "T1")
    assert looked_for.startswith("late blight: brown patches, wet at the edge")
    assert looked_for.count(": ") == 3, "and for two pests in turn"
    assert "blight" not in weekly_look(fold(june(), BEGAN), "T1")


def test_a_day_that_was_not_read_ends_a_spell_and_begins_none() -> None:
    lost = [
        entry._replace(body=json.dumps(json.loads(entry.body) | {"hours_rh": []}))
        if entry.kind == "air" and entry.day == BEGAN
        else entry
        for entry in june()
    ]
    assert not spells(fold(lost, DAY), "T")


@pytest.mark.parametrize(
    ("hours", "missing", "third"), [(12, 0, True), (11, 0, False), (11, 1, None), (12, 12, True), (0, 11, False)]
)
def test_leaf_mould_needs_every_one_of_its_days(hours: int, missing: int, third: bool | None) -> None:
    """Over 85 % (Rutgers) at 10 to 32 degC (Penn State); twelve hours on three days are assumed."""
    met = DayAir(12.0, (20.0,) * 24, (86.0,) * 24)
    humid = (*(86.0,) * hours, *(None,) * missing, *(60.0,) * (24 - hours - missing))
    last = DayAir(12.0, (20.0,) * 24, humid)
    assert leaf_mould_weather([met, met, last])[-1] is third
    assert leaf_mould_weather([met, met])[-1] is None, "the day before is not known"


@pytest.mark.parametrize(("air_c", "rh", "met"), [(20.0, 91.0, True), (20.0, 90.0, False), (29.0, 95.0, False)])
def test_grey_mould_is_for_damp_and_mild_days(air_c: float, rh: float, met: bool) -> None:
    """Above 90 % (HDC PC 301), suppressed over 28 degC."""
    day = DayAir(12.0, (air_c,) * 24, (rh,) * 24)
    assert grey_mould_weather([day, day])[-1] is met
    assert grey_mould_weather([DayAir(12.0, (), ()), day])[-1] is (None if met else False)
