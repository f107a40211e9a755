"""Rules for fruit, leaves, shoots, feed, tips, weak plants and the weekly habit, at thresholds and beyond."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from tests.chores.given import (
    DAY,
    bodies,
    fixing,
    holding,
    leader,
    loads,
    of_kind,
    outlook,
    row,
    season,
    stem,
    truss,
)
from tunneltui.chores.chore import Chore
from tunneltui.chores.exceptions import without
from tunneltui.chores.rules import chores
from tunneltui.growth.outlook import Band, LeftOut, PickOutlook, TrussOn
from tunneltui.holding.model import Limits, Training, Work
from tunneltui.journal.kinds_care import Air, Fed, Scouted
from tunneltui.journal.kinds_crop import (
    Deleafed,
    LetItRun,
    Picked,
    Pollinated,
    Removed,
    SideShooted,
    TipTakenOut,
    TrussPruned,
)
from tunneltui.journal.kinds_holding_up import TwistedIn
from tunneltui.journal.kinds_standing import (
    Germinated,
    Hardened,
    MarkedPlant,
    PlanAdopted,
    Planted,
    PottedOn,
    Sown,
)
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Accident, Done, Hook, Lowering, Pick, Reading, Reentry, Season
from tunneltui.values import replace


def pick_of(kg: float, day: date = DAY, blind: bool = False) -> PickOutlook:
    return PickOutlook("round", "W1", day, Band(0.8 * kg, kg, 1.2 * kg), 6.0, blind)


def test_pick_on_pick_days_only_and_not_twice() -> None:
    here = season([leader(3)])
    (chore,) = of_kind(chores(here, outlook({}, picks=[pick_of(5.0)]), loads()), "pick")
    assert bodies(chore.writes) == [Picked("round")]
    assert chore.proposal == "pick W1 round, 4 to 6 kg"
    # 25 kg an hour of the larger kinds, 8 kg of cherries (common practice, no source).
    assert chore.minutes == pytest.approx(60 * 5 / 25)
    tomorrow = pick_of(5.0, DAY + timedelta(days=4))
    assert not of_kind(chores(here, outlook({}, picks=[tomorrow]), loads()), "pick")
    picked = replace(here, picks=(Pick("p", "a", DAY, "W1", "W", Picked("round", kg=5.0)),))
    assert not of_kind(chores(picked, outlook({}, picks=[pick_of(5.0)]), loads()), "pick")


@pytest.mark.parametrize(("done", "asked"), [(20, False), (10, True)])
def test_who_misses_pick_days_is_asked_before_ripe_fruit_is_too_old(done: int, asked: bool) -> None:
    """Work on Tue, Thu and Sat, picks on Tue and Sat, picked clean on Tuesday: on Thursday the next pick day is
    two days on, but with half of what is asked for done a pick is sure on the Thursday after only."""
    stands = holding(work=Work(work_days=("Tue", "Thu", "Sat"), pick_days=("Tue", "Sat")))
    one = leader(3, picked_clean_on=DAY - timedelta(days=2))
    hangs = replace(outlook({}), ripe_today=(pick_of(5.0),))
    found = of_kind(chores(season([one], stands, asked_and_done=(20, done)), hangs, loads()), "pick")
    assert bool(found) is asked
    assert all("it may be Thu 27 Aug before it is picked next" in chore.why for chore in found)


def test_a_blind_pick_says_that_none_was_weighed() -> None:
    (chore,) = of_kind(chores(season([leader(3)]), outlook({}, picks=[pick_of(5.0, blind=True)]), loads()), "pick")
    assert "kg" not in chore.proposal
    assert "no pick weighed yet, so" in chore.why


@pytest.mark.parametrize(("days", "asked"), [(15, False), (14, True), (-3, True)])
def test_the_first_pick_of_a_kind_is_a_look_from_its_early_end_on(days: int, asked: bool) -> None:
    """Asked for on its likely day alone, it found fruit ripe for a week. The first truss is known to one truss, a
    week, and a ripening of 50 days to 9 %: 8.3 days together, of which 1.645 are 14."""
    ripe_on = DAY + timedelta(days=days)
    coming = outlook({"lW13": stem(1.6, 1.5, trusses=(truss(1, 0.4, ripe_on=ripe_on),), flowering_sd=1.0)})
    found = of_kind(chores(season([leader(3)]), coming, loads()), "pick")
    assert bool(found) is asked
    for chore in found:
        assert chore.proposal == "pick W1 round, what is ripe"
        assert "nothing of it was picked yet" in chore.why
        assert bodies(chore.writes) == [Picked("round")]
    picked = Pick("p", "a", DAY - timedelta(days=30), "W1", "W", Picked("round", kg=5.0))
    assert not of_kind(chores(season([leader(3)], picks=(picked,)), coming, loads()), "pick")


def test_a_treatment_keeps_fruit_on_the_plant_until_its_day() -> None:
    for until, earliest in ((DAY, DAY), (DAY + timedelta(days=2), DAY + timedelta(days=2))):
        here = season([leader(3)], picking_blocked_until={"W": until})
        (chore,) = of_kind(chores(here, outlook({}, picks=[pick_of(5.0)]), loads()), "pick")
        assert chore.earliest == earliest
    assert "Sat" in chore.why


@pytest.mark.parametrize(
    ("days", "due_in", "worth"),
    [(5, None, 0.0), (6, 3, 0.005), (8, 1, 0.015), (9, 0, 0.015), (14, 0, 0.06), (30, 0, 0.12)],
)
def test_side_shoots_have_their_days(days: int, due_in: int | None, worth: float) -> None:
    """Every seven days: from one day before to two after, and worth the more the longer they are left."""
    one = leader(3, side_shooted_on=DAY - timedelta(days=days))
    found = of_kind(chores(season([one, leader(4)]), outlook({}), loads()), "side_shoot")
    said = [((piece.latest - DAY).days, piece.worth) for chore in found for piece in chore.pieces]
    assert said == ([] if due_in is None else [(due_in, worth)])
    # 4 % longer for every day past seven, twice as long at most.
    usual = 0.75 * min(2.0, 1 + 0.04 * max(0, days - 7))
    assert [chore.minutes for chore in found] == ([] if due_in is None else [pytest.approx(usual)])


@pytest.mark.parametrize(("days", "arises"), [(4, False), (7, True), (9, True)])
def test_side_shoots_are_a_weekly_row_job(days: int, arises: bool) -> None:
    late, early = leader(3, side_shooted_on=DAY - timedelta(days=days)), leader(4)
    found = of_kind(chores(season([late, early]), outlook({}), loads()), "side_shoot")
    assert bool(found) is arises
    if arises:
        assert bodies(found[0].writes) == [SideShooted((late.id,))]
        assert f"{days} days" in found[0].why


def test_a_row_with_a_work_day_is_worked_on_it() -> None:
    # Done last Friday, a day late: due again on Thursday, its day, not on Friday.
    one = leader(3, side_shooted_on=DAY - timedelta(days=6))
    (chore,) = of_kind(chores(season([one], holding(row(work_day="Thu"))), outlook({}), loads()), "side_shoot")
    assert chore.latest == DAY
    assert not of_kind(chores(season([one], holding(row(work_day="Fri"))), outlook({}), loads()), "side_shoot")


@pytest.mark.parametrize(
    ("leaves", "lowest_ripening_m", "taken"),
    [
        (20.0, 0.50, 4),  # five hang below; four a visit at most
        (20.0, 0.30, 0),  # three hang below: not worth a stop yet
        (20.0, 1.00, 4),  # sixteen stay
        (19.0, 1.00, 0),
        (16.0, 1.00, 0),
        (20.0, 0.09, 0),
    ],
)
def test_leaves_below_the_lowest_truss_that_ripens(leaves: float, lowest_ripening_m: float, taken: int) -> None:
    one = leader(3, deleafed=((DAY - timedelta(days=7), 3),))
    grown = stem(2.0, 1.5, leaves=leaves, trusses=(truss(1, 0.05, z=1.0), truss(2, lowest_ripening_m, z=0.9)))
    found = of_kind(chores(season([one]), outlook({one.id: grown}), loads()), "deleaf")
    assert [body for chore in found for body in bodies(chore.writes)] == (
        [Deleafed((one.id,), taken)] if taken else []
    )


def test_leaves_are_not_taken_oftener_than_weekly_and_no_more_than_a_third() -> None:
    grown = stem(2.0, 1.5, leaves=20.0, trusses=(truss(2, 0.5),))
    six = leader(3, deleafed=((DAY - timedelta(days=6), 3),))
    assert not of_kind(chores(season([six]), outlook({six.id: grown}), loads()), "deleaf")
    few = holding()
    few = replace(few, limits=replace(few.limits, leaves_kept=1))
    seven = leader(3, deleafed=((DAY - timedelta(days=14), 3),))
    sparse = replace(grown, leaves=8.0, trusses=(truss(2, 1.9),))
    (chore,) = of_kind(chores(season([seven], few), outlook({seven.id: sparse}), loads()), "deleaf")
    assert bodies(chore.writes) == [Deleafed((seven.id,), 2)]


@pytest.mark.parametrize(
    ("leaves", "days", "arises"), [(4, 7, True), (3, 7, False), (3, 14, True), (1, 28, False)]
)
def test_no_stop_at_a_plant_for_less_than_half_a_visit(leaves: int, days: int, arises: bool) -> None:
    """Four a visit: fewer wait for the next week's, two or three no longer than a fortnight, one for a second."""
    one = leader(3, deleafed=((DAY - timedelta(days=days), 3),))
    below = stem(2.0, 1.5, leaves=20.0, trusses=(truss(2, 0.1 * (leaves + 0.5)),))
    stands = holding(limits=Limits(first_tier_m=0.5, leaves_a_visit=4))
    found = of_kind(chores(season([one], stands), outlook({one.id: below}), loads()), "deleaf")
    assert [body for chore in found for body in bodies(chore.writes)] == [Deleafed((one.id,), leaves)] * arises


