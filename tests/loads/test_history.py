"""Visits and loads worked back: what counts as held, what as failed, and what a past stem looked like."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.loads.made import DAY, clip, leader, outlook, season, stem, tiered
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_crop import StrengthTested
from tunneltui.journal.kinds_holding_up import HowFailed
from tunneltui.loads.chain import loads
from tunneltui.loads.history import leader_as_of, leader_histories, leader_past, stem_as_of
from tunneltui.loads.strength import Strength
from tunneltui.loads.trials import History
from tunneltui.pages.loads_text import strength_words
from tunneltui.season.state import Ending, Leader, Lowering, Reading
from tunneltui.values import replace

WEEK = timedelta(days=7)


def weeks_ago(weeks: float) -> date:
    return DAY - timedelta(days=round(7 * weeks))


def with_fixing(one: Leader, id_: str, **changes: object) -> Leader:
    return replace(
        one,
        fixings=tuple(replace(f, **changes) if f.id == id_ else f for f in one.fixings),  # type: ignore[arg-type]
    )


def histories_of(one: Leader, ahead: Outlook) -> dict[str, History]:
    return leader_histories(one, leader_past(season(one), one, ahead))


def without(one: Leader, id_: str) -> Leader:
    return replace(one, fixings=tuple(f for f in one.fixings if f.id != id_))


def test_a_visit_today_has_todays_load() -> None:
    one, grown = tiered()
    standing = with_fixing(one, "a5", hung_on=weeks_ago(1), seen_on=(weeks_ago(1), DAY))
    history = histories_of(standing, outlook({"a": grown}))["a5"]
    today = {c.id: c.mid_n for c in loads(season(standing), outlook({"a": grown}), DAY).clips}["a5"]
    assert history.held[-1].weeks == 1.0
    assert history.held[-1].load_n == pytest.approx(today)
    assert history.failed is None


def test_the_day_it_is_closed_is_no_look_and_looks_close_together_are_one() -> None:
    """Closed two weeks ago and seen that day, one, two and six days later: looks after one and six days."""
    one, grown = tiered()
    closed = weeks_ago(2)
    days = tuple(closed + timedelta(days=d) for d in (0, 1, 2, 6))
    history = histories_of(with_fixing(one, "a5", hung_on=closed, seen_on=days), outlook({"a": grown}))["a5"]
    assert [look.weeks for look in history.held] == pytest.approx([1 / 7, 6 / 7])


def test_what_is_seen_today_leaves_the_past_as_it_was_and_a_reading_does_not() -> None:
    one, grown = tiered()
    before = with_fixing(one, "a5", hung_on=weeks_ago(2), seen_on=(weeks_ago(2), weeks_ago(1)))
    house, ahead = season(before), outlook({"a": grown})
    past = leader_past(house, before, ahead)
    seen = with_fixing(before, "a5", seen_on=(weeks_ago(2), weeks_ago(1), DAY))
    after = leader_past(house, seen, ahead, past)
    assert all(after.days[day] is past.days[day] for day in past.days)
    assert after.days == leader_past(house, seen, ahead).days
    read = replace(seen, readings=(*seen.readings, Reading("r", weeks_ago(2), length_m=2.0)))
    shorter = leader_past(house, read, ahead, after)
    assert shorter.days == leader_past(house, read, ahead).days
    assert shorter.days[weeks_ago(1)].clips != after.days[weeks_ago(1)].clips


def test_a_clip_set_by_a_tick_has_held_nothing_until_seen() -> None:
    one, grown = tiered()
    assumed = with_fixing(one, "a5", assumed=True, hung_on=weeks_ago(3), seen_on=(weeks_ago(3), weeks_ago(2)))
    assert histories_of(assumed, outlook({"a": grown}))["a5"].held == ()
    seen = with_fixing(assumed, "a5", assumed=False)
    assert histories_of(seen, outlook({"a": grown}))["a5"].held != ()


@pytest.mark.parametrize("how", ["popped_open", "broke", "stem_pulled_out", "slid"])
def test_failures_of_the_clip_count(how: HowFailed) -> None:
    """Last seen holding three weeks ago, found failed today: one trial, today's."""
    one, grown = tiered()
    fixing = next(f for f in one.fixings if f.id == "a5")
    fixing = replace(fixing, hung_on=weeks_ago(4), seen_on=(weeks_ago(4), weeks_ago(3)))
    failed = replace(without(one, "a5"), endings=(Ending(fixing, DAY, how),))
    history = histories_of(failed, outlook({"a": grown}))["a5"]
    assert [look.weeks for look in history.held] == [1.0]
    assert history.failed is not None
    assert history.failed.weeks == 4.0
    assert history.failed.load_n > 0.5
    (green,) = loads(season(failed), outlook({"a": grown}), DAY).strengths
    assert green.failures == 1


