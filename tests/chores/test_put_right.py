"""The put-right walk, answered by one who sees what stands: the season afterwards is what stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

import pytest

from tests.demo_once import demo_entries
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.chores.put_right import CropStep, HookStep, Step, StringStep, Walk, begin, mark_meant, marks
from tunneltui.chores.put_right_answers import answer_step
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.new import Start, starter
from tunneltui.holding.toml import from_toml, to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import answers, draft, typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_crop import PlantLost
from tunneltui.journal.kinds_holding_up import Clipped, Hung, Lowered, TwistedIn, Unclipped
from tunneltui.journal.kinds_journal import CrossedOut, Looked, Note
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted
from tunneltui.loads.path import hook_u_m
from tunneltui.pages.put_right import step_words
from tunneltui.season.fold import fold
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

DAY = date(2026, 8, 20)
WHAT_STANDS = {"holding_set", "planted", "string_hung", "string_cut", "removed", "plant_lost"}
"""What a grower who begins in mid season can say: the holding and its plants, nothing of how they hang."""
HAND_M = 0.10


@cache
def truth() -> Season:
    return fold(demo_entries(), DAY)


@cache
def told() -> Outlook:
    return outlook(truth())


@cache
def mid_season() -> tuple[Entry, ...]:
    return tuple(entry for entry in demo_entries() if entry.kind in WHAT_STANDS)


def seen(walk: Walk, step: Step) -> str:
    """What one who stands in the row types."""
    if isinstance(step, StringStep):
        return str(sum(1 for one in truth().leaders.values() if any(f.string == step.string for f in one.fixings)))
    if isinstance(step, CropStep):
        stem = told().stem(step.leaders[0], DAY)
        return f"{len(stem.trusses)}l{stem.leaves:.0f}"
    leader = truth().leaders[step.leader]
    u_m = hook_u_m(leader, walk.loop)
    near = min(marks(walk), key=lambda mark: abs(mark.u_m - u_m))
    hands = round((u_m - near.u_m) / HAND_M)
    wire_m = truth().layout.rows[leader.row][1].wire_height_m
    under_cm = round((wire_m - told().stem(leader.id, DAY).tip_z_m.mid) * 100)
    plain = f"{near.number}"
    try:
        mark_meant(walk, leader, near.number, step.u_m)
    except UserError:
        plain = f"{near.row}/{near.number}"
    return f"{plain}{f'{hands:+d}' if hands else ''}t{under_cm}"


@dataclass
class Walked:
    entries: list[Entry]
    typed: list[str]

    def write(self, drafts: Iterable[Draft], act: str) -> None:
        for one in drafts:
            at = len(self.entries)
            made = Entry(f"z{at:06d}", act, "t", DAY, 2**52 + at, "", one.about, one.kind, 1, one.body)
            self.entries.append(made)


def walked(
    before: Sequence[Entry],
    answer: Callable[[Walk, Step], str] = seen,
    stop_after: int | None = None,
) -> Walked:
    """Every loop walked, or as many steps as were asked for."""
    season = fold(before, DAY)
    coming, done = outlook(season), Walked(list(before), [])
    for loop in season.layout.loops:
        walk = begin(season, coming, loop)
        while walk.left and (stop_after is None or len(done.typed) < stop_after):
            step = walk.left[0]
            text = answer(walk, step)
            made = answer_step(walk, step, text)
            walk = made.walk
            done.typed.append(text)
            done.write(made.drafts, f"act {step.key}")
    return done


def on_strings(season: Season) -> set[tuple[str, str]]:
    return {(f.string, one.name) for one in season.leaders.values() for f in one.fixings if f.string}


def assert_is_what_stands(season: Season) -> None:
    """Hooks to half a hand, tips to a centimetre. A string's count does not say which of two neighbours is the
    clipped one: where it takes the wrong one, two pairs differ; 3 % is what the demo's rows may show."""
    assert not season.set_aside
    coming = outlook(season)
    for id_, leader in truth().leaders.items():
        loop = truth().layout.loops[leader.loop]
        assert hook_u_m(season.leaders[id_], loop) == pytest.approx(hook_u_m(leader, loop), abs=HAND_M / 2 + 1e-6)
        tip_m, true_m = (o.stem(id_, DAY).tip_z_m.mid for o in (coming, told()))
        assert tip_m == pytest.approx(true_m, abs=0.011)
    stands = on_strings(truth())
    assert len(on_strings(season) ^ stands) <= 0.03 * len(stands)