@pytest.mark.parametrize(("days", "arises"), [(6, False), (7, True)])
def test_feed_by_days_once_fruit_is_on(days: int, arises: bool) -> None:
    one = leader(3)
    here = season([one], last={("fed", "W"): DAY - timedelta(days=days), ("looked", "W1"): DAY})
    bearing = stem(1.5, 1.4, trusses=(truss(1, 0.5),))
    found = of_kind(chores(here, outlook({one.id: bearing}), loads()), "feed")
    assert bool(found) is arises
    assert not arises or bodies(found[0].writes) == [Fed()]
    assert not of_kind(chores(here, outlook({one.id: stem(1.5, 1.4)}), loads()), "feed")


@pytest.mark.parametrize(("fruits", "z", "arises"), [(4.0, 0.2, False), (5.0, 0.2, True), (5.0, 0.5, False)])
def test_trusses_over_their_target_are_pruned_while_small(fruits: float, z: float, arises: bool) -> None:
    one = leader(3, cultivar="big")
    grown = stem(1.5, 1.4, trusses=(truss(4, 1.0, z=z, fruits=fruits),))
    found = of_kind(chores(season([one]), outlook({one.id: grown}), loads()), "truss_prune")
    assert bool(found) is arises
    assert not arises or bodies(found[0].writes) == [TrussPruned(one.id, 4, 4)]


