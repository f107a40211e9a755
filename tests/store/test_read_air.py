"""A logger's file becomes one entry a local day, however often it read and whatever the clock did."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path
from statistics import fmean

import pytest

from tests.growth.open_data import folder, needs_open_data
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_care import Air
from tunneltui.store.read_air import AirFile, read_air
from tunneltui.store.read_table import read_table


def air_file(tmp_path: Path, text: str, zone: str = "Europe/London", **more: str) -> AirFile:
    file = tmp_path / "logger.csv"
    file.write_text(text, encoding="utf-8")
    return read_air(read_table(file), zone, mapped=more)


def every_half_hour(first: str, hours: int, clock: str = "%Y-%m-%d %H:%M") -> str:
    """Readings of 10, 11, 12 ... degC, two an hour."""
    start = datetime.fromisoformat(first)
    times = [start + timedelta(minutes=30 * n) for n in range(2 * hours)]
    return "Time,T Air,RH\n" + "".join(
        f"{at.strftime(clock)},{10 + n % 10},{50 + n % 40}\n" for n, at in enumerate(times)
    )


def body(found: AirFile, day: date) -> Air:
    body = next(row.body for row in found.rows if row.day == day)
    assert isinstance(body, Air)
    return body


def test_a_day_of_readings(tmp_path: Path) -> None:
    found = air_file(tmp_path, every_half_hour("2026-08-03", 24))
    said = body(found, date(2026, 8, 3))
    # Readings run 10, 11, ... 19 and again: pairs 10.5, 12.5, 14.5, 16.5, 18.5 by hand, 24 hours of them.
    assert said.hours_c[:6] == (10.5, 12.5, 14.5, 16.5, 18.5, 10.5)
    assert len(said.hours_c) == 24
    assert (said.min_c, said.max_c, said.readings, said.source) == (10, 19, 48, "sensor")
    assert said.mean_c == pytest.approx(
        fmean([10.5, 12.5, 14.5, 16.5, 18.5] * 4 + [10.5, 12.5, 14.5, 16.5]), abs=0.005
    )


def test_a_gap_does_not_lean_the_mean(tmp_path: Path) -> None:
    """Twelve readings in one hour count as much as one in another: the mean is that of the hours."""
    cold = "".join(f"2026-08-03 01:{minute:02}:00,10\n" for minute in range(0, 60, 5))
    found = air_file(tmp_path, f"Time,T Air\n{cold}2026-08-03 14:00:00,30\n")
    said = body(found, date(2026, 8, 3))
    assert said.mean_c == 20
    assert said.hours_c[1] == 10
    assert said.hours_c[2] is None
    assert said.hours_c[14] == 30
    assert said.hours_rh == ()


def test_the_day_the_clock_goes_forward_has_23_hours(tmp_path: Path) -> None:
    """Europe/London, 29 March 2026, 01:00 becomes 02:00 (IANA time zone data, rule EU)."""
    before, after = every_half_hour("2026-03-29", 1), every_half_hour("2026-03-29 02:00", 22)
    found = air_file(tmp_path, before + after.partition("\n")[2])
    said = body(found, date(2026, 3, 29))
    assert len(said.hours_c) == 23
    assert None not in said.hours_c
    assert said.readings == 46


def test_the_day_the_clock_goes_back_has_25_hours(tmp_path: Path) -> None:
    """Europe/London, 25 October 2026, 02:00 becomes 01:00: the hour from 1 is told twice, in order of the file."""
    twice = every_half_hour("2026-10-25", 2) + every_half_hour("2026-10-25 01:00", 23).partition("\n")[2]
    found = air_file(tmp_path, twice)
    said = body(found, date(2026, 10, 25))
    assert len(said.hours_c) == 25
    assert None not in said.hours_c
    assert (said.readings, found.repeated) == (50, 0)


def test_a_clock_with_its_offset_needs_no_guessing(tmp_path: Path) -> None:
    """The same 50 half hours in UTC: from 23:00Z on the 24th to 00:00Z on the 26th is London's 25th."""
    found = air_file(tmp_path, every_half_hour("2026-10-24 23:00", 25, "%Y-%m-%dT%H:%M:00Z"))
    assert [row.day for row in found.rows] == [date(2026, 10, 25)]
    assert body(found, date(2026, 10, 25)).readings == 50


