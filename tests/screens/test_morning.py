"""A whole morning of the demo, key by key: few keys, nothing cut, and all of it written."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.journal.order import live
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.decide import Decide
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lowering_page import LoweringPage
from tunneltui.screens.stops import LATER

MOST_KEYS = 65
"""A demo morning of 120 minutes without exceptions."""


class Hand:
    """Presses keys and counts them; looks at every screen on the way."""

    def __init__(self, app: TunnelApp, pilot: Pilot[None]) -> None:
        self.app, self.pilot = app, pilot
        self.keys: list[str] = []
        self.cut: set[str] = set()

    async def press(self, *keys: str) -> None:
        for key in keys:
            self.keys.append(key)
            await self.pilot.press(key)
            # In the second column it says that a line is being written.
            lines = (line[:1] + line[2:] for line in grid(self.app))
            self.cut |= {line for line in lines if "…" in line.replace(" … ", "").replace(" …", "", 1)}

    async def settled(self) -> None:
        walk = self.app._round.walk.walk
        await wait_until(lambda: not any(mark == "writing" for mark in walk._marks.values()), 60)
        await wait_until(lambda: not self.app._scheduler.plans, 60)
        await self.pilot.pause()


async def test_a_whole_morning_in_few_keys(tmp_path: Path, record_property: object) -> None:
    keeper = FileClient(demo_at(tmp_path))
    app = TunnelApp(keeper)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
        await pilot.pause()
        hand = Hand(app, pilot)
        assert app._round.shown == "card", "the card opens the morning"
        await hand.press("enter")
        pane = app._round.walk
        common: set[str] = set()
        while (laid := pane.walk.shown) is not None and pane.walk.walk.far.minutes > 0.01 and laid.key != LATER:
            assert len(hand.keys) <= MOST_KEYS, " ".join(hand.keys)
            if isinstance(app.screen, LoweringPage):
                page = app.screen
                await hand.press("space")
                while page._card is not None:
                    await hand.press("space")
                await wait_until(lambda page=page: all(given.act for given in page._given), 60)  # type: ignore[misc]
                await hand.press("q")
                await wait_until(lambda page=page: app.screen is not page, 60)  # type: ignore[misc]
            elif isinstance(app.screen, Decide):
                letter = app.screen._chore.choices[0].key
                await hand.press(letter.upper() if app.screen._whole is not None else letter)
            elif laid.name == "plants" and laid.key not in common and any(s.heads or s.leaves for s in laid.stops):
                common.add(laid.key)
                await hand.press("S", "S")
                await hand.settled()
                pane.walk.action_first()
                if pane.walk.stop is not None and not pane.walk.is_open(pane.walk.stop):
                    pane.walk.move_onwards()
            elif pane.takes_figures:
                await hand.press("2", "enter")
            else:
                stop = pane.walk.stop
                await hand.press("space")
                if stop is not None and stop.decides:
                    await hand.settled()
                    if not isinstance(app.screen, Decide) and pane.walk.stop is stop:
                        await hand.press("space")
            await hand.settled()
        assert len(hand.keys) <= MOST_KEYS, " ".join(hand.keys)
        assert not hand.cut
        view = app.view
        assert view is not None
        left = [chore.id for chore in view.planned() if view.is_open(chore)]
        assert not left
    day = [entry for entry in live(FileClient(tmp_path / "demo.db").entries()) if entry.day == view.day]
    assert {"picked", "lowered", "clipped", "side_shooted", "looked"} <= {entry.kind for entry in day}
    record_property("tells", f"a whole demo morning in {len(hand.keys)} keys: {' '.join(hand.keys)}")  # type: ignore[operator]
