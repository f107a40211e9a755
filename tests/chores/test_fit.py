"""Will it fit: a row whose stems outgrow it is told weeks before, once a week, and one with room is not."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from tests.loads import made
from tunneltui.chores.chore import Chore
from tunneltui.chores.fit import will_it_fit
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.growth.forecast import DAYS, RIPENING_DAYS, basis_of
from tunneltui.growth.leader import leader_on, length_on
from tunneltui.holding.model import Cultivar, Holding, Work
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import TipTakenOut
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.loads.room import held_m, room_m
from tunneltui.values import replace

PLANTED, DAY = date(2026, 5, 6), date(2026, 6, 10)


def stands(vigour_m_per_week: float) -> Holding:
    row = made.row()
    places = tuple(replace(place, cultivar="v") for place in row.places)
    holding = made.holding(replace(row, places=places))
    work = Work(bed_wanted_back=date(2026, 10, 31))
    cultivars = (Cultivar("v", stem_m_per_week=vigour_m_per_week),)
    return replace(holding, latitude_deg=51.0, cultivars=cultivars, work=work)


def known(vigour_m_per_week: float) -> list[Entry]:
    holding = stands(vigour_m_per_week)
    set_up = entries([draft("", HoldingSet(to_toml(holding)))], date(2026, 1, 1), "begun")
    row = holding.tunnels[0].rows[0]
    return [*set_up, *entries([draft(p.name, Planted(p.cultivar)) for p in row.places], PLANTED, "planted")]


def entries(drafts: Sequence[Draft], day: date, act: str) -> list[Entry]:
    return [
        Entry(d.id or f"{act}-{n}", act, "test", day, day.toordinal() * 1000 + n, "me", d.about, d.kind, 1, d.body)
        for n, d in enumerate(drafts)
    ]


def asked(morning: Morning) -> list[Chore]:
    return [chore for chore in morning.chores if chore.kind == "will_fit"]


def full_on(chore: Chore) -> date:
    (drafted,) = chore.writes
    note = json.loads(drafted.body)["text"]
    return date.fromisoformat(note[-10:])


def test_stems_that_will_outgrow_their_row_are_told_weeks_ahead() -> None:
    morning = plan_morning(known(0.30), DAY)
    (chore,) = asked(morning)
    assert len(chore.leaders) == 12
    assert "will outgrow the room along the wire before" in chore.why
    # A fortnight before: the row's last plants have least way left.
    assert DAY + timedelta(days=14) <= full_on(chore) < date(2026, 10, 31)
    assert not chore.must
    assert "tips" not in chore.proposal, "no tip need come out before its own day"
    assert chore.proposal.startswith("W1 runs out of room, W1-12a first, about ")


def test_short_stems_fit_and_nothing_is_said() -> None:
    """At 5 cm a week of 20 degC a stem is 0.35 + 25 x 0.05 = 1.6 m at most by the end of October; with its tip the
    margin of 25 cm under a wire of 2.0 m it has 1.75 m upright. Arithmetic."""
    assert made.row().wire_height_m - made.holding().limits.tip_margin_m == pytest.approx(1.75)
    assert not asked(plan_morning(known(0.05), DAY))


def test_it_is_asked_again_after_three_weeks() -> None:
    begun = known(0.30)
    (chore,) = asked(plan_morning(begun, DAY))
    answered = [*begun, *entries(chore.writes, DAY, "answered")]
    assert not asked(plan_morning(answered, DAY))
    assert not asked(plan_morning(answered, DAY + timedelta(days=20)))
    assert asked(plan_morning(answered, DAY + timedelta(days=21)))


def test_with_the_tips_out_there_is_nothing_to_fit() -> None:
    begun = known(0.30)
    leaders = plan_morning(begun, DAY).season.leaders.values()
    out = [*begun, *entries([draft(x.place, TipTakenOut(x.id)) for x in leaders], DAY, "out")]
    assert not asked(plan_morning(out, DAY))


def test_room_from_a_root_on() -> None:
    """The last plant of an open row has the way left to the row's end; the first has its whole length."""
    season = plan_morning(known(0.30), DAY).season
    loop = season.layout.loops["W1"]
    limits, wire_m = season.holding.limits, season.layout.rows["W1"][1].wire_height_m
    first, *_, last = sorted(season.leaders.values(), key=lambda leader: leader.u_m)
    for leader in (first, last):
        way_m = loop.length_m - leader.u_m
        assert room_m(season, leader) == pytest.approx(held_m(limits, wire_m, limits.run_slope, way_m))
    assert room_m(season, last) < room_m(season, first)
    lying = replace(last, training="laid_down")
    assert room_m(season, lying) == pytest.approx(loop.length_m - last.u_m + wire_m - limits.tip_margin_m, abs=0.1)


@pytest.mark.parametrize("day", [DAY, date(2026, 8, 10)])
def test_lengths_are_those_of_a_forecast_made_for_it(day: date) -> None:
    """The morning's own forecast reaches some three months; where growth ends later a longer one is made."""
    morning = plan_morning(known(0.30), day)
    season, coming = morning.season, morning.outlook
    anew = will_it_fit(season, replace(coming, basis=None), morning.loads)
    assert list(will_it_fit(season, coming, morning.loads)) == list(anew)
    assert coming.basis is not None
    reach = day + timedelta(days=DAYS + RIPENING_DAYS)
    assert coming.basis.last == reach
    (leader,) = [coming.basis.leaders[one.id] for one in season.leaders.values()][:1]
    longer = basis_of(season, 120).leaders[leader.leader.id]
    assert length_on(leader, reach.toordinal()).mid == length_on(longer, reach.toordinal()).mid
    assert length_on(leader, reach.toordinal()).mid == leader_on(longer, reach.toordinal()).length_m.mid
