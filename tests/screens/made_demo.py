"""The demo's journal, made once a test run, for screens that show a whole morning."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp

from tunneltui.chores.morning import plan
from tunneltui.demo.make import make_demo
from tunneltui.memo import Memo, Stages
from tunneltui.report.open_journal import civil_day, latest_holding
from tunneltui.screens.facts import view_of
from tunneltui.screens.journal_client import FileClient
from tunneltui.season.fold import fold


@cache
def made_demo() -> Path:
    path = Path(mkdtemp(prefix="tunneltui-demo-")) / "demo.db"
    make_demo(path)
    return path


def demo_at(folder: Path) -> Path:
    """A copy of the demo's journal in ``folder``."""
    path = folder / "demo.db"
    shutil.copyfile(made_demo(), path)
    return path


@cache
def demo_memo() -> Memo:
    """What the stages of the demo's morning gave, planned from nothing."""
    return planned(made_demo())


def planned(demo: Path) -> Memo:
    """The same of a demo that was made elsewhere."""
    with TemporaryDirectory() as folder:
        client = FileClient(Path(shutil.copy(demo, folder)))
        entries = client.entries()
        client.close()
    day, stages = civil_day(latest_holding(entries), datetime.now(UTC)), Stages(Memo())
    morning = plan(stages, fold(entries, day), entries)
    view_of(morning, morning.round, day, stages=stages)
    return stages.memo