@cache
def begun_late() -> Walked:
    return walked(mid_season())


@cache
def late_morning() -> Morning:
    return plan_morning(begun_late().entries, DAY)


def test_begun_in_mid_season_the_walk_gives_what_stands() -> None:
    assert_is_what_stands(fold(begun_late().entries, DAY))


def test_lengths_follow_from_where_hooks_hang() -> None:
    """Within what the walk says of its own error: sd 15 cm."""
    off = [
        late_morning().outlook.stem(id_, DAY).length_m.mid - told().stem(id_, DAY).length_m.mid
        for id_ in truth().leaders
    ]
    assert max(map(abs, off)) < 0.15 * 1.645
    assert abs(sum(off) / len(off)) < 0.10


def test_after_it_round_loads_and_outlook_speak_of_the_whole_row() -> None:
    morning = late_morning()
    kinds = {chore.kind for chore in morning.chores}
    assert {"pick", "lower", "deleaf"} <= kinds
    assert "put_right" not in kinds
    assert not [path.fault for path in morning.loads.paths.values() if path.fault]
    by_string = {line.id: line.mid_n for line in morning.loads.lines}
    true = {line.id: line.mid_n for line in plan_morning(demo_entries(), DAY).loads.lines}
    shared = [(by_string[id_], true[id_]) for id_ in true.keys() & by_string.keys() if true[id_] > 10]
    assert len(shared) > 10
    assert sum(a for a, _ in shared) == pytest.approx(sum(b for _, b in shared), rel=0.25)


def test_before_it_a_chore_asks_for_the_walk_and_says_why() -> None:
    before = plan_morning(mid_season(), DAY)
    asking = [chore for chore in before.chores if chore.kind == "put_right"]
    assert {chore.about for chore in asking} >= {"W1"}
    assert all("nothing is noted" in chore.why for chore in asking)


def test_a_loop_whose_walk_was_ticked_whole_is_lowered_all_the_same() -> None:
    """Who walks no loop was asked for the walk every morning, and no head of it was ever lowered."""
    (walk_of_it,) = [one for one in plan_morning(mid_season(), DAY).chores if one.key == ("put_right", "W1")]
    tick = draft("W1", Note(""), answers=walk_of_it.answers)
    ticked = [*mid_season(), Entry("tick", "tick", "d", DAY, 1, "", "W1", tick.kind, 1, tick.body)]
    after = plan_morning(ticked, DAY + timedelta(days=1))
    assert not [one for one in after.chores if one.key == ("put_right", "W1")]
    (noting,) = [one for one in after.chores if one.key == ("lower", "W1")]
    assert noting.proposal.startswith("note how")


def test_what_is_noted_of_stems_however_long_can_be_written() -> None:
    """Of stems of 9 m the chore asked to note 7 m let out, more than an entry may say: its tick was refused."""
    (stands,) = [entry for entry in mid_season() if entry.kind == "holding_set"]
    holding = from_toml(body.toml) if isinstance(body := typed(stands), HoldingSet) else None
    assert holding is not None
    fast = tuple(replace(cultivar, stem_m_per_week=0.9) for cultivar in holding.cultivars)
    faster = draft("", HoldingSet(to_toml(replace(holding, cultivars=fast))))
    known = [entry._replace(body=faster.body) if entry is stands else entry for entry in mid_season()]
    (walk_of_it,) = [one for one in plan_morning(known, DAY).chores if one.key == ("put_right", "W1")]
    tick = draft("W1", Note(""), answers=walk_of_it.answers)
    after = plan_morning([*known, Entry("tick", "tick", "d", DAY, 1, "", "W1", tick.kind, 1, tick.body)], DAY)
    lowered = [body for one in after.chores if one.kind == "lower" for body in map(typed, one.writes)]
    assert any(isinstance(body, Lowered) and body.let_out_m == 6.0 for body in lowered)