def test_flowers_are_shaken_in_a_cool_week_at_midday() -> None:
    one = leader(3)
    coming = outlook({one.id: stem(1.5, 1.4, flowering_truss=3.0)})
    cool, warm = (
        {"W": {DAY - timedelta(days=n): Air("hand", mean_c=mean_c) for n in range(1, 8)}}
        for mean_c in (14.0, 18.0)
    )
    last = {("looked", "W1"): DAY}
    (chore,) = of_kind(chores(season([one], airs=cool, last=last), coming, loads()), "pollinate")
    assert chore.when == "midday"
    assert bodies(chore.writes) == [Pollinated((one.id,))]
    # Set at 14 degC is 59 % of that at 22 (Adams 2001, in Vanthoor 2011 table 3.1).
    assert "59%" in chore.why
    assert not of_kind(chores(season([one], airs=warm, last=last), coming, loads()), "pollinate")


def test_the_tip_comes_out_once_no_new_truss_can_ripen_unless_let_run() -> None:
    one = leader(3)
    coming = outlook({one.id: stem(1.5, 1.4)})
    for bed_back, arises in ((DAY + timedelta(days=20), True), (DAY + timedelta(days=120), False)):
        here = season([one], holding(work=Work(reach_m=2.3, bed_wanted_back=bed_back)))
        found = of_kind(chores(here, coming, loads()), "tip_out")
        assert bool(found) is arises
        if arises:
            assert not found[0].writes
            assert [bodies(choice.writes) for choice in found[0].choices] == [
                [LetItRun(one.id)],
                [TipTakenOut(one.id)],
            ]
            assert "picked green" in found[0].why
            runs = replace(here, leaders={one.id: replace(one, let_it_run=True)})
            assert not of_kind(chores(runs, coming, loads()), "tip_out")


@pytest.mark.parametrize(("tip_m", "arises"), [(1.95, False), (2.17, False), (2.18, True)])
def test_tips_to_be_stopped_at_the_wire_come_out_there(tip_m: float, arises: bool) -> None:
    """Not 25 cm under it, where another truss would still find room."""
    one = leader(3, training="pinched_at_wire")
    found = of_kind(chores(season([one]), outlook({one.id: stem(tip_m, tip_m)}), loads()), "tip_out")
    assert bool(found) is arises


@pytest.mark.parametrize(
    ("half_m", "walked", "held_days", "kind"),
    [
        (0.15, False, 1, "tip_out"),
        (0.15, False, 0, ""),
        (0.30, False, 4, "put_right"),
        (0.30, True, 4, "tip_out"),
        (0.30, True, 3, ""),
        (0.30, "long ago", 4, "tip_out"),
    ],
)
def test_a_tip_that_is_only_guessed_is_seen_before_it_comes_out(
    half_m: float, walked: bool | str, held_days: int, kind: str
) -> None:
    """On the walk, or by who held its head these days and left it growing. A walk that was ticked and told nothing
    is not asked for again for four weeks: tips waited for it for two, and stood 40 cm over their wires."""
    one = leader(3, training="pinched_at_wire", twisted_in_on=DAY - timedelta(days=held_days))
    coming = outlook({one.id: stem(2.2, 2.2)}, half_m=half_m)
    days = {
        day: replace(on, tip_z_m=Band(2.2 - half_m, 2.2, 2.2 + half_m))
        for day, on in coming.leaders[one.id].days.items()
    }
    coming = replace(coming, leaders={one.id: replace(coming.leaders[one.id], days=days)})
    walk = Done(("put_right", "W1", "2026-08-18"), "a", DAY - timedelta(days=20 if walked == "long ago" else 2))
    found = chores(season([one], done=(walk,) if walked else ()), coming, loads())
    asked = [chore for chore in found if chore.kind in ("tip_out", "put_right")]
    assert [chore.kind for chore in asked] == ([kind] if kind else [])
    if kind == "tip_out":
        assert [choice.key for choice in asked[0].choices] == ["l", "t", "w"]
        assert bodies(asked[0].choices[2].writes) == [TwistedIn(one.id)]


