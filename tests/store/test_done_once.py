"""Two hands tick one chore (rule 11 of the journal, DEVELOPERS.md): the second is told, and nothing is written
twice."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.store.private_server import PrivateServer
from tunneltui.chores.chore import Chore
from tunneltui.chores.exceptions import together
from tunneltui.chores.morning import plan_morning
from tunneltui.demo.make import make_demo
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import SideShooted
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.season.fold import fold
from tunneltui.store.acts import DoneBefore
from tunneltui.store.health import check_file
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.journals import open_journal
from tunneltui.store.merge import merge
from tunneltui.store.where import Where

PLAYS_ON = date(2026, 8, 20)


def demo(at: Where) -> list[Entry]:
    make_demo(at)
    with open_journal(at, read_only=True) as journal:
        return journal.entries()


def chore(entries: list[Entry], kind: str) -> Chore:
    return next(c for c in plan_morning(entries, PLAYS_ON).chores if c.kind == kind and c.earliest <= PLAYS_ON)


@pytest.mark.parametrize("kind", ["second_clip", "deleaf", "lower"])
def test_on_one_file_the_second_is_told_and_writes_nothing(tmp_path: Path, kind: str) -> None:
    at = tmp_path / "one.db"
    drafts = together(chore(demo(at), kind).writes)
    with JournalFile.open(at, device="ann") as ann, JournalFile.open(at, device="bob") as bob:
        first = ann.append(drafts, PLAYS_ON)
        with pytest.raises(DoneBefore, match=r"machine \(ann\) noted it \d+ \w+ \d\d:\d\d: .* not counted"):
            bob.append(drafts, PLAYS_ON)
        assert bob.entries() == ann.entries()
        ann.append([draft("", CrossedOut(first[0].act))], PLAYS_ON)
        assert bob.append(drafts, PLAYS_ON), "what was crossed out may be done"


def test_the_other_half_of_a_row_is_not_done_before(tmp_path: Path) -> None:
    at = tmp_path / "halves.db"
    pieces = chore(demo(at), "deleaf").pieces
    halves = [together(d for piece in some for d in piece.writes) for some in (pieces[:3], pieces[3:], pieces[2:])]
    with JournalFile.open(at, device="ann") as ann, JournalFile.open(at, device="bob") as bob:
        ann.append(halves[0], PLAYS_ON)
        bob.append(halves[1], PLAYS_ON)
        with pytest.raises(DoneBefore):
            bob.append(halves[2], PLAYS_ON)


def _tick(at: Where, state: Path, drafts: tuple[Draft, ...]) -> int:
    try:
        with open_journal(at, state_dir=state) as journal:
            return len(journal.append(drafts, PLAYS_ON))
    except DoneBefore:
        return 0


def test_on_a_server_one_of_six_hands_writes(server: PrivateServer, tmp_path: Path) -> None:
    at = server.new()
    drafts = together(chore(demo(at), "lower").writes)
    with ThreadPoolExecutor(6) as hands:
        written = [hands.submit(_tick, at, tmp_path / str(n), drafts) for n in range(6)]
        assert sorted(one.result() for one in written) == [0, 0, 0, 0, 0, len(drafts)]


@pytest.mark.parametrize("days_on", [0, 1])
def test_what_was_left_and_asked_for_again_is_done_once_too(tmp_path: Path, days_on: int) -> None:
    """One laptop clips a row's heads at once; the other those due first, and then the rest, which what he measured
    meanwhile may have made due another day."""
    at = tmp_path / "one.db"
    entries = demo(at)
    heads = chore(entries, "clip_head")
    first = [piece for piece in heads.pieces if piece.latest == heads.latest]
    assert 0 < len(first) < len(heads.pieces), "some heads may wait"
    other = tmp_path / "other.db"
    other.write_bytes(at.read_bytes())
    with JournalFile.open(at, device="ann", state_dir=tmp_path / "ann") as ann:
        ann.append(together(heads.writes), PLAYS_ON)
        alone = fold(ann.entries(), PLAYS_ON)
    with JournalFile.open(other, device="bob", state_dir=tmp_path / "bob") as bob:
        bob.append(together(draft for piece in first for draft in piece.writes), PLAYS_ON)
        left = next(c for c in plan_morning(bob.entries(), PLAYS_ON).chores if c.key == heads.key)
        bob.append(together(_due_later(one, days_on) for one in left.writes), PLAYS_ON)
        assert len(fold(bob.entries(), PLAYS_ON).set_aside) == len(alone.set_aside), "to himself he did all once"
    merge(at, other)
    with open_journal(at, read_only=True) as journal:
        assert fold(journal.entries(), PLAYS_ON).leaders == alone.leaders


@pytest.mark.parametrize(("device", "counts"), [("ann", True), ("bob", False)])
def test_done_early_and_asked_for_anew_on_its_day_is_done_again(tmp_path: Path, device: str, counts: bool) -> None:
    """Heads done some days before they are due, and on the day itself asked for again: who planned with the first
    does them twice, who had not heard of it did the same."""
    at = tmp_path / "one.db"
    entries = demo(at)
    heads = chore(entries, "clip_head")
    piece = next(piece for piece in heads.pieces if piece.latest > PLAYS_ON)
    with JournalFile.open(at, device="ann") as ann:
        ann.append(piece.writes, PLAYS_ON)
    with JournalFile.open(at, device=device) as again:
        if counts:
            again.append(piece.writes, piece.latest)
        else:
            with pytest.raises(DoneBefore):
                again.append(piece.writes, piece.latest)
        aside = [one for one in fold(again.entries(), piece.latest).set_aside if one.entry.kind == "clipped"]
        assert not aside


def _due_later(one: Draft, days: int) -> Draft:
    body = json.loads(one.body)
    kind, about, due = body["answers"]
    body["answers"] = [kind, about, (date.fromisoformat(due) + timedelta(days)).isoformat()]
    return one._replace(body=json.dumps(body, separators=(",", ":")))


def test_three_laptops_that_tick_the_same_morning_merge_to_the_season_of_the_first(tmp_path: Path) -> None:
    """Each does the whole round of the morning without having heard of the others."""
    at = tmp_path / "laptop0.db"
    entries = demo(at)
    walk = plan_morning(entries, PLAYS_ON).round
    for n in (1, 2):
        (tmp_path / f"laptop{n}.db").write_bytes(at.read_bytes())
    with ExitStack() as stack:
        laptops = [
            stack.enter_context(
                JournalFile.open(tmp_path / f"laptop{n}.db", device=f"laptop{n}", state_dir=tmp_path / f"state{n}")
            )
            for n in range(3)
        ]
        for laptop in laptops:
            for spot in walk.spots:
                for one in spot.chores:
                    drafts = [*one.writes, *(one.choices[0].writes if one.choices else ())]
                    if drafts:
                        laptop.append(together(drafts), PLAYS_ON)
        alone = fold(laptops[0].entries(), PLAYS_ON)
    merge(at, tmp_path / "laptop1.db")
    merge(at, tmp_path / "laptop2.db")
    with open_journal(at, read_only=True) as journal:
        merged = fold(journal.entries(), PLAYS_ON)
    assert merged.leaders == alone.leaders
    assert merged.picks == alone.picks
    assert (merged.feeds, merged.waterings, merged.scoutings) == (alone.feeds, alone.waterings, alone.scoutings)
    assert len(merged.set_aside) > len(alone.set_aside)
    assert any("machine laptop0 noted first that it was done" in say for say in check_file(at))


def test_a_weekly_tick_does_not_read_the_whole_journal(tmp_path: Path) -> None:
    """What was answered last week is no reason to go through every row of a million for marks."""
    with JournalFile.open(tmp_path / "one.db") as journal:
        asked: list[str] = []
        for due in (PLAYS_ON - timedelta(days=7), PLAYS_ON):
            tick = draft("W1", SideShooted(("a leader",)), ("side_shoot", "W1", due.isoformat()))
            journal._connection.set_trace_callback(asked.append)
            assert journal.append([tick], due)
        journal._connection.set_trace_callback(None)
        reads = [
            ask for ask in asked if ask.startswith("SELECT") and "FROM entries" in ask and "LIMIT 1" not in ask
        ]
        plans = {ask: journal._connection.execute(f"EXPLAIN QUERY PLAN {ask}").fetchall() for ask in reads}
    ways = {ask: [detail for *_, detail in plan] for ask, plan in plans.items()}
    assert any("entries_by_about" in detail for way in ways.values() for detail in way)
    assert not [ask for ask, way in ways.items() if "SCAN entries" in way]
