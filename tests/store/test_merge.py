"""Laptops that merged, in any order and any number of times, say the same, byte for byte."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from datetime import date, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.demo_once import demo_entries
from tests.season.entries import FIRST, TWO_ROWS, differences, planted
from tests.season.test_any_arrival import FOLDED_ON, HOLDINGS, journals
from tests.store.making import DAY, START_US, entry, filled, note
from tunneltui.chores.morning import plan_morning
from tunneltui.holding.toml import to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_journal import CrossedOut, Note, Restored
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.report.documents import as_text, round_document
from tunneltui.season.fold import fold
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.json_lines import import_lines, lines
from tunneltui.store.kept_round import as_shown
from tunneltui.store.merge import can_stand, merge, side_by_side
from tunneltui.values import replace

LAPTOPS = ("one", "two", "three")
ON = FIRST + timedelta(days=FOLDED_ON)
Parts = list[list[Entry]]


def _written(folder: Path, parts: Parts) -> list[Path]:
    """A journal for each laptop, holding its part in order of arrival."""
    paths = []
    for name, part in zip(LAPTOPS, parts, strict=True):
        paths.append(folder / f"{name}.db")
        with JournalFile.open(paths[-1], state_dir=folder / name) as journal:
            journal.append_entries(part)
    return paths


def _merge_into(paths: Sequence[Path], into: int, other: int) -> None:
    if into != other:
        merge(paths[into], paths[other], state_dir=paths[into].with_suffix(""))


def _rows(path: Path) -> set[Entry]:
    with JournalFile.open(path, read_only=True, state_dir=path.with_suffix("")) as journal:
        return {one for _, one in journal.entries_after(0)}


def _entries(path: Path) -> list[Entry]:
    with JournalFile.open(path, read_only=True, state_dir=path.with_suffix("")) as journal:
        return journal.entries()


def _round_bytes(entries: Sequence[Entry], day: date) -> str:
    walk = plan_morning(entries, day).round
    return as_text(round_document(walk, as_shown(walk).number_of))


@st.composite
def three_laptops(draw: st.DrawFn, most: int) -> Parts:
    """Acts on one laptop each or on all; equal times on different laptops; rows read in on two of them."""
    entries = draw(journals(most))
    acts = {entry.act: draw(st.sampled_from([(0, 1, 2), (0,), (1,), (2,), (0, 2)])) for entry in entries}
    acts[entries[0].act] = (0, 1, 2)
    parts: Parts = [[], [], []]
    for number, one in enumerate(entries):
        held_by = acts[one.act]
        same_time = draw(st.booleans())
        for laptop in held_by:
            written = one
            if len(held_by) < 3:
                # Both laptops of two read the row in from one file: one id, two acts and times.
                written = one._replace(device=LAPTOPS[laptop])
                if not same_time:
                    act = one.act if laptop == held_by[0] else f"{one.act} read on {LAPTOPS[laptop]}"
                    written = written._replace(at_us=one.at_us + laptop, by=LAPTOPS[laptop], act=act)
            elif same_time:
                written = one._replace(at_us=entries[max(0, number - 1)].at_us)
            parts[laptop].append(written)
    # A late arrival order of its own on each laptop.
    return [draw(st.permutations(part)) for part in parts]


pairs = st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), max_size=6)


def _travels(one: Entry) -> bool:
    """A holding that does not check stays on the laptop it was written on."""
    body = typed(one) if one.kind == "holding_set" else None
    return not isinstance(body, HoldingSet) or can_stand(body.toml)


def _all_say_the_same(parts: Parts, order: Sequence[tuple[int, int]], *, rounds: bool) -> None:
    with tempfile.TemporaryDirectory() as folder:
        paths = _written(Path(folder), parts)
        for into, other in [*order, (0, 1), (0, 2), (1, 0), (2, 0), *order]:
            _merge_into(paths, into, other)
        union = {one for part in parts for one in part if _travels(one)}
        assert [_rows(path) for path in paths] == [union.union(part) for part in parts]
        one, two, three = ([one for one in _entries(path) if _travels(one)] for path in paths)
    assert one == two == three
    assert differences(fold(one, ON), fold([*union], ON)) == []
    if rounds:
        said = {_round_bytes(entries, ON) for entries in (one, two, three)}
        assert len(said) == 1


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(three_laptops(25), pairs)
def test_three_laptops_end_with_the_same_entries_season_and_round(
    parts: Parts, order: list[tuple[int, int]]
) -> None:
    _all_say_the_same(parts, order, rounds=True)


@pytest.mark.long
@settings(max_examples=400, deadline=None, suppress_health_check=list(HealthCheck))
@given(three_laptops(60), pairs)
def test_three_laptops_end_with_the_same_over_many(parts: Parts, order: list[tuple[int, int]]) -> None:
    _all_say_the_same(parts, order, rounds=True)


def test_the_demo_split_over_three_laptops_gives_the_same_round_to_the_byte(tmp_path: Path) -> None:
    entries = demo_entries()
    base, rest = entries[: len(entries) // 3], entries[len(entries) // 3 :]
    acts = list(dict.fromkeys(one.act for one in rest))
    turn = {act: number % 3 for number, act in enumerate(acts)}
    parts = [[*base, *(one for one in rest if turn[one.act] == laptop)] for laptop in range(3)]
    paths = _written(tmp_path, parts)
    for into, other in ((1, 0), (2, 1), (0, 2), (1, 2)):
        _merge_into(paths, into, other)
    day = date(2026, 8, 20)
    wanted = _round_bytes(entries, day)
    assert '"chores"' in wanted
    assert [_round_bytes(_entries(path), day) == wanted for path in paths] == [True] * 3


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_crossing_out_on_one_laptop_and_restoring_on_another_ends_alike(
    tmp_path: Path, order: tuple[int, ...]
) -> None:
    base = planted()
    base.write(Note("undone and done again"), "W1-01", id="noted", act="the note")
    common = list(base.entries)
    base.write(CrossedOut("the note"), id="crossed", day=1)
    base.write(Restored("the note"), id="restored", day=2)
    base.write(HoldingSet(to_toml(HOLDINGS[1])), id="second holding", day=3)
    crossed, restored, holding = base.entries[-3:]
    paths = _written(tmp_path, [[*common, crossed], [restored, *common], [holding, *common]])
    for other in order:
        for into in range(3):
            _merge_into(paths, into, other)
    seasons = [fold(_entries(path), ON) for path in paths]
    assert [differences(season, fold(base.entries, ON)) for season in seasons] == [[], [], []]
    assert [text.text for _, _, text in seasons[0].notes] == ["undone and done again"]


def test_a_dry_run_says_what_would_come_and_changes_nothing(path: Path, tmp_path: Path) -> None:
    filled(path, 3)
    other = tmp_path / "other.db"
    with JournalFile.open(other, device="other") as journal:
        journal.append([note("a"), note("b")], DAY)
    before, theirs = path.read_bytes(), other.read_bytes()
    looked = merge(path, other, dry_run=True)
    assert (looked.new, looked.same) == (2, 0)
    assert (path.read_bytes(), other.read_bytes()) == (before, theirs)
    done = merge(path, other)
    assert (done.new, done.same) == (2, 0)
    assert other.read_bytes() == theirs
    again = merge(path, other)
    assert (again.new, again.same) == (0, 2)


def test_one_id_that_says_two_things_is_told_with_both(path: Path, tmp_path: Path) -> None:
    ours = entry("same", body='{"text":"10 cm"}')
    theirs = ours._replace(body='{"text":"12 cm"}', at_us=START_US + 5, device="other")
    other = tmp_path / "other.db"
    for file, one in ((path, ours), (other, theirs)):
        with JournalFile.open(file) as journal:
            journal.append_entries([one])
    (differing,) = merge(path, other).differing
    assert (differing.here, differing.offered) == (ours, theirs)
    merge(other, path)
    for file in (path, other):
        with JournalFile.open(file) as journal:
            assert journal.entries() == [ours]


def test_one_file_read_in_on_two_laptops_adds_nothing_twice_and_says_nothing_else(
    path: Path, tmp_path: Path
) -> None:
    rows = [(DAY, note(f"{n}", id=f"row-{n}")) for n in range(10)]
    other = tmp_path / "other.db"
    for file, device in ((path, "one"), (other, "two")):
        with JournalFile.open(file, device=device) as journal:
            journal.append_days(rows, by=device)
    done = merge(path, other)
    assert (done.new, done.same, done.differing) == (0, 10, ())
    merge(other, path)
    assert _entries(path) == _entries(other)
    assert len(_entries(path)) == 10


def test_differing_holdings_are_shown_side_by_side(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    texts = (to_toml(TWO_ROWS), to_toml(replace(TWO_ROWS, name="made up anew")))
    for file, text in zip((path, other), texts, strict=True):
        book = planted()
        book.write(HoldingSet(text), id=f"set in {file.name}", day=9)
        with JournalFile.open(file) as journal:
            journal.append_entries(book.entries)
    shown = merge(path, other, dry_run=True).holdings
    assert shown == (('name = "made up"', 'name = "made up anew"'),)
    assert side_by_side("a\nb\nc", "a\nx\ny\nc") == (("b", "x"), ("", "y"))
    assert side_by_side("a", "a") == ()


def test_what_a_newer_version_wrote_survives_merge_and_lines_byte_for_byte(path: Path, tmp_path: Path) -> None:
    odd = [
        entry("k1", kind="of_tomorrow", body='{ "b":1e3,\t"a" : [1.0, 1.00], "ü":"\\u00fc" }'),
        entry("k2", kind="note", body='{"text":"x","mood":{"deep":[null,{}]}}')._replace(v=7),
        entry("k3", kind="clipped", body="this is no JSON \x00\x1b[31m \u202e"),
    ]
    other = tmp_path / "other.db"
    JournalFile.open(path).close()
    with JournalFile.open(other) as journal:
        journal.append_entries(odd)
    merge(path, other)
    assert _entries(path) == odd
    (tmp_path / "all.jsonl").write_text("\n".join(lines(odd)), encoding="utf-8")
    third = tmp_path / "third.db"
    import_lines(tmp_path / "all.jsonl", third)
    with JournalFile.open(third) as journal:
        assert journal.entries() == odd
        assert list(lines(journal.entries())) == list(lines(odd))


def test_a_merge_with_nonsense_or_with_itself_changes_nothing(path: Path, tmp_path: Path) -> None:
    filled(path, 3)
    before = path.read_bytes()
    bad = tmp_path / "bad.db"
    bad.write_bytes(before[:5000])
    for other in (bad, tmp_path / "none.db", path):
        with pytest.raises(UserError):
            merge(path, other)
    assert path.read_bytes() == before
    assert bad.read_bytes() == before[:5000]
