"""What there is by kind, pool and year, and what the season still asks for: counted by hand on small seasons."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.chores.given import DAY, fixing, holding, leader, season
from tunneltui.care.stores import needs, stores
from tunneltui.growth.outlook import Band
from tunneltui.growth.season_end import LeaderEnd, SeasonEnd
from tunneltui.growth.topping import LastPick
from tunneltui.holding.model import ClipKind, Holding, HookKind, TwineKind
from tunneltui.journal.kinds_crop import Stocked
from tunneltui.journal.kinds_holding_up import HowFailed
from tunneltui.pages.stores import need_words, short_words
from tunneltui.season.state import Ending, Leader, Season
from tunneltui.values import replace

LAST = date(2026, 10, 31)


def _stands(spool_m: float | None = None) -> Holding:
    return replace(
        holding(),
        clips=(ClipKind("green", pool="new", year=2026), ClipKind("old green", pool="kept", year=2024)),
        twines=(TwineKind("hook twine", spool_m=spool_m), TwineKind("jute", spool_m=400.0)),
        hooks=(HookKind("plain", twine="hook twine"),),
    )


def _stocked(*counts: tuple[str, str, float]) -> dict[str, object]:
    made = tuple((DAY, "", Stocked(item, kind, count)) for item, kind, count in counts)  # type: ignore[arg-type]
    totals: dict[tuple[str, str], float] = {}
    for item, kind, count in counts:
        totals[item, kind] = totals.get((item, kind), 0.0) + count
    return {"stockings": made, "stock": totals}


def _end(leaders: list[Leader], today_m: float, low_m: float, mid_m: float, high_m: float) -> SeasonEnd:
    ends = {one.id: LeaderEnd(one.id, today_m, Band(low_m, mid_m, high_m), 20.0) for one in leaders}
    return SeasonEnd(LastPick(LAST, assumed=False), ends, ())


def _hung(number: int, clips: int, kind: str = "green") -> Leader:
    stem = leader(number)
    return replace(
        stem, fixings=tuple(fixing(f"f{number}-{n}", stem, 0.3 * n, clip_kind=kind) for n in range(clips))
    )


def _season(leaders: list[Leader], stands: Holding, *counts: tuple[str, str, float]) -> Season:
    return season(leaders, stands, **_stocked(*counts))


def test_clips_are_counted_by_kind_pool_and_year() -> None:
    """20 old and 100 new in, 15 thrown out; 6 and 2 hang; of the old one broke, one popped and hangs no more, one
    came back: only what broke is lost."""
    old = _hung(2, 2, "old green")
    ways: tuple[HowFailed | None, ...] = ("broke", "popped_open", None)
    gone = [
        Ending(fixing(f"e{n}", old, 0.5, clip_kind="old green"), DAY - timedelta(days=1), how)
        for n, how in enumerate(ways)
    ]
    here = _season(
        [_hung(1, 6), replace(old, endings=tuple(gone))],
        _stands(),
        ("clip", "green", 100),
        ("clip", "green", -15),
        ("clip", "old green", 20),
    )
    new, kept, hooks = stores(here)
    assert (new.pool, new.year, new.came_in, new.went_out, new.on_plants) == ("new", 2026, 100, 15, 6)
    assert new.in_store == 100 - 15 - 6
    assert (kept.pool, kept.year, kept.on_plants) == ("kept", 2024, 2)
    assert (kept.failed, kept.taken_back, kept.in_store) == (2, 1, 20 - 2 - 1)
    assert (hooks.item, hooks.on_plants, hooks.in_store) == ("hook", 2, -2), "more hangs than was ever stocked"


def test_what_nobody_counted_is_not_none_there() -> None:
    """Ten clips hang of a kind that was never said to have come in: how many are left is not known, and it is not
    told that they run short."""
    stems = [_hung(1, 10)]
    lived = _season(stems, _stands())
    assert all(store.known_stock is None for store in stores(lived))
    clips = next(need for need in needs(lived, _end(stems, 1.0, 4.0, 5.0, 6.0)) if need.item == "clip")
    assert clips.short is None
    assert "unknown there" in need_words(clips)[0]


def test_a_stem_of_which_no_clip_was_noted_says_nothing_of_how_many_it_carries() -> None:
    stems = [_hung(1, 20), _hung(2, 0)]
    first, both = (
        next(
            need for need in needs(_season(some, _stands()), _end(some, 3.0, 4.0, 5.0, 6.0)) if need.item == "clip"
        )
        for some in (stems[:1], stems)
    )
    assert first.clip_every_m == both.clip_every_m == pytest.approx(0.15)


def test_the_clips_asked_for_are_those_of_the_stem_to_come_by_this_growers_own_habit() -> None:
    """24 clips on 2 stems of 3 m are 4 a metre; stems of 4, 4.5 and 5 m ask 4 a metre and a tenth spare."""
    stems = [_hung(1, 12), _hung(2, 12)]
    here = _season(stems, _stands(), ("clip", "green", 30))
    (clips, *_) = needs(here, _end(stems, 3.0, 4.0, 4.5, 5.0))
    assert clips.needed == Band(36 - 24, 40 - 24, 44 - 24)
    assert (clips.in_store, clips.short) == (30 - 24, (10, 14))
    assert "clip: 10 to 14 short by the last pick" in list(
        short_words(needs(here, _end(stems, 3.0, 4.0, 4.5, 5.0)))
    )


@pytest.mark.parametrize(("spool_m", "there_m", "says"), [(250.0, 500.0, ""), (None, None, "spool_m")])
def test_twine_is_counted_in_metres_where_a_spools_length_is_known(
    spool_m: float | None, there_m: float | None, says: str
) -> None:
    """Each hook carries 6 m; stems of 9 to 11 m under a wire of 2.2 m ask 0.8 to 2.8 m more each. Jute hangs as
    strings and is not on hooks."""
    stems = [leader(1), leader(2)]
    here = _season(stems, _stands(spool_m), ("twine", "hook twine", 2), ("twine", "jute", 5))
    twine = needs(here, _end(stems, 3.0, 9.0, 10.0, 11.0))[2]
    assert (twine.needed.low, twine.needed.mid, twine.needed.high) == pytest.approx((1.6, 3.6, 5.6))
    assert twine.in_store == there_m
    assert says in need_words(twine)[0]


def test_every_bare_head_wants_a_hook_and_every_bare_tunnel_a_fleece() -> None:
    stems = [leader(1), replace(leader(2), hook=None)]
    end = _end(stems, 3.0, 4.0, 4.0, 4.0)
    _, hooks, _, fleece = needs(_season(stems, _stands()), end)
    assert (hooks.needed.mid, hooks.in_store) == (1, None)
    assert (fleece.needed.low, fleece.needed.high) == (0, 1)
    covered = replace(_season(stems, _stands()), fleece_on={"W": True})
    assert needs(covered, end)[3].needed.high == 0


def test_after_the_last_pick_nothing_is_asked_for() -> None:
    assert needs(_season([leader(1)], _stands()), None) == []
