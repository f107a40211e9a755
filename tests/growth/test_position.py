"""Where a tip is taken to be after what was let out, ticked, read or seen on a walk."""

from __future__ import annotations

from math import inf, sqrt
from random import Random
from statistics import fmean, pstdev

import pytest

from tests.growth.growing import PLANTED, lowered, read_weekly, small_diary
from tunneltui.growth.courses import Course
from tunneltui.growth.evidence import Fix, evidence_of
from tunneltui.growth.forecast import outlook
from tunneltui.growth.groups import DaysAhead, StemEstimate, growth_over
from tunneltui.growth.position import UNNOTED_CM2, Position
from tunneltui.growth.widths import Widths
from tunneltui.journal.kinds_standing import Measured
from tunneltui.season.fold import fold
from tunneltui.values import replace

DAY = 700_000
STANDING = Position(DAY, 200.0, 200.0, 400.0, 400.0, 400.0)
"""A stem 2 m long, upright, known to sd 20 cm."""


def test_a_ticked_lowering_moves_the_tip_and_says_nothing_of_the_length() -> None:
    """Own worked case: 40 cm proposed; variance 400 + 9 + (0.1 x 40)^2."""
    diary, ids = small_diary()
    lowered(diary, PLANTED, ids[0], "W1-01", let_out_m=0.40, as_proposed=True)
    season = fold(diary.entries, PLANTED)
    (fix,) = evidence_of(season.leaders[ids[0]], season.layout.rows["W1"][1]).fixes
    after = STANDING.take(fix)
    assert after.tip_cm == 160.0
    assert after.tip_cm2 == pytest.approx(425.0)
    assert (after.length_cm, after.length_cm2, after.shared_cm2) == (200.0, 400.0, 400.0)


def test_a_lowering_ticked_as_aimed_tells_where_the_tip_is_whatever_was_let_out() -> None:
    """A tip that hung higher, as it is known to have, hangs where it was aimed at by eye, sd 12 cm."""
    diary, ids = small_diary()
    lowered(diary, PLANTED, ids[0], "W1-01", let_out_m=0.40, as_proposed=True, aimed_under_wire_m=0.50)
    season = fold(diary.entries, PLANTED)
    wire_cm = 100 * season.layout.rows["W1"][1].wire_height_m
    found = evidence_of(season.leaders[ids[0]], season.layout.rows["W1"][1])
    after = replace(STANDING, tip_cm=wire_cm - 25, tip_cm2=25.0)
    for fix in found.fixes:
        after = after.take(fix)
    assert after.tip_cm == pytest.approx(wire_cm - 50, abs=0.1)
    assert sqrt(after.tip_cm2) == pytest.approx(12, abs=0.1)
    assert not found.growths


@pytest.mark.parametrize(
    ("aimed_cm", "sd_cm", "go_cm", "top_cm"),
    [
        (150.0, 20.0, 50.0, 250.0),
        (190.0, 20.0, inf, inf),
        (210.0, 30.0, 10.0, 260.0),
        (160.0, 45.0, 40.0, 250.0),
        # A go of 40 cm was said to fall short of a place 80 cm lower.
        (120.0, 40.0, 40.0, inf),
        (120.0, 40.0, 40.0, 220.0),
    ],
)
def test_a_tip_that_hung_lower_than_it_was_let_down_to_hangs_there_still(
    aimed_cm: float, sd_cm: float, go_cm: float, top_cm: float
) -> None:
    """Mean, spread and what it has in common with the length, against 200 000 draws: a head higher than its aim,
    and no higher than a tip can stand, is let down to it, sd 12 cm; a lower one is left alone. Only where a go was
    said to fall well short of the aim did one come down by that go."""
    luck = Random(8)
    drawn: list[tuple[float, float]] = []
    while len(drawn) < 200_000:
        before = luck.gauss(200, sd_cm)
        over = max(0.0, before - aimed_cm)
        down = min(go_cm, over) if 200 - aimed_cm > go_cm + 10 else over
        if before <= top_cm:
            drawn.append((before, before - down + (luck.gauss(0, 12) if down > 0 else 0.0)))
    let_down = Fix(DAY, "let down", aimed_cm, 144.0, go_cm, top_cm)
    after = replace(STANDING, tip_cm2=sd_cm**2, shared_cm2=sd_cm**2).take(let_down)
    tips = [tip for _, tip in drawn]
    assert after.tip_cm == pytest.approx(fmean(tips), abs=0.5)
    assert sqrt(after.tip_cm2) == pytest.approx(pstdev(tips), abs=0.5)
    both = fmean((before - 200) * (tip - after.tip_cm) for before, tip in drawn)
    assert after.shared_cm2 == pytest.approx(both, abs=0.03 * sd_cm**2)
    assert after.length_cm == 200


