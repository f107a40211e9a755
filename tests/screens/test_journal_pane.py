"""The journal on the screen: everything in it, newest first, found again, crossed out and restored."""

from __future__ import annotations

import random
import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.journal.order import MARKS, acts_out
from tunneltui.pages.entry_search import EntrySearch, fits, kind_named, span
from tunneltui.pages.journal import EntryLines, listing, open_book
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.journal_pane import JournalPane
from tunneltui.screens.parts import Line
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

SHOWN = {
    "journal": (("9",), "newest first"),
    "journal-act": (("9", "enter"), "of one act"),
    "journal-picks": (("9", "f", *"picked", "f2"), "kind picked"),
    "journal-cross": (("9", "x"), "Nothing is deleted"),
}


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot, *keys)
        await wait_until(lambda: any(words in line for line in grid(app)))
        await app.workers.wait_for_complete()
        await pilot.pause()
        as_kept(f"{name}-{size[0]}x{size[1]}", without_ids(grid(app)))


def without_ids(rows: list[str]) -> list[str]:
    """Ids of acts and entries are random in part."""
    return [re.sub(r"\b[0-9a-f]{6,8}(-[0-9a-f]{0,12})*|(?<=machine )\S+", "…", row).rstrip() for row in rows]


async def opened(app: TunnelApp, pilot: Pilot[None], *keys: str) -> JournalPane:
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
    for key in keys:
        await pilot.press(key)
        await app.workers.wait_for_complete()
        await pilot.pause()
    return app.query_one(JournalPane)


def text(line: Line) -> str:
    return " ".join(part.text for part in line.parts)


def picks(app: TunnelApp) -> int:
    assert app.view is not None
    assert app.view.morning is not None
    return len(app.view.morning.season.picks)


async def test_an_act_is_crossed_out_and_restored_and_the_round_follows(tmp_path: Path) -> None:
    path = demo_at(tmp_path)
    client = FileClient(path)
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        pane = await opened(app, pilot, "9", "f", *"picked", "f2")
        entry = pane._entry()
        assert entry is not None
        assert entry.kind == "picked"
        before = picks(app)
        in_act = sum(one.act == entry.act and one.kind == "picked" for one in client.entries())

        await pilot.press("x", "a")
        await wait_until(lambda: picks(app) == before - in_act)
        mark = max(client.entries(), key=lambda one: one.at_us)
        assert mark.kind == "crossed_out"
        assert mark.day == entry.day, "a mistake is one from its first day, as the command has it"
        assert acts_out([mark]) == {entry.act}
        await wait_until(lambda: pane._listed is not None and entry.act in pane._listed.book.out)
        assert any("crossed out" in line for line in grid(app))
        await pilot.press("x")
        await pilot.pause()
        assert any("crossed out already" in line for line in grid(app))

        await pilot.press("r", "a")
        await wait_until(lambda: picks(app) == before)
    assert len(client.entries()) == len(set(client.entries())), "nothing was deleted"
    assert entry.act not in acts_out(one for one in client.entries() if one.kind in MARKS)


async def test_what_does_not_count_stands_there_with_its_reason(tmp_path: Path) -> None:
    path = demo_at(tmp_path)
    with JournalFile.open(path) as journal:
        journal.append([draft("Z9-01", Lowered("no such stem"))], date(2026, 8, 20))
    app = TunnelApp(FileClient(path))
    async with app.run_test(size=(120, 40)) as pilot:
        pane = await opened(app, pilot, "9", "s", "s", "s")
        assert pane._listed is not None
        assert [one.about for one in pane._listed.entries][:1] == ["Z9-01"]
        shown = " ".join(grid(app))
        assert "set aside" in shown
        assert pane._listed.book.aside[pane._listed.entries[0].id] in " ".join(shown.replace("│", " ").split())
        await pilot.press("c")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert any("newest first" in line for line in grid(app))


async def test_an_unknown_kind_or_place_is_refused_with_the_nearest(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot, "9", "f", *"pickd", "f2")
        assert any("Did you mean picked?" in line for line in grid(app))


def made(count: int) -> list[Entry]:
    chance = random.Random(7)
    first = date(2026, 4, 1)
    return [
        Entry(
            f"e{n:06}", f"a{n // 3:06}", "d", first + timedelta(days=chance.randrange(140)), n, "", "W1",
            "picked", 1, '{"cultivar":"cherry 1","kg":1.5}',
        )
        for n in range(count)
    ]  # fmt: skip


def demo_morning(tmp_path: Path) -> Morning:
    return plan_morning(FileClient(demo_at(tmp_path)).entries(), date(2026, 8, 20))


def test_of_four_hundred_thousand_entries_only_those_looked_at_are_made(tmp_path: Path) -> None:
    every = made(400_000)
    book = open_book(replace(demo_morning(tmp_path), entries=every))
    listed = listing(book, EntrySearch(), "all")
    lines = EntryLines(listed)
    assert len(lines) == 400_000
    assert "1.5 kg" in text(lines[0])
    assert [entry.id for entry in book.act("a000007")] == [
        entry.id for entry in sorted((e for e in every if e.act == "a000007"), key=lambda one: one.order)
    ]
    newest = sorted(every, key=lambda one: one.order, reverse=True)
    assert [entry.id for entry in listed.entries[:50]] == [entry.id for entry in newest[:50]]
    assert len(listed.day_starts) == len({entry.day for entry in every})
    only = listing(book, EntrySearch(days="2026-05-01 to 2026-05-07"), "all")
    assert len(only.entries) == sum(date(2026, 5, 1) <= e.day <= date(2026, 5, 7) for e in every)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2026-08-20", date(2026, 8, 20), date(2026, 8, 20)),
        ("2026-02", date(2026, 2, 1), date(2026, 2, 28)),
        ("2028-02", date(2028, 2, 1), date(2028, 2, 29)),
        ("2026-07-30 to 2026-08", date(2026, 7, 30), date(2026, 8, 31)),
    ],
)
def test_days_as_they_are_typed(text: str, first: date, last: date) -> None:
    assert span(text) == (first, last)


@pytest.mark.parametrize("text", ["20 Aug", "2026-13", "2026-02-30", "2026-08-20 to 2026-08-19", "a to b to c"])
def test_what_is_no_span_of_days_is_refused(text: str) -> None:
    with pytest.raises(UserError):
        span(text)


def test_kinds_by_their_words_and_words_in_any_case(tmp_path: Path) -> None:
    assert kind_named(" Clip failed ") == "clip_failed"
    season = demo_morning(tmp_path).season
    one = Entry("e", "a", "d", date(2026, 8, 1), 1, "", "W1", *("note", 1, '{"text":"Größe, STRASSE"}'))
    assert fits(season, EntrySearch(words="grösse strasse"))(one)
    assert not fits(season, EntrySearch(words="strasse other"))(one)
    picked = Entry("e", "a", "d", date(2026, 8, 1), 1, "", "W1", *("picked", 1, draft("W1", Picked("x")).body))
    assert fits(season, EntrySearch(kind="picked", about="w1", days="2026-08"))(picked)
    assert not fits(season, EntrySearch(kind="note"))(picked)
