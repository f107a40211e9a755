"""Whatever is written of a leader, its outlook stands: ordered intervals, no mass below nought, all finite."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from math import isfinite
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.growth.growing import PLANTED, small_diary
from tunneltui.growth.backtest import backtest
from tunneltui.growth.forecast import outlook
from tunneltui.growth.season_end import season_end
from tunneltui.growth.topping import tip_outs
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.kinds_crop import Deleafed, LeaderKept, Picked, TipTakenOut, TrussLost, TrussPruned
from tunneltui.journal.kinds_holding_up import Lowered, PlantDropped, TipSnapped
from tunneltui.journal.kinds_standing import Measured
from tunneltui.season.fold import fold

DAYS = 150


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


def _bodies(leader: str) -> st.SearchStrategy[Any]:
    truss = st.integers(1, 30)
    return st.one_of(
        st.builds(
            Measured,
            st.just(leader),
            length_m=_maybe(st.floats(-1, 12)),
            growth_m=_maybe(st.floats(-1, 2)),
            tip_under_wire_m=_maybe(st.floats(-1, 4)),
            flowering_truss=_maybe(st.integers(0, 30)),
            flowering_since=_maybe(st.floats(-2, 6)),
            lowest_truss=_maybe(truss),
            leaves=_maybe(st.integers(0, 40)),
            stems=st.sampled_from([1, 10]),
        ),
        st.builds(
            Lowered,
            st.just(leader),
            let_out_m=_maybe(st.floats(-1, 2)),
            tip_under_wire_m=_maybe(st.floats(-1, 3)),
            finish=st.sampled_from([None, "well_under", "as_said", "over"]),
            as_proposed=st.booleans(),
        ),
        st.builds(TipSnapped, st.just(leader), length_left_m=_maybe(st.floats(0, 8))),
        st.builds(PlantDropped, st.just(leader)),
        st.builds(TipTakenOut, st.just(leader)),
        st.builds(Deleafed, st.just((leader,)), leaves=_maybe(st.integers(0, 20))),
        st.builds(TrussPruned, st.just(leader), truss, st.integers(0, 30)),
        st.builds(TrussLost, st.just(leader), truss),
        st.builds(LeaderKept, st.just(leader), st.just("b")),
        st.builds(Picked, st.just("cherry"), kg=_maybe(st.floats(0, 50)), clean=st.booleans()),
        st.builds(Air, mean_c=_maybe(st.floats(-40, 75)), min_c=_maybe(st.floats(-40, 60))),
    )


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_an_outlook_stands_whatever_was_written(data: st.DataObject) -> None:
    diary, ids = small_diary(2)
    steps = st.lists(st.tuples(st.integers(0, DAYS), _bodies(ids[0])), max_size=14)
    for ahead, body in sorted(data.draw(steps), key=lambda step: step[0]):
        about = "" if isinstance(body, Air) else "W1" if isinstance(body, Picked) else "W1-01"
        diary.write(PLANTED + timedelta(days=ahead), about, body)
    day = PLANTED + timedelta(days=data.draw(st.integers(0, DAYS)))
    season = fold(diary.entries, day)
    told = outlook(season)
    for one in told.leaders.values():
        for early, late in pairwise(one.days.values()):
            before, after = early.tip_z_m, late.tip_z_m
            assert before.high <= after.high + 1e-9
            # A low end held at the soil makes an interval narrower than it is.
            assert after.low == 0 or before.high - before.low <= after.high - after.low + 1e-9
            assert early.flowering_truss <= late.flowering_truss
        for stem in one.days.values():
            for band in (stem.length_m, stem.tip_z_m):
                assert 0 <= band.low <= band.mid <= band.high < 60
            assert all(isfinite(t.kg) and t.kg >= 0 and 0 <= t.z <= 1 for t in stem.trusses)
            assert [t.number for t in stem.trusses] == sorted({t.number for t in stem.trusses})
            assert stem.leaves >= 0
            assert 0 <= stem.bare_below_m <= stem.length_m.mid + 1e-9
    assert all(0 <= pick.kg.low <= pick.kg.mid <= pick.kg.high < 1e6 for pick in told.picks)
    assert all(out.last_truss >= 0 for out in tip_outs(season).values())
    season_end(season)
    backtest(diary.entries, day)