@pytest.mark.parametrize("how", ["knocked", "knot", "twine", None])
def test_other_endings_end_the_record_as_held(how: HowFailed | None) -> None:
    one, grown = tiered()
    fixing = next(f for f in one.fixings if f.id == "a5")
    fixing = replace(fixing, hung_on=weeks_ago(2), seen_on=(weeks_ago(2), weeks_ago(1)))
    ended = replace(without(one, "a5"), endings=(Ending(fixing, DAY, how),))
    history = histories_of(ended, outlook({"a": grown}))["a5"]
    assert history.failed is None
    assert history.held[-1].weeks == 2.0
    (green,) = loads(season(ended), outlook({"a": grown}), DAY).strengths
    assert green.failures == 0


def test_a_failure_makes_its_kind_weaker_and_its_mates_likelier_to_fail() -> None:
    one, grown = tiered()
    two, other = tiered("b", 1.13)
    fixing = next(f for f in one.fixings if f.id == "a5")
    fixing = replace(fixing, hung_on=weeks_ago(1), seen_on=(weeks_ago(1),))
    broke, knocked = (
        replace(without(one, "a5"), endings=(Ending(fixing, DAY, how),)) for how in ("broke", "knocked")
    )
    ahead = outlook({"a": grown, "b": other})
    after_break = {c.id: c for c in loads(season(broke, two), ahead, DAY).clips}["b6"]
    after_knock = {c.id: c for c in loads(season(knocked, two), ahead, DAY).clips}["b6"]
    assert after_break.strength_n < after_knock.strength_n
    assert after_break.chance_7d > after_knock.chance_7d
    assert after_break.mid_n == after_knock.mid_n


def test_a_clip_that_held_is_safer_than_one_just_set() -> None:
    one, grown = tiered()
    old = with_fixing(one, "a5", hung_on=weeks_ago(2), seen_on=(weeks_ago(2), weeks_ago(1), DAY))
    new = with_fixing(one, "a5", assumed=True)
    ahead = outlook({"a": grown})
    held = {c.id: c for c in loads(season(old), ahead, DAY).clips}["a5"]
    fresh = {c.id: c for c in loads(season(new), ahead, DAY).clips}["a5"]
    assert held.chance_7d < fresh.chance_7d


def test_bucket_tests_reach_their_kind_only() -> None:
    one, grown = tiered()
    weak = tuple(StrengthTested("green", 15.0, held=False) for _ in range(6))
    other = tuple(StrengthTested("blue", 15.0, held=False) for _ in range(6))
    ahead = outlook({"a": grown})
    plain = loads(season(one), ahead, DAY).clips[0].strength_n
    assert loads(season(one, strength_tests=weak), ahead, DAY).clips[0].strength_n < 0.8 * plain
    assert loads(season(one, strength_tests=other), ahead, DAY).clips[0].strength_n == plain


def test_what_a_strength_rests_on_is_said() -> None:
    one, grown = tiered()
    ahead = outlook({"a": grown})
    none = replace(one, fixings=tuple(replace(f, assumed=True) for f in one.fixings))
    assert "nothing seen yet, so its strength is an assumption" in strength_words(
        loads(season(none), ahead, DAY).strengths[0]
    )
    week_old = {"hung_on": weeks_ago(1), "seen_on": (weeks_ago(1), DAY)}
    one = replace(one, fixings=tuple(replace(f, **week_old) for f in one.fixings))  # type: ignore[arg-type]
    holding_on = loads(season(one), ahead, DAY).strengths[0]
    assert "none has failed by itself yet, 7 were seen holding" in strength_words(holding_on)
    assert holding_on.low_n < holding_on.strength_n < holding_on.high_n
    fixing = next(f for f in one.fixings if f.id == "a5")
    broke = replace(without(one, "a5"), endings=(Ending(fixing, DAY, "broke"),))
    assert "1 of 7 seen failed" in strength_words(loads(season(broke), ahead, DAY).strengths[0])


def test_failures_noted_without_looks_do_not_make_every_clip_weak() -> None:
    """A grower who notes what fails and never that the others held: ten stems of seven string clips each, closed
    three weeks ago, two of the seventy failed. The others were there to be noted and were not."""
    stems = [tiered(f"l{n}", 0.58) for n in range(10)]
    old = {"hung_on": weeks_ago(3), "seen_on": (weeks_ago(3),)}
    ahead = outlook({one.id: grown for one, grown in stems})

    def house(*, looked: bool, ticked: bool = False, fail: tuple[str, ...] = ("l2", "l7")) -> Strength:
        leaders = []
        for one, _ in stems:
            seen = old | {"seen_on": (weeks_ago(3), DAY)} if looked else old
            fixings = tuple(replace(f, assumed=ticked, **seen) for f in one.fixings)  # type: ignore[arg-type]
            gone = [f for f in fixings if one.id in fail and f.id == f"{one.id}5"]
            leaders.append(
                replace(
                    one,
                    fixings=tuple(f for f in fixings if f not in gone),
                    endings=tuple(Ending(replace(f, **old), DAY, "slid") for f in gone),  # type: ignore[arg-type]
                )
            )
        workings = loads(season(*leaders), ahead, DAY).workings
        assert workings is not None
        return workings.learned["green"]

    looked, noted, ticks = house(looked=True), house(looked=False), house(looked=False, ticked=True)
    nothing = house(looked=False, fail=())
    assert looked.failures == noted.failures == ticks.failures == 2
    assert noted.held == ticks.held == nothing.held == 0, "nobody saw them"
    assert noted.quantile_n() == pytest.approx(looked.quantile_n(), rel=0.06)
    assert ticks.quantile_n() == pytest.approx(looked.quantile_n(), rel=0.06)
    assert nothing.quantile_n() == house(looked=False, ticked=True, fail=()).quantile_n()


