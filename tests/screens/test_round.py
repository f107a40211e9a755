"""The Round screen: one key for a usual chore, three for a failed clip, two and the digits for a pick."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import (
    DELEAF,
    FEED,
    LOWER,
    PICK,
    SECOND_CLIP,
    SIDE_SHOOT,
    KeptInMind,
    an_app,
    chores_here,
    go_to,
    grid,
    typed_at_once,
    wait_until,
)
from tunneltui.chores.chore import Chore
from tunneltui.cli import main
from tunneltui.journal import body
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.forms import Fields, Letters, ReadingPage
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines


def line_of(app: TunnelApp, words: str) -> str:
    return next(line for line in grid(app) if words in line)


def sign_of(app: TunnelApp, words: str) -> str:
    """The sign before the line that holds ``words``."""
    return line_of(app, words).lstrip("▌ ")[:1]


async def at(app: TunnelApp, pilot: Pilot[None], chore: Chore) -> None:
    await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
    go_to(app, chore)
    await pilot.pause()


async def test_a_usual_chore_costs_one_key_and_the_cursor_goes_on() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SECOND_CLIP)
        await pilot.press("space")
        await wait_until(lambda: sign_of(app, "second clip, string 8") == "✓")
        assert kept.kinds() == ["clipped"]
        assert [body.parsed(draft)["answers"] for draft in kept.acts[0]] == [list(SECOND_CLIP.answers)]
        assert chores_here(app) == {SIDE_SHOOT.id}


async def test_after_the_last_line_of_a_pass_the_next_pass_with_work_is_shown() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SIDE_SHOOT)
        await pilot.press("space", "space", "space")
        await wait_until(lambda: len(kept.acts) == 3)
        assert chores_here(app) == {PICK.id}


async def test_a_tick_moves_nothing_else() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        before = [line.key for line in app.query_one("#walk", Lines).lines]
        await pilot.press("space")
        await wait_until(lambda: sign_of(app, "leaves off") == "✓")
        assert [line.key for line in app.query_one("#walk", Lines).lines] == before


async def test_a_failed_clip_costs_three_keys() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("x", "a", "b")
        await wait_until(lambda: bool(kept.acts))
        assert kept.kinds() == ["clip_failed"]
        assert body.parsed(kept.acts[0][0]) == {"fixing": "clip7a", "how": "broke"}
        assert chores_here(app) == {LOWER.id}, "a failure ticks nothing off"


async def test_a_capital_letter_says_that_the_stem_dropped() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("x", "b", "A")
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0]) == {"fixing": "clip7b", "how": "popped_open", "dropped": True}


async def test_a_pick_costs_two_keys_and_the_digits() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, PICK)
        await pilot.press("p", "6", ",", "2", "enter")
        await wait_until(lambda: bool(kept.acts))
        assert kept.kinds() == ["picked"]
        assert body.parsed(kept.acts[0][0]) == {
            "cultivar": "trial standard",
            "kg": 6.2,
            "answers": list(PICK.answers),
        }
        go_to(app, PICK)
        await wait_until(lambda: sign_of(app, "trial standard, 6 to 8 kg") == "✓")


@pytest.mark.parametrize("typed", ["-3", "99999", "six", "1e3", "."])
async def test_a_weight_that_cannot_be_is_refused_with_a_sentence(typed: str) -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, PICK)
        await pilot.press("p", *typed, "enter")
        await wait_until(lambda: any("wanted" in line for line in grid(app)))
        assert isinstance(app.screen, Fields)
        assert not kept.acts


async def test_a_weight_is_typed_in_its_line() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, PICK)
        await pilot.press("6", ".", "2")
        assert "6.2_ kg" in line_of(app, "trial standard, 6 to 8 kg")
        await pilot.press("enter")
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0])["kg"] == 6.2


async def test_digits_lead_to_other_screens_where_no_weight_is_wanted() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        await pilot.press("9")
        await wait_until(lambda: app._pane == "journal")
        await pilot.press("1")
        await at(app, pilot, PICK)
        await pilot.press("f9")
        await wait_until(lambda: app._pane == "journal")


async def test_common_work_of_a_pass_is_written_after_its_count_and_nothing_else() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        await pilot.press("S")
        await wait_until(lambda: "S again writes" in grid(app)[-2])
        assert not kept.acts
        await pilot.press("S")
        await wait_until(lambda: bool(kept.acts))
        assert len(kept.acts) == 1
        assert kept.kinds() == ["deleafed", "side_shooted"], "never a must, a pick, a lowering or a look"
        await pilot.press("u")
        await wait_until(lambda: len(kept.acts) == 2)
        assert body.parsed(kept.acts[1][0]) == {"act": "act1"}
        await wait_until(lambda: sign_of(app, "leaves off") != "✓")


async def test_another_key_between_disarms_what_writes_all() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        await pilot.press("S", "down", "S")
        await pilot.pause()
        assert not kept.acts


async def test_piece_by_piece_a_letter_leaves_one_out() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SIDE_SHOOT)
        await pilot.press("enter", "b", "enter")
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0])["leaders"] == ["plant10", "plant12"]


async def test_all_but_some() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        await pilot.press("c")
        await pilot.press("2", "enter", "4", "enter", "enter")
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0]) == {
            "leaders": ["plant1", "plant3"],
            "leaves": 4,
            "answers": list(DELEAF.answers),
            "pieces": ["plant1", "plant3"],
        }


async def test_the_finish_key_of_a_lowering() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("c", "o", "f2")
        await wait_until(lambda: bool(kept.acts))
        lowered = body.parsed(kept.acts[0][0])
        assert lowered["finish"] == "over"
        assert lowered["let_out_m"] == 0.36


async def test_a_commit_that_fails_is_told_and_its_mark_withdrawn() -> None:
    kept = KeptInMind()
    kept.refuse = "The disk is full."
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SECOND_CLIP)
        await pilot.press("space")
        await wait_until(lambda: any("The disk is full." in line for line in grid(app)))
        assert sign_of(app, "second clip, string 8") == "!"
        kept.refuse = ""
        go_to(app, SECOND_CLIP)
        await pilot.press("space")
        await wait_until(lambda: sign_of(app, "second clip, string 8") == "✓")


async def test_writing_is_shown_until_the_commit_returns() -> None:
    kept = KeptInMind()
    kept.may_write.clear()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SECOND_CLIP)
        await pilot.press("space")
        try:
            await wait_until(lambda: sign_of(app, "second clip, string 8") == "…")
            assert sign_of(app, "second clip, string 8") != "✓"
        finally:
            kept.may_write.set()
        await wait_until(lambda: sign_of(app, "second clip, string 8") == "✓")


async def test_put_off_asks_for_one_letter_and_tells_the_price_of_waiting() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, PICK)
        await pilot.press("z")
        await wait_until(lambda: any("by Monday 3 kg will have split." in line for line in grid(app)))
        await pilot.press("c")
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0]) == {
            "until": "2026-08-27",
            "answers": list(PICK.answers),
        }
        go_to(app, PICK)
        await wait_until(lambda: sign_of(app, "trial standard, 6 to 8 kg") == "»")


async def test_accident_measure_and_note() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("a", "b")
        await pilot.press("m", "2", "4", "down", "down", "9", "f2")
        await pilot.press("n", "d", "r", "y", "enter")
        await wait_until(lambda: len(kept.acts) == 3)
        assert kept.kinds() == ["stem_kinked", "measured", "note"]
        assert body.parsed(kept.acts[1][0]) == {"leader": "plant7", "growth_m": 0.24, "flowering_truss": 9}
        assert kept.acts[2][0].about == "W1-07"


async def test_find_wraps_around() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, FEED)
        await pilot.press("slash", *"hook", "enter")
        await pilot.pause()
        assert chores_here(app) == {LOWER.id}


async def test_undo_without_anything_says_so() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("u")
        await wait_until(lambda: any("Nothing was noted today." in line for line in grid(app)))


async def test_leaving_waits_for_what_is_being_written() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("space", "q")
    assert kept.kinds() == ["lowered", "clipped"]
    assert kept.closed


@pytest.mark.parametrize("key", ["q", "escape"])
async def test_every_form_goes_away_without_writing(key: str) -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        for opens in ("x", "a", "z", "question_mark", "v"):
            await pilot.press(opens)
            assert isinstance(app.screen, Letters | ReadingPage)
            await pilot.press(key)
            assert not isinstance(app.screen, Letters | ReadingPage), opens
        for opens in ("p", "m", "n", "t", "slash", "c"):
            await pilot.press(opens)
            if isinstance(app.screen, Letters):
                await pilot.press("a")
            assert isinstance(app.screen, Fields), opens
            await pilot.press("escape")
            assert not isinstance(app.screen, Fields | Letters), opens
        assert not kept.acts


async def test_the_palette_does_what_the_keys_do() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        await pilot.press("ctrl+p", *"clip failed")
        await wait_until(lambda: any("A clip failed" in line for line in grid(app)))
        await pilot.press("enter")
        await wait_until(lambda: isinstance(app.screen, Letters))


async def test_the_mouse_moves_the_cursor_and_presses_the_keys_line() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, DELEAF)
        await pilot.click("#walk", offset=(30, 1))
        assert chores_here(app) == {SECOND_CLIP.id}
        await pilot.click("#keys-line", offset=(3, 0))
        await wait_until(lambda: bool(kept.acts))
        assert kept.kinds() == ["clipped"]


async def test_keys_typed_before_the_form_is_there_go_into_it_in_order() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, PICK)
        point, enter = ("full_stop", "."), ("enter", "\r")
        typed_at_once(app, ("p", "p"), ("1", "1"), ("2", "2"), point, ("5", "5"), enter)
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0])["kg"] == 12.5


async def test_letters_typed_at_once_reach_their_questions() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, LOWER)
        typed_at_once(app, ("x", "x"), ("b", "b"), ("c", "c"))
        await wait_until(lambda: bool(kept.acts))
        assert body.parsed(kept.acts[0][0]) == {"fixing": "clip7b", "how": "slid"}


async def test_two_ticks_at_once_tick_two_chores() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SECOND_CLIP)
        typed_at_once(app, ("space", " "), ("space", " "))
        await wait_until(lambda: len(kept.acts) == 2)
        assert kept.kinds() == ["clipped", "side_shooted"]


async def test_a_plan_that_comes_while_a_form_is_open_is_shown_behind_it() -> None:
    kept = KeptInMind()
    kept.may_write.clear()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await at(app, pilot, SECOND_CLIP)
        before = app.view
        await pilot.press("space", "x")
        assert isinstance(app.screen, Letters)
        kept.may_write.set()
        await wait_until(lambda: app.view is not before)
        assert isinstance(app.screen, Letters)
        await pilot.press("q")
        await wait_until(lambda: sign_of(app, "second clip, string 8") == "✓")


async def test_a_house_without_plants_says_where_to_begin(tmp_path: Path) -> None:
    """The walk was blank but for its keys."""
    at = tmp_path / "own.db"
    assert main(["new", "--at", str(at), "--name", "T", "--cultivars", "red one", "--on", "2026-03-01"]) == 0
    app = TunnelApp(FileClient(at), on=date(2026, 3, 1))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
        await wait_until(lambda: any("Nothing is planted yet." in line for line in grid(app)))
        assert any("8 plans the season" in line for line in grid(app))
        await pilot.press("8")
        await wait_until(lambda: "Next season" in grid(app)[0])