def test_on_a_full_journal_it_changes_nothing_that_was_right() -> None:
    after = fold(walked(demo_entries()).entries, DAY)
    assert on_strings(after) == on_strings(truth())
    assert_is_what_stands(after)


def test_what_was_ticked_and_is_seen_is_assumed_no_longer() -> None:
    ticked = [
        entry._replace(body=entry.body[:-1] + ',"assumed":true}') if entry.kind == "clipped" else entry
        for entry in demo_entries()
        if entry.kind != "looked"
    ]
    assert any(f.assumed for one in fold(ticked, DAY).leaders.values() for f in one.fixings)
    after = fold(walked(ticked, lambda _walk, _step: "").entries, DAY)
    assert not any(f.assumed for one in after.leaders.values() for f in one.fixings)
    assert not any(one.hook.assumed for one in after.leaders.values() if one.hook)
    before = {f.id: f for one in fold(ticked, DAY).leaders.values() for f in one.fixings}
    now = {f.id: f for one in after.leaders.values() for f in one.fixings}
    assert all(now[id_].hung_on == fixing.hung_on for id_, fixing in before.items())
    assert all(fixing.seen_on[-1] == DAY for fixing in now.values())


def test_a_wrong_picture_is_put_right() -> None:
    """Three clips noted that are not there, one there that is not noted, two hooks noted elsewhere."""
    strings = [(one, f) for one in truth().leaders.values() for f in one.fixings if f.string]
    wrong = Walked(list(demo_entries()), [])
    gone = strings[5]
    wrong.write([draft("", Unclipped(gone[1].id))], "gone")
    for leader in [one for one in truth().leaders.values() if one.training == "tiered" and one.hook][2:4]:
        assert leader.hook
        wrong.write([draft("", Hung(leader.id, leader.hook.u_m + 0.8))], "moved")
    late = max(strings, key=lambda pair: pair[1].u_m - pair[0].u_m)[0]
    beyond = [s for s in truth().strings.values() if s.loop == late.loop and s.u_m > hook_u_m(late, None) + 0.4]
    for string in beyond[:3]:
        wrong.write([draft("", Clipped(late.id, 5.0, "string", string.id, assumed=True))], "made up")
    assert on_strings(fold(wrong.entries, DAY)) != on_strings(truth())
    assert_is_what_stands(fold(walked(wrong.entries).entries, DAY))


def test_it_takes_few_keys_for_44_plants() -> None:
    """One digit a string; at a hook a place of at most two digits and its hands, and a key for the tip; its row
    too where another one within the stem's reach has that number."""
    season = fold(demo_entries(), DAY)
    hooks = [
        s for loop in season.layout.loops for s in begin(season, told(), loop).steps if isinstance(s, HookStep)
    ]
    strings = [
        s for loop in season.layout.loops for s in begin(season, told(), loop).steps if isinstance(s, StringStep)
    ]
    assert len(hooks) == 44
    assert all(s.count <= 9 for s in strings), "one digit says it"
    with_words = [
        seen(begin(season, told(), season.leaders[s.leader].loop), s).partition("t")[0] + "s" for s in hooks
    ]
    keys = len(strings) + sum(map(len, with_words))
    assert keys <= len(strings) + 5 * len(hooks)
    as_shown = len(strings) + len(hooks)
    assert as_shown < 100, "enter alone, where all is as noted"


