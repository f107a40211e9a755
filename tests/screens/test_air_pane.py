"""Air and water on the screen: grids at both sizes, what its keys write, its plain twin, an empty journal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft, parsed
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.pages.air import air_page
from tunneltui.pages.text import plain_text
from tunneltui.pages.tunnel import tunnel_air, tunnel_page
from tunneltui.pages.water import water_page
from tunneltui.screens.air_pane import AirPane
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.forms import Fields
from tunneltui.screens.journal_client import FileClient
from tunneltui.store.journal_file import JournalFile

SHOWN = {
    "air": ((), "Asked today"),
    "air-today": (("pagedown",), "Air, and degree days"),
    "air-by-hand": (("m",), "Air in W, by hand"),
    "air-covers": (("o",), "What was changed in W?"),
    "air-whole": (("v",), "Arrows move"),
    "air-east": (("w",), "east tunnel: air and water"),
}


async def opened(app: TunnelApp, pilot: Pilot[None], *keys: str) -> AirPane:
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
    await pilot.press("5")
    await settled(app, pilot)
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    return app.query_one(AirPane)


async def settled(app: TunnelApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_grids(size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot)
        for name, (keys, words) in SHOWN.items():
            for key in keys:
                await pilot.press(key)
                await settled(app, pilot)
            await wait_until(lambda words=words: any(words in line for line in grid(app)))  # type: ignore[misc]
            as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))
            if len(app.screen_stack) > 1:
                await pilot.press("escape")
                await pilot.pause()


@pytest.mark.parametrize(
    ("keys", "kind", "about", "says"),
    [
        (("m", *"11,5", "enter", *"27", "f2"), "air", "W", {"min_c": 11.5, "max_c": 27.0}),
        (
            ("y", *"9 4 -1", "enter", *"18 -", "f2"),
            "forecast",
            "",
            {"issued": "2026-08-20", "min_c": [9.0, 4.0, -1.0], "max_c": [18.0, None]},
        ),
        (("i", *"45", "enter", "enter", *"W1", "f2"), "watered", "W1", {"minutes": 45.0}),
        (
            ("f", *"comfrey", "enter", "enter", *"20", "enter", *"y", "f2"),
            "fed",
            "W",
            {"what": "comfrey", "litres": 20.0, "home_made": True},
        ),
        (
            ("b", *"6", "enter", *"63", "enter", *"5", "f2"),
            "bucket_tested",
            "W",
            {"plants": 6, "given_l": 63.0, "drained_l": 5.0},
        ),
        (("s", *"whitefly on 07", "f2"), "scouted", "W", {"found": "whitefly on 07"}),
        (("d", "enter", *"compost", "enter", *"80", "f2"), "bed_dressed", "W", {"what": "compost", "kg": 80.0}),
        (("o", "b"), "doors", "W", {"open": False}),
    ],
)
async def test_keys_write_what_was_typed(
    keys: tuple[str, ...],
    kind: str,
    about: str,
    says: dict[str, object],
    tmp_path: Path,
) -> None:
    client = FileClient(demo_at(tmp_path))
    before = len(client.entries())
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot, "up", *keys)
        await wait_until(lambda: len(client.entries()) > before)
        written = client.entries()[before:]
        assert [(one.kind, one.about) for one in written] == [(kind, about)]
        assert {key: parsed(written[0]).get(key) for key in says} == says


async def test_space_does_what_is_asked_once(tmp_path: Path) -> None:
    client = FileClient(demo_at(tmp_path))
    app = TunnelApp(client)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(app, pilot, "space")
        await wait_until(lambda: any("✓ done" in line and "feed 25 plants" in line for line in grid(app)), 60)
        fed = [one for one in client.entries() if one.kind == "fed" and one.day == date(2026, 8, 20)]
        assert [one.about for one in fed] == ["W"]
        await pilot.press("home", "down", "space")
        await settled(app, pilot)
        assert len([one for one in client.entries() if one.day == date(2026, 8, 20)]) <= 2, "done is done"


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        (("m", *"20", "enter", *"12", "f2"), "min_c 20 is above max_c 12"),
        (("m", "f2"), "A least or a most was wanted"),
        (("m", *"48", "enter", *"68", "f2"), "no night is so warm"),
        (("d", "f2"), "What was put on the bed was wanted"),
        (("m", *"warm", "f2"), "min_c"),
        (("m", *"10", "enter", *"20", "enter", *["backspace"] * 10, *"2027-01-01", "f2"), "is still to come"),
        (("y", *"9 four", "f2"), "'four' is no temperature"),
        (("y", *"9 20", "enter", *"18 12", "f2"), "on day 2 min_c 20 is above max_c 12"),
        (("y", "f2"), "it foretells nothing"),
        (("b", *"6", "enter", *"5", "enter", *"8", "f2"), "more must be given than drains"),
        (("i", *"5", "enter", "enter", *["backspace"] * 3, *"X9", "f2"), "one of W, W1, W2 was wanted"),
    ],
)
async def test_what_cannot_be_is_said_and_not_written(typed: tuple[str, ...], fault: str, tmp_path: Path) -> None:
    client = FileClient(demo_at(tmp_path))
    before = len(client.entries())
    app = TunnelApp(client)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(app, pilot, "up", *typed)
        assert isinstance(app.screen, Fields), "the form stays open"
        assert fault in " ".join(" ".join(grid(app)).split())
        assert len(client.entries()) == before


async def test_the_page_says_what_the_commands_print(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        morning = app.view.morning if app.view is not None else None
        assert morning is not None
        here = tunnel_air(morning, morning.season.holding.tunnels[0])
        printed = plain_text(air_page(morning.season, [here.air])) + plain_text(
            water_page(morning.season, morning.outlook)
        )
        flat = " ".join(printed.split())
        told = plain_text(tunnel_page(here, morning.day, (), lambda _: "")).splitlines()
        assert sum(" ".join(line.split()) in flat for line in told) >= len(here.air.days) + len(here.rows)


async def test_degree_days_are_counted_by_each_method_in_turn(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(120, 60)) as pilot:
        pane = await opened(app, pilot)
        for words in (
            "single triangle",
            "the four-case rule",
            "ends held at the threshold",
            "mean less threshold",
        ):
            await pilot.press("c")
            await settled(app, pilot)
            assert any(f"Air, and degree days by {words}" in line for line in grid(app))
        assert pane._shown is not None
        assert pane._shown[1].air.counted.method == "simple"


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_where_no_tunnel_stands_it_says_so(size: tuple[int, int], tmp_path: Path) -> None:
    path = tmp_path / "empty.db"
    with JournalFile.open(path, create=True) as journal:
        bare = Holding("nothing yet", latitude_deg=51.0)
        journal.append_days([(date(2026, 3, 1), draft("", HoldingSet(to_toml(bare))))])
    app = TunnelApp(FileClient(path), on=date(2026, 3, 2))
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot, "space", "v", "m", "w", "o", "y")
        assert any("No tunnel stands yet" in line for line in grid(app))


async def test_a_reader_hears_the_curve_in_words(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)), reader=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        assert any("Last fortnight: 10 to 29 degC, 14 of 14 days with both ends." in line for line in grid(app))
