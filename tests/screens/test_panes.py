"""Row, Loads and Picks on the demo's morning, and that each says the same as its table."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.cli import main
from tunneltui.pages.loads import chain_words
from tunneltui.pages.picks import promise, summed
from tunneltui.screens.ahead import AheadView, lowering_of, proposed_moves, view_ahead
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.forms import ReadingPage
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines
from tunneltui.screens.loads_pane import LoadsPane
from tunneltui.screens.plant_page import PlantPage, plant_lines
from tunneltui.screens.row_pane import RowPane


@pytest.fixture
def app(tmp_path: Path) -> TunnelApp:
    return TunnelApp(FileClient(demo_at(tmp_path)))


def planned(app: TunnelApp) -> bool:
    return app.view is not None and app.view.morning is not None


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_the_row_is_laid_apart_day_by_day_and_as_lowered(app: TunnelApp, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any(line.startswith("▌W2-09") for line in grid(app)))
        today = grid(app)
        pane = app.query_one(RowPane)
        assert app.view is not None
        assert app.view.morning is not None
        of_loop = app.view.morning.season.leaders_of_loop("W1")
        shown = {one.id for one in of_loop if size[0] >= 120 or one.row == "W2"}
        assert {line.key for line in pane.query_one("#row-apart", Lines).lines} == shown
        await pilot.press("full_stop", "full_stop")
        await wait_until(lambda: "Sat 22 Aug, 2 days on" in grid(app)[0])
        await pilot.press("comma", "comma")
        await wait_until(lambda: grid(app)[2:-3] == today[2:-3])
        await pilot.press("b")
        await wait_until(lambda: "as it would be lowered" in grid(app)[0])
        assert grid(app)[2:10] != today[2:10]
        await pilot.press("v")
        await wait_until(lambda: isinstance(app.screen, ReadingPage))


async def test_the_chosen_stem_is_one_laid_apart_from_the_side_and_on_the_wire(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "down", "down")
        await wait_until(lambda: any(line.startswith("▌W2-07") for line in grid(app)))
        assert app._wire.place == "W2-07"
        await pilot.press("s")
        await wait_until(lambda: "from the side, W2-07" in grid(app)[0])
        before = grid(app)[3:18]
        await pilot.press("plus")
        assert grid(app)[3:18] != before
        await pilot.press("minus")
        await wait_until(lambda: grid(app)[3:18] == before)
        await pilot.press("right")
        await wait_until(lambda: "from the side, W2-06" in grid(app)[0])
        await pilot.press("s")
        await wait_until(lambda: any(line.startswith("▌W2-06") for line in grid(app)))
        await pilot.press("w")
        await wait_until(lambda: any("W1-01" in line for line in grid(app)))


async def test_a_number_along_the_wire_leads_to_a_place_on_any_screen(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "g", "0", "5")
        await wait_until(lambda: any(line.startswith("▌W2-05") for line in grid(app)))
        await pilot.press("3", "g", *"w1 08")
        await wait_until(lambda: any(line.startswith("▌W1-08") for line in grid(app)))
        await pilot.press("4", "g", *"e2 03")
        await wait_until(lambda: app._pane == "round")
        assert app._wire.place == "E2-03"


async def test_a_click_on_the_wire_leads_to_its_place(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any(line.startswith("▌W2-09") for line in grid(app)))
        wire = grid(app)[1]
        await pilot.click("#wire", offset=(wire.index("W1") + 3, 0))
        await wait_until(lambda: any(line.startswith("▌W1-16") for line in grid(app)))


async def test_the_lowered_view_lists_what_rises_and_what_falls(app: TunnelApp) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "b")
        await wait_until(lambda: "as it would be lowered" in grid(app)[0], 30)
        assert any(line.strip().startswith("rise  ") and "→" in line for line in grid(app))
        assert any(line.strip().startswith("fall  ") and "→" in line for line in grid(app))
        await pilot.press("b")
        await wait_until(lambda: "as it would be lowered" not in grid(app)[0])


async def test_the_loads_tell_the_chain_and_what_a_second_clip_would_do(app: TunnelApp) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("3")
        assert app.view is not None
        morning = app.view.morning
        assert morning is not None
        fullest = morning.loads.clips[0]
        words = " ".join(" ".join(line.partition("│")[2] for line in grid(app)).split())
        assert f"{fullest.leader.removesuffix('a')} on {fullest.on}" in words
        assert "1 in 20 of these fails by" in words
        await pilot.press("c")
        await wait_until(lambda: any(f"{fullest.share:.0%} →" in line for line in grid(app)))
        await pilot.press("s")
        await wait_until(lambda: any("string beside it  " in line for line in grid(app)))
        await pilot.press("y")
        await wait_until(lambda: any("one more leader  " in line for line in grid(app)))
        pane = app.query_one(LoadsPane)
        lines = pane.query_one(Lines)
        shares = [clip.share for clip in morning.loads.clips]
        assert shares == sorted(shares, reverse=True), "nearest to its limit first"
        assert lines.lines[0].key == f"clip {fullest.id}"
        assert chain_words(morning, fullest)[-1][0] == "if it lets go"


async def test_what_the_small_window_cuts_is_all_on_a_page(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("3")
        pane = app.query_one(LoadsPane)
        await wait_until(lambda: pane._clip() is not None)
        assert app.view is not None
        assert app.view.morning is not None
        clip = pane._clip()
        assert clip is not None
        words = chain_words(app.view.morning, clip)
        await pilot.press("v")
        await wait_until(lambda: isinstance(app.screen, ReadingPage))
        shown = " ".join(" ".join(grid(app)).replace("│", " ").split())
        assert f"if it lets go: {' '.join(words[-1][1].split()[:3])}" in shown
        await pilot.press("q")
        await wait_until(lambda: not isinstance(app.screen, ReadingPage))


async def test_a_whole_picking_is_weighed_in_with_two_keys_and_the_digits_each(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("4")
        await wait_until(lambda: any("can be promised" in line for line in grid(app)))
        before = app.view
        for typed in ("1.5", "2,25"):
            await pilot.press("p", *typed, "enter")
        await wait_until(lambda: app.view is not before and any("Picked today: 3.75 kg" in ln for ln in grid(app)))
        assert any("picked this season" in line for line in grid(app))
        await pilot.press("t")
        await wait_until(lambda: any("Every pick, the latest first" in line for line in grid(app)))


async def test_one_typed_line(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        before = app.view
        await pilot.press("e", *"note dry at the door", "enter")
        await wait_until(lambda: app.view is not before)
        await pilot.press("e", *"nothing like it", "enter")
        await pilot.pause()
        assert app.query_one("#walk", Lines) is not None


async def test_one_stems_story(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "enter")
        await wait_until(lambda: isinstance(app.screen, PlantPage))
        assert app.view is not None
        morning = app.view.morning
        assert morning is not None
        for leader in morning.season.leaders.values():
            titles = [line.key for line in plant_lines(morning, leader, 76) if line.heading]
            assert "From the side" in titles
            assert "Trusses, the lowest first" in titles
        await pilot.press("q")
        await wait_until(lambda: not isinstance(app.screen, PlantPage))


async def test_q_goes_back_to_the_round_and_digits_change_screen(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        for key, pane in (("2", "row"), ("f3", "loads"), ("4", "picks"), ("f1", "round"), ("f2", "row")):
            await pilot.press(key)
            await wait_until(lambda pane=pane: app._pane == pane)  # type: ignore[misc]
        await pilot.press("q")
        await wait_until(lambda: app._pane == "round")
        await pilot.press("p")
        await pilot.press("3")
        assert app._pane == "round", "a digit in a field is a digit"


async def test_every_pane_survives_any_size(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        for digit in "234":
            await pilot.press(digit)
            for size in ((20, 5), (1, 1), (41, 11), (200, 60), (80, 24)):
                await pilot.resize_terminal(*size)
                await pilot.pause()
                assert len(grid(app)) == size[1]


def test_a_lowering_seen_ahead_moves_the_hooks_it_proposes(tmp_path: Path) -> None:
    from datetime import UTC, datetime

    from tunneltui.screens.work import PlanRequest, morning_view

    entries = FileClient(demo_at(tmp_path)).entries()
    morning = morning_view(entries, PlanRequest(None, datetime.now(UTC))).morning
    assert morning is not None
    loop = next(loop for loop in morning.season.layout.loops if lowering_of(morning, loop))
    moves = [move for move in proposed_moves(morning, loop) if move.hook_u_m is not None]
    assert moves
    after = view_ahead(morning, loop, 0, lowered=True)
    for move in moves:
        hook = after.season.leaders[move.leader].hook
        assert hook is not None
        assert hook.u_m == move.hook_u_m


def test_a_promise_is_whole_kilograms_from_the_low_end() -> None:
    from datetime import date

    from tunneltui.growth.outlook import Band, PickOutlook

    day = date(2026, 8, 21)
    picks = [PickOutlook("cherry", "W1", day, Band(6, 8, 10), 3, blind=False)] * 2
    assert summed(pick.kg for pick in picks) == Band(16 - 8**0.5, 16, 16 + 8**0.5)
    assert promise(picks) == "13 kg can be promised, 16 kg likely"
    assert "no figure" in promise([PickOutlook("cherry", "W1", day, Band(0, 0, 0), 3, blind=True)])


async def test_keys_are_taken_while_another_day_is_worked_out(
    app: TunnelApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_go = Event()

    def held_up(*asked: Any, **how: Any) -> AheadView:
        if asked[2]:
            assert let_go.wait(30)
        return view_ahead(*asked, **how)

    monkeypatch.setattr("tunneltui.screens.row_pane.view_ahead", held_up)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any(line.startswith("▌W2-09") for line in grid(app)))
        await pilot.press("full_stop", "plus", "minus", "right", "s", "plus", "left", "s")
        assert "days on" not in grid(app)[0], "what is drawn is told, not what was asked for"
        let_go.set()
        await wait_until(lambda: "1 day on" in grid(app)[0])


async def test_a_house_without_clips_opens_its_loads_at_its_hooks(tmp_path: Path) -> None:
    """The list of clips was empty there, and nothing said that hooks stand to the right of it."""
    at = str(tmp_path / "own.db")
    shape = ["--length", "12", "--width", "4", "--rows", "1", "--places", "4", "--spacing", "0.5", "--wire", "2.1"]
    kept = ["--cultivars", "red one", "--latitude", "51", "--planted", "2026-05-10", "--on", "2026-07-01"]
    assert main(["new", "--at", at, "--name", "T", *shape, *kept]) == 0
    assert main(["add", "hung", "leader=W1-01a", "hook_u_m=0.6", "--at", at, "--on", "2026-07-01"]) == 0
    app = TunnelApp(FileClient(Path(at)), on=date(2026, 7, 2))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("3")
        await wait_until(lambda: any(line.startswith("▌W1-01") for line in grid(app)))
        await pilot.press("left")
        await wait_until(lambda: any("Nothing is clipped to a string." in line for line in grid(app)))
