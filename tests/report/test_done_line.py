"""The line typed after a walk on paper: what it means, what it writes, and what it refuses."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.report.made import entries, morning, written
from tunneltui.chores.morning import plan_morning
from tunneltui.holding.trouble import Trouble
from tunneltui.journal.body import answers, parsed, typed
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import ClipFailed, Lowered
from tunneltui.report.done_line import FAILED, Part, done_line, example, parsed_line
from tunneltui.season.fold import fold

ROWS = ["W1", "W2", "E1"]
WORDS = ["all", "but", "07", "W1-14a", "string 8", "slid", "cherry", "6.2", ";", "W1:", "tip", "40", "note"]


@pytest.mark.parametrize(
    ("line", "parts"),
    [
        ("all", [Part("all", "all")]),
        ("ALL but 07, 12.", [Part("all", "ALL but 07, 12.", places=("07", "12"))]),
        ("everything except 07 and 12", [Part("all", "everything except 07 and 12", places=("07", "12"))]),
        ("all but W1-07a 12", [Part("all", "all but W1-07a 12", places=("w1-07a", "12"))]),
        ("north-3b, 7x", [Part("only", "north-3b, 7x", places=("north-3b", "7x"))]),
        ("07, 12", [Part("only", "07, 12", places=("07", "12"))]),
        ("14 slid", [Part("failed", "14 slid", places=("14",), word="slid")]),
        ("14 string 8 popped", [Part("failed", "14 string 8 popped", places=("14 string 8",), word="popped")]),
        ("14 string w2/8 slid", [Part("failed", "14 string w2/8 slid", places=("14 string w2/8",), word="slid")]),
        ("14b head b twine", [Part("failed", "14b head b twine", places=("14b head b",), word="twine")]),
        ("14, 15 snapped", [Part("accident", "14, 15 snapped", places=("14", "15"), word="snapped")]),
        ("cherry 6.2", [Part("picked", "cherry 6.2", word="cherry", amount=6.2)]),
        ("cherry 1 6,2 kg", [Part("picked", "cherry 1 6,2 kg", word="cherry 1", amount=6.2)]),
        ("14 tip 40 cm", [Part("tip", "14 tip 40 cm", places=("14",), amount=40)]),
        ("note: Two wasps", [Part("note", "note: Two wasps", word="Two wasps")]),
        ("W1 all; 14 slid; w2: cherry 2", [
            Part("all", "all", "W1"),
            Part("failed", "14 slid", "W1", ("14",), "slid"),
            Part("picked", "cherry 2", "W2", word="cherry", amount=2),
        ]),
        ("W1: ", []),
        (" ; ;", []),
    ],
)  # fmt: skip
def test_parts_of_a_line(line: str, parts: list[Part]) -> None:
    assert parsed_line(line, ROWS) == parts


@pytest.mark.parametrize(
    "line",
    [
        "al",
        "done",
        "14 exploded",
        "all but",
        "all but everyone",
        "cherry",
        "cherry six",
        "-3 kg",
        "14 tip",
        "14 tip -2",
    ],
)
def test_what_is_not_understood_is_quoted(line: str) -> None:
    with pytest.raises(Trouble, match=re.escape(repr(line))):
        parsed_line(line, ROWS)


@settings(max_examples=150, deadline=None)
@given(
    line=st.one_of(
        st.text(max_size=60),
        st.lists(
            st.sampled_from(WORDS),
            max_size=12,
        ).map(" ".join),
    )
)
def test_any_line_writes_something_or_says_why_not(line: str) -> None:
    with suppress(Trouble):
        done = done_line(line, morning())
        assert done.drafts
        assert done.says
        for draft in done.drafts:
            assert typed(draft) is not None


def test_all_writes_what_the_round_would_and_the_round_is_done() -> None:
    walk = morning().round
    done = done_line("all", morning())
    chores = [chore for spot in walk.spots for chore in spot.chores]
    ticked = {tuple(parsed(draft)["answers"]) for draft in done.drafts if "answers" in parsed(draft)}
    assert ticked == {chore.answers for chore in chores}
    after = plan_morning([*entries(), *written(done.drafts)], walk.day)
    left = {chore.id for spot in after.round.spots for chore in spot.chores} | {c.id for c in after.round.later}
    assert not left & {chore.id for chore in chores}


def test_exceptions_stay_to_be_done() -> None:
    season = morning().season
    left_out = {one.id for name in ("W1-07", "W1-12") for one in season.leaders.values() if one.place == name}
    done = done_line("W1 all but 07, 12", morning())
    named = {
        leader
        for draft in done.drafts
        for leader in [parsed(draft).get("leader"), *parsed(draft).get("leaders", [])]
        if leader
    }
    assert named
    assert not named & left_out
    assert {season.leaders[one].row for one in named} <= {"W1", "W2"}


def test_only_the_places_named() -> None:
    season = morning().season
    done = done_line("W1-07", morning())
    one = season.leader_named("W1-07a")
    assert one is not None
    assert {parsed(d)["leader"] for d in done.drafts if "leader" in parsed(d)} <= {one.id}
    for draft in done.drafts:
        for leader in parsed(draft).get("leaders", []):
            assert season.leaders[leader].place == "W1-07"


def test_a_weighed_pick_stands_in_for_its_tick() -> None:
    done = done_line("E1 all; cherry 1.4", morning())
    picks = [typed(draft) for draft in done.drafts if draft.kind == "picked"]
    cherries = [pick for pick in picks if isinstance(pick, Picked) and pick.cultivar == "cherry 1"]
    assert cherries == [Picked("cherry 1", kg=1.4)]
    assert [d.about for d in done.drafts if typed(d) == cherries[0]] == ["E1"]


def test_a_pick_that_may_be_two_is_refused_with_the_choices() -> None:
    with pytest.raises(
        Trouble, match=r"several picks.*\n.*W1 cherry 1 6.2; .*E1 cherry 1 6.2|several picks.*\n.*E1 cherry 1 6.2"
    ):
        done_line("all; cherry 6.2", morning())


def test_a_clip_that_may_be_several_is_refused_with_what_can_be_typed() -> None:
    with pytest.raises(Trouble, match=r"several clips: W1-08a string W1/8, W1-08a string W1/9, ") as trouble:
        done_line("all; W1-08 slid", morning())
    choice = re.findall(r"W1-08a string \d+", str(trouble.value))[0]
    done = done_line(f"all; {choice} slid", morning())
    assert isinstance(typed(done.drafts[0]), ClipFailed)


def test_a_place_number_in_two_rows_is_refused_with_the_choices() -> None:
    with pytest.raises(Trouble, match=r"07 may be W1-07, W2-07, E1-07"):
        done_line("all but 07", morning())


def test_a_failure_comes_before_the_row_is_looked_over() -> None:
    """Else the look would count the failed clip as seen holding on that day."""
    line = example(morning())
    kinds = [draft.kind for draft in done_line(line, morning()).drafts]
    assert kinds.index("clip_failed") < kinds.index("looked")
    failed = next(d for d in done_line(line, morning()).drafts if d.kind == "clip_failed")
    after = fold([*entries(), *written(done_line(line, morning()).drafts)], morning().day)
    ended = [
        end for one in after.leaders.values() for end in one.endings if end.fixing.id == parsed(failed)["fixing"]
    ]
    assert [end.how for end in ended] == ["slid"]
    assert after.day not in ended[0].fixing.seen_on


def test_a_tip_goes_with_its_lowering_and_is_a_measurement() -> None:
    lowered = [
        parsed(draft)["leader"]
        for spot in morning().round.spots
        for chore in spot.chores
        for draft in chore.writes
        if draft.kind == "lowered"
    ]
    assert lowered, "the demo has a row side due for lowering"
    name = morning().season.leaders[lowered[0]].name
    done = done_line(f"all; {name} tip 48", morning())
    bodies = [typed(d) for d in done.drafts if d.kind == "lowered" and parsed(d)["leader"] == lowered[0]]
    assert [(b.tip_under_wire_m, b.as_proposed) for b in bodies if isinstance(b, Lowered)] == [(0.48, False)]
    assert all(answers(entry) for entry in written(done.drafts) if entry.kind == "lowered")
    alone = done_line(f"{name} tip 48; note x", morning())
    assert [d.kind for d in alone.drafts] == ["note", "measured"]


def test_the_example_on_the_sheet_can_be_typed() -> None:
    done = done_line(example(morning()), morning())
    assert {"clip_failed", "picked"} <= {draft.kind for draft in done.drafts}


def test_an_empty_line_is_refused() -> None:
    with pytest.raises(Trouble, match="empty"):
        done_line(" ; ", morning())


def test_every_way_of_failing_has_a_word() -> None:
    from typing import get_args

    from tunneltui.journal.kinds_holding_up import HowFailed

    assert set(FAILED.values()) == set(get_args(HowFailed))


def drafts_of(line: str) -> tuple[Draft, ...]:
    return done_line(line, morning()).drafts


def test_the_same_line_means_the_same_twice() -> None:
    assert drafts_of("all") == drafts_of("all")
