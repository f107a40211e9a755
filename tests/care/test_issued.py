"""The weather issued last for a day counts, however many years of it are kept and in whatever order it came."""

from __future__ import annotations

from datetime import date, timedelta

from tests.care.june import DAY
from tests.growth.growing import small_diary
from tunneltui.care.tunnel_air import issued_for
from tunneltui.growth.air import issued_since
from tunneltui.journal.kinds_care import Forecast
from tunneltui.season.fold import fold


def test_what_was_issued_last_for_a_day_counts_among_years_of_forecasts() -> None:
    told, _ = small_diary()
    for back in (*range(1100, 0, -1), 0):
        first = DAY - timedelta(days=back)
        lows = tuple(float(back % 17 + ahead) for ahead in range(5))
        told.write(first, "", Forecast(first.isoformat(), lows, tuple(low + 9 for low in lows)))
    # Issued before the others, and typed in again today: it is no news.
    told.write(DAY, "", Forecast((DAY - timedelta(days=3)).isoformat(), (99.0,), (99.0,)))
    season = fold(told.entries, DAY)
    assert issued_for(season, DAY) == (0.0, 9.0)
    assert issued_for(season, DAY + timedelta(days=4)) == (4.0, 13.0)
    assert issued_for(season, DAY - timedelta(days=20)) == (3.0, 12.0)
    assert issued_for(season, date(2022, 1, 1)) == (None, None)
    recent = issued_since(season.forecasts, DAY - timedelta(days=2))
    assert recent == tuple(one for one in season.forecasts if one[0] >= DAY - timedelta(days=2))
