"""Readings that make no sense are flagged, left out of learning and told; the ones around them are not harmed."""

from __future__ import annotations

from datetime import date, timedelta
from math import exp, inf, log

import pytest
from scipy.stats import truncnorm

from tests.growth.growing import PLANTED, Diary, read_weekly, small_diary
from tunneltui.growth.evidence import Evidence, evidence_of
from tunneltui.growth.forecast import outlook
from tunneltui.growth.stems import Grown, StemGroup
from tunneltui.growth.truss_states import below_the_first
from tunneltui.journal.kinds_crop import TipTakenOut
from tunneltui.journal.kinds_holding_up import Lowered, TipSnapped
from tunneltui.journal.kinds_standing import MarkedPlant, Measured, Sighted
from tunneltui.season.fold import fold

STEADY = [0.60, 0.85, 1.10, 1.35, 1.60]
LAST = PLANTED + timedelta(weeks=len(STEADY))


def _weekly(lengths_m: list[float]) -> tuple[Diary, list[str]]:
    diary, ids = small_diary()
    for at, leader in enumerate(ids):
        read_weekly(diary, leader, f"W1-{at + 1:02d}", lengths_m if at == 0 else STEADY)
    return diary, ids


def _evidence(diary: Diary, leader: str, day: date = LAST) -> Evidence:
    season = fold(diary.entries, day)
    return evidence_of(season.leaders[leader], season.layout.rows["W1"][1])


def _rate_of_others(diary: Diary, ids: list[str]) -> float:
    return outlook(fold(diary.entries, LAST)).leaders[ids[3]].growth_m_per_week.mid


@pytest.mark.parametrize(
    ("lengths", "said"),
    [
        ([0.60, 0.85, 0.40, 1.35, 1.60], "shorter than before"),
        ([0.60, 0.85, 3.65, 1.35, 1.60], "more than 8 cm a day"),
    ],
)
def test_a_stem_that_shrinks_or_leaps_is_told_and_teaches_nothing(lengths: list[float], said: str) -> None:
    diary, ids = _weekly(lengths)
    found = _evidence(diary, ids[0])
    assert len(found.flagged) == 1
    assert said in found.flagged[0].why
    assert "W1-01a" in found.flagged[0].sentence
    assert all(growth.end != (PLANTED + timedelta(weeks=3)).toordinal() for growth in found.growths)
    steady, others = _weekly(STEADY)
    assert _rate_of_others(diary, ids) == pytest.approx(_rate_of_others(steady, others), rel=0.02)
    told = outlook(fold(diary.entries, LAST)).leaders[ids[0]]
    assert told.flagged == found.flagged


def test_a_misread_length_hardly_moves_where_the_tip_is_taken_to_be() -> None:
    diary, ids = _weekly([0.60, 0.85, 3.65, 1.35, 1.60])
    assert outlook(fold(diary.entries, LAST)).leaders[ids[0]].days[LAST].length_m.mid == pytest.approx(
        1.60, abs=0.02
    )


def test_a_tip_that_truly_broke_is_believed_by_the_next_reading() -> None:
    diary, ids = _weekly([0.60, 0.85, 0.40, 0.62, 0.85])
    found = _evidence(diary, ids[0])
    assert len(found.flagged) == 1
    assert outlook(fold(diary.entries, LAST)).leaders[ids[0]].days[LAST].length_m.mid == pytest.approx(
        0.85, abs=0.03
    )


def test_a_snapped_tip_starts_a_new_count() -> None:
    diary, ids = _weekly(STEADY[:3])
    broke = PLANTED + timedelta(weeks=3, days=2)
    diary.write(broke, "W1-01", TipSnapped(ids[0], length_left_m=0.90))
    diary.write(LAST, "W1-01", Measured(ids[0], length_m=1.20))
    found = _evidence(diary, ids[0])
    assert found.flagged == ()
    assert outlook(fold(diary.entries, LAST)).leaders[ids[0]].days[LAST].length_m.mid == pytest.approx(
        1.20, abs=0.02
    )


def test_counts_that_fall_are_told_and_left_out() -> None:
    diary, ids = small_diary()
    for week, number in enumerate((3, 4, 2, 6), start=1):
        reading = Measured(ids[0], flowering_truss=number, lowest_truss=2 if week != 3 else 1)
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", reading)
    found = _evidence(diary, ids[0])
    assert len(found.flagged) == 2
    assert all("counts do not fall" in flag.why for flag in found.flagged)
    assert [number for _, number in found.trusses] == [3, 4, 6]