def test_a_tip_told_too_high_hangs_where_it_is_let_down_to() -> None:
    """Ticks only, of a tip known to sd 45 cm. Taken to have come down by 40 cm at most, though nothing
    of that was said, it was told at its limit again a week on, and lowered every week at half its way."""
    told = Position.planted(DAY, 170.0, 45.0)
    for week in range(1, 9):
        told = told.grow(DAY + 7 * week, 24.0, 150.0, 150.0)
        told = told.take(Fix(DAY + 7 * week, "let down", 150.0, 144.0, 40.0, 250.0))
        assert 140 <= told.tip_cm <= 152, week
        assert sqrt(told.tip_cm2) <= 20, week


def test_a_tip_told_far_over_its_wire_stands_no_higher_than_a_tip_can() -> None:
    """Told to grow 47 cm a week and let down by 40, it was told metres over its wire by autumn, with metres of
    band."""
    told = Position.planted(DAY, 190.0, 40.0)
    for week in range(1, 21):
        told = told.grow(DAY + 7 * week, 47.0, 200.0, 200.0)
        told = told.take(Fix(DAY + 7 * week, "let down", 150.0, 144.0, 40.0, 250.0))
        assert told.tip_cm <= 200, week
        assert sqrt(told.tip_cm2) <= 45, week


def test_tips_lower_than_told_are_not_told_up_to_their_place_by_ticks() -> None:
    """Eight weeks of ticks at a stem that began 60 cm lower than told and grows half as fast: nothing is let out
    of it till it comes to its place, and the band is about it at its end, and never off by more than 12 cm."""
    told = Position.planted(DAY, 150.0, 40.0)
    true_cm = 90.0
    for week in range(1, 9):
        told, true_cm = told.grow(DAY + 7 * week, 24.0, 150.0, 150.0), true_cm + 12.0
        told = told.take(Fix(DAY + 7 * week, "let down", 150.0, 144.0))
        true_cm = min(true_cm, 150.0)
        off_cm = told.tip_cm - 1.645 * sqrt(told.tip_cm2) - true_cm
        assert off_cm <= (12 if week < 4 else 0), week


@pytest.mark.parametrize(("let_out_cm", "tip_cm"), [(343.0, 195.0), (40.0, 155.0)])
def test_what_was_let_out_without_a_note_is_not_let_out_once_more_when_it_is_noted(
    let_out_cm: float, tip_cm: float
) -> None:
    """Five metres of stem under a wire of 2.20 m hang 25 cm under it, more or less: three and a half are noted as
    let out so far, and the tip is no lower for that; 40 cm are a go of their own."""
    hangs = Position.planted(DAY, 510.0, 140.0).within_wire(220.0)
    assert hangs.unnoted
    assert hangs.take(Fix(DAY, "let out", let_out_cm, 25.0)).tip_cm == pytest.approx(tip_cm)


def test_how_long_a_stem_grew_unseen_says_nothing_of_a_tip_that_was_lowered_without_a_note() -> None:
    """Its place was known to 30 cm; of the 20 cm grown since a third may be wrong, not a third of five metres."""
    hangs = Position.planted(DAY, 35.0, 12.0).grow(DAY + 100, 475.0, 150.0**2, 150.0**2).within_wire(220.0)
    assert (hangs.tip_cm, hangs.tip_cm2) == (195.0, 30.0**2)
    assert (hangs.unread_cm, hangs.unseen_cm) == (475.0, 0.0)


def test_a_tip_that_is_stopped_at_the_wire_hangs_at_it() -> None:
    assert Position.planted(DAY, 510.0, 140.0).within_wire(220.0, stopped_there=True).tip_cm == 220.0


def test_ticks_alone_never_make_a_band_narrower() -> None:
    bands = []
    for ticked in (False, True):
        diary, ids = small_diary()
        diary.warm(PLANTED, PLANTED.replace(month=8), 20.0)
        day = PLANTED.replace(month=7)
        if ticked:
            lowered(diary, day, ids[0], "W1-01", let_out_m=0.40, as_proposed=True)
        bands.append(outlook(fold(diary.entries, day)).leaders[ids[0]].days[day])
    plain, after = bands
    assert after.length_m == plain.length_m


def test_a_tip_seen_near_where_it_was_foreseen_tells_the_length_too() -> None:
    after = STANDING.take(Fix(DAY, "seen", 220.0, 27.0))
    assert 210 < after.length_cm < 220
    assert after.length_cm2 < 100
    assert after.tip_cm == pytest.approx(220, abs=2)


def test_a_tip_seen_far_from_where_it_was_foreseen_was_lowered_without_a_note() -> None:
    after = STANDING.take(Fix(DAY, "seen", 120.0, 27.0))
    assert after.tip_cm == pytest.approx(120, abs=0.2)
    assert after.length_cm == pytest.approx(200, abs=2)
    assert after.length_cm2 > 0.9 * 400
    assert after.tip_cm2 < UNNOTED_CM2