@pytest.mark.parametrize(
    ("tip_m", "held_days", "arises"), [(1.95, 7, False), (2.10, 6, False), (2.10, 7, True), (2.20, 4, True)]
)
def test_a_guessed_tip_that_may_well_be_at_the_wire_is_looked_at_when_it_is_held(
    tip_m: float, held_days: int, arises: bool
) -> None:
    """Half of all stems are longer than is guessed: those stood over the wire until the middle one came to it."""
    one = leader(3, training="pinched_at_wire", twisted_in_on=DAY - timedelta(days=held_days))
    coming = outlook({one.id: stem(tip_m, tip_m)})
    days = {
        day: replace(on, tip_z_m=Band(tip_m - 0.3, tip_m, tip_m + 0.3))
        for day, on in coming.leaders[one.id].days.items()
    }
    coming = replace(coming, leaders={one.id: replace(coming.leaders[one.id], days=days)})
    walk = Done(("put_right", "W1", "2026-08-18"), "a", DAY - timedelta(days=2))
    found = of_kind(chores(season([one], done=(walk,)), coming, loads()), "tip_out")
    assert bool(found) is arises


@pytest.mark.parametrize(("own_m", "arises"), [(0.13, False), (0.125, True)])
def test_a_weak_one_makes_half_its_neighbours_growth(own_m: float, arises: bool) -> None:
    row_of = [leader(n) for n in range(1, 6)]
    pace = {one.id: 0.25 for one in row_of} | {row_of[2].id: own_m}
    coming = outlook({one.id: stem(1.5, 1.4) for one in row_of}, m_per_week=pace)
    found = of_kind(chores(season(row_of), coming, loads()), "weak_plant")
    assert [chore.about for chore in found] == (["W1-03a"] if arises else [])


def test_a_weak_one_that_is_kept_is_stopped_at_the_wire_with_the_others() -> None:
    """It was let run for the season then, and stood over its wire till autumn."""
    made = [leader(n, training="pinched_at_wire") for n in range(1, 6)]
    pace = {one.id: 0.25 for one in made} | {made[2].id: 0.10}
    coming = outlook({one.id: stem(2.2, 2.2) for one in made}, m_per_week=pace)
    (chore,) = of_kind(chores(season(made), coming, loads()), "weak_plant")
    assert bodies(chore.choices[0].writes) == [LetItRun(made[2].id, though_weak=True)]
    made[2] = replace(made[2], kept_though_weak=True)
    found = chores(season(made), coming, loads())
    assert not of_kind(found, "weak_plant")
    (tips,) = of_kind(found, "tip_out")
    assert made[2].id in tips.leaders
    assert "only those that have come to it" in tips.proposal


def test_a_tip_that_snapped_makes_no_plant_a_weak_one() -> None:
    made = [leader(n) for n in range(1, 6)]
    snapped = Accident("a", "tip_snapped", DAY - timedelta(days=30), None, made_good=True)
    made[2] = replace(made[2], accidents=(snapped,))
    pace = {one.id: 0.25 for one in made} | {made[2].id: 0.10}
    coming = outlook({one.id: stem(1.5, 1.4) for one in made}, m_per_week=pace)
    assert not of_kind(chores(season(made), coming, loads()), "weak_plant")


@pytest.mark.parametrize(("days", "arises"), [(9, False), (10, True)])
def test_plants_are_marked_when_forecasts_run_blind(days: int, arises: bool) -> None:
    row_of = [leader(n) for n in range(1, 7)]
    stems = {one.id: stem(1.5, 1.4) for one in row_of}
    coming = outlook(stems, measured_on=DAY - timedelta(days=days))
    found = of_kind(chores(season(row_of), coming, loads()), "mark_plants")
    assert bool(found) is arises
    if arises:
        assert bodies(found[0].writes) == [MarkedPlant(row_of[1].id), MarkedPlant(row_of[4].id)]
    marked = {("marked_plant", place): DAY - timedelta(days=6) for place in ("W1-02", "W1-05")}
    assert not of_kind(chores(season(row_of, last=marked), coming, loads()), "mark_plants")