def test_too_many_new_trusses_are_told() -> None:
    diary, ids = small_diary()
    diary.write(PLANTED + timedelta(weeks=1), "W1-01", Measured(ids[0], flowering_truss=2))
    diary.write(PLANTED + timedelta(weeks=2), "W1-01", Measured(ids[0], flowering_truss=12))
    assert "10 new trusses in 7 days" in _evidence(diary, ids[0]).flagged[0].why


def test_two_readings_of_one_day_that_differ_are_told() -> None:
    diary, ids = small_diary()
    for length_m in (0.80, 1.10):
        diary.write(PLANTED + timedelta(weeks=2), "W1-01", Measured(ids[0], length_m=length_m))
    assert "two readings of one day differ" in _evidence(diary, ids[0]).flagged[0].why


def test_growth_since_the_last_reading_adds_up() -> None:
    by_length, lengths = _weekly(STEADY)
    by_growth, growths = small_diary()
    for at, leader in enumerate(growths):
        diary_first = Measured(leader, length_m=STEADY[0])
        by_growth.write(PLANTED + timedelta(weeks=1), f"W1-{at + 1:02d}", diary_first)
        for week in range(2, len(STEADY) + 1):
            by_growth.write(PLANTED + timedelta(weeks=week), f"W1-{at + 1:02d}", Measured(leader, growth_m=0.25))
    one = outlook(fold(by_length.entries, LAST)).leaders[lengths[1]]
    other = outlook(fold(by_growth.entries, LAST)).leaders[growths[1]]
    assert one.growth_m_per_week.mid == pytest.approx(other.growth_m_per_week.mid, rel=1e-6)
    assert one.days[LAST].length_m.mid == pytest.approx(other.days[LAST].length_m.mid, abs=0.02)


@pytest.mark.parametrize("by", ["eye", "word"])
def test_what_is_seen_in_passing_places_a_stem_and_teaches_nothing(by: Sighted) -> None:
    """A stem 1.60 m long by the notes hangs 1 m under a wire of 2.20 m: it was lowered, and its growth stays its
    group's. One seen 10 cm from where it was foreseen was not."""
    diary, ids = _weekly(STEADY)
    before = _evidence(diary, ids[0])
    diary.write(LAST, "W1-01", Measured(ids[0], length_m=4.00, tip_under_wire_m=1.00, by=by))
    after = _evidence(diary, ids[0])
    assert (after.growths, after.flagged, after.measured_on) == (before.growths, (), before.measured_on)
    stem = outlook(fold(diary.entries, LAST)).leaders[ids[0]].days[LAST]
    half_m = 1.645 * (27.1 if by == "eye" else 64.0) ** 0.5 / 100
    assert stem.tip_z_m.mid == pytest.approx(2.2 - 1.00, abs=0.01)
    assert stem.tip_z_m.high - stem.tip_z_m.mid == pytest.approx(half_m, abs=0.01)


def test_no_growth_is_counted_from_what_was_seen_in_passing() -> None:
    """Two young stems whose tips were taken to hang 28 cm too low and 13 cm too high were read two days later:
    14 cm a day were learned of one, and 155 of what set it apart from the other."""
    diary, ids = small_diary()
    day = PLANTED + timedelta(days=14)
    for at, (seen_m, read_m) in enumerate([(1.72, 1.44), (1.26, 1.39)]):
        place = f"W1-{at + 1:02d}"
        diary.write(PLANTED, place, Measured(ids[at], length_m=0.30, tip_under_wire_m=1.60))
        diary.write(day - timedelta(days=2), place, Measured(ids[at], tip_under_wire_m=seen_m, by="eye"))
        diary.write(day, place, Measured(ids[at], growth_m=0.20, tip_under_wire_m=read_m))
    assert [growth.seen for growth in _evidence(diary, ids[0]).growths] == ["length"]
    weekly = [outlook(fold(diary.entries, day)).leaders[leader].growth_m_per_week for leader in ids[:2]]
    assert all(0.02 < pace.mid < 0.40 for pace in weekly)


def test_no_stem_is_taken_to_grow_at_more_than_three_times_its_rows_pace() -> None:
    """Two stems misread by 20 cm within two days, one too long, one too short: the first was taken to grow at 114
    times its row's pace."""
    group = StemGroup(log(2.5), age_days=14)
    group.learn(2, 2.0, [Grown("a", 28.0, 30.0), Grown("b", -13.0, 30.0)])
    assert exp(group.effect("a")[0]) == pytest.approx(3.0)
    assert exp(group.effect("b")[0]) == pytest.approx(1 / 3)