def test_stopped_half_way_it_goes_on_where_it_stopped_and_ends_the_same() -> None:
    first = walked(mid_season(), stop_after=17)
    season = fold(first.entries, DAY)
    walk = begin(season, outlook(season), next(iter(season.layout.loops)))
    assert len(walk.steps) - len(walk.left) == 17
    rest = walked(first.entries)
    assert len(first.typed) + len(rest.typed) == len(begun_late().typed)
    whole, halves = fold(begun_late().entries, DAY), fold(rest.entries, DAY)
    assert on_strings(whole) == on_strings(halves)
    assert {one.name: one.hook.u_m for one in whole.leaders.values() if one.hook} == {
        one.name: one.hook.u_m for one in halves.leaders.values() if one.hook
    }


def test_stopped_half_way_the_round_asks_to_go_on_and_nothing_is_lowered_till_then() -> None:
    for steps in (20, 26, 50):
        half = plan_morning(walked(mid_season(), stop_after=steps).entries, DAY)
        (chore,) = [one for one in half.chores if (one.kind, one.about) == ("put_right", "W1")]
        assert chore.proposal.startswith("go on with the walk of W1")
        assert not [one for one in half.chores if one.kind == "lower" and "note how" in one.proposal]
    assert not [one for one in late_morning().chores if one.kind == "put_right" and "go on" in one.proposal]


def test_looking_at_one_hook_of_what_is_noted_asks_for_no_more() -> None:
    one = plan_morning(walked(demo_entries(), stop_after=1).entries, DAY)
    assert not [chore for chore in one.chores if chore.kind == "put_right" and "go on" in chore.proposal]


def test_where_no_hook_is_noted_none_is_thought_past_the_end_of_its_wire() -> None:
    """A straight row, 15 weeks old: stems are longer than the row's last plants have wire before them."""
    start = Start(rows=1, places_per_row=8, spacing_m=0.5, latitude_deg=51.5)
    text = starter(start)
    places = [place.name for place in from_toml(text).tunnels[0].rows[0].places]
    bodies: list[tuple[str, Body]] = [("", HoldingSet(text)), *((name, Planted("tomato 1")) for name in places)]
    made = [draft(about, body) for about, body in bodies]
    began = DAY - timedelta(weeks=15)
    entries = [
        Entry(f"p{n:03d}", "p", "t", began, 2**51 + n, "", one.about, one.kind, 1, one.body)
        for n, one in enumerate(made)
    ]
    end = walked(entries, lambda _walk, _step: "")
    hooks = [one.hook for one in fold(end.entries, DAY).leaders.values()]
    assert len([hook for hook in hooks if hook and hook.u_m <= 4.0]) == 8


def test_a_walk_that_was_finished_begins_anew_and_an_old_one_is_not_taken_up() -> None:
    season = fold(begun_late().entries, DAY)
    again = begin(season, late_morning().outlook, "W1")
    assert again.left == again.steps
    half = walked(mid_season(), stop_after=5)
    later = fold(half.entries, DAY + timedelta(days=4))
    assert len(begin(later, outlook(later), "W1").left) == len(begin(later, outlook(later), "W1").steps)


def test_undo_crosses_out_one_answer() -> None:
    first = walked(mid_season(), stop_after=6)
    last = first.entries[-1].act
    without = [entry for entry in first.entries if entry.act != last]
    undone = Walked(list(first.entries), [])
    undone.write([draft("", CrossedOut(last))], "undo")
    a, b = fold(undone.entries, DAY), fold(without, DAY)
    assert a.leaders == b.leaders
    assert len(begin(a, outlook(a), "W1").left) == len(begin(b, outlook(b), "W1").left)


def walk_of(entries: Sequence[Entry] | None = None, loop: str = "W1") -> Walk:
    season = fold(entries, DAY) if entries is not None else truth()
    return begin(season, outlook(season) if entries is not None else told(), loop)


def hook_at(walk: Walk, name: str) -> HookStep:
    step = walk.step(name)
    assert isinstance(step, HookStep)
    return step