@pytest.mark.parametrize(("days", "arises"), [(6, True), (7, False)])
def test_a_reading_that_makes_no_sense_is_asked_for_again(days: int, arises: bool) -> None:
    row_of = [leader(n) for n in range(1, 4)]
    coming = outlook({one.id: stem(1.5, 1.4) for one in row_of})
    read = LeftOut(DAY - timedelta(days=days), "199 cm after 234 cm, shorter than before", "")
    doubted = replace(coming.leaders[row_of[1].id], doubted=read)
    coming = replace(coming, leaders=coming.leaders | {row_of[1].id: doubted})
    found = of_kind(chores(season(row_of), coming, loads()), "read_again")
    assert [chore.about for chore in found] == (["W1-02a"] if arises else [])
    if arises:
        assert "199 cm after 234 cm" in found[0].why
        done = Done(found[0].answers, "act", read.day + timedelta(days=1))
        assert not of_kind(chores(season(row_of, done=(done,)), coming, loads()), "read_again")


@pytest.mark.parametrize(("assumed", "arises"), [(2, False), (3, True)])
def test_the_picture_is_put_right_once_over_half_is_assumed(assumed: int, arises: bool) -> None:
    row_of = [leader(n, hook=Hook(n, 0.58 * n, 6.0, "plain", DAY, assumed=n <= assumed)) for n in range(1, 5)]
    found = of_kind(chores(season(row_of), outlook({}), loads()), "put_right")
    assert bool(found) is arises
    if arises:
        assert found[0].minutes > 0
        assert not found[0].writes, "only what is answered on the walk is written"


def test_a_stem_that_cannot_be_where_it_is_noted_is_put_right() -> None:
    one = leader(3)
    fault = StemPath((), 1.7, None, None, "W1-03a: the stem is 20 cm shorter than the path noted for it.")
    (chore,) = of_kind(chores(season([one]), outlook({}), loads(paths={one.id: fault})), "put_right")
    assert chore.why == fault.fault
    for days, arises in ((13, False), (14, True)):
        walk = Done(("put_right", one.name, ""), "a", DAY - timedelta(days=days))
        again = chores(season([one], done=(walk,)), outlook({}), loads(paths={one.id: fault}))
        assert bool(of_kind(again, "put_right")) is arises, "it was asked every morning, seen or not"


def test_two_leaders_alike_but_for_one_fact_give_other_numbers() -> None:
    """One more truss, one clip less, a warmer week: each changes the sentence."""
    one = leader(3, deleafed=((DAY - timedelta(days=14), 3),))
    grown = stem(2.0, 1.5, leaves=20.0, trusses=(truss(1, 0.5), truss(2, 0.8)))
    one_more = replace(grown, trusses=(truss(1, 0.3), *grown.trusses))
    whys = [
        of_kind(chores(season([one]), outlook({one.id: s}), loads()), "deleaf")[0].why for s in (grown, one_more)
    ]
    assert whys[0] != whys[1]
    two = leader(3, fixings=(), twisted_in_on=None)
    clips = (fixing("a", two, 0.9), fixing("b", two, 1.1))
    whys = [
        of_kind(
            chores(season([replace(two, fixings=held)]), outlook({two.id: stem(1.5, 1.4)}), loads()), "clip_head"
        )[0].why
        for held in (clips[:1], clips)
    ]
    assert whys[0] != whys[1]
    three = leader(3, twisted_in_on=DAY - timedelta(days=7))
    whys = [
        of_kind(
            chores(season([three]), outlook({three.id: stem(1.5, 1.4)}, m_per_week=pace), loads()), "twist_in"
        )[0].why
        for pace in (0.31, 0.36)
    ]
    assert whys[0] != whys[1]


def test_done_today_and_put_off_chores_are_gone_until_their_day() -> None:
    one = leader(3)
    here = season([one], last={("fed", "W"): DAY - timedelta(days=7), ("looked", "W1"): DAY})
    coming = outlook({one.id: stem(1.5, 1.4, trusses=(truss(1, 0.5),))})
    (chore,) = of_kind(chores(here, coming, loads()), "feed")
    for until, there in ((None, False), (DAY + timedelta(days=1), False), (DAY, True)):
        done = replace(here, done=(Done(chore.answers, "act", DAY, until),))
        assert bool(of_kind(chores(done, coming, loads()), "feed")) is there
    yesterday = replace(here, done=(Done(chore.answers, "act", DAY - timedelta(days=1)),))
    assert of_kind(chores(yesterday, coming, loads()), "feed")


@pytest.mark.parametrize(("days", "arises"), [(7, False), (8, True)])
def test_trays_are_raised_step_by_step(days: int, arises: bool) -> None:
    # Emergence takes up to eight days (Iowa State University Extension, on raising plants); the later steps are
    # common practice, no source.
    sown_on = DAY - timedelta(days=days)
    here = season([], sowings=((sown_on, "", Sown("A", "round", 20)),))
    found = of_kind(chores(here, outlook({}), loads()), "raise")
    assert [body for chore in found for body in bodies(chore.writes)] == ([Germinated("A", 20)] if arises else [])


