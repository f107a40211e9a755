"""What each kind of entry makes of the season."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.season.entries import FIRST, TWO_ROWS, Book, differences, holding, places, planted
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Air, Doors, Fleece, Forecast, Scouted, Shade, Treated
from tunneltui.journal.kinds_crop import (
    Deleafed,
    LeaderKept,
    LetItRun,
    Picked,
    PlantLost,
    Removed,
    SideShooted,
    Stocked,
    TipTakenOut,
    TrussLost,
    TrussPruned,
)
from tunneltui.journal.kinds_holding_up import (
    ClipFailed,
    Clipped,
    Hung,
    Lowered,
    PlantDropped,
    Propped,
    StemKinked,
    StringCut,
    StringHung,
    Tied,
    TipSnapped,
    TwistedIn,
    Unclipped,
)
from tunneltui.journal.kinds_journal import Away, CrossedOut, Looked, Note, PutOff, Restored, Timed
from tunneltui.journal.kinds_standing import (
    MarkedPlant,
    Measured,
    Planted,
    PlantedAbout,
    TrainingChanged,
    TrussCounted,
)
from tunneltui.season.state import Season


def on(day: int) -> date:
    return FIRST + timedelta(days=day)


def whys(season: Season) -> dict[str, str]:
    return {one.entry.id: one.why for one in season.set_aside}


def test_planted_makes_leaders_with_names_and_roots() -> None:
    book = Book()
    book.set(TWO_ROWS)
    book.write(Planted("of no list", 3, buried_m=0.2, came_up_m=0.8, training="laid_down"), "W1-01", id="p", day=2)
    season = book.season()
    assert [(one.id, one.name) for one in season.leaders.values()] == [
        ("p", "W1-01a"),
        ("p+b", "W1-01b"),
        ("p+c", "W1-01c"),
    ]
    leader = season.leaders["p+b"]
    assert (leader.plant, leader.place, leader.row, leader.loop) == ("p", "W1-01", "W1", "W1")
    assert (leader.x_m, leader.u_m, leader.buried_m) == (0.8, 0.8, 0.2)
    assert (leader.cultivar, leader.training) == ("of no list", "laid_down"), "what truly stands there"
    assert (leader.planted_on, leader.since) == (on(2), on(2))


def test_leaders_are_in_walking_order_whatever_was_planted_first() -> None:
    book = Book()
    book.set(TWO_ROWS)
    for place in ("W2-01", "W1-03", "W1-01"):
        book.write(Planted("cherry 1"), place)
    assert [one.name for one in book.season().leaders.values()] == ["W1-01a", "W1-03a", "W2-01a"]


def test_training_is_the_rows_until_it_is_changed() -> None:
    book = planted()
    assert book.leader("W1-01").training == "tiered"
    book.write(TrainingChanged("W1-01", "pinched_at_wire"), day=9)
    assert book.leader("W1-01").training == "pinched_at_wire"
    assert book.leader("W1-01", on(8)).training == "tiered", "entries of later days are not folded"


def test_a_kept_side_shoot_is_a_further_leader() -> None:
    book = planted()
    kept = book.write(LeaderKept("W1-01", "b"), day=20)
    book.write(Measured(kept, length_m=0.4), day=25)
    leader = book.leader(kept)
    assert (leader.name, leader.plant, leader.since, leader.planted_on) == ("W1-01b", "W1-01", on(20), on(0))
    assert [reading.length_m for reading in leader.readings] == [0.4]


def test_two_laptops_that_both_kept_a_b_have_a_b_and_a_c() -> None:
    book = planted()
    first, second = book.write(LeaderKept("W1-01", "b"), day=20), book.write(LeaderKept("W1-01", "b"), day=21)
    season = book.season()
    assert (season.leaders[first].name, season.leaders[second].name) == ("W1-01b", "W1-01c")


@pytest.mark.parametrize(
    ("body", "why"), [(Removed("W1-01"), "removed"), (PlantLost("W1-01", "wilted"), "wilted")]
)
def test_an_end_takes_the_plant_out_and_keeps_it_as_it_was(body: Body, why: str) -> None:
    book = planted()
    book.write(Hung("W1-01", 0.9))
    late = book.write(Measured("W1-01", length_m=5.0), day=60)
    book.write(body, day=50)
    season = book.season()
    assert "W1-01" not in season.leaders
    assert (season.ended, season.ended_why) == ({"W1-01": on(50)}, {"W1-01": why})
    gone = season.gone["W1-01"]
    assert gone.hook is not None
    assert (gone.hook.u_m, gone.readings) == (0.9, ())
    assert list(whys(season)) == [late]
    assert "W1-01" in book.season(on(49)).leaders


def test_a_place_planted_anew_has_a_new_plant() -> None:
    book = planted()
    book.write(Measured("W1-01", length_m=1.0), day=5)
    new = book.write(Planted("beef 3"), "W1-01", day=30)
    season = book.season()
    assert [one.id for one in season.leaders.values() if one.place == "W1-01"] == [new]
    assert season.ended["W1-01"] == on(30)
    assert season.leaders[new].readings == ()


def test_a_place_taken_out_of_the_holding_ends_its_plants_until_it_is_there_again() -> None:
    book = planted()
    book.set(holding(places("W1-01", "W1-03"), places("W2-01", "W2-02")), day=40)
    season = book.season()
    assert (season.ended, list(season.gone)) == ({"W1-02": on(40)}, [])
    assert "taken out" in season.ended_why["W1-02"]
    book.set(TWO_ROWS, day=45)
    assert "W1-02" in book.season().leaders, "a slip of the editor ends nothing once it is put right"


def test_a_renamed_place_keeps_its_plant_and_its_entries() -> None:
    book = planted()
    book.set(holding(places("W1-01", "W1-07", "W1-03", W1_07="W1-02"), places("W2-01", "W2-02")), day=40)
    book.write(Looked(), "W1-02", day=39)
    clip = book.write(Clipped("W1-02", 0.5, string="W1/2", assumed=True), day=38)
    leader = book.leader("W1-02")
    assert leader.name == "W1-07a"
    assert [(one.id, one.assumed) for one in leader.fixings] == [(clip, False)], (
        "looked at under its name of the day"
    )


def test_names_that_move_up_by_one_mean_what_they_meant_on_the_day() -> None:
    """A place put in at the front: every name behind it moves up, and old entries stay with their plants."""
    book = planted(holding(places("W1-01", "W1-02")))
    moved = holding(places("W1-01", "W1-02", "W1-03", W1_02="W1-01", W1_03="W1-02"))
    book.set(moved, day=40)
    book.set(moved, day=50)
    new = book.write(Planted("beef 3"), "W1-01", day=60)
    names = {one.id: one.name for one in book.season().leaders.values()}
    assert names == {"W1-01": "W1-02a", "W1-02": "W1-03a", new: "W1-01a"}


def test_hook_is_hung_moved_and_its_twine_let_out() -> None:
    book = planted()
    book.write(Hung("W1-02", 1.2), day=1)
    book.write(Hung("W1-01", 0.6, spare_m=5.0, hook_kind="hook"), day=2)
    book.write(Lowered("W1-01", turns=2, hook_u_m=1.0, tip_under_wire_m=0.5, finish="as_said"), day=20)
    leader = book.leader("W1-01")
    assert leader.hook is not None
    assert leader.hook.spare_m == pytest.approx(4.6)
    assert (leader.hook.number, leader.hook.u_m, leader.hook.kind, leader.hook.hung_on) == (2, 1.0, "hook", on(2))
    lowering = leader.lowerings[0]
    assert lowering.let_out_m == pytest.approx(0.4), "two turns of 0.2 m"
    assert (lowering.hook_u_m, lowering.tip_under_wire_m, lowering.finish) == (1.0, 0.5, "as_said")


def test_turns_stay_unknown_where_no_hook_says_what_a_turn_lets_out() -> None:
    book = planted(holding(places("W1-01"), turn_m=None))
    book.write(Lowered("W1-01", turns=2), day=20)
    assert book.leader("W1-01").lowerings[0].let_out_m is None


@pytest.mark.parametrize(
    ("seen_m", "let_out_m", "hook_u_m"), [(0.55, 0.3, 1.4), (0.85, 0.0, 1.0), (None, 0.3, 1.4)]
)
def test_a_tip_seen_far_under_its_place_hung_there_and_its_hook_stayed(
    seen_m: float | None, let_out_m: float, hook_u_m: float
) -> None:
    """Let down until it hangs 50 cm under its wire, one that is read at 85 hung lower before (common practice, no
    source): its hook was noted 40 cm on, where nothing was let out."""
    book = planted()
    book.write(Hung("W1-01", 1.0), day=2)
    book.write(Lowered("W1-01", 0.3, hook_u_m=1.4, tip_under_wire_m=seen_m, aimed_under_wire_m=0.5), day=20)
    leader = book.leader("W1-01")
    assert leader.hook is not None
    assert (leader.lowerings[0].let_out_m, leader.hook.u_m) == (let_out_m, hook_u_m)


def test_a_hook_moved_by_a_tick_is_assumed_until_hung_again() -> None:
    book = planted()
    book.write(Lowered("W1-01", let_out_m=0.3, hook_u_m=1.0, as_proposed=True), day=20)
    hook = book.leader("W1-01").hook
    assert hook is not None
    assert hook.assumed
    book.write(Hung("W1-01", 1.1), day=21)
    hook = book.leader("W1-01").hook
    assert hook is not None
    assert (hook.assumed, hook.u_m, hook.number) == (False, 1.1, 1)


def test_hooks_are_numbered_by_first_hanging_and_a_late_one_renumbers() -> None:
    book = planted()
    book.write(Hung("W1-02", 1.2), day=5)
    book.write(Hung("W1-01", 0.6), day=6)
    book.write(Hung("W1-02", 1.4), day=7)
    late = book.write(Hung("W2-01", 9.0), day=1)
    numbers = {one.id: one.hook.number for one in book.season().leaders.values() if one.hook is not None}
    assert numbers == {"W2-01": 1, "W1-02": 2, "W1-01": 3}
    book.write(CrossedOut(f"act of {late}"), day=8)
    numbers = {one.id: one.hook.number for one in book.season().leaders.values() if one.hook is not None}
    assert numbers == {"W1-02": 1, "W1-01": 2}


def test_fixings_are_where_their_string_or_hook_is() -> None:
    book = planted()
    book.write(Clipped("W1-01", 0.9, on="head", clip_kind="green"))
    assert book.leader("W1-01").fixings[0].u_m == 0.5, "over its root where nothing is hung"
    book.write(Hung("W1-01", 0.7))
    book.write(Clipped("W1-01", 0.4, string="W1/3", z_m=0.7))
    book.write(Lowered("W1-01", let_out_m=0.3, hook_u_m=1.3), day=9)
    low, head = book.leader("W1-01").fixings
    assert (low.string, low.u_m, low.z_m, low.s_m, low.on) == ("W1/3", 1.5, 0.7, 0.4, "string")
    assert (head.string, head.u_m, head.clip_kind, head.on, head.tie) == ("", 1.3, "green", "head", False)


def test_a_clip_opened_by_hand_and_one_that_failed() -> None:
    book = planted()
    hand = book.write(Clipped("W1-01", 0.4, string="W1/1"), day=1)
    broke = book.write(Clipped("W1-01", 0.9, string="W1/2"), day=2)
    slid = book.write(Clipped("W1-01", 1.4, string="W1/3"), day=3)
    book.write(Unclipped(hand), day=10)
    book.write(ClipFailed(broke, "broke", dropped=True), day=11)
    book.write(ClipFailed(slid, "slid"), day=12)
    book.write(Tied("W1-01", 0.9 + 0.14, string="W1/2"), day=13)
    leader = book.leader("W1-01")
    assert [one.tie for one in leader.fixings] == [True]
    told = {one.fixing.id: (one.day, one.how, one.dropped, one.made_good) for one in leader.endings}
    assert told == {
        hand: (on(10), None, False, True),
        broke: (on(11), "broke", True, True),
        slid: (on(12), "slid", False, False),
    }


@pytest.mark.parametrize(("s_m", "made_good"), [(0.9, True), (1.04, True), (1.06, False), (0.74, False)])
def test_a_clip_stands_in_within_15_cm(s_m: float, made_good: bool) -> None:
    book = planted()
    clip = book.write(Clipped("W1-01", 0.9, string="W1/2"))
    book.write(ClipFailed(clip, "broke"), day=5)
    assert not book.leader("W1-01").endings[0].made_good
    book.write(Clipped("W1-01", s_m, string="W1/2"), day=6)
    assert book.leader("W1-01").endings[0].made_good is made_good
    assert not book.leader("W1-01", on(5)).endings[0].made_good, "judged on the season's day"


def test_a_lowering_stands_in_for_a_failed_clip_but_only_a_later_one() -> None:
    book = planted()
    clip = book.write(Clipped("W1-01", 0.9, string="W1/2"))
    book.write(Lowered("W1-01"), day=4)
    book.write(ClipFailed(clip, "broke"), day=5)
    assert not book.leader("W1-01").endings[0].made_good
    book.write(Lowered("W1-01"), day=6)
    assert book.leader("W1-01").endings[0].made_good


def test_a_fixing_is_seen_when_looked_at_and_when_its_leader_is_handled() -> None:
    book = planted()
    clip = book.write(Clipped("W1-01", 0.4, string="W1/1", assumed=True), day=1)
    other = book.write(Clipped("W2-01", 0.4, string="W2/1", assumed=True), day=1)
    book.write(Lowered("W1-01", as_proposed=True), day=3)
    fixing = book.leader("W1-01").fixings[0]
    assert (fixing.seen_on, fixing.assumed) == ((on(1), on(3)), True), "a tick does not see it"
    book.write(Looked(), "W1", day=5)
    book.write(Looked(("W1-01",)), day=5)
    book.write(Clipped("W1-01", 0.9, string="W1/2"), day=7)
    by_id = {one.id: one for one in book.leader("W1-01").fixings}
    assert (by_id[clip].seen_on, by_id[clip].assumed) == ((on(1), on(3), on(5), on(7)), False)
    assert book.leader("W2-01").fixings[0].seen_on == (on(1),), "the look was over row 1"
    book.write(ClipFailed(other, "broke"), day=8)
    book.write(Looked(), "", day=9)
    ended = book.leader("W2-01").endings[0].fixing
    assert (ended.seen_on, ended.assumed) == ((on(1),), True), "a clip that failed is seen no more"


def test_a_look_at_some_clips_sees_those_only() -> None:
    book = planted()
    one = book.write(Clipped("W1-01", 0.4, string="W1/1", assumed=True), day=1)
    book.write(Clipped("W1-01", 0.9, string="W1/2", assumed=True), day=1)
    book.write(Looked(("W1-01",), (one,)), "W1", day=5)
    first, second = book.leader("W1-01").fixings
    assert (first.seen_on, first.assumed) == ((on(1), on(5)), False)
    assert (second.seen_on, second.assumed) == ((on(1),), True)


@pytest.mark.parametrize(
    ("about", "seen"), [("", True), ("W", True), ("W1", True), ("W1-01", True), ("W1-02", False)]
)
def test_a_look_covers_what_it_is_about(about: str, seen: bool) -> None:
    book = planted()
    book.write(Clipped("W1-01", 0.4, string="W1/1"), day=1)
    book.write(Looked(), about, day=5)
    assert (on(5) in book.leader("W1-01").fixings[0].seen_on) is seen


def test_a_string_hung_takes_clips_and_a_cut_one_lets_them_go() -> None:
    book = planted()
    string = book.write(StringHung(1.7, 9, "jute"), "W1", day=2)
    clip = book.write(Clipped("W1-01", 0.4, string=string), day=3)
    assert book.leader("W1-01").fixings[0].u_m == 1.7
    hung = book.season().strings[string]
    assert (hung.row, hung.number, hung.x_m, hung.twine) == ("W1", 9, 1.7, "jute")
    assert list(book.season().strings)[:5] == ["W1/1", "W1/2", "W1/3", string, "W1/4"], "in walking order"
    book.write(StringCut(string), day=8)
    late = book.write(Clipped("W1-01", 0.5, string=string), day=9)
    season = book.season()
    assert string not in season.strings
    leader = season.leaders["W1-01"]
    assert leader.fixings == ()
    assert [(one.fixing.id, one.how, one.day) for one in leader.endings] == [(clip, None, on(8))]
    assert "was cut" in whys(season)[late]


def test_readings_are_kept_as_read() -> None:
    book = planted()
    read = book.write(
        Measured("W1-01", 1.5, 0.2, 0.4, 11.0, flowering_truss=4.5, flowering_since=1, lowest_truss=2, leaves=16),
        day=9,
    )
    reading = book.leader("W1-01").readings[0]
    assert (reading.id, reading.day, reading.length_m, reading.growth_m) == (read, on(9), 1.5, 0.2)
    assert (reading.tip_under_wire_m, reading.diameter_mm, reading.flowering_truss) == (0.4, 11.0, 4.5)
    assert (reading.flowering_since, reading.lowest_truss, reading.leaves) == (1, 2, 16)


def test_work_on_the_crop_is_noted_by_leader() -> None:
    book = planted()
    book.write(TrussCounted("W1-01", 2, 7), day=3)
    book.write(TrussPruned("W1-01", 2, 5), day=4)
    book.write(TrussLost("W1-01", 3), day=4)
    book.write(MarkedPlant("W1-01"), day=4)
    book.write(SideShooted(("W1-01", "W1-02")), "W1", day=5)
    book.write(Deleafed(("W1-01",), 3), "W1", day=6)
    book.write(Deleafed(("W1-01",)), "W1", day=13)
    book.write(TwistedIn("W1-01"), day=7)
    book.write(LetItRun("W1-01"), day=8)
    book.write(TipTakenOut("W1-01"), day=9)
    leader = book.leader("W1-01")
    assert (leader.truss_fruits, leader.trusses_lost, leader.marked_on) == ({2: 5}, frozenset({3}), on(4))
    assert (leader.side_shooted_on, leader.twisted_in_on, leader.tip_taken_out_on) == (on(5), on(7), on(9))
    assert leader.deleafed == ((on(6), 3), (on(13), None))
    assert leader.let_it_run
    assert (book.leader("W1-02").side_shooted_on, book.leader("W1-03").side_shooted_on) == (on(5), None)
    book.write(MarkedPlant("W1-01", marked=False), day=10)
    assert not book.leader("W1-01").marked_on


@pytest.mark.parametrize(
    ("accident", "mended"),
    [
        (TipSnapped("W1-01", 1.2), Measured("W1-01", length_m=1.3)),
        (TipSnapped("W1-01"), LeaderKept("W1-01", "b")),
        (TipSnapped("W1-01"), Clipped("W1-01", 0.5, on="head")),
        (StemKinked("W1-01", 0.6), Tied("W1-01", 0.6, on="head")),
        (StemKinked("W1-01"), Propped("W1-01", 0.6)),
        (PlantDropped("W1-01"), Clipped("W1-01", 0.5, on="head")),
        (PlantDropped("W1-01"), Tied("W1-01", 0.6, on="head")),
        (PlantDropped("W1-01"), Hung("W1-01", 0.6)),
    ],
)
def test_an_accident_is_made_good_by_what_is_done_later(accident: Body, mended: Body) -> None:
    book = planted()
    book.write(mended, day=4)
    book.write(accident, day=5)
    told = book.leader("W1-01", on(6)).accidents[0]
    assert (told.day, told.made_good) == (on(5), False), "what was done before mends nothing"
    book.write(mended, day=7)
    assert book.leader("W1-01", on(7)).accidents[0].made_good
    assert not book.leader("W1-01", on(6)).accidents[0].made_good


@pytest.mark.parametrize(("day", "made_good"), [(14, False), (15, True)])
def test_a_splinted_stem_waits_ten_days(day: int, made_good: bool) -> None:
    """A splinted stem waits 10 days (common practice, no source)."""
    book = planted()
    book.write(StemKinked("W1-01"), day=5)
    assert book.leader("W1-01", on(day)).accidents[0].made_good is made_good


def test_a_clean_pick_clears_the_leaders_of_its_cultivar_there() -> None:
    book = planted()
    book.write(Planted("beef 3"), "W1-03", day=1, id="beef in row 1")
    pick = book.write(Picked("cherry 1", 2.5, 80), "W1", day=60)
    book.write(Picked("beef 3", None, clean=False), "W", day=61)
    season = book.season()
    clean = {id_: leader.picked_clean_on for id_, leader in season.leaders.items()}
    assert clean == {"W1-01": on(60), "W1-02": on(60), "beef in row 1": None, "W2-01": None, "W2-02": None}
    first, second = season.picks
    assert (first.id, first.day, first.row, first.tunnel) == (pick, on(60), "W1", "W")
    assert (second.row, second.tunnel) == ("", "W")
    book.write(Picked("beef 3"), "", day=62)
    assert book.leader("beef in row 1").picked_clean_on == on(62)


def test_a_marked_plants_pick_clears_that_plant_alone() -> None:
    book = planted()
    book.write(Picked("cherry 1", 0.4, leader="W1-01"), "W1-01", day=60)
    season = book.season()
    assert season.leaders["W1-01"].picked_clean_on == on(60)
    assert season.leaders["W1-02"].picked_clean_on is None
    assert (season.picks[0].row, season.picks[0].tunnel) == ("W1", "W")


def test_a_pick_before_the_plant_came_does_not_clear_it() -> None:
    book = planted()
    book.write(Picked("cherry 1"), "W1", day=20)
    new = book.write(Planted("cherry 1"), "W1-01", day=30)
    assert book.leader(new).picked_clean_on is None


def test_suspects_come_and_go() -> None:
    book = planted()
    book.write(Scouted("spots", ("W1-01",)), day=3)
    book.write(Scouted("wilt"), "W2-01", day=3)
    book.write(Scouted("whitefly somewhere"), "W1", day=3)
    suspects = {one.id for one in book.season().leaders.values() if one.suspect}
    assert suspects == {"W1-01", "W2-01"}
    book.write(Scouted(leaders=("W1-01",), over=True), day=9)
    assert not book.leader("W1-01").suspect
    book.write(Scouted(over=True), "", day=10)
    assert not any(one.suspect for one in book.season().leaders.values())


def test_one_air_a_day_the_sensors_before_the_hands_before_an_estimate() -> None:
    book = planted()
    book.write(Air("hand", mean_c=20.0), "W", day=3)
    book.write(Air("sensor", mean_c=21.0), "W", day=3)
    book.write(Air("hand", mean_c=22.0), "W", day=3)
    book.write(Air("estimate", mean_c=15.0), "", day=2)
    book.write(Air("hand", mean_c=16.0), "", day=4)
    book.write(Air("hand", mean_c=17.0), "", day=4)
    lost = book.write(Air("hand", mean_c=17.0), "E", day=4)
    season = book.season()
    means = {tunnel: {day: air.mean_c for day, air in days.items()} for tunnel, days in season.airs.items()}
    assert means == {"": {on(2): 15.0, on(4): 17.0}, "W": {on(3): 21.0}}
    assert lost in whys(season)


def test_forecasts_are_known_from_the_day_they_were_issued() -> None:
    book = planted()
    book.write(Forecast(on(10).isoformat(), (5.0, 6.0)), day=12)
    assert book.season(on(9)).forecasts == ()
    assert [(day, one.min_c) for day, one in book.season(on(10)).forecasts] == [(on(12), (5.0, 6.0))]


def test_absences_to_come_are_known_but_nothing_else_of_later_days() -> None:
    book = planted()
    book.write(Away(on(30)), day=25)
    book.write(Note("later"), day=25)
    season = book.season(on(10))
    assert (season.aways, season.notes) == (((on(25), on(30)),), ())
    assert ("away", "") not in season.last


def test_stores_times_and_switches() -> None:
    book = planted()
    book.write(Stocked("clip", "green", 200.0))
    book.write(Stocked("clip", "green", -20.0))
    book.write(Timed("lower", 30.0, 12))
    book.write(Timed("lower", 5.0))
    book.write(Fleece(True), "W", day=1)
    book.write(Doors(True), "", day=1)
    book.write(Shade(True), "W1", day=1)
    book.write(Fleece(False), "W", day=2)
    season = book.season()
    assert (season.stock, season.timings) == ({("clip", "green"): 180.0}, {"lower": (35.0, 13)})
    assert (season.fleece_on, season.doors_open, season.shade_on) == (
        {"W": False},
        {"": True, "W": True},
        {"W": True},
    )


@pytest.mark.parametrize(("days", "allowed"), [(3.0, 13), (2.5, 13)])
def test_a_treatment_blocks_picking_for_its_days(days: float, allowed: int) -> None:
    book = planted()
    book.write(Treated("soap", pick_days=days), "W1", day=10)
    book.write(Treated("soap", pick_days=1), "W", day=10)
    assert book.season().picking_blocked_until == {"W": on(allowed)}


def test_what_ticks_answer_is_done_once_an_act() -> None:
    book = planted()
    answers = ("lower", "W1", on(20).isoformat())
    clip = book.write(Clipped("W1-01", 0.4, string="W1/1"), day=1)
    book.write(Lowered("W1-01"), day=20, act="tick", answers=answers)
    book.write(Unclipped(clip), day=20, act="tick", answers=answers)
    book.write(PutOff(on(25)), day=21, act="waits", answers=("pick", "W2", on(21).isoformat()))
    done = book.season(on(20)).done + book.season(on(21)).done
    assert [(one.answers, one.act, one.day, one.put_off_until) for one in done] == [
        (answers, "tick", on(20), None),
        (("pick", "W2", on(21).isoformat()), "waits", on(21), on(25)),
    ]
    assert [one.act for one in book.season(on(24)).done] == ["waits"], "put off beyond the day"
    assert book.season(on(25)).done == ()
    book.write(CrossedOut("tick"), day=20)
    assert book.season(on(20)).done == ()
    season = book.season()
    assert [one.id for one in season.leaders["W1-01"].fixings] == [clip]


def test_the_last_day_of_each_kind_is_known() -> None:
    book = planted()
    book.write(Note("one"), "W1", day=3)
    late = book.write(Note("two"), "W1", day=8)
    assert book.season().last[("note", "W1")] == on(8)
    book.write(CrossedOut(f"act of {late}"), day=9)
    assert book.season().last[("note", "W1")] == on(3)


def test_crossed_out_and_restored() -> None:
    book = planted()
    before = book.season()
    tick = book.write(Lowered("W1-01", let_out_m=0.3, hook_u_m=1.0), day=9)
    after = book.season()
    book.write(CrossedOut(f"act of {tick}"), day=9)
    assert differences(book.season(), before) == []
    book.write(Restored(f"act of {tick}"), day=9)
    assert differences(book.season(), after) == []


@pytest.mark.parametrize(
    ("kind", "body", "about", "why"),
    [
        ("measured", '{"leader":"nobody","length_m":1}', "", "the leader it speaks of is not there"),
        ("side_shooted", '{"leaders":["W1-01","nobody"]}', "W1", "the leader it speaks of is not there"),
        ("unclipped", '{"fixing":"W1-01"}', "", "the clip it speaks of is not there"),
        ("removed", '{"plant":"nobody"}', "", "the plant it speaks of is not there"),
        ("planted", '{"cultivar":"x"}', "W1-99", "there is no place W1-99"),
        ("clipped", '{"leader":"W1-01","s_m":1,"string":"W1/99"}', "", "there is no string W1/99"),
        ("clipped", '{"leader":"W1-01","s_m":1}', "", "it names no string"),
        ("clipped", '{"leader":"W1-01","s_m":"high"}', "", "does not fit its kind: a number was wanted"),
        ("clipped", '{"leader":"W1-01","s_m":1e999,"on":"head"}', "", "does not fit its kind"),
        ("clipped", '{"leader":"W1-01","s_m":NaN,"on":"head"}', "", "does not fit its kind"),
        ("clipped", '{"leader":"W1-01","s_m":61,"on":"head"}', "", "it is out of its limits"),
        ("clipped", "[" * 100_000, "", "does not fit its kind"),
        ("clipped", '{"leader":{}}', "", "text was wanted"),
        ("picked", '{"cultivar":"\\ud800"}', "W1", "does not fit its kind"),
        ("picked", '{"cultivar":"x"}', "W7", "there is nothing called W7"),
        ("looked", "{}", "W7", "there is nothing called W7"),
        ("string_hung", '{"x_m":1,"number":3}', "W7", "there is no row W7"),
        ("string_cut", '{"string":"W7/1"}', "", "there is no string W7/1"),
        ("air", "{}", "E", "there is no tunnel E"),
        ("forecast", '{"issued":"soon"}', "", "is no day"),
        ("holding_set", '{"toml":"name ="}', "", "this holding cannot be read"),
        ("of a newer version", '{"a":[1,{}]}', "", "a newer version wrote it"),
    ],
)
def test_what_leans_on_nothing_is_set_aside_with_a_reason(kind: str, body: str, about: str, why: str) -> None:
    book = planted()
    before = book.season()
    entry = book.raw(kind, body, about, day=5)
    season = book.season()
    assert why in whys(season)[entry]
    changed = set(differences(season, before)) - {"set_aside", "last", "picks"}
    assert changed <= ({"leaders"} if kind == "side_shooted" else set())


def test_a_row_pass_with_one_unknown_leader_still_holds_for_the_others() -> None:
    book = planted()
    book.write(SideShooted(("nobody", "W1-01")), "W1", day=5)
    assert book.leader("W1-01").side_shooted_on == on(5)


def test_an_entry_for_a_day_before_the_planting_is_set_aside() -> None:
    book = Book()
    book.set(TWO_ROWS)
    book.write(Planted("cherry 1"), "W1-01", id="p", day=10)
    early = book.write(Measured("p", length_m=0.2), day=9)
    season = book.season()
    assert (season.leaders["p"].readings, "did not stand yet" in whys(season)[early]) == ((), True)


def test_nothing_at_all_is_a_season() -> None:
    season = Book().season()
    assert (season.leaders, season.set_aside, season.holding.tunnels) == ({}, (), ())


@pytest.mark.parametrize("moved", [Lowered("p", 0.3), Hung("p", 1.2), PlantDropped("p")])
def test_a_prop_stands_until_the_stem_is_lowered_hung_anew_or_drops(moved: Body) -> None:
    book = Book()
    book.set(TWO_ROWS)
    book.write(Planted("cherry 1", 1), "W1-01", id="p")
    book.write(Propped("p", 1.1, 0.6), id="upper", day=2)
    book.write(Propped("p", 0.8, 0.4), id="lower", day=3)
    book.write(Propped("p", 0.9), id="a splint", day=3)
    props = book.season().leaders["p"].props
    assert [(one.id, one.s_m, one.z_m, one.day) for one in props] == [
        ("lower", 0.8, 0.4, on(3)),
        ("upper", 1.1, 0.6, on(2)),
    ]
    book.write(moved, id="moved", day=4)
    assert book.season().leaders["p"].props == ()
    book.write(CrossedOut("act of moved"), day=4)
    assert book.season().leaders["p"].props == props


def test_a_plant_that_stood_before_was_planted_about_the_day_that_was_said_last() -> None:
    book = planted()
    book.write(PlantedAbout("W1-01", on(-20)), day=3)
    book.write(PlantedAbout("W1-01", on(-48)), day=4)
    book.write(PlantedAbout("W1-02", on(9)), day=4)
    first, later = book.leader("W1-01"), book.leader("W1-02")
    assert (first.planted_on, first.since, first.planted_about) == (on(-48), on(-48), True)
    assert (later.planted_on, later.since, later.planted_about) == (on(0), on(0), False)