@pytest.mark.parametrize("steps", [1, 10])
def test_a_stem_that_outgrows_its_group_does_so_all_the_way(steps: int) -> None:
    """Own worked case: 100 cm grown unread, variance of level and stem 0.0096: sd 9.8 cm, in one step or ten."""
    course = Course(DAY, [1.0] * 100)
    known = StemEstimate(
        PLANTED.toordinal(),
        Position(DAY, 35.0, 35.0, 0.0, 0.0, 0.0),
        (),
        1.0,
        0.0096,
        DAY + 100,
        1000.0,
        Widths(),
        1,
    )
    coming = DaysAhead(course, DAY + 100, 0.0)
    position, cm2 = known.position, 0.0
    for step in range(steps):
        end = DAY + 100 * (step + 1) // steps
        now = replace(known, position=position)
        ahead = growth_over(now, position.day, end, coming)
        days = end - position.day
        cm2 += ahead.cm2 - days - ahead.cm**2 * 0.06**2 * 7 / days  # without each stem's strays and visits
        position = position.grow(end, ahead.cm, ahead.cm2, ahead.tip_cm2)
    assert position.length_cm == pytest.approx(135)
    assert sqrt(cm2) == pytest.approx(9.8, abs=0.02)


def test_a_stem_never_read_is_as_long_as_those_read_beside_it() -> None:
    """Two of four stems read weekly on a crop twice as fast as assumed."""
    diary, ids = small_diary()
    diary.warm(PLANTED, PLANTED.replace(month=7), 20.0)
    lengths = [0.60 + 0.50 * week for week in range(4)]
    for at, leader in enumerate(ids[:2]):
        read_weekly(diary, leader, f"W1-{at + 1:02d}", lengths)
    day = PLANTED.replace(day=29)
    told = outlook(fold(diary.entries, day)).leaders
    unread, read = told[ids[3]].days[day].length_m, told[ids[0]].days[day].length_m
    assert read.mid == pytest.approx(2.10, abs=0.02)
    assert unread.mid == pytest.approx(2.10, abs=0.08)
    assert 0.2 < unread.high - unread.low < 1.0


@pytest.mark.parametrize("read_first", [True, False])
def test_on_one_day_a_tip_is_read_before_it_is_let_out_or_after(read_first: bool) -> None:
    """60 cm under a wire of 2.20 m, 40 cm let out: as the notes follow each other."""
    diary, ids = small_diary()
    day = PLANTED.replace(day=29)
    for reads in (read_first, not read_first):
        if reads:
            diary.write(day, "W1-01", Measured(ids[0], tip_under_wire_m=0.60))
        else:
            lowered(diary, day, ids[0], "W1-01", let_out_m=0.40, as_proposed=True)
    tip = outlook(fold(diary.entries, day)).leaders[ids[0]].days[day].tip_z_m
    assert tip.mid == pytest.approx(1.20 if read_first else 1.60, abs=0.02)


def test_a_stem_nobody_reads_does_half_in_its_first_week() -> None:
    diary, ids = small_diary(lit=True)
    diary.warm(PLANTED, PLANTED.replace(month=6), 20.0)
    on = [PLANTED.replace(day=1 + ahead) for ahead in (0, 7, 14)]
    told = [outlook(fold(diary.entries, day)).leaders[ids[0]].days[day].length_m.mid for day in on]
    assert told[1] - told[0] == pytest.approx(0.5 * 0.245, abs=0.01)
    assert told[2] - told[1] == pytest.approx(0.245, abs=0.01)


def test_a_long_stem_planted_today_in_the_notes_goes_on_growing() -> None:
    """Who begins a journal in mid season says that it was planted today, and walks the row."""
    diary, ids = small_diary(lit=True)
    diary.warm(PLANTED, PLANTED.replace(month=6), 20.0)
    diary.write(PLANTED, "W1-01", Measured(ids[0], length_m=3.4, tip_under_wire_m=0.5, by="eye"))
    day = PLANTED.replace(day=8)
    told = outlook(fold(diary.entries, day)).leaders[ids[0]].days[day].length_m.mid
    assert told - 3.4 == pytest.approx(0.245, abs=0.05)


def test_a_stem_whose_own_path_told_its_length_is_not_placed_by_another() -> None:
    """Walked at 3.2 m, it was taken to be 2.0 m long once the weak plant beside it was read."""
    diary, ids = small_diary(lit=True)
    diary.warm(PLANTED, PLANTED.replace(month=8), 20.0)
    walked, read = PLANTED.replace(month=7), PLANTED.replace(month=7, day=8)
    for at, length_m in ((0, 3.2), (1, 1.7)):
        diary.write(walked, f"W1-{at + 1:02d}", Measured(ids[at], length_m=length_m, by="eye"))
    diary.write(read, "W1-02", Measured(ids[1], length_m=1.85))
    told = outlook(fold(diary.entries, read)).leaders
    assert told[ids[0]].days[read].length_m.mid == pytest.approx(3.4, abs=0.1)
    assert told[ids[1]].days[read].length_m.mid == pytest.approx(1.85, abs=0.02)
