"""The last useful flower, the tip to take out, and what is still to come by the season's end."""

from __future__ import annotations

import random
from datetime import date, timedelta
from math import log

import pytest

from tests.growth.growing import PLANTED, Diary, small_diary
from tests.growth.ripe_days import days_to_ripe
from tunneltui.growth.air import AirMark, AirSeries, typical_c
from tunneltui.growth.courses import RipeCourse
from tunneltui.growth.forecast import basis_of
from tunneltui.growth.ripening import FACTOR_SD, RipeningFactor, SizePace
from tunneltui.growth.season_end import season_end
from tunneltui.growth.topping import (
    QUICKEST_DAYS,
    TOO_COLD_C,
    LastPick,
    last_pick,
    last_useful_flowering,
    tip_outs,
)
from tunneltui.holding.model import Work
from tunneltui.journal.kinds_crop import Picked, TipTakenOut
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages.outlook import tip_out_words
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.values import replace

TODAY = date(2026, 8, 3)
WANTED = date(2026, 10, 31)


def _constant(mean_c: float) -> AirSeries:
    typical: AirMark = "typical"
    return AirSeries(date(2026, 3, 1).toordinal(), (mean_c,) * 300, (typical,) * 300, (), True)


@pytest.mark.parametrize(("mean_c", "last"), [(18.0, date(2026, 8, 27)), (20.0, date(2026, 9, 5))])
def test_last_useful_flowering_at_a_constant_temperature(mean_c: float, last: date) -> None:
    """Published rate (Heuvelink 1996 eq. 3), last pick 31 October: 65 and 56 days before it."""
    assert last_useful_flowering(WANTED, _constant(mean_c), RipeningFactor()) == last


@pytest.mark.parametrize("mean_c", [14.0, 15.0, 16.5, 22.0])
def test_one_day_later_is_too_late(mean_c: float) -> None:
    last = last_useful_flowering(WANTED, _constant(mean_c), RipeningFactor())
    days = days_to_ripe([mean_c] * 200)
    assert last is not None
    assert days is not None
    assert last + timedelta(days=days) == WANTED


