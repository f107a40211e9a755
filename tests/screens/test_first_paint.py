"""What the first paint costs: it is painted from the cache, and loads no rule of the trade on the way there."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from threading import Event

import pytest
from rich.console import RenderableType
from textual._compositor import ChopsUpdate
from textual.screen import Screen

from tests.screens.given import (
    DAY,
    SECOND_CLIP,
    KeptInMind,
    PlansWhole,
    chore,
    go_to,
    grid,
    round_of,
    view,
    wait_until,
)
from tunneltui.journal.entry import Entry
from tunneltui.screens import cache
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.lines import Lines
from tunneltui.screens.round_layout import laid_out
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.walk_list import WalkList
from tunneltui.store.seen import JournalHead
from tunneltui.values import replace

HEAD = JournalHead("0123", 5, 5, "last")
NOW = datetime(2026, 8, 20, 5, 0, tzinfo=UTC)


def _keep(folder: Path, head: JournalHead, *views: RoundView) -> None:
    cache.write(folder, head, [cache.kept_day(kept) for kept in views])


PAINT = """
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from tunneltui.screens import app, cache
from tunneltui.screens.journal_client import FileClient
seen = {}
class Watched(app.TunnelApp):
    def plan(self): pass
    def on_ready(self):
        seen["walk"] = [line.key for line in self.query_one("#walk").lines]
        seen["modules"] = set(sys.modules)
        self.exit()
