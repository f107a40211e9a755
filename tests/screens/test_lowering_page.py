"""A lowering on the screen: a key a head, each an act of its own, taken back, left, stopped after two cracks."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, DAY, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.journal.body import answers, parsed
from tunneltui.journal.entry import Entry
from tunneltui.journal.order import live
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lowering_page import LoweringPage, page_for
from tunneltui.values import replace

HEADS = 19
LOWER = "lower W1 2026-08-20"
SHOWN = {
    "lowering-before": ((), "when all is done"),
    "lowering-fifth": (("space", "space", "s", "4", "5", "enter", "w"), "its fullest clip"),
    "lowering-stopped": (("space", "w", "a", "a"), "Two cracks"),
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return demo_at(tmp_path)


async def lowering(app: TunnelApp, pilot: Pilot[None], *keys: str) -> LoweringPage:
    """The lowering of the west loop, with these keys typed."""
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
    assert app.view is not None
    page = page_for(app.view, "W1")
    assert page is not None
    app.push_screen(page)
    await wait_until(lambda: app.screen is page)
    for key in keys:
        await pilot.press(key)
    await wait_until(lambda: page._known is not None and all(given.act for given in page._given), 30)
    await pilot.pause()
    return page


def written(client: FileClient, kind: str) -> list[Entry]:
    """What counts of that kind and answers the lowering."""
    today = [entry for entry in live(client.entries()) if entry.day == DAY and entry.kind == kind]
    return [entry for entry in today if (given := answers(entry)) is not None and given[:2] == ("lower", "W1")]


def opened(path: Path) -> tuple[FileClient, TunnelApp]:
    client = FileClient(path)
    return client, TunnelApp(client)


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int], path: Path) -> None:
    _, app = opened(path)
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await lowering(app, pilot, *keys)
        await wait_until(lambda: any(words in line for line in grid(app)))
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


async def test_it_opens_from_its_line_and_ticks_nothing_by_opening(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        before = len(client.entries())
        assert app._round.go_to_chore(LOWER)
        await pilot.press("space")
        await wait_until(lambda: isinstance(app.screen, LoweringPage))
        await pilot.press("space", "down", "down", "up", "q")
        await wait_until(lambda: not isinstance(app.screen, LoweringPage))
        assert len(client.entries()) == before


async def test_a_key_a_head_and_how_its_tip_hung(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space", "space", "s", "w", "o", "4", "5", "enter")
        said = [parsed(entry) for entry in written(client, "lowered")]
        assert [one.get("finish") for one in said] == [None, "as_said", "well_under", "over", None]
        assert [one.get("tip_under_wire_m") for one in said] == [None, None, None, None, 0.45]
        # By space alone nothing was looked at: a tick is no measurement.
        assert [one.get("as_proposed", False) for one in said] == [True, False, False, False, False]
        assert len({entry.act for entry in written(client, "lowered")}) == 5
        assert page._at == 5


async def test_taken_back_it_is_that_head_again(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space", "space", "s", "u")
        await wait_until(lambda: len(written(client, "lowered")) == 1)
        assert page._at == 1


async def test_partly_done_is_kept_and_taken_up_where_it_stopped(path: Path) -> None:
    _, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await lowering(app, pilot, "space", *["space"] * 4, "q")
        await wait_until(lambda: app.view is not None and app.view.states.get("lower W1 2026-08-20") == "partly")
    _, again = opened(path)
    async with again.run_test(size=(80, 24)) as pilot:
        page = await lowering(again, pilot, "space")
        assert len(page._before.names) == 4
        assert f"head 5 of {HEADS}" in grid(again)[0]


async def test_two_cracks_stop_the_row(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space", "a", "a")
        assert page._card is None
        assert len([entry for entry in live(client.entries()) if entry.kind == "stem_kinked"][-2:]) == 2
        assert not written(client, "lowered")


async def test_a_head_left_is_named_at_the_end_and_stays_on_the_walk(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space", "z", "a", *["space"] * (HEADS - 1))
        assert page._card is None
        assert "Left as they hang: W2-01" in "\n".join(grid(app))
        assert len(written(client, "lowered")) == HEADS - 1


async def test_a_head_that_hangs_so_low_already_is_left_with_a_look_at_its_tip(path: Path) -> None:
    """Where its tip is little known the page says to leave it if it hangs so low already: noted as seen."""
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot)
        page._moves = {name: replace(move, may_hang_low=True) for name, move in page._moves.items()}
        first = next(iter(page._moves.values()))
        for key in ("space", "z", "a"):
            await pilot.press(key)
        await wait_until(lambda: bool(page._given) and all(given.act for given in page._given), 30)
        assert not written(client, "lowered")
        seen = [parsed(entry) for entry in live(client.entries()) if entry.kind == "measured"][-1]
        assert seen == {"leader": first.leader, "tip_under_wire_m": round(first.under_after_m, 2), "by": "eye"}


async def test_other_turns_and_another_place_are_written_as_they_were_done(path: Path) -> None:
    client, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space", "enter", *"1.5", "enter", *"6+", "enter")
        (said,) = [parsed(entry) for entry in written(client, "lowered")]
        assert said["let_out_m"] == pytest.approx(0.45)
        assert app.view is not None
        assert app.view.morning is not None
        string = next(
            one for one in app.view.morning.season.strings.values() if one.row == "W2" and one.number == 6
        )
        assert said["hook_u_m"] == pytest.approx(string.u_m + 0.10, abs=0.01)
        assert page._at == 1


async def test_no_size_ends_it(path: Path) -> None:
    _, app = opened(path)
    async with app.run_test(size=(80, 24)) as pilot:
        page = await lowering(app, pilot, "space")
        for size in ((10, 3), (40, 10), (60, 16), (200, 60), (1, 1), (80, 24)):
            await pilot.resize_terminal(*size)
            await pilot.press("down")
        await pilot.pause()
        assert page._at == 6
        assert len(grid(app)) == 24


async def test_seven_left_out_and_two_done_differently_take_few_keys_more(path: Path) -> None:
    """At most twelve more than the plain lowering: a key to begin, one a head."""
    client, app = opened(path)
    keys = ["space", *["down"] * 7, *["space"] * (HEADS - 9)]
    for turns in ("1.5", "0.5"):
        keys += ["enter", *turns, "enter", "enter"]
    assert len(keys) <= 1 + HEADS + 12
    async with app.run_test(size=(80, 24)) as pilot:
        await lowering(app, pilot, *keys)
        lowered = [parsed(entry) for entry in written(client, "lowered")]
        assert len(lowered) == HEADS - 7
        assert [round(one["let_out_m"], 2) for one in lowered[-2:]] == [0.45, 0.15]
        await pilot.press("q")
        await wait_until(lambda: app.view is not None and app.view.states.get(LOWER) == "partly", 60)
        assert app.view is not None
        assert app.view.morning is not None
        (left,) = [chore for chore in app.view.morning.chores if (chore.kind, chore.about) == ("lower", "W1")]
        assert len(left.pieces) == 7