def test_ties_teach_nothing_of_clips() -> None:
    one, grown = tiered()
    tied = replace(one, fixings=tuple(replace(f, tie=True, clip_kind="") for f in one.fixings))
    (green,) = loads(season(tied), outlook({"a": grown}), DAY).strengths
    assert green.held == 0


def test_a_past_leader_has_what_held_then_at_its_hook_of_then() -> None:
    one, _ = tiered()
    gone = clip("a", "gone", 2.0, 2.2, string="W1/4", hung_on=weeks_ago(8))
    moves = (
        Lowering("m1", weeks_ago(6), 0.3, 1.9, None, None, as_proposed=False),
        Lowering("m2", weeks_ago(2), 0.3, 3.2, None, None, as_proposed=False),
    )
    lowered = replace(
        one,
        fixings=tuple(replace(f, hung_on=weeks_ago(1 if f.id == "a5" else 7)) for f in one.fixings),
        endings=(Ending(gone, weeks_ago(3), None),),
        lowerings=moves,
    )
    then = leader_as_of(lowered, weeks_ago(4))
    assert "gone" in {f.id for f in then.fixings}
    assert "a5" not in {f.id for f in then.fixings}
    assert then.hook is not None
    assert then.hook.u_m == 1.9
    assert {f.u_m for f in then.fixings if f.on == "head"} == {1.9}
    assert "gone" not in {f.id for f in leader_as_of(lowered, weeks_ago(2)).fixings}
    first = leader_as_of(lowered, weeks_ago(7)).hook
    assert first is not None
    assert first.u_m == lowered.u_m


def test_a_past_stem_is_shorter_and_its_tip_where_the_let_outs_put_it() -> None:
    """Two weeks at 0.2 m a week, 0.3 m let out a week ago: 0.4 m shorter, its tip 0.1 m lower."""
    one, grown = tiered()
    lowered = replace(one, lowerings=(Lowering("m", weeks_ago(1), 0.3, 3.2, None, None, as_proposed=False),))
    then = stem_as_of(lowered, grown, (0.2 / 7, 0.8 / 7), DAY, weeks_ago(2))
    assert then.length_m.mid == pytest.approx(grown.length_m.mid - 0.4)
    assert then.tip_z_m.mid == pytest.approx(grown.tip_z_m.mid - 0.4 + 0.3)


def test_a_past_length_that_was_read_is_used() -> None:
    one, grown = tiered()
    read = replace(one, readings=(Reading("r", weeks_ago(4), length_m=3.0),))
    then = stem_as_of(read, grown, (0.5 / 7, 0.8 / 7), DAY, weeks_ago(2))
    assert then.length_m.mid == pytest.approx((3.0 + 3.9) / 2)


def test_past_trusses_are_younger_and_the_picked_ones_hang_again() -> None:
    """Eight trusses from ripe to flower: 1/8 apart, 0.8 a week, so 0.1 a week. Three weeks ago the ripe one was at
    0.7, the highest two had not flowered, and those picked since hung below it."""
    one, grown = tiered()
    numbered = replace(grown, trusses=tuple(t._replace(number=t.number + 4) for t in grown.trusses))
    then = stem_as_of(one, numbered, (0.2 / 7, 0.8 / 7), DAY, weeks_ago(3))
    by_number = {t.number: t for t in then.trusses}
    assert by_number[5].z == pytest.approx(1.0 - 0.3)
    assert by_number[5].kg < grown.trusses[0].kg
    assert min(by_number) == 3
    assert by_number[4].z == pytest.approx(0.825)
    assert by_number[4].s_m == pytest.approx(grown.trusses[0].s_m - 0.22)
    assert max(by_number) == 12 - 2
    assert all(t.z >= 0 for t in then.trusses)


def test_a_young_stem_without_trusses_has_a_past_too() -> None:
    fixing = clip("a", "c", 0.5, 0.58, on="head", hung_on=weeks_ago(2), seen_on=(weeks_ago(2), weeks_ago(1)))
    history = histories_of(leader(fixings=(fixing,), hook_u_m=0.58), outlook({"a": stem(0.9, 0.9)}))["c"]
    assert len(history.held) == 1
    assert history.held[0].lasting_ln == 0.40
