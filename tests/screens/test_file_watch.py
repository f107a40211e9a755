"""Two windows on one file: each follows what the other writes, and neither is told of its own acts."""

from __future__ import annotations

from pathlib import Path
from threading import Event

from tests.screens.given import DAY
from tests.screens.made_demo import demo_at
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_journal import Note
from tunneltui.screens.journal_client import LOOK_SECONDS, FileClient

LONG = 60.0


class News:
    def __init__(self) -> None:
        self.came = Event()

    def __call__(self, trouble: UserError | None) -> None:
        assert trouble is None
        self.came.set()


def test_what_the_other_window_writes_is_told_and_ones_own_is_not(tmp_path: Path) -> None:
    file = demo_at(tmp_path)
    here, there = FileClient(file), FileClient(file)
    news, others = News(), News()
    try:
        here.entries()
        there.entries()
        here.watch(news)
        there.watch(others)
        note = [draft("", Note("from here"))]
        here.submit(note, DAY).result(LONG)
        assert others.came.wait(LONG)
        assert not news.came.wait(3 * LOOK_SECONDS)
        there.submit([draft("", Note("from there"))], DAY).result(LONG)
        assert news.came.wait(LONG)
        assert {e.body for e in here.entries()} == {e.body for e in there.entries()}
    finally:
        here.close()
        there.close()
