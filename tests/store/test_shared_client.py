"""An open screen on a shared journal: it shows what others note, says when the server is away, and goes on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from queue import SimpleQueue

import pytest

from tests.screens.given import KeptInMind, grid, view, wait_until
from tests.store.making import DAY, entry, note, texts
from tests.store.private_server import PrivateServer
from tunneltui.demo.make import make_demo
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.screens import shared_client
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.facts import last_act_of_day
from tunneltui.screens.messages import OthersWrote, ServerAway
from tunneltui.screens.shared_client import SharedClient
from tunneltui.store.journals import open_journal
from tunneltui.store.shared_connection import connect
from tunneltui.store.where import SharedAt

LONG = 30
"""Seconds after which what should come is not coming."""


@contextmanager
def _open(at: SharedAt) -> Iterator[tuple[SharedClient, SimpleQueue[UserError | None]]]:
    client = SharedClient(at)
    news: SimpleQueue[UserError | None] = SimpleQueue()
    client.watch(news.put)
    try:
        yield client, news
    finally:
        client.close()


def test_what_others_write_is_told_and_read_on_and_what_we_write_is_not_told(server: PrivateServer) -> None:
    at = server.new()
    with open_journal(at, device="other") as other, _open(at) as (client, news):
        other.append([note("before")], DAY)
        assert texts(client.entries()) == ["before"]
        ours = client.submit([note("ours")], DAY).result(LONG)
        other.append([note("theirs")], DAY)
        assert news.get(timeout=LONG) is None
        assert [one.device for one in client.entries()] == ["other", ours[0].device, "other"]
        assert ours[0].device == client.device
        client.submit([note("ours again")], DAY).result(LONG)
        other.append([note("the last")], DAY)
        assert news.get(timeout=LONG) is None
        assert texts(client.entries())[-2:] == ["ours again", "the last"]
        assert news.empty()


def test_only_what_came_since_is_fetched(server: PrivateServer, monkeypatch: pytest.MonkeyPatch) -> None:
    at, asked = server.new(), []
    with open_journal(at) as other, _open(at) as (client, _):
        other.append([note(text) for text in "abc"], DAY)
        assert len(client.entries()) == 3
        assert client._reader is not None
        whole = client._reader.entries_after

        def after(seq: int) -> list[tuple[int, Entry]]:
            asked.append(seq)
            return whole(seq)

        monkeypatch.setattr(client._reader, "entries_after", after)
        other.append([note("d")], DAY)
        assert texts(client.entries()) == ["a", "b", "c", "d"]
        assert asked == [2], "the last one known and what came after it"


def test_without_a_nudge_it_is_read_a_little_later(server: PrivateServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shared_client, "LOOK_SECONDS", 0.1)
    at = server.new()
    with open_journal(at) as other, _open(at) as (client, news):
        assert client.entries() == []
        with connect(at) as raw:
            raw.execute("ALTER TABLE tunneltui.entries DISABLE TRIGGER entries_nudge")
        other.append([note("unheard")], DAY)
        assert news.get(timeout=LONG) is None
        assert texts(client.entries()) == ["unheard"]


def test_a_copy_that_cannot_be_written_does_not_stop_the_listening(
    server: PrivateServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried: SimpleQueue[object] = SimpleQueue()

    def full(journal: object) -> None:
        tried.put(journal)
        raise UserError("No room is left.", "Make room.")

    monkeypatch.setattr(shared_client, "bring_up_to_date", full)
    at = server.new()
    with open_journal(at, device="other") as other, _open(at) as (client, news):
        assert client.entries() == []
        assert tried.get(timeout=LONG)
        other.append([note("theirs")], DAY)
        assert news.get(timeout=LONG) is None
        assert news.empty()


def test_a_server_that_goes_away_is_told_once_and_found_again(
    server: PrivateServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shared_client, "AGAIN_SECONDS", 0.1)
    monkeypatch.setattr("tunneltui.store.shared_journal.PATIENCE_SECONDS", 0.2)
    at = server.new()
    with open_journal(at, device="other") as other, _open(at) as (client, news):
        assert client.entries() == []
        server.kill()
        try:
            trouble = news.get(timeout=LONG)
            assert trouble is not None
            assert "does not answer" in trouble.problem
            with pytest.raises(UserError, match="does not answer"):
                client.entries()
            assert client.head() is None
            with pytest.raises(UserError, match="does not answer"):
                client.submit([note("in vain")], DAY).result(LONG)
        finally:
            server.start()
        assert news.get(timeout=LONG) is None, "it is back"
        other.append([note("theirs")], DAY)
        client.submit([note("ours")], DAY).result(LONG)
        assert sorted(texts(client.entries())) == ["ours", "theirs"]


async def test_an_open_screen_shows_done_what_another_hand_did(server: PrivateServer) -> None:
    at = server.new()
    make_demo(at)
    client = SharedClient(at)
    app = TunnelApp(client, watch=client.watch)
    with open_journal(at, device="other") as other:
        async with app.run_test(size=(80, 24)) as pilot:
            await wait_until(lambda: app.view is not None, LONG)
            assert app.view is not None
            chore = app.view.round.spots[0].chores[0]
            (done,) = other.append(chore.writes, app.view.day)
            await wait_until(lambda: app.view is not None and app.view.states.get(chore.id) == "done", LONG)
            await pilot.press("u")
            await wait_until(lambda: "Nothing was noted today" in "\n".join(grid(app)), LONG)
        assert done in other.entries()
        assert not any(one.kind == "crossed_out" and one.day == done.day for one in other.entries())


async def test_the_page_on_an_absent_server_goes_when_it_is_back() -> None:
    kept = KeptInMind()
    app = TunnelApp(kept, on=DAY, first=view(), planner=kept.planner)

    def shown() -> str:
        return "\n".join(grid(app))

    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed)
        app.post_message(ServerAway("The server does not answer: there.", "Go on in this machine's copy."))
        await wait_until(lambda: "The server is away" in shown())
        await pilot.pause()
        assert "Go on in this machine's copy." in shown()
        app.post_message(OthersWrote())
        await wait_until(lambda: "The server is away" not in shown())
        assert "The server answers again" in shown()


def test_of_others_acts_none_is_ours_to_take_back() -> None:
    mine, theirs = _by("mine", 1), _by("theirs", 2)
    assert last_act_of_day([mine, theirs], DAY) == theirs.act
    assert last_act_of_day([mine, theirs], DAY, "mine") == mine.act
    assert last_act_of_day([theirs], DAY, "mine") == ""


def _by(device: str, at_us: int) -> Entry:
    return entry(f"of {device}", at_us=at_us)._replace(device=device)
