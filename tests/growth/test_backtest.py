"""The backtest: which outcomes count for which horizon, and that each forecast knows only its own past."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.growth.growing import PLANTED, Diary, lowered, read_weekly, small_diary
from tunneltui.growth.backtest import WHATS, Backtests, Score, backtest
from tunneltui.growth.forecast import basis_of, outlook
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.kinds_crop import Picked, PlantLost
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.journal.kinds_standing import Measured
from tunneltui.memo import Stages
from tunneltui.season.fold import fold, fold_days
from tunneltui.values import replace

LENGTHS = [0.60, 0.85, 1.12, 1.35, 1.64, 1.88]
END = PLANTED + timedelta(weeks=8)


def _diary() -> tuple[Diary, list[str]]:
    diary, ids = small_diary()
    diary.warm(PLANTED, END, 20.0)
    for at, leader in enumerate(ids[:2]):
        read_weekly(diary, leader, f"W1-{at + 1:02d}", LENGTHS)
    return diary, ids


def _score(held: Backtests, what: str, days: int, cultivar: str = "") -> Score:
    return next(
        score
        for one in held.backtests
        if (one.what, one.cultivar) == (what, cultivar)
        for score in one.horizons
        if score.days == days
    )


def test_a_group_followed_on_from_day_to_day_is_as_followed_from_nothing() -> None:
    """With a reading crossed out afterwards, a row of air that comes late and a plant that is lost."""
    diary, ids = _diary()
    wrong = next(
        entry for entry in diary.entries if entry.kind == "measured" and entry.day > PLANTED + timedelta(20)
    )
    diary.write(wrong.day + timedelta(days=9), "", CrossedOut(wrong.act))
    diary.write(PLANTED + timedelta(days=40), "W1-03", PlantLost(ids[2]))
    late = PLANTED + timedelta(days=15)
    days = [PLANTED + timedelta(days=n) for n in range(5, 56)]
    memo = None
    for season in fold_days(diary.entries, days):
        if season.day == PLANTED + timedelta(days=30):
            air = {about: {**by_day, late: Air("sensor", mean_c=26.0)} for about, by_day in season.airs.items()}
            season = replace(season, airs=air)
        stages = Stages(memo)
        on, anew = basis_of(season, 14, stages), basis_of(season, 14)
        memo = stages.memo
        assert on.leaders.keys() == anew.leaders.keys()
        for name, one in anew.leaders.items():
            assert on.leaders[name].estimate == one.estimate, (season.day, name)


def test_nothing_to_score_gives_none() -> None:
    held = backtest([], END)
    assert [one.what for one in held.backtests] == list(WHATS)
    assert all(
        score == Score(score.days, 0, None, None, None, None) for b in held.backtests for score in b.horizons
    )


def test_weekly_readings_count_for_a_day_a_week_and_a_fortnight() -> None:
    """Six weekly readings of two leaders: growth is known from the second, so three outcomes each can be foreseen
    a week ahead by a rate, four less one a fortnight."""
    diary, _ = _diary()
    held = backtest(diary.entries, END)
    counts = {days: _score(held, "stem", days).n for days in (1, 7, 14)}
    assert counts == {1: 8, 7: 8, 14: 6}
    assert _score(held, "stem", 7, "cherry") == _score(held, "stem", 7)


def test_persistence_is_the_last_interval_carried_on() -> None:
    """By hand: growths 25, 27, 23, 29, 24 cm; persistence misses by 2, 4, 6, 5 cm, 4.25 on average."""
    diary, _ = _diary()
    score = _score(backtest(diary.entries, END), "stem", 7)
    assert score.mae_persistence == pytest.approx(0.0425, abs=1e-6)
    assert score.mae is not None
    assert 0 < score.mae < 0.0425


def test_the_forecast_scored_is_the_outlook_of_that_day() -> None:
    diary, ids = small_diary(1)
    diary.warm(PLANTED, END, 20.0)
    read_weekly(diary, ids[0], "W1-01", LENGTHS[:3])
    origin, day = PLANTED + timedelta(weeks=2), PLANTED + timedelta(weeks=3)
    foreseen = outlook(fold(diary.entries, origin)).leaders[ids[0]].days[day].length_m.mid
    assert _score(backtest(diary.entries, END), "stem", 7).mae == pytest.approx(abs(foreseen - 1.12))


def test_later_entries_change_no_earlier_score() -> None:
    diary, ids = _diary()
    diary.write(PLANTED + timedelta(weeks=9), "W1", Picked("cherry", kg=1.0))
    diary.write(PLANTED + timedelta(weeks=10), "W1", Picked("cherry", kg=1.4))
    before = backtest(diary.entries, END)
    poisoned = [e if e.day <= END else e._replace(body='{"cultivar":"cherry","kg":900.0}') for e in diary.entries]
    assert backtest(poisoned, END) == before
    diary.write(END + timedelta(days=1), "W1-01", Measured(ids[0], length_m=9.0))
    assert backtest(diary.entries, END) == before


def test_tips_read_at_lowerings_are_scored_too() -> None:
    diary, ids = small_diary()
    diary.warm(PLANTED, date(2026, 8, 1), 20.0)
    for visit in range(4):
        on = PLANTED + timedelta(weeks=6, days=8 * visit)
        lowered(diary, on, ids[0], "W1-01", let_out_m=0.30, tip_under_wire_m=0.50)
    score = _score(backtest(diary.entries, date(2026, 8, 1)), "stem", 7)
    assert score.n == 2
    assert score.mae_persistence == pytest.approx(0.0, abs=1e-9)
    assert score.width is not None
    assert 0.1 < score.width < 0.5


def test_picks_are_scored_from_a_pick_day_to_the_first_pick_near_the_horizon() -> None:
    """Twice a week: from each pick day but the first, a week ahead is the second pick day on."""
    diary, _ = small_diary()
    diary.warm(PLANTED, date(2026, 9, 1), 20.0)
    days = [date(2026, 7, 6) + timedelta(days=ahead) for ahead in (0, 3, 7, 10, 14, 17, 21)]
    for day in days:
        diary.write(day, "W1", Picked("cherry", kg=0.5))
    held = backtest(diary.entries, date(2026, 9, 1))
    assert _score(held, "picks", 7).n == 4
    assert _score(held, "picks", 14).n == 2
    assert _score(held, "picks", 1).n == 0


def test_trusses_are_scored_by_the_number_in_flower() -> None:
    diary, ids = small_diary(1)
    diary.warm(PLANTED, END, 20.0)
    for week in range(1, 7):
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", Measured(ids[0], flowering_truss=week + 1))
    score = _score(backtest(diary.entries, END), "truss", 7)
    assert score.n == 4
    assert score.mae_persistence == 0.0
    assert score.mae is not None
    assert score.mae < 0.2  # the published rate at 20 °C is 1.017 a week (Heuvelink 1996 eq. 2)


def test_which_way_forecasts_lay_is_told() -> None:
    """A crop that speeds up every week is foreseen too short."""
    diary, ids = small_diary(1)
    diary.warm(PLANTED, END, 20.0)
    read_weekly(diary, ids[0], "W1-01", [0.5, 0.7, 0.95, 1.25, 1.6, 2.0])
    bias = _score(backtest(diary.entries, END), "stem", 7).bias
    assert bias is not None
    assert bias < -0.02
