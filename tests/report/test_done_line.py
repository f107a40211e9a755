"""The line typed after a walk on paper: what it means, what it writes, and what it refuses."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from datetime import date, timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.report.made import entries, morning, written
from tunneltui.chores.chore import Chore
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.holding.new import Start, starter
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import answers, draft, parsed, typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import ClipFailed, Lowered
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted
from tunneltui.pages.round import answers_words
from tunneltui.report.done_line import DoneLine, done_line, example
from tunneltui.report.done_parts import FAILED, LinePart, parsed_line
from tunneltui.season.fold import fold
from tunneltui.season.state import Leader
from tunneltui.store.kept_round import KeptRound, as_shown

ROWS = ["W1", "W2", "E1"]
WORDS = ["all", "but", "07", "W1-14a", "string 8", "slid", "cherry", "6.2", ";", "W1:", "tip", "40", "note", "1-6"]


@cache
def shown() -> KeptRound:
    return as_shown(morning().round)


def said(line: str, now: Morning | None = None) -> DoneLine:
    return done_line(line, now or morning(), shown())


def lines(*taken: str) -> dict[int, Chore]:
    """Lines of the sheet that are answered in these ways."""
    return {number: chore for number, chore in shown().lines.items() if KINDS[chore.kind].taken in taken}


def several(kind: str = "") -> tuple[int, Chore]:
    """A line of three plants or more, each of its own place."""
    return next(
        (number, chore)
        for number, chore in lines("fact").items()
        if len({leader.place for leader in of(chore)}) > 2 and kind in ("", chore.kind)
    )


def of(chore: Chore) -> list[Leader]:
    return [morning().season.leaders[leader] for leader in chore.leaders]


def handled(drafts: Sequence[Draft]) -> set[str]:
    return {
        leader
        for one in drafts
        for leader in [parsed(one).get("leader"), *parsed(one).get("leaders", [])]
        if leader is not None
    }


@pytest.mark.parametrize(
    ("line", "parts"),
    [
        ("all", [LinePart("all", "all")]),
        ("ALL but 07, 12.", [LinePart("all", "ALL but 07, 12.", places=("07", "12"))]),
        ("everything except 07 and 12", [LinePart("all", "everything except 07 and 12", places=("07", "12"))]),
        ("all but W1-07a 12", [LinePart("all", "all but W1-07a 12", places=("w1-07a", "12"))]),
        ("north-3b, 7x", [LinePart("only", "north-3b, 7x", places=("north-3b", "7x"))]),
        ("07, 12", [LinePart("only", "07, 12", places=("07", "12"))]),
        ("7, 12", [LinePart("lines", "7, 12", lines=(7, 12))]),
        ("1-3, 8 and line 12", [LinePart("lines", "1-3, 8 and line 12", lines=(1, 2, 3, 8, 12))]),
        ("8 but 07", [LinePart("lines", "8 but 07", lines=(8,), places=("07",))]),
        ("1-2, 8 but 07, 09", [
            LinePart("lines", "1-2, 8 but 07, 09", lines=(1, 2)),
            LinePart("lines", "8 but 07, 09", lines=(8,), places=("07", "09")),
        ]),
        ("3 up to W1-13", [LinePart("lines", "3 up to W1-13", lines=(3,), up_to="w1-13")]),
        ("11 run", [LinePart("choice", "11 run", lines=(11,), word="run")]),
        ("14 slid", [LinePart("failed", "14 slid", places=("14",), word="slid")]),
        ("line 14 slid", [LinePart("failed", "line 14 slid", places=("line 14",), word="slid")]),
        ("14 string 8 popped", [LinePart("failed", "14 string 8 popped", places=("14 string 8",), word="popped")]),
        (
            "14 string w2/8 slid",
            [LinePart("failed", "14 string w2/8 slid", places=("14 string w2/8",), word="slid")],
        ),
        ("14b head b twine", [LinePart("failed", "14b head b twine", places=("14b head b",), word="twine")]),
        ("14, 15 snapped", [LinePart("accident", "14, 15 snapped", places=("14", "15"), word="snapped")]),
        ("cherry 6.2", [LinePart("picked", "cherry 6.2", word="cherry", amount=6.2)]),
        ("4 6.2", [LinePart("picked", "4 6.2", word="4", amount=6.2)]),
        ("cherry 1 6,2 kg", [LinePart("picked", "cherry 1 6,2 kg", word="cherry 1", amount=6.2)]),
        ("14 tip 40 cm", [LinePart("tip", "14 tip 40 cm", places=("14",), amount=40)]),
        ("note: Two wasps", [LinePart("note", "note: Two wasps", word="Two wasps")]),
        ("W1 all; 14 slid; w2: cherry 2", [
            LinePart("all", "all", "W1"),
            LinePart("failed", "14 slid", "W1", places=("14",), word="slid"),
            LinePart("picked", "cherry 2", "W2", word="cherry", amount=2),
        ]),
        ("W1: ", []),
        (" ; ;", []),
    ],
)  # fmt: skip
def test_parts_of_a_line(line: str, parts: list[LinePart]) -> None:
    assert parsed_line(line, ROWS) == parts


@pytest.mark.parametrize(
    "line",
    ["al", "done", "all but", "all but everyone", "cherry", "cherry six", "-3 kg", "14 tip -2"],
)
def test_what_is_not_understood_is_quoted(line: str) -> None:
    with pytest.raises(UserError, match=re.escape(repr(line))):
        parsed_line(line, ROWS)


@settings(max_examples=100, deadline=None)
@given(
    line=st.one_of(st.text(max_size=60), st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join)),
)
def test_any_line_writes_something_or_says_why_not(line: str) -> None:
    with suppress(UserError):
        done = said(line)
        assert done.drafts
        assert done.sentences
        for one in done.drafts:
            assert typed(one) is not None


def test_all_never_answers_a_look_a_pick_a_walk_or_a_choice_and_says_which_are_left() -> None:
    done = said("all")
    ticked = {tuple(parsed(one)["answers"][:2]) for one in done.drafts}
    assert ticked == {chore.key for chore in lines("fact").values()}
    left = lines("look", "amount", "walk", "choice")
    assert left, "the demo's morning has some of them"
    assert re.findall(r"\d+", done.sentences[-1]) == [str(number) for number in left]
    after = plan_morning([*entries(), *written(done.drafts)], morning().day)
    still = {(c.kind, c.about, p.key) for c in after.chores for p in c.pieces if p.earliest <= morning().day}
    assert not still & {(c.kind, c.about, p.key) for c in lines("fact").values() for p in c.pieces}


def test_done_speaks_of_the_sheet_whatever_was_measured_since() -> None:
    """Measuring first and then "all" wrote a choice that was never printed."""
    season = morning().season
    stretched = [
        draft(one.place, Measured(one.id, tip_under_wire_m=-0.1)) for one in list(season.leaders.values())[:12]
    ]
    later = plan_morning([*entries(), *written(stretched)], morning().day)
    assert [c for s in later.round.spots for c in s.chores] != list(shown().lines.values())
    assert said("all", later).drafts == said("all").drafts
    assert not {"tip_taken_out", "let_it_run"} & {one.kind for one in said("all", later).drafts}


def test_without_a_sheet_no_line_has_a_number() -> None:
    for line in ("1", "all", "W1-07"):
        with pytest.raises(UserError, match=r"No round of 2026-08-20 was shown"):
            done_line(line, morning(), None)
    assert done_line("note all well", morning(), None).drafts


def test_lines_by_their_numbers() -> None:
    first, second, *_ = lines("fact")
    done = said(f"{first}, {second}")
    assert {tuple(parsed(one)["answers"][:2]) for one in done.drafts} == {
        shown().lines[first].key,
        shown().lines[second].key,
    }
    with pytest.raises(UserError, match=r"The sheet has no line 999; its last is \d+"):
        said("999")


def test_a_look_and_an_unweighed_pick_are_answered_by_their_own_numbers() -> None:
    for taken, kind in (("look", "looked"), ("amount", "picked")):
        number = next(n for n, chore in lines(taken).items() if kind in {d.kind for d in chore.writes})
        assert {one.kind for one in said(str(number)).drafts} == {kind}


def test_a_line_to_decide_is_answered_by_a_word_and_refused_without() -> None:
    number, chore = next(iter(lines("choice").items()))
    with pytest.raises(
        UserError, match=rf"Line {number} is to be decided.*\n.*Write {number} \w+ \(.+\); {number} \w+"
    ):
        said(f"1, {number}")
    for choice in chore.choices:
        for word in (choice.key, choice.words.split(",")[0]):
            assert said(f"{number} {word}").drafts == choice.writes
    with pytest.raises(UserError, match=r"is no one answer to line"):
        said(f"{number} perhaps")


def test_what_the_sheet_says_to_write_for_an_answer_writes_it() -> None:
    """Every answer of every decision as it is printed beneath its line: number, word, what it says."""
    for number, chore in lines("choice").items():
        answers = answers_words(chore, number).split("); ")
        assert len(answers) == len(chore.choices) > 1
        for answer, choice in zip(answers, chore.choices, strict=True):
            assert said(answer.split(" (")[0]).drafts == choice.writes
            assert choice.words in answer


def test_but_leaves_a_plant_of_one_line_out() -> None:
    number, chore = several()
    gone = of(chore)[1]
    done = said(f"{number} but {gone.place}")
    assert handled(done.drafts) == set(chore.leaders) - {gone.id}
    after = plan_morning([*entries(), *written(done.drafts)], morning().day)
    left = [c for c in after.chores if (c.kind, c.about) == (chore.kind, chore.about)]
    assert not left or {gone.id} <= set(left[0].leaders)


def test_up_to_takes_the_pieces_in_the_order_of_the_sheet() -> None:
    number, chore = several()
    last = of(chore)[1]
    done = said(f"{number} up to {last.place}")
    before = {leader for piece in chore.pieces[: 1 + _last_of(chore, last.id)] for leader in piece.leaders}
    assert handled(done.drafts) == before


def _last_of(chore: Chore, leader: str) -> int:
    return max(n for n, piece in enumerate(chore.pieces) if leader in piece.leaders)


def test_a_number_in_two_rows_is_refused_with_both_written_out() -> None:
    """ "All but 07" left W1-07a and W2-07a out without a word."""
    with pytest.raises(UserError, match=r"07 may be W1-07 or W2-07"):
        said("all but 07")
    places = {leader.place for chore in lines("fact").values() for leader in of(chore)}
    both = next(p[-2:] for p in sorted(places) if sum(q[-2:] == p[-2:] for q in places) > 1)
    with pytest.raises(UserError, match=rf"{both} may be \w\d-{both} or \w\d-{both}"):
        said(both)


def test_a_number_that_may_be_a_line_or_a_place_is_refused_with_both() -> None:
    with pytest.raises(UserError, match=r"5 may be .*W1-05.* or line 5: "):
        said("all but 5")
    number, chore = next(
        (n, c)
        for n, c in shown().lines.items()
        if c.kind == "second_clip" and any(x.place.endswith(f"{n:02}") for x in morning().season.leaders.values())
    )
    with pytest.raises(UserError, match=rf"{number} may be .* or line {number}: {re.escape(chore.proposal)}"):
        said(f"{number} slid")


def test_a_line_about_a_clip_names_that_clip() -> None:
    number, chore = next((n, c) for n, c in shown().lines.items() if c.kind == "second_clip")
    (failed,) = said(f"line {number} slid").drafts
    body = typed(failed)
    assert isinstance(body, ClipFailed)
    (leader,) = of(chore)
    assert body.fixing in {fixing.id for fixing in leader.fixings}


def test_only_the_places_named() -> None:
    season = morning().season
    one = of(several()[1])[0]
    done = said(one.place)
    assert done.drafts
    assert {season.leaders[x].place for x in handled(done.drafts)} == {one.place}


def test_what_is_done_already_is_not_written_again() -> None:
    number, chore = several("side_shoot")
    first = said(f"{number} up to {of(chore)[0].place}")
    now = plan_morning([*entries(), *written(first.drafts)], morning().day)
    rest = said(str(number), now)
    assert not handled(first.drafts) & handled(rest.drafts)
    assert handled(first.drafts) | handled(rest.drafts) == set(chore.leaders)
    with pytest.raises(UserError, match=rf"line {number} was done already"):
        said(str(number), plan_morning([*entries(), *written([*first.drafts, *rest.drafts])], morning().day))


def test_what_was_ticked_weeks_ago_and_is_asked_again_is_written_again() -> None:
    """That stems outgrow their room is said again after three weeks; the tick of May stood for that of June."""
    planted = date(2026, 5, 2)
    text = starter(Start(rows=1, places_per_row=9, wire_height_m=1.9, latitude_deg=51.5))
    standing = [draft(f"W1-{place:02}", Planted("tomato 1")) for place in range(1, 10)]
    book = _entries([draft("", HoldingSet(text)), *standing], planted, 0)
    for day in (planted, planted + timedelta(weeks=5)):
        now = plan_morning(book, day)
        kept = as_shown(now.round)
        (number,) = [number for number, chore in kept.lines.items() if chore.kind == "will_fit"]
        drafts = done_line(str(number), now, kept).drafts
        assert [one.kind for one in drafts] == ["note"]
        book += _entries(drafts, day, len(book))
        with pytest.raises(UserError, match=rf"line {number} was done already"):
            done_line(str(number), plan_morning(book, day), kept)


def _entries(drafts: Sequence[Draft], day: date, first: int) -> list[Entry]:
    return [
        Entry(one.id or f"e{at}", f"a{first}", "test", day, at, "", one.about, one.kind, 1, one.body)
        for at, one in enumerate(drafts, first)
    ]


def test_every_entry_reads_as_a_sentence() -> None:
    done = said("all")
    assert sum(one.startswith("    ") for one in done.sentences) == len(done.drafts)


def test_a_weighed_pick_stands_in_for_its_tick() -> None:
    number, chore = next((n, c) for n, c in lines("amount").items())
    cultivar = next(b.cultivar for b in map(typed, chore.writes) if isinstance(b, Picked))
    for line in (f"{number} 1.4", f"{number}; {chore.row} {cultivar} 1.4 kg"):
        picks = [typed(one) for one in said(line).drafts]
        assert picks == [Picked(cultivar, kg=1.4)]


def test_a_pick_that_may_be_two_is_refused_with_the_choices() -> None:
    picks = [typed(one) for chore in lines("amount").values() for one in chore.writes]
    grown = [body.cultivar for body in picks if isinstance(body, Picked)]
    twice = next(cultivar for cultivar in grown if grown.count(cultivar) > 1)
    with pytest.raises(UserError, match=rf"several picks.*\n.*\w\d {twice} 6.2; .*\w\d {twice} 6.2"):
        said(f"{twice} 6.2")


def test_a_clip_that_may_be_several_is_refused_with_what_can_be_typed() -> None:
    with pytest.raises(UserError, match=r"several clips: W1-08a string W1/8, W1-08a string W1/9, ") as trouble:
        said("W1-08 slid")
    choice = re.findall(r"W1-08a string W1/\d+", str(trouble.value))[0]
    assert isinstance(typed(said(f"{choice} slid").drafts[0]), ClipFailed)


def test_a_failure_comes_before_the_row_is_looked_over() -> None:
    """Else the look would count the failed clip as seen holding on that day."""
    number, chore = next((n, c) for n, c in lines("look").items() if c.kind == "look")
    leader, fixing = next((x, f) for x in of(chore) for f in x.fixings if f.on == "string")
    line = f"{number}; {leader.name} string {morning().season.strings[fixing.string].number} slid"
    kinds = [one.kind for one in said(line).drafts]
    assert kinds.index("clip_failed") < kinds.index("looked")
    after = fold([*entries(), *written(said(line).drafts)], morning().day)
    ended = [end for end in after.leaders[leader.id].endings if end.how is not None and end.day == morning().day]
    assert [end.how for end in ended] == ["slid"]
    assert after.day not in ended[0].fixing.seen_on


def test_a_tip_goes_with_its_lowering_and_is_a_measurement() -> None:
    number, chore = next((n, c) for n, c in shown().lines.items() if c.kind == "lower")
    first = of(chore)[0]
    done = said(f"{number}; {first.name} tip 48")
    bodies = [body for one in done.drafts if isinstance(body := typed(one), Lowered) and body.leader == first.id]
    assert [(b.tip_under_wire_m, b.as_proposed) for b in bodies] == [(0.48, False)]
    assert all(answers(entry) for entry in written(done.drafts) if entry.kind == "lowered")
    alone = said(f"{first.name} tip 48; note x")
    assert [one.kind for one in alone.drafts] == ["note", "measured"]


def test_the_example_on_the_sheet_can_be_typed() -> None:
    done = said(example(morning(), shown()))
    assert {"clip_failed", "picked"} <= {one.kind for one in done.drafts}


def test_an_empty_line_is_refused() -> None:
    with pytest.raises(UserError, match="empty"):
        said(" ; ")


def test_every_way_of_failing_has_a_word() -> None:
    from typing import get_args

    from tunneltui.journal.kinds_holding_up import HowFailed

    assert set(FAILED.values()) == set(get_args(HowFailed))


def test_the_same_line_means_the_same_twice() -> None:
    assert said("all") == said("all")


def test_a_plant_that_is_gone_since_is_left_out() -> None:
    from tunneltui.journal.kinds_crop import Removed

    number, chore = several()
    gone = of(chore)[0]
    now = plan_morning([*entries(), *written([draft(gone.place, Removed(gone.plant))])], morning().day)
    assert gone.id not in handled(said(str(number), now).drafts)
