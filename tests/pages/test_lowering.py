"""A lowering in words: the steps in the order of the hands, and what it does to the clips."""

from __future__ import annotations

import pytest

from tests.report.made import morning
from tunneltui.chores.lowering import LoweringJob, bodies, lowering_jobs
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.pages import lowering
from tunneltui.screens.ahead import view_ahead
from tunneltui.values import replace

HANDS = ("clip to", "second clip", "let out", "hook ", "over the", "past ", "open its", "close one")
"""Support before anything is let out, then out, on, and last what would lie in the bend (common practice, no
source)."""


def west() -> LoweringJob:
    return next(
        job for job in lowering_jobs(morning().season, morning().outlook, morning().loads) if job.loop == "W1"
    )


def test_every_head_has_its_steps_in_the_order_of_the_hands() -> None:
    cards = lowering.head_cards(morning().season, west())
    assert [card.leader for card in cards] == [move.leader for move in west().doable]
    for card in cards:
        order = [next(n for n, hand in enumerate(HANDS) if step.startswith(hand)) for step in card.steps]
        assert order == sorted(order), card.steps
        assert any(step.startswith("let out") for step in card.steps)


def test_every_clip_that_is_written_stands_in_a_step() -> None:
    season = morning().season
    for move, card in zip(west().doable, lowering.head_cards(season, west()), strict=True):
        words = " ".join(card.steps)
        for clip in (*move.clips, *move.second):
            name = lowering.in_its_row(card.row, season.string_name(clip.string))
            assert name in words
        assert ("open its" in words) is bool(move.opens)


def test_the_place_that_a_tick_notes_is_said() -> None:
    """The card said "tip 28 cm under wire, then 58 cm" and the tick noted that it hung at 55; nothing said that it
    was to be let down to there."""
    now = morning()
    for job in lowering_jobs(now.season, now.outlook, now.loads):
        for move, card in zip(job.doable, lowering.head_cards(now.season, job), strict=True):
            (noted,) = (body for body in bodies(now.season, move) if isinstance(body, Lowered))
            assert noted.aimed_under_wire_m is not None
            place = f"until its tip is {100 * noted.aimed_under_wire_m:.0f} cm under the wire"
            assert any(step.startswith("let out") and step.endswith(place) for step in card.steps)
            assert card.tip_then_m == pytest.approx(noted.aimed_under_wire_m, abs=0.005)


def test_where_a_go_falls_short_and_where_a_tip_may_hang_low_already_is_said() -> None:
    season = morning().season
    move = west().doable[0]
    far = replace(move, tip_z_m=move.wire_z_m + 0.10, let_out_m=0.30, place_under_m=0.50)
    assert "let out one turn at most until its tip is 50 cm under the wire" in lowering.steps_of(season, far)
    unsure = replace(west(), moves=(replace(move, may_hang_low=True), *west().moves[1:]))
    first, second, *_ = lowering.head_cards(season, unsure)
    assert "measure first: it may hang so low already, then leave it" in first.aside
    assert not any("measure first" in words for words in second.aside)
    assert "measure first" in "\n".join(lowering.pocket_lines(season, unsure, 23))


def test_a_stem_is_named_by_its_place_alone_where_the_plant_has_one_leader() -> None:
    season = morning().season
    first = next(iter(season.leaders.values()))
    assert lowering.stem_name(season, first.id) == first.place
    twin = replace(first, id="twin", name=f"{first.place}b")
    both = replace(season, leaders={**season.leaders, "twin": twin})
    assert lowering.stem_name(both, first.id) == first.name


def test_what_rises_and_what_stays_over_is_said_before_the_start() -> None:
    now = morning()
    told = lowering.relief(now.season, "W1", now.loads, view_ahead(now, "W1", 0, lowered=True).loads)
    words = " ".join(lowering.relief_words(told))
    assert f"{len(told.over_before)} now, {len(told.over_after)} when all is done" in words
    for one in (*told.over_after, *told.risen):
        assert f"{one.stem} " in words
    for one in told.over_after:
        assert (f"{one.stem} on {one.on} {one.share:.0%} (1 in " in words) is (one.share < 1)
    assert all(one.before is None or one.share > one.before for one in told.risen)


def test_the_card_for_the_pocket_holds_all_that_the_screen_shows() -> None:
    season = morning().season
    lines = "\n".join(lowering.pocket_lines(season, west(), 23))
    for card in lowering.head_cards(season, west()):
        assert card.name in lines
        for step in card.steps:
            assert step in lines
    for caution in lowering.CARE:
        assert caution in lines


def test_the_end_names_what_was_done_and_what_hangs_as_before() -> None:
    assert "W2-01 02" in " ".join(lowering.last_lines(["W2-01", "W2-02"], [], [], None))
    assert "W1-15" in " ".join(lowering.last_lines([], ["W1-15"], [], None))