def test_repeated_readings_count_once(tmp_path: Path) -> None:
    text = every_half_hour("2026-08-03", 24)
    found = air_file(tmp_path, text + "2026-08-03 05:00,19,50\n2026-08-03 05:00,19,50\n")
    assert found.repeated == 2
    assert found.rows == air_file(tmp_path, text).rows


@pytest.mark.parametrize(
    "text",
    [
        "date,min,max,mean\n2026-08-03,9,25,17\n2026-08-04,10,24,16\n",
        "Day;T min (°C);T max (°C);T mean (°C)\n03.08.2026;9,0;25,0;17,0\n04.08.2026;10,0;24,0;16,0\n",
    ],
)
def test_days_of_least_most_and_mean(tmp_path: Path, text: str) -> None:
    found = air_file(tmp_path, text)
    assert [row.day for row in found.rows] == [date(2026, 8, 3), date(2026, 8, 4)]
    assert body(found, date(2026, 8, 3)) == Air("sensor", 9, 25, 17)


def test_one_temperature_a_day_is_its_mean(tmp_path: Path) -> None:
    found = air_file(tmp_path, "date,slab_mean_c\n2026-08-03,22.1\n2026-08-04,19.8\n")
    assert body(found, date(2026, 8, 4)) == Air("sensor", mean_c=19.8)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("2026-08-04,90", "no air temperature"),
        ("2026-08-04,-80", "no air temperature"),
        ("2026-08-04,warm", "no number"),
        ("2026-02-30,20", "no day of the calendar"),
        ("4 August,20", "no day"),
    ],
)
def test_absurd_lines_are_refused_with_their_number(tmp_path: Path, line: str, why: str) -> None:
    found = air_file(tmp_path, f"date,mean\n2026-08-03,20\n{line}\n2026-08-05,21\n")
    assert [(one.line, why in one.why) for one in found.refused] == [(3, True)]
    assert len(found.rows) == 2


def test_least_above_most_and_a_day_twice_are_refused(tmp_path: Path) -> None:
    found = air_file(
        tmp_path, "date,min,max\n2026-08-03,25,9\n2026-08-04,9,25\n2026-08-04,9,26\n2026-08-05,8,24\n"
    )
    assert [one.line for one in found.refused] == [2, 4]
    assert [row.day for row in found.rows] == [date(2026, 8, 4), date(2026, 8, 5)]


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("date,mean\n2026-08-03,59\n2026-08-04,58\n", "Fahrenheit"),
        ("date,colour\n2026-08-03,red\n", "no column of temperatures"),
        ("colour,T Air\nred,20\nblue,21\n", "no column of days"),
        ("date,mean\n2026-08-03,200\n2026-08-04,201\n", "no reading that can be taken. Line 2"),
    ],
)
def test_files_that_cannot_be_air(tmp_path: Path, text: str, say: str) -> None:
    with pytest.raises(UserError, match=say):
        air_file(tmp_path, text)


def test_columns_may_be_named(tmp_path: Path) -> None:
    found = air_file(
        tmp_path, "When,Probe 2\n2026-08-03 00:00,20\n2026-08-03 01:00,22\n", time="When", temp="Probe 2"
    )
    assert body(found, date(2026, 8, 3)).mean_c == 21
    with pytest.raises(UserError, match="no column 'Probe 3'"):
        air_file(tmp_path, "When,Probe 2\n2026-08-03 00:00,20\n", temp="Probe 3")
    with pytest.raises(UserError, match="knows no 'colour'"):
        air_file(tmp_path, "When,Probe 2\n2026-08-03 00:00,20\n", colour="Probe 2")


@needs_open_data
def test_the_open_logger_file() -> None:
    """145 days with gaps and repeated readings (README of the open data)."""
    found = read_air(read_table(folder() / "ohio/air-5min.csv"), "UTC")
    assert len(found.rows) == 145
    assert (found.rows[0].day, found.rows[-1].day) == (date(2024, 6, 24), date(2024, 11, 15))
    assert found.readings + found.repeated == 41713
    assert found.repeated == 12
    assert found.refused == ()
    assert body(found, date(2024, 6, 24)).readings == 287
