"""Keys pressed at random, on every screen and in every form: no entry is ever written whose words were not on the
screen before the key (design.md section 5, rule 13)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from functools import partial
from pathlib import Path
from random import Random

import pytest

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.screens import actions
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.messages import PlanRequested
from tunneltui.screens.pieces_form import PieceByPiece
from tunneltui.screens.stops import LATER, Stop
from tunneltui.screens.walk_pane import WalkPane
from tunneltui.season.state import Season

WORDS: dict[str, str] = {
    "side_shooted": r"shoot",
    "deleafed": r"lea(f|ves)",
    "clipped": r"clip|\+|hang|lower|twist|heads?|repair|again|string",
    "tied": r"tie|again|keep|shoot|clip",
    "unclipped": r"clip|open|back|lower",
    "twisted_in": r"~|twist|heads?",
    "lowered": r"lower|let out|tip|turn|hang",
    "hung": r"hook|hang|hung|twine|lower|put right",
    "looked": r"look|hangs loose|put right|stems",
    "scouted": r"look|sick|found|over",
    "picked": r"pick|kg|lb|Kilograms|ripe",
    "tip_taken_out": r"tip",
    "let_it_run": r"run",
    "removed": r"out|clear",
    "fed": r"feed|cans?",
    "watered": r"water|timer|drip|L a day|min a day|litres",
    "measured": r"[Rr]ead|tip|[Gg]rowth|[Ll]ength|truss",
    "truss_counted": r"truss",
    "marked_plant": r"mark",
    "clip_failed": r"failed|How\?|broke|popped|slid|knot|twine|let go|clip",
    "tip_snapped": r"snapped",
    "stem_kinked": r"kinked|crack|splint",
    "plant_dropped": r"dropped",
    "put_off": r"[Pp]ut off|tomorrow|later|leave",
    "note": r"[Nn]ote|look|walk|wait|leave|cross wire|fit|again",
    "crossed_out": r"",
    "restored": r"",
}
"""What must have stood on the screen, by the kind of entry; what takes back needs the line that says so."""
NO_PLACE = frozenset(
    ("crossed_out", "restored", "air", "forecast", "fleece", "doors", "shade", "stocked", "bucket_tested")
)
"""Kinds that are about no one plant or row."""
OF_A_ROW = frozenset({"looked", "scouted"})
"""Said of a row as a whole, whatever plants it lists; piece by piece each is named."""
EVERY_KEY = sorted(
    {
        key
        for name in (*actions.PANES, "everywhere", "card", "lowering", "list")
        for action in actions.of(name)  # type: ignore[arg-type]
        for key in action.keys
        if key not in ("ctrl+q", "ctrl+c") and "ctrl" not in key
    }
)
TYPED = [*"abcdefghijklmnoprstuvwxyz", *"0123456789", "enter", "escape", "tab", "backspace", "S"]
OFTEN = ["space", "enter", "down", "right", "S", "enter", "space", "1", "1"]


class Watched(FileClient):
    """The demo's journal; every act is held to what stood on the screen."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.acts: list[tuple[Draft, ...]] = []

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        self.acts.append(tuple(drafts))
        return super().submit(drafts, day)


def unseen(season: Season, drafts: Sequence[Draft], screen: str) -> list[Draft]:
    """Drafts whose kind or place did not stand on the screen."""
    common = "again writes" in screen
    return [
        one for one in drafts if not (_says_what(one, screen) and (common or _says_where(season, one, screen)))
    ]


def _says_what(one: Draft, screen: str) -> bool:
    return re.search(WORDS.get(one.kind, one.kind.split("_")[0]), screen, re.I) is not None


def _says_where(season: Season, one: Draft, screen: str) -> bool:
    if one.kind in NO_PLACE or not one.about:
        return True
    plain = parsed(one)
    ids = [*plain.get("leaders", ()), *([plain["leader"]] if plain.get("leader") else [])]
    known = [season.leaders[id_] for id_ in ids if id_ in season.leaders]
    if not known or one.kind in OF_A_ROW:
        row = season.layout.places[one.about].row_id if one.about in season.layout.places else one.about
        return row in screen or one.about in screen
    return all(re.search(rf"(?<!\d){leader.place[-2:]}[a-d+~]?(?!\d)", screen) for leader in known)


def _is_there(app: TunnelApp) -> bool:
    return app.view is not None and app.view.morning is not None


async def _walk(path: Path, seed: int, count: int) -> tuple[int, int]:
    """Keys pressed and acts written."""
    luck = Random(seed)
    pressed = acts = 0
    while pressed < count:
        keeper = Watched(path)
        app = TunnelApp(keeper)
        async with app.run_test(size=luck.choice(((80, 24), (120, 40)))) as pilot:
            await wait_until(partial(_is_there, app), 120)
            before = ""
            trail: list[str] = []
            while pressed < count and not app._exit:
                morning = app.view.morning if app.view is not None else None
                screens = before + "\n" + "\n".join(grid(app))
                keys = (OFTEN, EVERY_KEY, TYPED)[luck.choices((0, 1, 2), (6, 3, 1))[0]]
                key = luck.choice(keys)
                trail.append(key)
                written = len(keeper.acts)
                await pilot.press(key)
                pressed += 1
                for drafts in keeper.acts[written:]:
                    acts += 1
                    assert morning is not None
                    assert not unseen(morning.season, drafts, screens), (
                        f"seed {seed}, after {' '.join(trail[-12:])}\n{screens}\n"
                        f"{unseen(morning.season, drafts, screens)}"
                    )
                before = "\n".join(grid(app))
        keeper.close()
    return pressed, acts


@pytest.mark.parametrize("seed", [1, 2])
async def test_no_key_writes_what_was_not_on_the_screen(tmp_path: Path, seed: int) -> None:
    pressed, acts = await _walk(demo_at(tmp_path), seed, 200)
    assert pressed == 200
    assert acts


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10, 20))
async def test_ten_thousand_keys_write_nothing_that_was_not_on_the_screen(tmp_path: Path, seed: int) -> None:
    pressed, acts = await _walk(demo_at(tmp_path), seed, 1000)
    assert pressed == 1000
    assert acts > 5


async def test_of_what_waits_every_piece_is_shown_before_it_is_written(tmp_path: Path) -> None:
    """A line of the last pass names its first pieces only ("and 11 more"); space wrote all fifteen."""
    keeper = Watched(demo_at(tmp_path))
    app = TunnelApp(keeper)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(partial(_is_there, app), 120)
        app.post_message(PlanRequested(minutes=1.0))
        await pilot.press("1")
        pane = app._round.walk
        await wait_until(lambda: pane.show_pass(LATER) and bool(_of_many(pane)), 60)
        pane.walk.go_to_stop(_of_many(pane)[0].key)
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        assert isinstance(app.screen, PieceByPiece)
        assert not keeper.acts


def _of_many(pane: WalkPane) -> list[Stop]:
    """Lines of the last pass of several heads, that a tick may say."""
    laid = pane.walk.walk
    shown = pane.walk.shown
    stops = shown.stops if shown is not None and shown.key == LATER else ()
    return [stop for stop in stops if any(c.kind == "clip_head" and len(c.pieces) > 4 for c in laid.here(stop))]
