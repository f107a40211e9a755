"""Whatever screens there are: every key told, in the palette and on the mouse, at any size; hostile text."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Sequence
from concurrent.futures import Future
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path
from typing import cast

from rich.cells import cell_len
from textual.pilot import Pilot

from tests.screens.given import grid, typed_at_once, wait_until
from tests.screens.made_demo import demo_at
from tests.screens.test_hostile import HOSTILE
from tunneltui.journal import body
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_journal import Note
from tunneltui.screens import actions
from tunneltui.screens.actions import PANES
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient, JournalClient
from tunneltui.screens.lines import Lines
from tunneltui.store.seen import JournalHead

SIZES = ((20, 5), (1, 1), (40, 10), (200, 60), (80, 24))


class Given:
    """A journal of entries as given; nothing more can be written."""

    device = ""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self._entries = list(entries)

    def head(self) -> JournalHead | None:
        return None

    def entries(self) -> list[Entry]:
        return self._entries

    def settled(self, _day: date) -> list[Entry]:
        return self.entries()

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:  # noqa: ARG002
        refused: Future[list[Entry]] = Future()
        refused.set_exception(OSError("the disk [/] is full"))
        return refused

    def close(self) -> None: ...


@asynccontextmanager
async def opened(
    client: JournalClient, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[TunnelApp, Pilot[None]]]:
    app = TunnelApp(client)
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        yield app, pilot


def test_the_keys_line_is_never_cut_and_never_without_the_way_to_all_keys() -> None:
    for name in PANES:
        here = (*actions.of(cast("actions.Where", name)), *actions.of("everywhere"))
        whole = {f"{actions.footer_key(action)} {action.words}" for action in here}
        for columns in range(40, 201):
            line = actions.footer(here, columns)
            assert len(line) < columns, (name, columns)
            assert set(line.split(actions.GAP)) <= whole, (name, columns)
            assert line.endswith("? keys"), (name, columns)
        for action in here:
            at = actions.footer(here, 80).find(f"{actions.footer_key(action)} {action.words}")
            assert at < 0 or actions.action_at(here, 80, at + 1) == action, (name, action.id)


async def test_keys_mouse_and_any_size_on_every_screen(tmp_path: Path) -> None:
    async with opened(FileClient(demo_at(tmp_path))) as (app, pilot):
        for name, digit in PANES.items():
            await shown(app, pilot, digit)
            here = (*actions.of(cast("actions.Where", name)), *actions.of("everywhere"))
            assert grid(app)[-1].strip() == actions.footer(here, 80), name
            every_key_does_something_and_is_in_the_palette(app, here)
            await a_click_on_the_keys_line_lists_every_key(app, pilot, here)
            await a_click_on_a_row_goes_there(app, pilot)
            await any_size_is_safe(app, pilot)


async def shown(app: TunnelApp, pilot: Pilot[None], digit: int) -> None:
    """The screen of that digit with all that it works out."""
    await pilot.press(str(digit))
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


async def pressed(app: TunnelApp, pilot: Pilot[None], *keys: str) -> None:
    """As ``pilot.press``, which also waits for whatever is worked out meanwhile."""
    for key in keys:
        typed_at_once(app, (key, key if len(key) == 1 else None))
        await pilot.pause(0)


def every_key_does_something_and_is_in_the_palette(app: TunnelApp, here: Sequence[actions.Action]) -> None:
    commands = {command.help for command in app.get_system_commands(app.screen)}
    focus = app.focused or app.screen
    for action in here:
        assert action.help in commands, action.id
        method = f"action_{action.called.partition('(')[0]}"
        assert any(hasattr(node, method) for node in focus.ancestors_with_self), action.id


async def a_click_on_the_keys_line_lists_every_key(
    app: TunnelApp, pilot: Pilot[None], here: Sequence[actions.Action]
) -> None:
    await pilot.click("#keys-line", offset=(grid(app)[-1].index("? keys") + 1, 0))
    await pilot.pause()
    told = str(app.screen.query_one("#page-text Static").render())
    for action in here:
        assert action.help in told, action.id
        assert actions.shown_key(action.keys[0]) in told, action.id
    await pressed(app, pilot, "escape")
    await wait_until(lambda: len(app.screen_stack) == 1)


async def a_click_on_a_row_goes_there(app: TunnelApp, pilot: Pilot[None]) -> None:
    lines = app.focused
    if isinstance(lines, Lines) and len(lines.lines) > 2:
        await pressed(app, pilot, "home")
        await pilot.click(lines, offset=(5, 2))
        await pilot.pause()
        assert lines.cursor > 0  # a line may take two rows of the screen


async def any_size_is_safe(app: TunnelApp, pilot: Pilot[None]) -> None:
    before = grid(app)
    for columns, rows in SIZES:
        await pilot.resize_terminal(columns, rows)
        await pilot.pause()
        assert len(grid(app)) == rows
        assert all(cell_len(line) <= columns for line in grid(app))
    await app.workers.wait_for_complete()
    await pilot.pause()
    assert grid(app) == before


def hostile(entries: Sequence[Entry]) -> list[Entry]:
    """The demo with hostile names for what the grower names, and every hostile text as a note."""
    short = [text for text in HOSTILE if len(text) < 100]
    names = ["cherry 1", "standard 2", "beef 3", "cherry 4", "Saltmarsh Lane community growers", "west tunnel"]
    stand_ins = {name: " ".join(short[number :: len(names)]) for number, name in enumerate(names)}
    stand_ins["east tunnel"] = HOSTILE[-2][:200]  # a longer name does not check: its holding would be set aside
    told = []
    for entry in entries:
        text = entry.body
        for name, stand_in in stand_ins.items():
            # A holding is TOML within JSON: its quotes are quoted once more.
            within = json.dumps(json.dumps(stand_in, ensure_ascii=False), ensure_ascii=False)[1:-1]
            text = text.replace(f'\\"{name}\\"', within)
            text = text.replace(f'"{name}"', json.dumps(stand_in, ensure_ascii=False))
        told.append(entry._replace(body=text))
    last = max(entries, key=lambda entry: entry.order)
    for number, text in enumerate(HOSTILE):
        draft = body.draft("W1-01", Note(text))
        told.append(
            last._replace(
                id=f"zz{number}",
                act=f"zz{number}",
                at_us=last.at_us + 1 + number,
                by=text,
                about=text if number % 2 else "W1-01",
                kind=draft.kind,
                body=draft.body,
            )
        )
    return told


async def test_hostile_text_on_every_screen(tmp_path: Path) -> None:
    client = Given(hostile(FileClient(demo_at(tmp_path)).entries()))
    seen: dict[str, str] = {}
    async with opened(client) as (app, pilot):
        for name, digit in PANES.items():
            await shown(app, pilot, digit)
            seen[name] = "\n".join(grid(app))
            # Each of these two works a whole season out anew and shows no other text.
            here = (a for a in actions.of(cast("actions.Where", name)) if a.id not in ("leaders", "rows"))
            for key in ("down", *(action.keys[0] for action in here)):
                await pressed(app, pilot, key)
                for line in grid(app):
                    assert not any(ord(one) < 32 or one in "\x7f\u202e\x9b" for one in line), (name, key, line)
                while len(app.screen_stack) > 1:
                    await pressed(app, pilot, "escape")
            assert app.is_running
    assert "[@click=app.quit]x[/]" in "\n".join(seen.values())
    assert "Bed [3]" in seen["picks"]
    assert "[type=x, v={'a[0]'}]" in seen["journal"]