@pytest.mark.parametrize("text", ["x", "9 9", "s9", "9++z", "t", "40 cm", "-", "９s", "t1000", "9t40s", "\x00"])
def test_what_is_no_answer_is_refused_with_a_sentence_and_writes_nothing(text: str) -> None:
    walk = walk_of()
    step = walk.left[0]
    if text == "-":
        assert answer_step(walk, step, text).drafts
        return
    with pytest.raises(UserError) as told_so:
        answer_step(walk, step, text)
    assert told_so.value.problem


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("99s", "There is no string 99"),
        ("t250", "does not hang"),
        ("t-200", "does not hang"),
        ("-90s", "behind the root"),
    ],
)
def test_what_cannot_hang_so_is_refused(text: str, says: str) -> None:
    walk = walk_of()
    with pytest.raises(UserError, match=says):
        answer_step(walk, walk.left[0], text)


@pytest.mark.parametrize("text", ["", "o"])
def test_a_tip_foreseen_far_over_the_wire_can_be_confirmed_or_be_higher(text: str) -> None:
    """Read a metre and a half over the wire yesterday, as far as a head can be held up there by hand."""
    name = walk_of(mid_season()).left[0].key
    leader = walk_of(mid_season()).season.leader_named(name)
    assert leader is not None
    day = DAY - timedelta(days=1)
    high = draft(leader.place, Measured(leader.id, tip_under_wire_m=-1.5))
    walk = walk_of([*mid_season(), Entry("high", "high", "d", day, 1, "", leader.place, high.kind, 1, high.body)])
    step = hook_at(walk, name)
    (read,) = body_of(answer_step(walk, step, text).drafts, Measured)
    assert isinstance(read, Measured)
    assert read.tip_under_wire_m == -1.0


@pytest.mark.parametrize("text", ["x", "5s", "-1", "100", "5 5", "5."])
def test_no_number_of_stems(text: str) -> None:
    walk = walk_of()
    step = next(step for step in walk.steps if isinstance(step, StringStep))
    with pytest.raises(UserError):
        answer_step(walk, step, text)


def test_more_stems_than_can_have_come_there_are_refused_with_the_way_on() -> None:
    walk = walk_of()
    step = next(step for step in walk.steps if isinstance(step, StringStep))
    with pytest.raises(UserError, match="can have come to string"):
        answer_step(walk, step, "30")


def body_of(drafts: Iterable[Draft], kind: type) -> list[object]:
    return [body for body in map(typed, drafts) if isinstance(body, kind)]


def test_a_word_for_the_tip_is_weaker_than_a_look_and_free_heads_are_not_twisted_in() -> None:
    walk = walk_of(mid_season())
    step = walk.left[0]
    assert isinstance(step, HookStep)
    (under,) = body_of(answer_step(walk, step, "w").drafts, Measured)
    (eye,) = body_of(answer_step(walk, step, "").drafts, Measured)
    assert isinstance(under, Measured)
    assert isinstance(eye, Measured)
    assert (under.by, eye.by) == ("word", "eye")
    assert under.tip_under_wire_m == pytest.approx((eye.tip_under_wire_m or 0) + 0.12)
    assert body_of(answer_step(walk, step, "s").drafts, TwistedIn)
    assert not body_of(answer_step(walk, step, "fs").drafts, TwistedIn)


def test_fewer_stems_take_off_the_unlikeliest_first() -> None:
    walk = walk_of()
    step = next(s for s in walk.steps if isinstance(s, StringStep) and s.count >= 2)
    made = answer_step(walk, step, str(step.count - 1))
    (opened,) = body_of(made.drafts, Unclipped)
    (held,) = body_of(made.drafts, Looked)
    assert isinstance(opened, Unclipped)
    assert isinstance(held, Looked)
    assert opened.fixing not in held.fixings
    there = [one for one in truth().leaders.values() if any(f.string == step.string for f in one.fixings)]
    off: Leader = next(one for one in there if opened.fixing in {f.id for f in one.fixings})
    assert all(walk.hook_u_m(off) <= walk.hook_u_m(one) for one in there) or any(
        f.assumed for f in off.fixings if f.id == opened.fixing
    )


