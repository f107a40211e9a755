"""The picture of a proposed lowering against the journal's own word for it: the chore's entries, folded."""

from __future__ import annotations

from datetime import date

import pytest

from tests.demo_once import demo_entries
from tunneltui.chores.morning import plan_morning
from tunneltui.journal.entry import Entry
from tunneltui.screens.ahead import lowering_of, view_ahead
from tunneltui.season.fold import fold
from tunneltui.season.state import Season

DAY = date(2026, 8, 20)


def clips(season: Season, leader: str) -> list[tuple[float, str, bool]]:
    return [(round(one.s_m, 3), one.string, one.tie) for one in season.leaders[leader].fixings if one.string]


def test_after_a_proposed_lowering_every_clip_and_hook_is_where_the_ticked_chore_puts_it() -> None:
    entries = [entry for entry in demo_entries() if entry.day <= DAY]
    morning = plan_morning(entries, DAY)
    chore = lowering_of(morning, "W1")
    assert chore is not None
    us = max(entry.at_us for entry in entries) + 1
    ticked = [
        Entry(d.id or f"done-{n}", "done", "test", DAY, us + n, "me", d.about, d.kind, 1, d.body)
        for n, d in enumerate(chore.writes)
    ]
    after = fold([*entries, *ticked], DAY)
    drawn = view_ahead(morning, "W1", 0, lowered=True).season
    assert any(clips(after, one) != clips(morning.season, one) for one in chore.leaders)
    for leader in chore.leaders:
        assert clips(drawn, leader) == clips(after, leader), morning.season.leaders[leader].name
        hook, written = drawn.leaders[leader].hook, after.leaders[leader].hook
        if hook is not None and written is not None:
            assert hook.u_m == pytest.approx(written.u_m, abs=1e-9)
