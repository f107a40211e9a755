"""A tunnel's fortnight: what every day rests on, what was filled, degree days summed, own last frosts."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from tests.care.june import DAY, june, later
from tunneltui.care.degree_days import degree_days
from tunneltui.care.fortnight import Counted, Fortnight, fortnight
from tunneltui.care.margin import night_margin
from tunneltui.care.tunnel_air import recent_inside
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air
from tunneltui.pages.air import noted_words, sums
from tunneltui.season.fold import fold
from tunneltui.values import replace

GONE = date(2026, 6, 12)


def _fortnight(entries: list[Entry], counted: Counted | None = None, day: date = DAY) -> Fortnight:
    season = fold(entries, day)
    return fortnight(season, season.holding.tunnels[0], counted or Counted())


def _aired(change: Callable[[Entry, dict[str, Any]], dict[str, Any] | None]) -> list[Entry]:
    """The journal with its days of air written otherwise, or left out where None comes back."""
    kept = []
    for entry in june():
        body = change(entry, json.loads(entry.body)) if entry.kind == "air" else {}
        if entry.kind != "air":
            kept.append(entry)
        elif body is not None:
            kept.append(entry._replace(body=json.dumps(body)))
    return kept


def test_a_day_that_nobody_read_is_filled_and_said_to_be() -> None:
    shown = _fortnight(_aired(lambda entry, body: None if entry.day == GONE else body))
    (day,) = [one for one in shown.days if one.day == GONE]
    assert (day.mark, day.low_c, day.high_c) == ("filled", None, None)
    assert shown.filled[0].startswith("Fri 12 Jun: filled from the days on either side")


def test_days_to_come_say_whether_weather_was_issued() -> None:
    marks = {one.day: one.mark for one in _fortnight(june()).days if one.day >= DAY}
    assert [marks[DAY + timedelta(days=n)] for n in range(6)] == ["issued"] * 2 + ["carried on"] * 4


def test_a_day_that_was_read_already_shows_what_was_read() -> None:
    entries = later(june(), DAY, "T", Air("sensor", 9.5, 31.0, 20.0, (20.0,) * 24, (), 288))
    (today,) = [one for one in _fortnight(entries).days if one.day == DAY]
    assert (today.mark, today.low_c, today.high_c) == ("sensor", 9.5, 31.0)


@pytest.mark.parametrize(
    "counted", [Counted("sine", 10.0), Counted("simple", 8.0), Counted("triangle", 6.0, 30.0)]
)
def test_degree_days_are_the_sum_of_the_days_that_were_read(counted: Counted) -> None:
    """From the 6th on both ends are known; a fortnight less, the days before count by their mean alone."""
    ends = [(8.0, 20.0)] * 12 + [(11.0, 20.0), (11.0, 34.0)]
    read = sum(degree_days(low, high, counted.above_c, counted.method, counted.cap_c) for low, high in ends)
    whole, before = _fortnight(june(), counted), _fortnight(june(), counted, DAY - timedelta(days=14))
    days = [one.degree_days for one in whole.days if one.day < DAY]
    assert sum(days) == pytest.approx(read)
    assert whole.sum_filled_days == before.sum_filled_days == 42
    assert whole.since == date(2026, 4, 25)


def test_a_minimum_above_its_maximum_is_not_counted_by_its_ends() -> None:
    """Such entries are refused now; one from an older journal counts by the series alone."""
    swapped = _aired(lambda entry, body: body | {"min_c": 30.0} if entry.day == GONE else body)
    assert _fortnight(swapped).sum_filled_days == 43


def test_unknown_hours_of_humidity_leave_blight_weather_unknown() -> None:
    def lost(entry: Entry, body: dict[str, Any]) -> dict[str, Any]:
        if entry.day != DAY - timedelta(days=1):
            return body
        return body | {"hours_rh": [92.0] * 5 + [None] * 2 + [60.0] * 17}

    (day,) = [one for one in _fortnight(_aired(lost)).days if one.day == DAY - timedelta(days=1)]
    assert [noted_words(one) for one in day.noted] == ["late blight weather unknown, 2 hours of humidity missing"]


def test_last_frosts_come_from_the_growers_own_springs() -> None:
    entries = june()
    for year, day, low in ((2024, 30, -0.5), (2025, 12, -2.0), (2025, 20, 1.0)):
        entries = later(entries, date(year, 4, day), "T", Air("hand", low, 14.0))
    frosts = _fortnight(entries).last_frosts
    assert frosts.days == (date(2024, 4, 30), date(2025, 4, 12))
    assert frosts.springs_without == 0, "of this year only June was read"
    assert frosts.nine_in_ten_past is None, "under ten springs no chance"


def test_ten_springs_give_a_day_by_chance() -> None:
    """Normal mean + 1.2816 sd (NOAA's meaning: a tenth of last frosts come after it)."""
    entries = june()
    days = [date(2016 + n, 4, 10 + n) for n in range(10)]
    for day in days:
        entries = later(entries, day, "T", Air("hand", -1.0, 14.0))
    of_year = [day.timetuple().tm_yday for day in days]
    mean = sum(of_year) / 10
    sd = (sum((x - mean) ** 2 for x in of_year) / 9) ** 0.5
    assert _fortnight(entries).last_frosts.nine_in_ten_past == round(mean + 1.2816 * sd)


def test_a_day_without_humidity_leaves_its_disease_weather_unknown() -> None:
    """Never false: only a night under 10 degC rules late blight out."""
    entries = later(june(), DAY, "T", Air("hand", 12.0, 24.0))
    shown = _fortnight(entries, day=DAY + timedelta(days=1))
    (hand,) = [one for one in shown.days if one.day == DAY]
    assert hand.illness is not None
    assert hand.illness.late_blight is None
    assert hand.illness.leaf_mould_hours == (0, 24)
    assert shown.no_humidity_days == 1
    assert "No humidity was read on 1 of these days: their disease weather is unknown" in " ".join(sums(shown))
    cold = _fortnight(later(june(), DAY, "T", Air("hand", 9.9, 24.0)), day=DAY + timedelta(days=1))
    assert [one.illness.late_blight for one in cold.days if one.day == DAY and one.illness] == [False]


def test_a_logger_that_began_at_noon_gives_no_ends_no_mean_and_no_disease_weather() -> None:
    """Twelve hours of afternoon say nothing of the night before them; a frost among them is a frost."""
    afternoon = Air("sensor", 18.0, 30.0, 24.0, (None,) * 12 + (24.0,) * 12, (None,) * 12 + (95.0,) * 12, 144)
    shown = _fortnight(later(june(), DAY, "T", afternoon), day=DAY + timedelta(days=1))
    (day,) = [one for one in shown.days if one.day == DAY]
    assert (day.mark, day.low_c, day.high_c) == ("filled", None, None)
    assert day.illness is not None
    assert day.illness.late_blight is None
    said = noted_words(day.noted[0])
    assert said == "late blight weather unknown, 12 hours of humidity missing"
    frozen = replace(afternoon, min_c=-1.0)
    assert _fortnight(later(june(), date(2026, 4, 20), "T", frozen)).last_frosts.days == (date(2026, 4, 20),)


def test_part_days_are_kept_out_of_water_and_margins() -> None:
    part = Air("sensor", 25.0, 40.0, 30.0, (None,) * 20 + (30.0,) * 4, (), 24)
    season = fold(later(june(), DAY, "T", part), DAY + timedelta(days=1))
    inside = recent_inside(season, "T")
    assert inside is not None
    assert (inside.min_c, inside.max_c, inside.days_read) == (11.0, 27.0, 2)
    assert night_margin(season, "T").own_days == night_margin(fold(june(), DAY), "T").own_days


@pytest.mark.parametrize(("least", "most", "said"), [(20.0, 33.0, True), (15.0, 33.0, False)])
def test_heat_read_by_hand_is_heat(least: float, most: float, said: bool) -> None:
    """Midway between its ends: 26.5 degC is over the 25 to 26 of Agronomy 2014, 4(1):167; pollen is hurt nine days
    before its flower opens (Purdue)."""
    shown = _fortnight(later(june(), DAY, "T", Air("hand", least, most)), day=DAY + timedelta(days=1))
    (noted,) = [one.noted for one in shown.days if one.day == DAY]
    hot = "hot: set may suffer on trusses that open about Mon 29 Jun"
    assert list(map(noted_words, noted)) == ([hot] if said else [])
