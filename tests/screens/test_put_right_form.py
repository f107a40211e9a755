"""The put-right walk on the screen: one digit a string, one key a hook, stopped and taken up again, taken back."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.chores.put_right import CropStep, HookStep, StringStep
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import answers
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.order import live
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.put_right_form import PutRight, after_key
from tunneltui.store.journal_file import JournalFile

SHOWN = {
    "put-right": ((), "0 of 54"),
    "put-right-begun": (("s", "w", *"9+s", "t", "4", "0"), "3 of 54"),
    "put-right-strings": ((*["s"] * 25, "1", "x", "9"), "no number of stems"),
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return demo_at(tmp_path)


async def walking(app: TunnelApp, pilot: Pilot[None], *keys: str) -> PutRight:
    """The walk of the loop of the line the round begins at, with these keys typed."""
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
    app._round.show("round")
    await pilot.press("w")
    await wait_until(lambda: isinstance(app.screen, PutRight))
    await pilot.press(*keys)
    await pilot.pause()
    form = app.screen
    assert isinstance(form, PutRight)
    return form


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int], path: Path) -> None:
    app = TunnelApp(FileClient(path))
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await walking(app, pilot, *keys)
        await wait_until(lambda: any(words in line for line in grid(app)))
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


def written(client: FileClient) -> list[Entry]:
    """What the walk wrote and still counts."""
    return [e for e in live(client.entries()) if (given := answers(e)) is not None and given[0] == "put_right"]


async def test_a_key_a_hook_and_a_digit_a_string_each_an_act(path: Path) -> None:
    client = FileClient(path)
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        form = await walking(app, pilot, *["s"] * 25, "1", "2")
        await wait_until(lambda: all(given.act for given in form._given))
        assert len({entry.act for entry in written(client)}) == 27
        assert form._walk.left[0].key == "W1/3"


async def test_stopped_and_taken_up_again_another_time(path: Path) -> None:
    app = TunnelApp(FileClient(path))
    async with app.run_test(size=(80, 24)) as pilot:
        form = await walking(app, pilot, *"sss")
        await wait_until(lambda: all(given.act for given in form._given))
        await pilot.press("q")
        await wait_until(lambda: not isinstance(app.screen, PutRight))
    again = TunnelApp(FileClient(path))
    async with again.run_test(size=(80, 24)) as pilot:
        form = await walking(again, pilot)
        assert len(form._walk.done) == 3
        step = form._step()
        assert step is not None
        assert step.key == form._walk.left[0].key == "W1-03a"


async def test_taken_back_it_is_crossed_out_and_asked_again(path: Path) -> None:
    client = FileClient(path)
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        form = await walking(app, pilot, "s", *"9s")
        await wait_until(lambda: len(form._given) == 2 and all(given.act for given in form._given))
        await pilot.press("u")
        await wait_until(lambda: {e.about for e in written(client)} == {"W1-05"})
        step = form._step()
        assert step is not None
        assert step.key == "W1-01a"
        assert {form._walk.season.leaders[id_].name for id_ in form._walk.hooks} == {"W1-05a"}
        await pilot.press("u")
        await wait_until(lambda: not written(client))
        await pilot.press("u")
        await wait_until(lambda: any("Nothing was answered" in line for line in grid(app)))


async def test_answered_anew_only_the_last_answer_counts(path: Path) -> None:
    client = FileClient(path)
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        form = await walking(app, pilot, "s")
        await wait_until(lambda: all(given.act for given in form._given))
        first = written(client)
        await pilot.press("up", "w")
        await wait_until(lambda: bool(written(client)) and written(client)[0].act != first[0].act)
        assert len({entry.act for entry in written(client)}) == 1
        step = form._step()
        assert step is not None
        assert step.key == "W1-01a"


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("99s", "There is no string 99"),
        ("xs", "says no place and no tip"),
        ("1s", "behind the root"),
        ("t999", "does not hang"),
    ],
)
async def test_a_wrong_answer_gets_a_sentence_and_writes_nothing(keys: str, says: str, path: Path) -> None:
    client = FileClient(path)
    before = len(client.entries())
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        last = () if keys[-1] == "s" else ("enter",)
        form = await walking(app, pilot, *["down"] * 11, *keys, *last)
        await wait_until(lambda: any(says in line for line in grid(app)))
        assert not form._given
    assert len(FileClient(path).entries()) == before


class FullDisk(FileClient):
    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:  # noqa: ARG002
        refused: Future[list[Entry]] = Future()
        refused.set_exception(UserError("The disk is full."))
        return refused


async def test_what_could_not_be_written_is_asked_again(path: Path) -> None:
    app = TunnelApp(FullDisk(path))
    async with app.run_test(size=(80, 24)) as pilot:
        form = await walking(app, pilot, "s")
        await wait_until(lambda: any("The disk is full." in line for line in grid(app)))
        assert not form._given
        assert not form._walk.done


async def test_an_empty_journal_says_that_nothing_stands(tmp_path: Path) -> None:
    path = tmp_path / "empty.db"
    with JournalFile.open(path):
        pass
    app = TunnelApp(FileClient(path))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        await pilot.press("w")
        await wait_until(lambda: any("No row is planted" in line for line in grid(app)))


def test_a_digit_is_a_whole_answer_at_a_string_and_a_word_for_the_tip_at_a_hook() -> None:
    string = StringStep("W1/8", "s", "W1", 3.0, 2, True)
    hook = HookStep("W1-01a", "l", "W1", 3.0, 0.3, True)
    crop = CropStep("W1 beef 3", "W1", "beef 3", ("l",), 8)
    assert after_key(string, "", "5") == ("5", True)
    assert after_key(string, "", "+") == ("+", False)
    assert after_key(hook, "9+", "s") == ("9+s", True)
    assert after_key(hook, "", "9") == ("9", False)
    assert after_key(crop, "", "8") == ("8", False)
