"""The round as it is kept up with while keys are pressed, held to the round made from the whole journal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tests.screens.given import DAY, LOWER, KeptInMind, PlansWhole, go_to, view, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.chores.chore import Chore
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Watered
from tunneltui.screens import acts
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.incremental_planner import IncrementalPlanner
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.messages import Act
from tunneltui.screens.round_layout import laid_out
from tunneltui.screens.round_view import RoundView, State
from tunneltui.screens.stop_lines import stop_lines
from tunneltui.screens.stops import Stop, piece_state, stop_state
from tunneltui.screens.work import PlanRequest, morning_view

NOW = datetime(2026, 8, 20, 6, tzinfo=UTC)
WHOLE = PlanRequest(None, NOW)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[FileClient]:
    kept = FileClient(demo_at(tmp_path))
    yield kept
    kept.close()


def written(client: FileClient, act: Act, day: date = DAY) -> list[Entry]:
    return client.submit(act.drafts, day).result(30)


def planned(view: RoundView, kind: str) -> Chore:
    return next(chore for chore in (*view.planned(), *view.round.later) if chore.kind == kind)


def state_in(view: RoundView, stop: Stop) -> State:
    return stop_state(stop, lambda id_, key: piece_state(id_, key, view.states, view.pieces))


def words(view: RoundView | None) -> list[tuple[str, ...]]:
    """The lines of all passes."""
    assert view is not None
    laid = laid_out(view).walk
    assert laid is not None
    if view.walk is not None:
        # Kept up with key by key it is what it is when laid out from nothing; sums of minutes to the last digit.
        assert view.walk.passes == laid.passes
        assert view.walk.wire == laid.wire
        assert {key: far.done for key, far in view.walk.left.items()} == {
            key: far.done for key, far in laid.left.items()
        }
        assert view.walk.far.minutes == pytest.approx(laid.far.minutes)
    return [
        tuple(part.text for part in line.parts)
        for stop in laid.stops.values()
        for line in stop_lines(stop, state_in(view, stop), 78)
    ]


def test_the_whole_round_is_that_of_the_journal(client: FileClient) -> None:
    assert words(IncrementalPlanner(client).whole(WHOLE)) == words(morning_view(client.entries(), WHOLE))


@pytest.mark.parametrize("kind", ["repair", "second_clip", "clip_head", "lower", "look", "pick", "side_shoot"])
def test_a_tick_shows_at_once_then_its_row_then_all(client: FileClient, kind: str) -> None:
    following = IncrementalPlanner(client)
    chore = planned(following.whole(WHOLE), kind)
    act = acts.done([chore])
    entries = written(client, act)
    at_once = following.written(entries, act.chores)
    if at_once is not None:
        assert not at_once.is_open(chore)
    near, cold = following.near(), morning_view(client.entries(), WHOLE)
    if near is None:
        assert any(one.kind == "scouted" for one in entries), "only what is said of the house waits for the whole"
        near = following.whole(WHOLE)
    assert near.states[chore.id] == "done"
    assert near.last_act == entries[0].act
    assert [chore.id for chore in near.planned()] == [chore.id for chore in cold.planned()]
    whole = following.whole(WHOLE)
    assert words(whole) == words(cold)
    assert whole.leaders == cold.leaders
    assert whole.morning is not None
    assert cold.morning is not None
    assert whole.morning.loads.clips == cold.morning.loads.clips


def test_the_words_on_a_touched_stem_are_new_at_once(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    before = following.whole(WHOLE)
    act = acts.done([planned(before, "second_clip")])
    leader = planned(before, "second_clip").leaders[0]
    after = following.written(written(client, act), act.chores)
    assert after is not None
    clips = [fixing.words for fixing in after.leaders[leader].fixings]
    assert clips != [fixing.words for fixing in before.leaders[leader].fixings]
    cold = morning_view(client.entries(), WHOLE).leaders[leader]
    assert clips == [fixing.words for fixing in cold.fixings]
    assert after.leaders[leader].facts == cold.facts
    assert after.walk is not None
    assert before.walk is not None
    assert after.walk.follows is before.walk.passes
    changed = {key for key, stop in after.walk.stops.items() if state_in(before, stop) != state_in(after, stop)}
    assert changed == set(after.walk.renewed)
    assert after.walk.far.minutes < before.walk.far.minutes


def test_crossed_out_all_is_as_before(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    before = following.whole(WHOLE)
    act = acts.done([planned(before, "second_clip")])
    entries = written(client, act)
    following.written(entries, act.chores)
    following.near()
    undo = acts.crossed_out(entries[0].act, "")
    at_once = following.written(written(client, undo), undo.chores)
    assert words(at_once) == words(before)
    assert words(following.near()) == words(before)


def test_a_look_taken_back_is_asked_for_again(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    look = planned(following.whole(WHOLE), "look")
    entries = written(client, acts.done([look]))
    following.written(entries, (look.id,))
    assert following.near() is not None
    assert not following.whole(WHOLE).is_open(look)
    following.written(written(client, acts.crossed_out(entries[0].act, "")), ())
    near = following.near()
    assert near is not None
    assert near.is_open(look)
    assert following.whole(WHOLE).is_open(look)


def test_facts_of_the_house_wait_for_the_whole_plan(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    following.whole(WHOLE)
    act = Act((draft("W", Watered(10.0)),), "watered")
    assert following.written(written(client, act), ()) is None
    assert following.near() is None
    assert words(following.whole(WHOLE)) == words(morning_view(client.entries(), WHOLE))


def test_what_another_program_wrote_is_in_the_next_whole(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    chore = planned(following.whole(WHOLE), "second_clip")
    written(client, acts.done([chore]))
    assert following.whole(WHOLE).states[chore.id] == "done"


def test_a_tick_that_was_read_already_is_taken_in_once(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    act = acts.done([planned(following.whole(WHOLE), "second_clip")])
    entries = written(client, act)
    following.whole(WHOLE)
    following.written(entries, act.chores)
    assert list(following.whole(WHOLE).morning.entries) == client.entries()  # type: ignore[union-attr]


def test_a_fault_in_a_rule_is_raised_and_leaves_it_to_the_whole(
    client: FileClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    following = IncrementalPlanner(client)
    act = acts.done([planned(following.whole(WHOLE), "second_clip")])

    def faulty(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    with monkeypatch.context() as patched:
        patched.setattr("tunneltui.screens.facts.with_stems", faulty)
        entries = written(client, act)
        with pytest.raises(ZeroDivisionError):
            following.written(entries, act.chores)
    assert following.near() is None
    assert following.whole(WHOLE).states[act.chores[0]] == "done"


def test_another_day_is_planned_from_nothing(client: FileClient) -> None:
    following = IncrementalPlanner(client)
    following.whole(WHOLE)
    next_day = PlanRequest(date(2026, 8, 21), NOW)
    assert words(following.whole(next_day)) == words(morning_view(client.entries(), next_day))


class FaultyAtAKey(PlansWhole):
    def written(self, *_: object) -> None:
        raise ZeroDivisionError


async def test_a_fault_at_a_key_is_logged_and_the_whole_round_follows(caplog: pytest.LogCaptureFixture) -> None:
    planned: list[RoundView] = []

    def whole() -> RoundView:
        planned.append(view())
        return planned[-1]

    app = TunnelApp(KeptInMind(), first=view(), planner=FaultyAtAKey(whole))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(planned))
        go_to(app, LOWER)
        await pilot.press("space")
        await wait_until(lambda: bool(caplog.records))
        await wait_until(lambda: len(planned) > 1)
    assert [record.exc_info[0] for record in caplog.records if record.exc_info] == [ZeroDivisionError]
    caplog.clear()