def test_from_the_tray_to_the_place() -> None:
    sown_on = DAY - timedelta(days=45)
    up = ((DAY - timedelta(days=37), "", Germinated("A", 9)),)
    potted = ((DAY - timedelta(days=20), "", PottedOn("A", 8)),)
    hardened = ((DAY - timedelta(days=7), "", Hardened("A")),)
    stages: list[tuple[dict[str, Any], str, object]] = [
        ({}, "raise", PottedOn("A", 9)),
        ({"pottings": potted}, "raise", Hardened("A")),
        ({"pottings": potted, "hardenings": hardened}, "plant_out", None),
    ]
    for more, kind, expected in stages:
        here = season([leader(2)], sowings=((sown_on, "", Sown("A", "round", 20)),), germinations=up, **more)
        (chore,) = [c for c in chores(here, outlook({}), loads()) if c.kind in ("raise", "plant_out")]
        assert chore.kind == kind
        if expected is not None:
            assert bodies(chore.writes) == [expected]
    # Eight plants for the eleven empty places of their cultivar, in walking order.
    assert [d.about for d in chore.writes] == [f"W1-{n:02d}" for n in (1, 3, 4, 5, 6, 7, 8, 9)]
    assert bodies(chore.writes)[0] == Planted("round", tray="A")
    assert "W1-01, W1-03 to W1-09" in chore.proposal
    # One of the eight stands already, planted since they hardened: seven are left.
    late = leader(2, planted_on=DAY - timedelta(days=1), since=DAY - timedelta(days=1))
    here = replace(here, leaders={late.id: late})
    (chore,) = of_kind(chores(here, outlook({}), loads()), "plant_out")
    assert len(chore.writes) == 7


def test_plants_that_wait_are_set_apart_and_go_in_deeper() -> None:
    sown_on = DAY - timedelta(days=60)
    here = season(
        [leader(2)],
        sowings=((sown_on, "", Sown("A", "round", 8)),),
        germinations=((DAY - timedelta(days=52), "", Germinated("A", 8)),),
        pottings=((DAY - timedelta(days=38), "", PottedOn("A", 8)),),
        hardenings=((DAY - timedelta(days=12), "", Hardened("A")),),
    )
    raised, planted = [c for c in chores(here, outlook({}), loads()) if c.kind in ("raise", "plant_out")]
    assert "set them apart" in raised.proposal
    assert bodies(raised.writes) == [PottedOn("A", 8)]
    assert "15 cm of their long stem in the soil" in planted.proposal
    assert bodies(planted.writes)[0] == Planted("round", tray="A", buried_m=0.15)


@pytest.mark.parametrize(("mean_c", "arises"), [(11.9, False), (12.0, True)])
def test_nothing_is_planted_into_a_cold_tunnel(mean_c: float, arises: bool) -> None:
    airs = {"W": {DAY - timedelta(days=n): Air("hand", mean_c=mean_c) for n in range(1, 8)}}
    here = season(
        [],
        airs=airs,
        sowings=((DAY - timedelta(days=45), "", Sown("A", "round", 5)),),
        hardenings=((DAY - timedelta(days=7), "", Hardened("A")),),
    )
    assert bool(of_kind(chores(here, outlook({}), loads()), "plant_out")) is arises


@pytest.mark.parametrize(("ahead", "arises"), [(1, False), (0, True), (-3, True)])
def test_a_row_is_cleared_from_the_day_its_bed_is_wanted(ahead: int, arises: bool) -> None:
    one = leader(3)
    one = replace(one, fixings=(fixing("c", one, 1.0, 3),))
    here = season([one], holding(work=Work(reach_m=2.3, bed_wanted_back=DAY + timedelta(days=ahead))))
    found = of_kind(chores(here, outlook({}), loads()), "clearing")
    assert bool(found) is arises
    if arises:
        assert bodies(found[0].writes) == [Removed(one.plant)]
        assert "1 clip and 1 hook" in found[0].proposal
        assert not without(found[0], [one.id]).writes


@pytest.mark.parametrize("later", [0, 20])
@pytest.mark.parametrize(("ahead", "arises"), [(22, False), (21, True)])
def test_a_row_is_cleared_three_weeks_before_the_plan_plants_there(ahead: int, arises: bool, later: int) -> None:
    """Plants put in since its sowing, or since it was adopted, are the plan's own and stay."""
    old = leader(3)
    sow = old.planted_on + timedelta(days=1)
    own = replace(leader(4), planted_on=sow)
    adopted_on = sow + timedelta(days=later)
    to_plant = DAY + timedelta(days=ahead)
    chosen = PlanAdopted("by-vigour", sow, to_plant, (), (), (), (), (), (), 0.5, 0.14)
    here = season([old, own], holding(), plans=((adopted_on, chosen),))
    found = of_kind(chores(here, outlook({}), loads()), "clearing")
    assert [bodies(one.writes) for one in found] == ([[Removed(old.plant)]] if arises else [])