def test_none_on_a_string_with_none_noted_is_an_answer_too() -> None:
    walk = walk_of(begun_late().entries)
    season = walk.season
    bare = replace(season, leaders={id_: replace(one, fixings=()) for id_, one in season.leaders.items()})
    empty = replace(walk, season=bare)
    step = next(s for s in empty.steps if isinstance(s, StringStep))
    made = answer_step(empty, step, "0")
    assert len(made.drafts) == 1
    assert step.key in made.walk.done


def test_every_step_has_its_question_in_words() -> None:
    walk = walk_of()
    for step in walk.steps:
        who, shown = step_words(walk, step)
        assert who
        assert shown
    assert "tip" in step_words(walk, walk.steps[0])[1]


def test_the_last_answer_ticks_the_chore_off() -> None:
    before = plan_morning(mid_season(), DAY)
    chore = next(c for c in before.chores if c.kind == "put_right" and c.about == "E2")
    walk = begin(before.season, before.outlook, "E2", chore)
    drafts: list[Draft] = []
    while walk.left:
        made = answer_step(walk, walk.left[0], "")
        walk, drafts = made.walk, [*drafts, *made.drafts]
    ticked = [answers(Entry("", "", "", DAY, 0, "", "", one.kind, 1, one.body)) for one in drafts]
    assert ticked[-1] == chore.answers
    assert ticked.count(chore.answers) == 1


def test_a_string_of_the_other_row_is_meant_by_its_row() -> None:
    walk = begin(truth(), told(), "W1")
    strings = truth().strings
    leaders = {leader.name: leader for leader in truth().leaders.values()}
    first, last = leaders["W1-01a"], leaders["W1-16a"]
    near = {row: mark_meant(walk, first, 5, 0.0, row) for row in ("W1", "w2")}
    assert near == {"W1": strings["W1/5"].u_m, "w2": strings["W2/5"].u_m}
    with pytest.raises(UserError, match="no string"):
        mark_meant(walk, first, 5, 0.0, "W9")
    assert mark_meant(walk, first, 5, 0.0) == strings["W1/5"].u_m, "that of W2 is beyond its reach"
    for number in (16, 17):
        with pytest.raises(UserError, match=f"String {number} may be W1/{number} or W2/{number}"):
            mark_meant(walk, last, number, strings[f"W1/{number}"].u_m)


@dataclass
class Begun:
    """Six plants noted on a day, a month known to the grower alone, and what is answered since."""

    planted: date
    book: list[Entry]

    @classmethod
    def on(cls, planted: date) -> Begun:
        text = starter(Start(rows=1, places_per_row=6, latitude_deg=51.5, zone="UTC"))
        plants = [draft(f"W1-{n:02d}", Planted("tomato 1")) for n in range(1, 7)]
        begun = cls(planted, [])
        begun.write(planted, draft("", HoldingSet(text)), *plants)
        return begun

    def write(self, day: date, *drafts: Draft) -> None:
        first = len(self.book)
        self.book += [
            Entry(f"e{n}", f"a{first}", "d", day, n, "", one.about, one.kind, 1, one.body)
            for n, one in enumerate(drafts, first)
        ]

    def morning(self, days: int) -> Morning:
        return plan_morning(self.book, self.planted + timedelta(days=days))

    def answer(self, key: str) -> None:
        (asked_of,) = [chore for chore in self.morning(1).chores if chore.kind == "stood_before"]
        writes = next(choice.writes for choice in asked_of.choices if choice.key == key)
        self.write(self.planted + timedelta(days=1), *writes)


def _kinds(now: Morning) -> set[str]:
    return {chore.kind for chore in now.chores}


