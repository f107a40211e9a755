"""The air behind the forecasts: what stands for a day, what is left out, and that nothing later is ever used."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from tests.growth.growing import PLANTED, Diary, small_diary
from tunneltui.growth.air import AirSeries, air_series, daily_mean_c, typical_c
from tunneltui.journal.kinds_care import Air, Forecast
from tunneltui.season.fold import fold
from tunneltui.values import replace

TODAY = PLANTED + timedelta(days=40)


def _series(diary: Diary, last: date = TODAY + timedelta(days=14)) -> AirSeries:
    return air_series(fold(diary.entries, TODAY), "W", PLANTED, last)


def _day(ahead: int) -> date:
    return PLANTED + timedelta(days=ahead)


def test_a_sensor_goes_before_a_hand_and_the_tunnel_before_the_house() -> None:
    diary, _ = small_diary()
    diary.write(_day(5), "W", Air(mean_c=15.0))
    diary.write(_day(5), "", Air(source="sensor", mean_c=18.0))
    diary.write(_day(6), "", Air(source="sensor", mean_c=18.0))
    diary.write(_day(6), "W", Air(source="sensor", mean_c=21.0))
    series = _series(diary)
    assert (series.mean_c(_day(5)), series.mark(_day(5))) == (18.0, "sensor")
    assert series.mean_c(_day(6)) == 21.0


def test_a_tunnel_without_a_thermometer_takes_anothers_and_says_so() -> None:
    diary, _ = small_diary()
    diary.write(_day(6), "W", Air(mean_c=15.0))
    season = fold(diary.entries, TODAY)
    east = {_day(day): Air(source="sensor", mean_c=18.0) for day in (5, 6)}
    series = air_series(replace(season, airs={**season.airs, "E": east}), "W", PLANTED, TODAY)
    assert (series.mean_c(_day(5)), series.mark(_day(5))) == (18.0, "filled")
    assert (series.mean_c(_day(6)), series.mark(_day(6))) == (15.0, "hand")


def test_a_day_of_hours_is_their_mean_and_two_ends_are_halved() -> None:
    assert daily_mean_c(Air(hours_c=tuple([10.0] * 12 + [20.0] * 12))) == 15.0
    assert daily_mean_c(Air(min_c=9.0, max_c=25.0)) == 17.0
    assert daily_mean_c(Air(hours_c=(20.0,) * 5)) is None
    assert daily_mean_c(Air()) is None


def test_a_gap_is_filled_between_its_sides_and_marked() -> None:
    diary, _ = small_diary()
    diary.warm(_day(0), _day(9), 14.0)
    diary.warm(_day(13), _day(39), 20.0)
    series = _series(diary)
    gap = [series.mean_c(_day(day)) for day in (10, 11, 12)]
    assert [series.mark(_day(day)) for day in (10, 11, 12)] == ["filled"] * 3
    assert 14.0 < gap[0] < gap[1] < gap[2] < 20.0


def test_today_is_a_part_day_unless_its_hours_are_whole() -> None:
    diary, _ = small_diary()
    diary.warm(_day(20), TODAY - timedelta(days=1), 18.0)
    diary.write(TODAY, "", Air(source="sensor", mean_c=30.0, hours_c=(30.0,) * 8))
    assert _series(diary).mark(TODAY) == "carried on"
    diary.write(TODAY, "", Air(source="sensor", hours_c=(17.0,) * 24))
    assert (_series(diary).mean_c(TODAY), _series(diary).mark(TODAY)) == (17.0, "sensor")


def test_without_a_reading_the_typical_year_stands_in_and_says_so() -> None:
    diary, _ = small_diary()
    series = _series(diary)
    assert series.typical
    assert set(series.marks) == {"typical"}
    assert 8 < min(series.means_c) < max(series.means_c) < 27


@pytest.mark.parametrize(("latitude", "warm", "cold"), [(51.5, 7, 1), (-37.0, 1, 7)])
def test_the_typical_year_turns_with_the_hemisphere(latitude: float, warm: int, cold: int) -> None:
    july, january = (typical_c(date(2026, month, 20).toordinal(), latitude) for month in (warm, cold))
    assert july > january + 5


def test_the_tunnels_own_earlier_year_goes_before_the_latitudes() -> None:
    diary, _ = small_diary(planted=date(2025, 4, 1))
    diary.warm(date(2025, 5, 20), date(2025, 7, 20), 27.5)
    coming = air_series(fold(diary.entries, TODAY), "W", PLANTED, TODAY + timedelta(days=14))
    assert coming.mean_c(TODAY + timedelta(days=3)) == pytest.approx(27.5, abs=0.5)


def test_coming_days_carry_the_last_fortnight_on() -> None:
    diary, _ = small_diary()
    diary.warm(_day(10), TODAY - timedelta(days=1), 21.0)
    series = _series(diary)
    assert series.mark(TODAY + timedelta(days=2)) == "carried on"
    assert series.mean_c(TODAY + timedelta(days=2)) == pytest.approx(21.0, abs=1.5)
    lit, _ = small_diary(lit=True)
    lit.warm(_day(10), TODAY - timedelta(days=1), 21.0)
    assert _series(lit).mean_c(TODAY + timedelta(days=12)) == pytest.approx(21.0)


def test_a_cold_spell_is_not_carried_on_for_months() -> None:
    """Three weeks of 11 degC in June were carried on to October: the first truss was foreseen a month late, every
    truss to come green, and all tips were taken out on 21 June."""
    diary, _ = small_diary()
    spell = date(2026, 6, 1)
    diary.warm(PLANTED, spell - timedelta(days=1), 17.0)
    diary.warm(spell, date(2026, 6, 20), 11.0)
    told = air_series(fold(diary.entries, date(2026, 6, 21)), "W", PLANTED, date(2026, 9, 1))
    assert told.mean_c(date(2026, 6, 22)) == pytest.approx(11.5, abs=1.0)
    assert told.mean_c(date(2026, 7, 25)) > 15.0


def test_a_heated_tunnel_stays_as_warm_as_it_was() -> None:
    diary, _ = small_diary(planted=date(2026, 1, 10))
    diary.warm(date(2026, 1, 10), date(2026, 3, 9), 20.0)
    told = air_series(fold(diary.entries, date(2026, 3, 10)), "W", date(2026, 1, 10), date(2026, 4, 20))
    assert told.mean_c(date(2026, 4, 10)) == pytest.approx(20.0, abs=2.5)


def test_weather_issued_goes_before_carrying_on_with_the_tunnels_own_gain() -> None:
    diary, _ = small_diary()
    diary.warm(_day(10), TODAY - timedelta(days=1), 20.0)
    for day in range(30, 40):
        diary.write(_day(day), "", Forecast(_day(day).isoformat(), (10.0,), (20.0,)))
    diary.write(TODAY, "", Forecast(TODAY.isoformat(), (5.0, 5.0), (11.0, 11.0)))
    series = _series(diary)
    assert series.mark(TODAY) == "issued"
    # Ten forecasts of 15 °C in a tunnel of 20: a gain of 5, held a little towards the usual 3.
    assert series.mean_c(TODAY) == pytest.approx(8.0 + (10 * 5 + 3 * 3) / 13)
    assert series.mark(TODAY + timedelta(days=5)) == "carried on"


@pytest.mark.parametrize(
    ("air", "said"),
    [
        (Air(mean_c=70.0), "too hot|Fahrenheit"),
        (Air(min_c=58.0, max_c=79.0), "Fahrenheit"),
        (Air(min_c=12.0, max_c=70.0), "too hot"),
        (Air(min_c=25.0, max_c=12.0), "above highest"),
        (Air(mean_c=-45.0), "too cold"),
    ],
)
def test_days_that_cannot_be_are_left_out_and_listed(air: Air, said: str) -> None:
    diary, _ = small_diary()
    diary.warm(_day(0), _day(19), 18.0)
    plain = _series(diary)
    diary.write(_day(20), "", air)
    series = _series(diary)
    assert series.means_c == plain.means_c
    assert len(series.flagged) == 1
    assert re.search(said, series.flagged[0])
    assert _day(20).isoformat() in series.flagged[0]


def test_nothing_later_than_the_seasons_day_is_used() -> None:
    """Air and forecasts of later days do not reach the fold; put into a season by hand, they change nothing."""
    diary, _ = small_diary()
    diary.warm(_day(0), TODAY - timedelta(days=1), 18.0)
    season = fold(diary.entries, TODAY)
    later = TODAY + timedelta(days=2)
    poisoned = replace(
        season,
        airs={**season.airs, "W": {later: Air(source="sensor", mean_c=35.0)}},
        forecasts=(*season.forecasts, (TODAY, Forecast(later.isoformat(), (30.0,) * 9, (40.0,) * 9))),
    )
    last = TODAY + timedelta(days=14)
    assert air_series(poisoned, "W", PLANTED, last) == air_series(season, "W", PLANTED, last)