def test_trusses_counted_by_eye_give_way_to_counted_ones() -> None:
    diary, ids = small_diary()
    diary.write(PLANTED + timedelta(weeks=1), "W1-01", Measured(ids[0], lowest_truss=5, by="eye"))
    for week, lowest in enumerate((3, 2), start=2):
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", Measured(ids[0], lowest_truss=lowest))
    found = _evidence(diary, ids[0])
    assert [number for _, number in found.lowest] == [5, 3]
    assert len(found.flagged) == 1


def test_a_lowering_tells_growth_only_with_the_tips_place() -> None:
    """Design section 6: let out and tip known, twice: the growth between is known; let out alone tells nothing."""
    diary, ids = small_diary()
    for week in (6, 9):
        on = PLANTED + timedelta(weeks=week)
        diary.write(on, "W1-01", Lowered(ids[0], let_out_m=0.40, tip_under_wire_m=0.50))
        diary.write(on, "W1-02", Lowered(ids[1], let_out_m=0.40))
    told, untold = (_evidence(diary, name, PLANTED + timedelta(weeks=10)) for name in ids[:2])
    assert [g.seen for g in told.growths] == ["tip"]
    assert told.growths[0].grown.cm == pytest.approx(40.0)
    # Two tips by eye: sd 5 cm each, said in steps of 5 cm; what was let out between them: sd 2 cm.
    assert told.growths[0].grown.reading_cm2 == pytest.approx(2 * (25 + 25 / 12) + 4)
    assert untold.growths == ()


def test_an_unknown_let_out_leaves_the_growth_unknown() -> None:
    diary, ids = small_diary()
    diary.write(PLANTED + timedelta(weeks=6), "W1-01", Lowered(ids[0], let_out_m=0.4, tip_under_wire_m=0.5))
    diary.write(PLANTED + timedelta(weeks=9), "W1-01", Lowered(ids[0], tip_under_wire_m=0.5))
    assert _evidence(diary, ids[0], PLANTED + timedelta(weeks=10)).growths == ()


def test_a_first_length_longer_than_any_vine_grew_since_planting_is_told() -> None:
    diary, ids = small_diary()
    diary.write(LAST, "W1-01", Measured(ids[0], length_m=12.2))
    found = _evidence(diary, ids[0])
    assert [out.why for out in found.flagged] == ["1220 cm, more than 8 cm a day since it was planted"]
    assert found.growths == ()
    assert outlook(fold(diary.entries, LAST)).leaders[ids[0]].days[LAST].length_m.mid < 2.0


def test_who_begins_in_mid_season_may_plant_today_what_is_long() -> None:
    diary, ids = small_diary()
    read_weekly(diary, ids[0], "W1-01", [3.40, 3.65])
    assert _evidence(diary, ids[0]).flagged == ()


@pytest.mark.parametrize("settled_by", ["nothing", "a reading", "a broken tip"])
def test_what_was_left_out_is_in_doubt_until_it_is_settled(settled_by: str) -> None:
    diary, ids = _weekly([0.60, 0.85, 1.10, 1.35, 1.00])
    if settled_by == "a reading":
        diary.write(LAST, "W1-01", Measured(ids[0], length_m=1.60))
    elif settled_by == "a broken tip":
        diary.write(LAST, "W1-01", TipSnapped(ids[0], length_left_m=1.00))
    doubted = outlook(fold(diary.entries, LAST)).leaders[ids[0]].doubted
    assert (doubted is not None) is (settled_by == "nothing")
    assert len(_evidence(diary, ids[0]).flagged) == 1


def test_a_count_in_doubt_is_settled_by_the_next() -> None:
    diary, ids = small_diary()
    for week, number in enumerate((3, 4, 2), start=1):
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", Measured(ids[0], flowering_truss=number))
    doubted = _evidence(diary, ids[0]).doubted
    assert doubted is not None
    assert doubted.sentence.startswith("W1-01a 2026-05-22: flowering truss 2 after 4")
    diary.write(PLANTED + timedelta(weeks=4), "W1-01", Measured(ids[0], flowering_truss=6))
    assert _evidence(diary, ids[0]).doubted is None