client = FileClient(Path(sys.argv[1]))
first = cache.read(Path(sys.argv[2]), client.head(), None, datetime.now(UTC))
Watched(client, first=first).run(headless=True)
wanted = ("tunneltui.journal.kinds", "tunneltui.season.fold", "tunneltui.growth", "tunneltui.loads")
wanted += ("pydantic", "msgspec", "numpy", "hashlib", "tomllib", "zoneinfo", "tunneltui.screens.forms")
print([name for name in sorted(seen["modules"]) if name.startswith(wanted)])
ours = [m for name, m in sys.modules.items() if name in seen["modules"] and name.startswith("tunneltui")]
made = {v for m in ours for v in vars(m).values() if isinstance(v, type) and "__dataclass_fields__" in vars(v)}
print(len({v for v in made if v.__module__.startswith("tunneltui")}), len(seen["walk"]))
"""


def test_the_first_paint_loads_no_kind_fold_growth_or_loads(tmp_path: Path) -> None:
    from tunneltui.store.journal_file import JournalFile

    journal_path = tmp_path / "journal.db"
    with JournalFile.open(journal_path, state_dir=tmp_path) as journal:
        head = journal.head()
    made = laid_out(replace(view(), plays_on=DAY))
    _keep(tmp_path / "cache", head, made)
    environment = {**os.environ, "TUNNELTUI_HOME": str(tmp_path), "PYTHONPATH": os.pathsep.join(sys.path)}
    ran = subprocess.run(
        [sys.executable, "-c", PAINT, str(journal_path), str(tmp_path / "cache")],
        capture_output=True,
        text=True,
        timeout=60,
        env=environment,
        check=True,
    )
    loaded, counted = ran.stdout.splitlines()
    assert loaded == "[]"
    dataclasses, lines = map(int, counted.split())
    assert dataclasses <= 3, (
        "design: at most a dozen dataclasses before the first paint; a NamedTuple is made sooner"
    )
    assert lines == 1, "the lines of the first pass"


def test_what_was_kept_comes_back_unconfirmed(tmp_path: Path) -> None:
    made = view({"pick W1 2026-08-21": "done"}, confirmed=False)
    made = laid_out(replace(made, round=made.round._replace(later=tuple(made.planned()[:1]))))
    _keep(tmp_path, HEAD, made, replace(made, day=date(2026, 8, 21), round=round_of()))
    asked = cache.read(tmp_path, HEAD, DAY, NOW)
    assert asked is not None
    kept = cache.with_the_rest(tmp_path, HEAD, asked)
    assert kept is not None
    assert not kept.confirmed
    assert kept.passes == made.passes
    assert kept.passes[-1].stops
    for name in ("day", "today", "holding", "air", "round", "states", "leaders", "rows", "next_work_day"):
        assert getattr(kept, name) == getattr(made, name), name


@pytest.mark.parametrize(
    "head",
    [
        replace(HEAD, count=6),
        replace(HEAD, last_seq=6),
        replace(HEAD, last_id="other"),
        replace(HEAD, journal_id="4567"),
        None,
    ],
)
def test_another_state_of_the_journal_gets_nothing(tmp_path: Path, head: JournalHead | None) -> None:
    _keep(tmp_path, HEAD, view())
    assert cache.read(tmp_path, head, DAY, NOW) is None


def test_another_version_or_day_gets_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _keep(tmp_path, HEAD, view())
    assert cache.read(tmp_path, HEAD, date(2026, 8, 21), NOW) is None
    monkeypatch.setattr(cache, "__version__", "0.0.0")
    assert cache.read(tmp_path, HEAD, DAY, NOW) is None


def test_today_is_that_of_the_holdings_zone_or_the_day_it_plays_on(tmp_path: Path) -> None:
    late = datetime(2026, 8, 19, 23, 30, tzinfo=UTC)
    _keep(tmp_path, HEAD, replace(view(), zone="Europe/Berlin"))
    assert cache.read(tmp_path, HEAD, None, late) is not None
    _keep(tmp_path, HEAD, replace(view(), zone="UTC"))
    assert cache.read(tmp_path, HEAD, None, late) is None
    _keep(tmp_path, HEAD, replace(view(), plays_on=DAY))
    assert cache.read(tmp_path, HEAD, None, late) is not None


@pytest.mark.parametrize("spoilt", ["{", "[]", '{"later": 1}', ""])
def test_a_rest_that_is_spoilt_waits_for_the_plan(tmp_path: Path, spoilt: str) -> None:
    _keep(tmp_path, HEAD, view())
    file = next(tmp_path.iterdir())
    kept, of_day, _ = file.read_text().splitlines()
    file.write_text("\n".join((kept, of_day, spoilt)) + "\n")
    asked = cache.read(tmp_path, HEAD, DAY, NOW)
    assert asked is not None
    assert asked.planned() == view().planned()
    assert cache.with_the_rest(tmp_path, HEAD, asked) is None


def test_the_rest_is_of_the_same_state_of_the_journal(tmp_path: Path) -> None:
    _keep(tmp_path, HEAD, view())
    asked = cache.read(tmp_path, HEAD, DAY, NOW)
    assert asked is not None
    _keep(tmp_path, replace(HEAD, count=6), view())
    assert cache.with_the_rest(tmp_path, HEAD, asked) is None
    assert cache.with_the_rest(tmp_path, None, asked) is None


async def test_what_waits_comes_after_the_first_paint_and_before_the_plan(tmp_path: Path) -> None:
    waits = [chore("look", f"W{n}", f"look along W{n}", row=f"W{n}") for n in range(50)]
    plan = round_of()._replace(later=tuple(waits))
    _keep(tmp_path, HEAD, laid_out(view(plan=plan)))
    go_on = Event()

    class WithHead(KeptInMind):
        def head(self) -> JournalHead:
            return HEAD

    def slow() -> RoundView:
        go_on.wait(10)
        return view(plan=plan)

    first = cache.read(tmp_path, HEAD, DAY, NOW)
    assert first is not None
    assert not first.round.later
    app = TunnelApp(WithHead(), first=first, planner=PlansWhole(slow), cache_folder=tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.round.later == tuple(waits))
        await wait_until(lambda: bool(app.query("#walk")))
        assert app.view is not None
        assert not app.view.confirmed
        walk = app.query_one("#walk", WalkList)
        await wait_until(lambda: walk.walk.passes[-1].key == "later")
        app._round.walk.show_pass("later")
        await pilot.pause()
        assert len(walk.lines) == len(waits)
        go_on.set()
        await wait_until(lambda: app.view is not None and app.view.confirmed)


@pytest.mark.parametrize("spoilt", ["", "{", "[]", "{}", '{"key": 1}', "null"])
def test_a_spoilt_cache_is_as_none(tmp_path: Path, spoilt: str) -> None:
    _keep(tmp_path, HEAD, view())
    next(tmp_path.iterdir()).write_text(spoilt)
    assert cache.read(tmp_path, HEAD, DAY, NOW) is None


async def test_ticking_waits_until_the_plan_is_confirmed() -> None:
    go = Event()
    kept = KeptInMind()

    def slow() -> RoundView:
        go.wait(10)
        return view()

    app = TunnelApp(kept, first=view(confirmed=False), planner=PlansWhole(slow))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, SECOND_CLIP)
        await pilot.press("space")
        await pilot.pause()
        assert not kept.acts
        assert "The journal is being read" in grid(app)[-2]
        go.set()
        await wait_until(lambda: bool(kept.acts))
        assert kept.kinds() == ["clipped"], "the key that waited is done on the line it was pressed on"


async def test_nothing_is_written_on_a_day_to_come() -> None:
    kept = KeptInMind()
    tomorrow = replace(view(), today=date(2026, 8, 19))
    app = TunnelApp(kept, first=tomorrow, planner=PlansWhole(lambda: tomorrow))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, SECOND_CLIP)
        await pilot.press("space")
        await pilot.pause()
        assert not kept.acts


async def test_the_coming_days_are_kept_for_their_first_paint(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from datetime import timedelta

    from tests.screens.made_demo import demo_at
    from tunneltui.screens.journal_client import FileClient

    monkeypatch.setattr("tunneltui.screens.plan_scheduler.IDLE_SECONDS", 0.05)
    client = FileClient(demo_at(tmp_path))
    folder = tmp_path / "cache"
    app = TunnelApp(client, cache_folder=folder)
    async with app.run_test(size=(80, 24)):
        await wait_until(lambda: cache.read(folder, client.head(), DAY + timedelta(7), NOW) is not None, 60)
    for ahead in range(8):
        kept = cache.read(folder, client.head(), DAY + timedelta(ahead), NOW)
        assert kept is not None
        assert kept.day == DAY + timedelta(ahead)
        assert kept.closed, "nothing is written before the plan is confirmed"


def _watch_paints(app: TunnelApp, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """What stands on the screen with each paint, from now on."""
    paints: list[list[str]] = []
    display = app._display

    def watched(screen: Screen[object], renderable: RenderableType | None) -> None:
        display(screen, renderable)
        paints.append(grid(app))

    monkeypatch.setattr(app, "_display", watched)
    return paints


async def test_a_new_view_paints_what_changed_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every tick painted the screen three times, the last time the whole of it: a tenth of its work."""
    given = view()
    app = TunnelApp(KeptInMind(), first=given, planner=PlansWhole(lambda: given))
    drawn: list[RenderableType | None] = []
    display = app._display

    def watched(screen: Screen[object], renderable: RenderableType | None) -> None:
        display(screen, renderable)
        drawn.append(renderable)

    async with app.run_test(size=(100, 30)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        await wait_until(lambda: not app._scheduler.plans)
        await pilot.pause()
        go_to(app, SECOND_CLIP)
        await pilot.pause()
        monkeypatch.setattr(app, "_display", watched)
        before = grid(app)
        app.view = view({SECOND_CLIP.id: "done"})
        await wait_until(lambda: grid(app) != before)
        await pilot.pause()
    assert drawn
    assert {type(paint) for paint in drawn} == {ChopsUpdate}


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 40)])
async def test_the_first_paint_is_the_whole_card(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """Painted bit by bit it took 110 ms more, and told of a walk without passes and a wire without work."""
    from tests.screens.made_demo import demo_at
    from tunneltui.screens.journal_client import FileClient

    client = FileClient(demo_at(tmp_path))
    folder = tmp_path / "cache"
    app = TunnelApp(client, cache_folder=folder)
    async with app.run_test(size=size):
        await wait_until(lambda: cache.read(folder, client.head(), DAY, NOW) is not None, 60)

    client = FileClient(tmp_path / "demo.db")
    first = cache.read(folder, client.head(), DAY, NOW)
    go_on = Event()

    def never() -> RoundView:
        go_on.wait(10)
        raise AssertionError("left before it is planned")

    again = TunnelApp(client, first=first, planner=PlansWhole(never))
    paints = _watch_paints(again, monkeypatch)
    async with again.run_test(size=size) as pilot:
        await pilot.pause()
        at_rest = grid(again)
        go_on.set()
    assert "First" in "".join(at_rest)
    assert paints[0] == at_rest


async def test_a_key_moves_line_and_header_in_one_paint(monkeypatch: pytest.MonkeyPatch) -> None:
    app = TunnelApp(KeptInMind(), first=view(), planner=PlansWhole(view))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed)
        await pilot.press("right")
        await pilot.pause(0.1)
        before = grid(app)
        paints = _watch_paints(app, monkeypatch)
        await pilot.press("down")
        await pilot.pause()
        moved = next(paint for paint in paints if paint[2:] != before[2:])
        assert moved[0] != before[0], "the header says which line it is"


