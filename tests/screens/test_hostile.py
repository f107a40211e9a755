"""Text as typed, through every widget: nothing is taken for markup, nothing disappears, nothing crashes.

The list is that of the trouble found with Textual's and Rich's markup (their issues 5599, 6155, 6614, 6642), with
right-to-left, wide and very long text.
"""

from __future__ import annotations

import pytest

from tests.screens.given import LOWER, KeptInMind, PlansWhole, go_to, grid, view, wait_until
from tunneltui.chores.chore import Spot
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.lines import Lines
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView, RowFacts
from tunneltui.screens.text import one_line
from tunneltui.values import replace

HOSTILE = (
    "Bed [3]",
    "[true, false]",
    "[/",
    "[/]",
    "[A-1] wet",
    "[red]x[/red]",
    "[@click=app.quit]x[/]",
    "[type=x, v={'a[0]'}]",
    "trailing\\",
    "$name",
    "שורה שלוש",
    "番号三 広い",
    "e\u0301 zero\u200bwidth",
    "👩‍🌾 grower",
    "\u202egnol",
    "bell\x07 esc\x1b[31m tab\t",
    "two\nlines",
    "x" * 10_000,
    "",
)


def hostile_view(text: str) -> RoundView:
    chore = LOWER._replace(proposal=text, why=text, waiting=text, about=text, row="W1")
    piece = chore.pieces[0]._replace(leaders=("plant7", "plant8"), what=text, place=text)
    two = chore._replace(pieces=(piece,))
    leader = LeaderFacts("plant7", text, text, "W1", (text, text), (FixingChoice("clip", text, 0.5),))
    other = leader._replace(id="plant8")
    made = view()
    plan = made.round._replace(spots=(Spot(text, "W1", 0, (two,)),), later=())
    return replace(
        made,
        holding=text,
        air=text,
        round=plan,
        leaders={"plant7": leader, "plant8": other},
        rows={"W1": RowFacts(text, (text, text + "2"))},
    )


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
async def test_hostile_text(text: str) -> None:
    kept = KeptInMind()
    kept.refuse = text
    app = TunnelApp(kept, first=hostile_view(text), planner=PlansWhole(lambda: hostile_view(text)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, LOWER)
        await pilot.pause()
        start = one_line(text)[:40].strip()
        if text.isascii() and text.isprintable() and text:
            assert sum(start in line for line in grid(app)) >= 2, grid(app)
        for key in ("x", "a", "enter", "z", "v", "p", "m", "n", "t"):
            await pilot.press(key)
            await pilot.pause()
            grid(app)
            await pilot.press("escape")
        await pilot.press("space")
        await pilot.pause()
        assert app.is_running


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_one_line_holds_no_control_code(text: str) -> None:
    line = one_line(text)
    assert not any(ord(character) < 32 or character == "\x7f" for character in line)
    assert "\u202e" not in line