def test_slow_days_after_planting_and_growth_after_the_tip_is_out_teach_nothing() -> None:
    diary, ids = small_diary()
    for weeks, length_m in ((0, 0.40), (1, 0.48), (2, 0.70), (3, 0.70), (4, 0.70)):
        diary.write(PLANTED + timedelta(weeks=weeks), "W1-01", Measured(ids[0], length_m=length_m))
    diary.write(PLANTED + timedelta(days=16), "W1-01", TipTakenOut(ids[0]))
    found = _evidence(diary, ids[0])
    assert [(growth.end - PLANTED.toordinal(), growth.grown.rooting) for growth in found.growths] == [
        (7, True),
        (14, False),
    ]


def test_a_long_stem_planted_today_in_the_notes_has_rooted_long_ago() -> None:
    diary, ids = small_diary()
    for weeks, length_m in ((0, 3.40), (1, 3.65)):
        diary.write(PLANTED + timedelta(weeks=weeks), "W1-01", Measured(ids[0], length_m=length_m))
    assert [growth.grown.rooting for growth in _evidence(diary, ids[0]).growths] == [False]


def test_a_snapped_head_stands_still_three_weeks_and_teaches_nothing_meanwhile() -> None:
    diary, ids = _weekly(STEADY[:3])
    broke = PLANTED + timedelta(weeks=3, days=2)
    diary.write(broke, "W1-01", TipSnapped(ids[0], length_left_m=0.90))
    for days, length_m in ((3, 0.90), (10, 0.92), (24, 0.95), (31, 1.20)):
        diary.write(broke + timedelta(days=days), "W1-01", Measured(ids[0], length_m=length_m))
    ends = [date.fromordinal(growth.end) for growth in _evidence(diary, ids[0], broke + timedelta(40)).growths]
    assert [end for end in ends if end > broke] == [broke + timedelta(days=31)]
    coming = outlook(fold(diary.entries, broke + timedelta(days=9))).leaders[ids[0]].days
    assert coming[broke + timedelta(days=20)].length_m.mid == pytest.approx(0.90, abs=0.02)
    assert coming[broke + timedelta(days=23)].length_m.mid > 0.92


@pytest.mark.parametrize("counted", ["never", "before", "beside it", "it alone"])
def test_no_truss_follows_until_a_shoot_leads(counted: str) -> None:
    """A tip snapped in the third week; seven weeks later three weeks' trusses are missing (so long until a shoot
    leads: common practice, no source), whether trusses were counted on the stem, beside it, or not at all."""
    diary, ids = small_diary()
    of = {"never": [], "before": ids, "beside it": ids[1:], "it alone": ids[:1]}[counted]
    for leader in of:
        diary.write(PLANTED + timedelta(weeks=2), "W1-01", Measured(leader, flowering_truss=2))
    broke, late = PLANTED + timedelta(weeks=3), PLANTED + timedelta(weeks=10)
    diary.write(broke, "W1-01", TipSnapped(ids[0]))
    told = outlook(fold(diary.entries, late)).leaders
    snapped, whole = (told[leader].days[late].flowering_truss for leader in ids[:2])
    days = (late - broke).days
    before = outlook(fold(diary.entries, broke)).leaders[ids[1]].days[broke].flowering_truss
    assert whole - snapped == pytest.approx((whole - before) * 21 / days, abs=0.3)
    sds = [told[leader].days[late].flowering_sd for leader in ids[:2]]
    assert sds[0] > sds[1]


