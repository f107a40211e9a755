"""Row, Loads and Picks on the demo's morning, and that each says the same as its table."""

from __future__ import annotations

from pathlib import Path
from threading import Event
from typing import Any

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Holding, Place, Row, Tunnel
from tunneltui.pages.loads import chain_words
from tunneltui.pages.picks import promise, summed
from tunneltui.screens.ahead import Seen, lowering_of, proposed, seen
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.forms import Page
from tunneltui.screens.keeper import FileKeeper
from tunneltui.screens.lines import Lines
from tunneltui.screens.loads_pane import LoadsPane
from tunneltui.screens.places import place_beside
from tunneltui.screens.plant_page import PlantPage, plant_lines
from tunneltui.screens.row_pane import RowPane


@pytest.fixture
def app(tmp_path: Path) -> TunnelApp:
    return TunnelApp(FileKeeper(demo_at(tmp_path)))


def planned(app: TunnelApp) -> bool:
    return app.picture is not None and app.picture.morning is not None


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_the_row_is_drawn_stepped_lowered_and_tabled(app: TunnelApp, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any("row W1" in line for line in grid(app)[:3]))
        today = grid(app)
        assert any("Thu 20 Aug, today" in line for line in today)
        assert sum("J" in line for line in today) >= 1
        await pilot.press("full_stop", "full_stop")
        await wait_until(lambda: any("Sat 22 Aug, 2 days ahead" in line for line in grid(app)))
        await pilot.press("comma", "comma")
        await wait_until(lambda: grid(app)[1:-3] == today[1:-3])
        await pilot.press("b")
        await wait_until(lambda: any("as it would be lowered" in line for line in grid(app)))
        assert grid(app)[2:10] != today[2:10]
        await pilot.press("b", "t")
        await wait_until(lambda: any("Fullest" in line or "fullest clip" in line for line in grid(app)))
        pane = app.query_one(RowPane)
        table = pane.query_one("#row-table", Lines)
        assert app.picture is not None
        assert app.picture.morning is not None
        loop = app.picture.morning.season.leaders_of_loop("W1")
        assert {line.key for line in table.lines if not line.heading} == {leader.id for leader in loop}
        await pilot.press("t", "v")
        await wait_until(lambda: isinstance(app.screen, Page))


async def test_the_tunnel_from_above_counts_what_is_to_do(app: TunnelApp) -> None:
    async with app.run_test(size=(100, 30)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "o")
        await wait_until(lambda: any("W2 " in line for line in grid(app)))
        assert any("W1 " in line for line in grid(app))


async def test_a_place_chosen_from_above_is_shown_from_the_side(app: TunnelApp) -> None:
    async with app.run_test(size=(100, 30)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "o", "down", "right")
        await wait_until(lambda: any("W2-" in line and "to do" in line for line in grid(app)))
        told = next(line for line in grid(app) if "enter shows it" in line)
        place = told.split(":")[0].strip()
        assert any("↓" in line for line in grid(app))
        await pilot.press("enter")
        await wait_until(lambda: any(f"{place}a " in line for line in grid(app)))
        assert app.query_one(RowPane)._chosen in app.picture.morning.season.leaders  # type: ignore[union-attr]


def test_arrows_from_above_go_to_the_nearest_place_and_stop_at_the_ends() -> None:
    rows = (
        Row(1, 2.2, 6.0, start_m=1.0, across_m=1.0, places=(Place("T1-01", 1.0), Place("T1-02", 3.0))),
        Row(2, 2.2, 6.0, start_m=0.0, across_m=2.0, places=(Place("T2-01", 1.0), Place("T2-02", 3.6))),
    )
    there = layout(Holding("trial", tunnels=(Tunnel("T", "", 8.0, 5.0, rows=rows),)))
    assert place_beside(there, "T1-01", 1, 0) == "T1-02"
    assert place_beside(there, "T1-02", 1, 0) == "T1-02"
    # 4 m from the door in row 1; in row 2 the places lie at 1 and 3.6 m.
    assert place_beside(there, "T1-02", 0, 1) == "T2-02"
    assert place_beside(there, "T2-02", 0, 1) == "T2-02"
    assert place_beside(there, "T2-01", 0, -1) == "T1-01"


async def test_zoom_pan_and_next_row(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any("row W1" in line for line in grid(app)[:3]))
        before = grid(app)[3:15]
        await pilot.press("plus")
        assert grid(app)[3:15] != before
        await pilot.press("minus")
        await wait_until(lambda: grid(app)[3:15] == before)
        await pilot.press("right_square_bracket")
        assert grid(app)[3:15] != before
        await pilot.press("w")
        await wait_until(lambda: any("row E1" in line for line in grid(app)[:3]))


async def test_the_loads_tell_the_chain_and_what_a_second_clip_would_do(app: TunnelApp) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("3")
        assert app.picture is not None
        morning = app.picture.morning
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
        assert app.picture is not None
        assert app.picture.morning is not None
        clip = pane._clip()
        assert clip is not None
        words = chain_words(app.picture.morning, clip)
        await pilot.press("v")
        await wait_until(lambda: isinstance(app.screen, Page))
        shown = " ".join(" ".join(grid(app)).replace("│", " ").split())
        assert f"if it lets go: {' '.join(words[-1][1].split()[:3])}" in shown
        await pilot.press("q")
        await wait_until(lambda: not isinstance(app.screen, Page))


async def test_a_whole_picking_is_weighed_in_with_two_keys_and_the_digits_each(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("4")
        await wait_until(lambda: any("can be promised" in line for line in grid(app)))
        before = app.picture
        for typed in ("1.5", "2,25"):
            await pilot.press("p", *typed, "enter")
        await wait_until(
            lambda: app.picture is not before and any("Picked today: 3.75 kg" in ln for ln in grid(app))
        )
        assert any("picked this season" in line for line in grid(app))
        await pilot.press("t")
        await wait_until(lambda: any("Every pick, the latest first" in line for line in grid(app)))


async def test_one_typed_line(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        before = app.picture
        await pilot.press("e", *"note dry at the door", "enter")
        await wait_until(lambda: app.picture is not before)
        await pilot.press("e", *"nothing like it", "enter")
        await pilot.pause()
        assert app.query_one("#walk", Lines) is not None


async def test_one_stems_story(app: TunnelApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2", "enter")
        await wait_until(lambda: isinstance(app.screen, PlantPage))
        assert app.picture is not None
        morning = app.picture.morning
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

    from tunneltui.screens.work import Asked, morning_picture

    entries = FileKeeper(demo_at(tmp_path)).entries()
    morning = morning_picture(entries, Asked(None, datetime.now(UTC))).morning
    assert morning is not None
    loop = next(loop for loop in morning.season.layout.loops if lowering_of(morning, loop))
    moves = [move for move in proposed(morning, loop) if move.hook_u_m is not None]
    assert moves
    after = seen(morning, loop, 0, lowered=True)
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

    def held_up(*asked: Any, **how: Any) -> Seen:
        if asked[2]:
            assert let_go.wait(30)
        return seen(*asked, **how)

    monkeypatch.setattr("tunneltui.screens.row_pane.seen", held_up)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: planned(app))
        await pilot.press("2")
        await wait_until(lambda: any("today" in line for line in grid(app)))
        await pilot.press(
            "full_stop", "plus", "minus", "w", "plus", "right", "t", "t", "o", "o", "left_square_bracket"
        )
        assert any("today" in line for line in grid(app)), "what is drawn is told, not what was asked for"
        let_go.set()
        await wait_until(lambda: any("1 day ahead" in line for line in grid(app)))