def test_a_treated_tunnel_is_closed_till_its_label_lets_somebody_in() -> None:
    """12 hours noted some time on the 19th may last into the 20th: that morning they are to be counted first."""
    one = leader(3, deleafed=((DAY - timedelta(days=7), 3),))
    coming = outlook({one.id: stem(2.0, 1.5, leaves=20.0, trusses=(truss(1, 0.5), truss(2, 0.8)))})
    for days_ago, hours, waits_days in ((0, 4, 1), (1, 12, 0), (1, 48, 2), (2, 24, 0), (3, 24, None)):
        closed = Reentry(DAY - timedelta(days=days_ago), "soft soap", hours)
        (chore,) = of_kind(chores(season([one], reentry={"W": closed}), coming, loads()), "deleaf")
        assert (chore.earliest - DAY).days == (waits_days or 0)
        assert all(piece.earliest == chore.earliest for piece in chore.pieces)
        if waits_days:
            assert "nobody goes in" in chore.why
            assert not chore.must
        counted = [said for said in chore.cautions if "count" in said]
        assert bool(counted) is (waits_days == 0 and hours % 24 > 0)


def test_a_prop_of_one_stem_is_not_that_of_the_other_at_its_place() -> None:
    """Propping W1-03a silenced W1-03b."""
    stems = [leader(3, cultivar="big"), leader(3, cultivar="big")]
    stems[1] = replace(stems[1], id="other", name="W1-03b")
    heavy = stem(2.0, 1.5, trusses=(truss(2, 0.6, fruits=9.0, kg=0.8),))
    coming = outlook({one.id: heavy for one in stems})
    assert len(of_kind(chores(season(stems), coming, loads()), "prop")) == 2
    stems[0] = replace(stems[0], propped_on=DAY - timedelta(days=1))
    (left,) = of_kind(chores(season(stems, last={("propped", "W1-03"): DAY}), coming, loads()), "prop")
    assert left.leaders == ("other",)


LOWERED = Lowering("w", DAY - timedelta(days=7), 0.5, None, None, None, as_proposed=False)


def _lying(training: Training = "laid_down", lowerings: tuple[Lowering, ...] = (LOWERED,)) -> Season:
    """One laid-down stem, lowered a week ago: 50 cm of it along the ground, the rest up to the wire."""
    return season([leader(3, training=training, lowerings=lowerings)])


LIES = StemPath(((1.74, 0.0, 0.0), (2.24, 0.05, 0.5), (2.24, 2.0, 2.45)), 2.24, 0.05, 0.5)
SOIL = [truss(1, 0.4, 0.9, kg=0.5), truss(2, 0.75, 0.7, kg=0.4), truss(3, 0.95, 0.5, kg=0.3)]
"""At 4, 30 and 50 cm over the soil."""


def _soil_asked(here: Season, *trusses: TrussOn) -> list[Chore]:
    coming = outlook({one: stem(2.45, 2.0, trusses=trusses) for one in here.leaders})
    return of_kind(chores(here, coming, loads(paths=dict.fromkeys(here.leaders, LIES))), "low_fruit")


def test_fruit_of_a_lying_stem_on_the_soil_is_told_of_before_it_rots() -> None:
    """With 25 cm a week let out the second truss comes down from 30 cm to 5, the third not yet below 15."""
    (asked,) = _soil_asked(_lying(), *SOIL)
    assert asked.about == "W1"
    assert asked.why.startswith("2 trusses, about 0.9 kg, lie on the soil or come down to it this week.")
    assert "straw, boards" in asked.proposal
    assert not _soil_asked(_lying(), SOIL[2])
    assert not _soil_asked(_lying(), SOIL[0]._replace(z=1.0)), "what is ripe is picked"
    assert not _soil_asked(_lying(lowerings=()), *SOIL), "never let down"
    assert not _soil_asked(_lying("tiered"), *SOIL), "in tiers"


def test_what_lies_under_the_fruit_is_asked_once_a_crop() -> None:
    answered = Done(("low_fruit", "W1", "2026-07-20"), "act", DAY - timedelta(days=31))
    assert not _soil_asked(replace(_lying(), done=(answered,)), *SOIL)
    last_year = replace(answered, day=DAY - timedelta(days=365))
    assert _soil_asked(replace(_lying(), done=(last_year,)), *SOIL)


def test_a_row_is_looked_over_weekly_and_no_other_work_says_that_it_was() -> None:
    """Ticking the side shoots wrote a ``scouted`` that nobody had looked for."""
    here = season([leader(3, side_shooted_on=DAY - timedelta(days=9))])
    asked = chores(here, outlook({}), loads())
    assert [bodies(chore.writes) for chore in of_kind(asked, "look_over")] == [[Scouted()]]
    others = [body for chore in asked if chore.kind != "look_over" for body in bodies(chore.writes)]
    assert not [body for body in others if isinstance(body, Scouted)]
    done = replace(here, scoutings=((DAY - timedelta(days=1), "W1", Scouted()),))
    assert not of_kind(chores(done, outlook({}), loads()), "look_over")