@pytest.mark.parametrize(("month", "asked_for"), [(5, False), (7, True)])
def test_plants_noted_in_mid_season_are_asked_when_they_were_planted(month: int, asked_for: bool) -> None:
    """A grower who begins in July and does not know the day of planting notes that of the note; who ticked the
    walk that was asked for then was not asked for a pick before September."""
    kinds = _kinds(Begun.on(date(2026, month, 2)).morning(1))
    assert ("stood_before" in kinds) is asked_for
    assert ("hang" in kinds) is not asked_for
    assert not kinds & {"put_right", "lower"}
    assert ("will_fit" in kinds) is not asked_for, "how long they will be is not known before the answer"


@pytest.mark.parametrize(("month", "asked_for"), [(5, False), (6, True)])
def test_a_plant_put_in_a_gap_of_a_row_noted_from_spring_is_new(month: int, asked_for: bool) -> None:
    """One of six was lost, and on 2 July another is planted in its place: of a row known since May nobody asks
    whether it stood before. Who noted the row itself in summer is asked."""
    begun = Begun.on(date(2026, month, 2))
    gap = date(2026, 7, 2)
    lost = next(iter(begun.morning(1).season.leaders.values()))
    begun.write(gap, draft(lost.place, PlantLost(lost.plant)))
    begun.write(gap, draft(lost.place, Planted("tomato 1")))
    chores = begun.morning((gap - begun.planted).days).chores
    assert bool([chore for chore in chores if chore.kind == "stood_before"]) is asked_for
    hung = [chore for chore in chores if chore.kind == "hang"]
    assert bool(hung) is not asked_for
    if hung:
        assert f"hang a hook over {lost.place}a, tie its twine on" in hung[0].proposal
        assert "it falls over as it grows" in hung[0].why


def test_plants_that_stood_before_are_long_and_bear() -> None:
    """Planted about 7 May and noted on 2 July, as if they had been noted on 7 May, but for the fortnight."""
    late, early = Begun.on(date(2026, 7, 2)), Begun.on(date(2026, 5, 7))
    late.answer("b")
    now, known = late.morning(2), early.morning(58)
    for one, other in zip(now.season.leaders.values(), known.season.leaders.values(), strict=True):
        assert one.planted_on == other.planted_on == date(2026, 5, 7)
        told, true = (x.outlook.stem(y.id, x.day) for x, y in ((now, one), (known, other)))
        assert told.length_m.mid == pytest.approx(true.length_m.mid, abs=0.02)
        assert told.flowering_truss == pytest.approx(true.flowering_truss)
        fortnight_m = 2 * now.outlook.leaders[one.id].growth_m_per_week.mid
        assert told.length_m.high >= true.length_m.mid + 0.7 * fortnight_m
    assert {"put_right"} <= _kinds(now)
    assert not _kinds(now) & {"stood_before", "hang"}
    # Who begins today has left nothing hanging, and stems of 2 m stood without a note.
    (held,) = [chore.why for chore in now.chores if chore.kind == "twist_in"]
    assert held.startswith("Nothing is noted of what holds 6 heads on W1")
    (pick,) = [chore.why for chore in late.morning(36).chores if chore.kind == "pick"]
    assert pick.startswith("No pick of it is noted")


def test_how_long_a_stem_is_that_may_have_stood_before_is_not_known_until_it_is_answered() -> None:
    """Taken up in July it may be as high as its wire: told 17 to 57 cm, 12 of 12 lay outside (common practice, no
    source)."""
    begun = Begun.on(date(2026, 7, 24))
    unanswered = begun.morning(1)
    begun.answer("n")
    answered = begun.morning(1)
    for now, may_be_long in ((unanswered, True), (answered, False)):
        stems = [now.outlook.stem(leader, now.day) for leader in now.season.leaders]
        assert all((stem.length_m.high > 2.3) is may_be_long for stem in stems)


def test_plants_planted_when_they_were_noted_are_hung() -> None:
    begun = Begun.on(date(2026, 7, 2))
    begun.answer("n")
    assert "hang" in _kinds(begun.morning(1))
    assert not _kinds(begun.morning(1)) & {"stood_before", "put_right"}
