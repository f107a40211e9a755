"""A terminal without UTF-8 gets ASCII everywhere, frames included, and the same layout."""

from __future__ import annotations

import pytest

from tests.screens.given import LOWER, KeptInMind, an_app, go_to, grid, wait_until
from tunneltui.draw.ascii_only import shows_ascii_only
from tunneltui.screens.lines import Lines


@pytest.mark.parametrize(
    ("encoding", "term", "poor"),
    [
        ("utf-8", "xterm-256color", False),
        ("UTF8", "", False),
        ("iso8859-1", "xterm", True),
        ("ANSI_X3.4-1968", "xterm", True),
        (None, "xterm", True),
        ("utf-8", "linux", True),
        ("utf-8", "vt100", True),
    ],
)
def test_which_terminals_are_poor(encoding: str | None, term: str, poor: bool) -> None:
    assert shows_ascii_only(encoding, {"TERM": term}) is poor


async def test_every_character_on_a_poor_terminal_is_ascii() -> None:
    app = an_app(KeptInMind(), ascii_only=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, LOWER)
        # The line names its place by the string it goes over; the question names the stem.
        for keys, told in (((), "over 9"), (("x",), "W1-07")):
            await pilot.press(*keys)
            await pilot.pause()
            rows = grid(app)
            assert all(row.isascii() for row in rows), rows
            assert any(told in row for row in rows)
