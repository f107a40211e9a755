"""The first run: three screens from nothing to one's own tunnel, or the made-up one. It writes nothing itself."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, typed_at_once, wait_until
from tunneltui.screens.first_run import Demo, FirstRun, OwnTunnel
from tunneltui.screens.themed_app import Looks

NOW = datetime(2026, 8, 20, 6, 0, tzinfo=UTC)
TUNNEL = ("L", "f", "enter", *"16", "enter", "6", "enter", *"Europe/Oslo", "enter", *"59.9", "enter", "enter")
ROWS = (
    "3",
    "enter",
    *"20",
    "enter",
    *"0.45",
    "enter",
    "2",
    "enter",
    *"laid down",
    "enter",
    *"cherry 1,beef 3",
    "enter",
)
SHOWN = {
    "first-run": ((), "What shall it be"),
    "first-run-tunnel": (("a",), "Your tunnel"),
    "first-run-rows": (("a", *["enter"] * 6), "Your rows"),
}


@pytest.fixture(autouse=True)
def somewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Europe/Lisbon")


def first_run(looks: Looks | None = None) -> FirstRun:
    return FirstRun(Path("/home/grower/journal.db"), looks or Looks(), NOW)


async def typed(app: FirstRun, pilot: Pilot[OwnTunnel | Demo], *keys: str) -> None:
    await pilot.press(*(" " if key == "space" else key for key in keys))
    await pilot.pause()


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int]) -> None:
    app = first_run()
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await typed(app, pilot, *keys)
        await wait_until(lambda: any(words in line for line in grid(app)))
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


async def test_all_answered_on_three_screens() -> None:
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await typed(app, pilot, "a", *TUNNEL, *ROWS, *"2026-05-01", "enter")
    begun = app.return_value
    assert isinstance(begun, OwnTunnel)
    start = begun.start
    assert (start.name, start.length_m, start.width_m, start.zone, start.latitude_deg) == (
        "Lf",
        16.0,
        6.0,
        "Europe/Oslo",
        59.9,
    )
    assert (start.rows, start.places_per_row, start.spacing_m, start.wire_height_m) == (3, 20, 0.45, 2.0)
    assert (start.training, start.cultivars) == ("laid_down", ("cherry 1", "beef 3"))
    assert begun.planted == date(2026, 5, 1)


async def test_enter_alone_takes_what_is_usual() -> None:
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await typed(app, pilot, "a", *["enter"] * 13)
    begun = app.return_value
    assert isinstance(begun, OwnTunnel)
    assert (begun.start.zone, begun.start.training, begun.planted) == ("Europe/Lisbon", "tiered", None)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (("enter", "x", *["enter"] * 5), "'x' is not a length"),
        ((*["enter"] * 3, *"Nowhere", "enter", "enter", "enter"), "no time zone 'Nowhere'"),
        ((*["enter"] * 7, *"99", *["enter"] * 6), "the tunnel is 12 m long"),
        ((*["enter"] * 12, *"2026-13-01", "enter"), "is no day"),
        ((*["enter"] * 12, *"2026-08-21", "enter"), "still to come"),
    ],
)
async def test_a_wrong_answer_gets_a_sentence_and_stays(keys: tuple[str, ...], says: str) -> None:
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await typed(app, pilot, "a", *keys)
        await wait_until(lambda: says in " ".join(line.strip(" │") for line in grid(app)))
    assert app.return_value is None


async def test_what_was_answered_is_still_there_after_going_back() -> None:
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await typed(app, pilot, "a", *TUNNEL)
        await wait_until(lambda: any("Your rows" in line for line in grid(app)))
        await typed(app, pilot, "escape")
        await wait_until(lambda: any("Europe/Oslo" in line for line in grid(app)))
        await typed(app, pilot, "escape")
        await wait_until(lambda: any("What shall it be" in line for line in grid(app)))
        await typed(app, pilot, "a", *["enter"] * 13)
    begun = app.return_value
    assert isinstance(begun, OwnTunnel)
    assert (begun.start.name, begun.start.latitude_deg) == ("Lf", 59.9)


@pytest.mark.parametrize(("key", "wanted"), [("b", Demo()), ("q", None), ("escape", None)])
async def test_the_made_up_tunnel_or_nothing(key: str, wanted: Demo | None) -> None:
    app = first_run()
    async with app.run_test(size=(80, 24)) as pilot:
        await typed(app, pilot, key)
    assert app.return_value == wanted


@pytest.mark.parametrize("size", [(20, 5), (40, 10), (200, 60)])
@pytest.mark.parametrize("looks", [Looks(no_colour=True, ascii_only=True), Looks(reader=True)])
async def test_any_window_and_any_looks(size: tuple[int, int], looks: Looks) -> None:
    app = first_run(looks)
    async with app.run_test(size=size) as pilot:
        await typed(app, pilot, "a", *["enter"] * 13)
    assert isinstance(app.return_value, OwnTunnel)


async def test_all_of_it_typed_at_once_reaches_its_forms_in_order() -> None:
    app = first_run()
    keys = ("a", *TUNNEL, *ROWS, *"2026-05-01", "enter")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: len(app.screen_stack) > 1)
        typed_at_once(app, *((key, "\r" if key == "enter" else key) for key in keys))  # type: ignore[arg-type]
        await wait_until(lambda: app.return_value is not None or not app.is_running)
        await pilot.pause()
    begun = app.return_value
    assert isinstance(begun, OwnTunnel)
    assert begun.start.zone == "Europe/Oslo"
    assert begun.start.cultivars == ("cherry 1", "beef 3")
    assert begun.planted == date(2026, 5, 1)