def test_of_all_days_it_is_the_last_that_ripens_in_time_in_any_air() -> None:
    """Day by day from the end, for factors of twice the spread assumed of them (``FACTOR_SD``) that fade."""
    rng = random.Random(7)
    hand: AirMark = "hand"
    for _ in range(40):
        first, days = date(2026, rng.randrange(1, 13), 1).toordinal(), rng.randrange(60, 200)
        base_c, change_c, noise_c = rng.uniform(8, 28), rng.uniform(-12, 12), rng.uniform(0, 6)
        means_c = tuple(base_c + change_c * day / days + rng.gauss(0, noise_c) for day in range(days))
        air = AirSeries(first, means_c, (hand,) * days, (), False)
        factor = RipeningFactor(rng.gauss(0, 2 * FACTOR_SD), day=first + days // 2, kind_log=rng.gauss(0, 0.2))
        pace = rng.choice((None, SizePace(rng.uniform(5, 14), rng.uniform(8, 14))))
        last, ripe = first + days - rng.randrange(30), RipeCourse(air, factor, pace=pace)
        flowered = range(last - (QUICKEST_DAYS if pace is None else 1), first - 1, -1)
        ripe_days = ((day, ripe.ripe_day(day)) for day in flowered)
        in_time = next((day for day, ripe_day in ripe_days if ripe_day is not None and ripe_day <= last), None)
        found = last_useful_flowering(date.fromordinal(last), air, factor, pace)
        assert found == (date.fromordinal(in_time) if in_time is not None else None)


def test_where_no_truss_could_ripen_there_is_no_useful_flower() -> None:
    assert last_useful_flowering(WANTED, _constant(7.0), RipeningFactor()) is None


def _season(*, wanted: date | None = WANTED, mean_c: float = 20.0) -> tuple[Diary, list[str], Season]:
    diary, ids = small_diary()
    diary.warm(PLANTED, TODAY - timedelta(days=1), mean_c)
    for at, leader in enumerate(ids[:3]):
        diary.write(TODAY, f"W1-{at + 1:02d}", Measured(leader, length_m=3.2, flowering_truss=11 + at))
    diary.write(TODAY, "W1", Picked("cherry", kg=1.2))
    return diary, ids, _wanted(fold(diary.entries, TODAY), wanted)


def _wanted(season: Season, wanted: date | None) -> Season:
    return replace(season, holding=replace(season.holding, work=Work(bed_wanted_back=wanted)))


def test_the_tip_comes_out_when_the_last_useful_truss_flowers() -> None:
    _, ids, season = _season()
    outs = tip_outs(season)
    assert set(outs) == set(ids)
    first = outs[ids[0]]
    assert first.last_pick == LastPick(WANTED, assumed=False)
    assert first.on <= first.last_flowering < WANTED - timedelta(days=40)
    flowered = basis_of(season, 90).leaders[ids[0]].trusses.flowered
    assert flowered[first.last_truss - 1] < first.last_flowering.toordinal() + 1 <= flowered[first.last_truss]
    assert outs[ids[2]].last_truss in (first.last_truss + 1, first.last_truss + 2)  # counted two further on
    assert f"truss {first.last_truss} is the last" in tip_out_words(first)
    assert "green on 31 Oct" in tip_out_words(first)


def test_a_tip_already_out_is_no_question() -> None:
    diary, ids, _ = _season()
    diary.write(TODAY, "W1-01", TipTakenOut(ids[0]))
    assert ids[0] not in tip_outs(_wanted(fold(diary.entries, TODAY), WANTED))


def test_without_a_day_the_typical_cold_stands_in_and_says_so() -> None:
    _, ids, season = _season(wanted=None)
    end = last_pick(season)
    assert end is not None
    assert end.assumed
    assert date(2026, 10, 15) < end.day < date(2026, 12, 31)
    assert "taken as the last pick" in tip_out_words(tip_outs(season)[ids[0]])


def test_the_cold_of_spring_ends_no_season() -> None:
    """At 58 N mid April is as cold as mid October; planted then, a crop has its summer before it."""
    spring = replace(_season(wanted=None)[2], day=date(2026, 4, 18))
    north = replace(spring, holding=replace(spring.holding, latitude_deg=58.0, work=Work(bed_wanted_back=None)))
    assert typical_c(north.day.toordinal(), 58.0) < TOO_COLD_C
    end = last_pick(north)
    assert end is not None
    assert date(2026, 9, 20) < end.day < date(2026, 11, 1)


def test_where_no_cold_comes_a_crop_is_given_up_after_a_usual_season() -> None:
    """200 days from planting, whatever the day on which one asks."""
    season = _season(wanted=None)[2]
    south = replace(season, holding=replace(season.holding, latitude_deg=38.0, work=Work(bed_wanted_back=None)))
    planted = min(leader.planted_on for leader in south.leaders.values())
    for day in (south.day, planted + timedelta(days=201)):
        assert last_pick(replace(south, day=day)) == LastPick(planted + timedelta(days=200), assumed=True)


def test_after_the_last_pick_there_is_nothing_to_say() -> None:
    _, _, season = _season(wanted=TODAY - timedelta(days=1))
    assert tip_outs(season) == {}
    assert season_end(season) is None


def test_what_is_still_to_come() -> None:
    _, ids, season = _season()
    end = season_end(season)
    sooner = season_end(_wanted(season, TODAY + timedelta(days=30)))
    assert end is not None
    assert sooner is not None
    assert [(row.cultivar, row.row) for row in end.rows] == [("cherry", "W1")]
    assert end.rows[0].kg.mid > 1.5 * sooner.rows[0].kg.mid > 0
    assert end.leaders[ids[0]].length_m.mid > sooner.leaders[ids[0]].length_m.mid > 3.2
    assert end.leaders[ids[0]].trusses > 18


@pytest.mark.parametrize(
    ("latitude", "flower", "end"),
    [
        (50, date(2026, 8, 24), date(2026, 11, 14)),
        (52, date(2026, 8, 16), date(2026, 11, 5)),
        (54, date(2026, 8, 7), date(2026, 10, 27)),
        (56, date(2026, 7, 30), date(2026, 10, 19)),
        (58, date(2026, 7, 21), date(2026, 10, 12)),
    ],
)
def test_the_typical_years_last_useful_flower(latitude: float, flower: date, end: date) -> None:
    """Own table, worked apart from this program, by the published ripening and a gain of 0.5 to 3 K by light.
    Beef, taken to ripen 8 % slower, must flower 4 to 5 days sooner."""
    first = date(2026, 4, 1).toordinal()
    means_c = tuple(typical_c(first + ahead, latitude) for ahead in range(300))
    air = AirSeries(first, means_c, ("typical",) * 300, (), True)
    summer = date(2026, 7, 1).toordinal() - first
    cold = next(ahead for ahead in range(summer, 300) if means_c[ahead] < TOO_COLD_C)
    last = date.fromordinal(first + cold)
    assert abs((last - end).days) <= 1
    cherry, beef = (
        last_useful_flowering(last, air, RipeningFactor(kind_log=-log(share))) for share in (1.0, 1.08)
    )
    assert cherry is not None
    assert beef is not None
    assert abs((cherry - flower).days) <= 1
    assert 4 <= (cherry - beef).days <= 5