async def test_what_is_wrong_with_the_journal_is_said() -> None:
    from tunneltui.holding.user_error import UserError

    class Spoilt(KeptInMind):
        def entries(self) -> list[Entry]:
            raise UserError("The journal is damaged.", "Take a backup.")

    app = TunnelApp(Spoilt())
    async with app.run_test(size=(80, 24)):
        await wait_until(lambda: any("The journal is damaged." in line for line in grid(app)))


START = """
import sys
from pathlib import Path
from tunneltui.screens import app, start
app.TunnelApp.run = lambda self, **_: seen.update(sys.modules)
seen = {}
start.run(Path(sys.argv[1]))
heavy = ("tunneltui.journal.kinds", "tunneltui.season", "tunneltui.growth", "tunneltui.loads", "pydantic", "numpy")
print([name for name in sorted(seen) if name.startswith(heavy)])
"""


def test_opening_the_app_loads_none_of_them_before_it_runs(tmp_path: Path) -> None:
    from tunneltui.store.journal_file import JournalFile

    journal_path = tmp_path / "journal.db"
    with JournalFile.open(journal_path, state_dir=tmp_path):
        pass
    environment = {**os.environ, "TUNNELTUI_HOME": str(tmp_path), "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-c", START, str(journal_path)]
    ran = subprocess.run(command, capture_output=True, text=True, env=environment, check=True)
    assert ran.stdout.strip() == "[]"