def test_the_weeks_without_a_tip_teach_no_pace_of_trusses() -> None:
    diary, ids = small_diary()
    for week, truss in ((2, 2), (3, 3), (5, 3), (7, 4), (8, 5)):
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", Measured(ids[0], flowering_truss=truss))
    diary.write(PLANTED + timedelta(weeks=3), "W1-01", TipSnapped(ids[0]))
    weeks = [
        ((count.start - PLANTED.toordinal()) // 7, (count.end - PLANTED.toordinal()) // 7)
        for count in _evidence(diary, ids[0], PLANTED + timedelta(weeks=8)).counts
    ]
    assert weeks == [(2, 3), (7, 8)]


def test_noughts_before_the_first_truss_teach_no_slow_pace() -> None:
    """A sheet has 0 in its column until the first truss opens: how far off that was is not known. From 1 on
    trusses are counted."""
    diary, ids = small_diary()
    for week, number in enumerate((0, 0, 0, 0, 1, 2, 3), start=1):
        diary.write(PLANTED + timedelta(weeks=week), "W1-01", Measured(ids[0], flowering_truss=number))
    counted = _evidence(diary, ids[0], PLANTED + timedelta(weeks=7))
    assert [count.new for count in counted.counts] == [1.0, 1.0]
    assert counted.none_open == (PLANTED + timedelta(weeks=4)).toordinal()
    assert counted.flagged == ()


def test_of_stems_without_an_open_flower_none_is_foreseen_to_have_had_one() -> None:
    """Five weeks after the planting none was open: the seedling was younger than usual."""
    diary, ids = small_diary()
    on = PLANTED + timedelta(weeks=5)
    unread = outlook(fold(diary.entries, on)).stem(ids[0], on)
    diary.write(on, "W1-01", Measured(ids[0], flowering_truss=0))
    read = outlook(fold(diary.entries, on)).stem(ids[0], on)
    assert unread.flowering_truss > 2
    assert read.flowering_truss < 1
    assert read.flowering_sd < unread.flowering_sd
    assert read.trusses == ()


@pytest.mark.parametrize(("number", "sd"), [(0.5, 1.0), (2.0, 1.2), (4.5, 1.25), (8.7, 1.3)])
def test_a_number_known_to_be_under_one(number: float, sd: float) -> None:
    """Against the truncated normal distribution of SciPy; far out its variance is a difference of near equals."""
    cut = truncnorm(-inf, (1 - number) / sd, number, sd)
    assert below_the_first(number, sd**2) == pytest.approx((cut.mean(), cut.var()), rel=1e-4)


@pytest.mark.parametrize(
    ("noted_before", "since"),
    [
        # A first visit within a fortnight of planting reads all that grew.
        ([], None),
        ([(14, MarkedPlant)], 14),
        ([(14, "tip")], 14),
    ],
)
def test_a_first_growth_counts_from_its_mark_or_the_last_visit(
    noted_before: list[tuple[int, object]], since: int | None
) -> None:
    """A week's growth read of a stem of 21 days counts from the day on which it was marked, or on which its tip
    was read; since planting 21 cm would be nothing."""
    diary, ids = small_diary()
    for days, what in noted_before:
        said = MarkedPlant(ids[0]) if what is MarkedPlant else Measured(ids[0], tip_under_wire_m=1.2)
        diary.write(PLANTED + timedelta(days=days), "W1-01", said)
    on = PLANTED + timedelta(days=21 if since else 10)
    diary.write(on, "W1-01", Measured(ids[0], growth_m=0.21))
    found = _evidence(diary, ids[0], on)
    assert found.flagged == ()
    (growth,) = found.growths
    assert growth.start == (PLANTED + timedelta(days=since or 0)).toordinal()


def test_a_weeks_growth_of_an_old_stem_is_not_all_that_it_grew_since_planting() -> None:
    """Nobody noted a mark in eight weeks: 24 cm shorten no stem to 60 cm, what is read next counts from there, and
    the grower is told."""
    diary, ids = small_diary()
    on = PLANTED + timedelta(weeks=8)
    unread = outlook(fold(diary.entries, on)).leaders[ids[0]].days[on].length_m
    diary.write(on, "W1-01", Measured(ids[0], growth_m=0.24))
    found = _evidence(diary, ids[0], on)
    assert [flag.why for flag in found.flagged] == ["grew 24 cm, since when is not known; counted from here"]
    assert found.growths == ()
    assert found.doubted is None, "it is no misreading, and nothing must be read again"
    assert outlook(fold(diary.entries, on)).leaders[ids[0]].days[on].length_m == unread
    week_later = on + timedelta(weeks=1)
    diary.write(week_later, "W1-01", Measured(ids[0], growth_m=0.24))
    (growth,) = _evidence(diary, ids[0], week_later).growths
    assert growth.start == on.toordinal()
    assert growth.grown.cm == pytest.approx(24)


def test_what_grew_since_a_mark_replaces_what_was_foreseen_since_then_alone() -> None:
    """Two stems of eight weeks, one marked in the seventh. A week's growth as foreseen changes no length."""
    diary, ids = small_diary()
    marked, on = PLANTED + timedelta(weeks=7), PLANTED + timedelta(weeks=8)
    diary.write(marked, "W1-01", MarkedPlant(ids[0]))
    days = outlook(fold(diary.entries, marked)).leaders[ids[0]].days
    grown_m = days[on].length_m.mid - days[marked].length_m.mid
    diary.write(on, "W1-01", Measured(ids[0], growth_m=grown_m))
    assert outlook(fold(diary.entries, on)).leaders[ids[0]].days[on].length_m.mid == pytest.approx(
        days[on].length_m.mid, abs=0.03
    )