@pytest.mark.parametrize("days", [27, 28])
def test_a_walk_that_was_ticked_and_told_nothing_is_asked_for_again_after_four_weeks(days: int) -> None:
    """Who answers nothing was asked every morning: 880 minutes of ten seasons."""
    row_of = [leader(n, hook=Hook(n, 0.58 * n, 6.0, "plain", DAY, assumed=True)) for n in range(1, 5)]
    ticked = Done(("put_right", "W1", ""), "a", DAY - timedelta(days=days))
    found = of_kind(chores(season(row_of, done=(ticked,)), outlook({}), loads()), "put_right")
    assert bool(found) is (days == 28)


@pytest.mark.parametrize(("days", "told", "arises"), [(7, True, True), (7, False, False), (28, False, True)])
def test_marks_that_told_nothing_are_not_asked_for_every_week(days: int, told: bool, arises: bool) -> None:
    marked_on = DAY - timedelta(days=days)
    read = Reading("r", marked_on, growth_m=0.2)
    row_of = [leader(n, readings=(read,) if told else ()) for n in range(1, 7)]
    last = {("marked_plant", one.place): marked_on for one in row_of}
    coming = outlook({one.id: stem(1.5, 1.4) for one in row_of}, measured_on=DAY - timedelta(days=30))
    assert bool(of_kind(chores(season(row_of, last=last), coming, loads()), "mark_plants")) is arises


@pytest.mark.parametrize(("shoots_days", "looked_days", "minutes"), [(7, 8, 0.03), (3, 8, 0.0), (3, 10, 0.1)])
def test_looking_over_goes_with_the_side_shoots(shoots_days: int, looked_days: int, minutes: float) -> None:
    one = leader(3, side_shooted_on=DAY - timedelta(days=shoots_days))
    here = season([one], scoutings=((DAY - timedelta(days=looked_days), "W1", Scouted()),))
    found = of_kind(chores(here, outlook({}), loads()), "look_over")
    assert [chore.minutes for chore in found] == ([pytest.approx(minutes)] if minutes else [])


@pytest.mark.parametrize("hook_noted", [False, True])
def test_of_what_was_noted_as_planted_in_summer_it_is_asked_when_it_was(hook_noted: bool) -> None:
    """Told with its hooks but not with its day of planting, a row of stems of 3.5 m was taken for seedlings."""
    made = [leader(n, planted_on=DAY, since=DAY, twisted_in_on=None) for n in range(1, 5)]
    row_of = made if hook_noted else [replace(one, hook=None) for one in made]
    found = chores(season(row_of), outlook({one.id: stem(0.35, 0.35) for one in row_of}), loads())
    (asked,) = of_kind(found, "stood_before")
    assert asked.choices[0].words == "today, as noted"
    assert not [chore for chore in found if chore.kind in ("hang", "twist_in", "lower", "put_right")]


@pytest.mark.parametrize(("walked", "arises"), [((), True), ((1,), True), ((1, 2, 3, 4), False)])
def test_a_walk_of_the_tips_that_was_stopped_half_way_is_asked_for_again(
    walked: tuple[int, ...], arises: bool
) -> None:
    """Four of thirteen answered, the others were not asked for before the week was out."""
    row_of = [leader(n) for n in range(1, 5)]
    coming = outlook({one.id: stem(2.05, 2.05) for one in row_of})
    unsure = {
        one: replace(
            told, days={day: replace(on, tip_z_m=Band(1.55, 2.05, 2.55)) for day, on in told.days.items()}
        )
        for one, told in coming.leaders.items()
    }
    done = tuple(
        Done(("put_right", one.name, ""), "a", DAY - timedelta(days=5))
        for one in row_of
        if int(one.name[3:5]) in walked
    )
    found = chores(season(row_of, done=done), replace(coming, leaders=unsure), loads())
    assert bool(of_kind(found, "put_right")) is arises


@pytest.mark.parametrize(("mid_m", "ticked", "kinds"), [
    (2.05, False, {"put_right"}), (2.16, False, {"put_right", "lower"}), (2.05, True, {"lower"}),
])  # fmt: skip
def test_heads_of_unknown_height_wait_for_the_walk_that_tells_it(
    mid_m: float, ticked: bool, kinds: set[str]
) -> None:
    """Unless they are taken to be at their limit already, or the walk was ticked and told nothing."""
    one = leader(3)
    coming = outlook({one.id: stem(mid_m, mid_m)})
    days = {
        day: replace(on, tip_z_m=Band(on.tip_z_m.mid - 0.5, on.tip_z_m.mid, on.tip_z_m.mid + 0.5))
        for day, on in coming.leaders[one.id].days.items()
    }
    coming = replace(coming, leaders={one.id: replace(coming.leaders[one.id], days=days)})
    walk = Done(("put_right", "W1", ""), "a", DAY - timedelta(days=2))
    found = chores(season([one], done=(walk,) if ticked else ()), coming, loads())
    assert {chore.kind for chore in found if chore.kind in ("put_right", "lower")} == kinds
