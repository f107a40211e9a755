"""A morning planned after a key is the morning planned from nothing, to the last byte; and at a stem's or a loop's
depth it says of stems and loops what the whole says, where nothing was learned meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from functools import cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.chores.scenes import SCENES, Scene
from tests.demo_once import demo_entries
from tests.season.entries import FIRST
from tests.season.test_any_arrival import FOLDED_ON, arrivals
from tunneltui.chores.chore import Chore
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning, morning_of, plan
from tunneltui.chores.reach import loops_shown
from tunneltui.chores.rules import RULES
from tunneltui.journal.entry import Draft, Entry
from tunneltui.memo import Depth, Memo, Stages
from tunneltui.report.documents import as_text, loads_document, outlook_document, round_document
from tunneltui.season.fold import Fold, Touched, fold
from tunneltui.store.kept_round import as_shown

DAY = date(2026, 8, 20)
DEPTHS: tuple[Depth, ...] = ("stem", "loop", "house")
TEACHES_NOTHING = ("twist_in", "side_shoot")
"""Ticked as proposed, these say nothing of growth or of what clips bear."""


def said(morning: Morning) -> str:
    """``round``, ``loads`` and ``outlook`` as ``--json`` writes them."""
    documents = (
        round_document(morning.round, as_shown(morning.round).number_of),
        loads_document(morning.loads),
        outlook_document(morning.season, morning.outlook),
    )
    return "".join(as_text(document) for document in documents)


class Followed:
    """A day planned as entries come, each time from what is known of the time before."""

    def __init__(self, day: date, entries: Iterable[Entry] = ()) -> None:
        self.fold = Fold(day)
        self.memo = Memo()
        self.entries: list[Entry] = []
        self.add(entries)
        self.whole = self.plan("house")

    def add(self, entries: Iterable[Entry]) -> Touched:
        self.entries = sorted({*self.entries, *entries}, key=lambda entry: entry.order)
        return self.fold.add(entries)

    def plan(self, depth: Depth, stems: frozenset[str] = frozenset()) -> Morning:
        stages = Stages(self.memo, depth)
        if depth == "stem":
            planned = plan(stages, self.fold.rows_of(stems, self.whole.season), stems=stems)
        else:
            planned = plan(stages, self.fold.season(), self.entries)
        self.memo = stages.memo
        if depth == "house":
            self.whole = planned
        return planned

    def cold(self) -> Morning:
        return morning_of(fold(self.entries, self.fold.day), self.entries)


def any_order(day: date, parts: Sequence[Sequence[Entry]], depths: Sequence[Sequence[Depth]]) -> None:
    followed = Followed(day)
    for part, pulled in zip(parts, depths, strict=False):
        touched = followed.add(part)
        for depth in pulled if not touched.house else ():
            followed.plan(depth, touched.leaders)
        assert said(followed.plan("house")) == said(followed.cold())


DEEPER = st.lists(st.lists(st.sampled_from(DEPTHS), max_size=3), min_size=40, max_size=40)
QUIET = (HealthCheck.too_slow, HealthCheck.data_too_large)


@settings(max_examples=15, deadline=None, suppress_health_check=QUIET)
@given(arrivals(25), DEEPER)
def test_any_order_of_entries_gives_the_same_bytes(parts: list[list[Entry]], depths: list[list[Depth]]) -> None:
    any_order(FIRST + timedelta(days=FOLDED_ON), parts, depths)


@pytest.mark.long
@settings(max_examples=1500, deadline=None, suppress_health_check=list(HealthCheck))
@given(arrivals(60), DEEPER)
def test_any_order_of_many_entries(parts: list[list[Entry]], depths: list[list[Depth]]) -> None:
    any_order(FIRST + timedelta(days=FOLDED_ON), parts, depths)


def entries_of(drafts: Sequence[Draft], act: str, at_us: int) -> list[Entry]:
    return [
        Entry(f"{act} {n}", act, "made up", DAY, 2**52 + at_us + n, "", draft.about, draft.kind, 1, draft.body)
        for n, draft in enumerate(drafts)
    ]


def ticked_at_random(seed: int, ticks: int) -> None:
    """Chores of the demo's day, whole or one piece, one after the other."""
    rng = Random(seed)
    followed = Followed(DAY, demo_entries())
    for number in range(ticks):
        chore = rng.choice([one for one in followed.whole.chores if one.writes])
        piece = rng.choice(chore.pieces)
        touched = followed.add(entries_of(rng.choice((chore, piece)).writes, f"tick {number}", 1000 * number))
        pulled: tuple[Depth, ...] = rng.choice(((), ("stem",), ("loop",), ("stem", "stem", "loop")))
        for depth in pulled:
            followed.plan(depth, touched.leaders)
        assert said(followed.plan("house")) == said(followed.cold())


def test_ticks_give_the_same_bytes_as_planned_from_nothing() -> None:
    ticked_at_random(1, 6)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2, 27))
def test_many_ticks_give_the_same_bytes(seed: int) -> None:
    ticked_at_random(seed, 20)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.__name__)
def test_a_rule_looks_no_further_than_its_kinds_say(scene: Callable[[], Scene]) -> None:
    """Shown the whole house it asks for what it asks for when it is shown loop by loop."""
    entries, day = scene()
    here = morning_of(fold(entries, day), entries)
    loops = [shown.opened() for shown in loops_shown(Stages(), here.season, here.outlook, here.loads).values()]
    for asked in RULES:
        if asked.reach != "house":
            whole = {*asked.rule(here.season, here.outlook, here.loads)}
            assert whole == {chore for loop in loops for chore in asked.rule(*loop)}


@cache
def asked_for() -> dict[str, Chore]:
    """One chore of each kind that writes something of a stem."""
    one: dict[str, Chore] = {}
    for chore in Followed(DAY, demo_entries()).whole.chores:
        if chore.writes and (chore.leaders or chore.kind == "look"):
            one.setdefault(chore.kind, chore)
    return one


@pytest.mark.parametrize("kind", asked_for())
def test_a_stem_alone_says_what_its_loop_says_of_it(kind: str) -> None:
    followed = Followed(DAY, demo_entries())
    touched = followed.add(entries_of(asked_for()[kind].writes, "tick", 0)).leaders
    alone, near = followed.plan("stem", touched), followed.plan("loop")
    of_stems = {chore for chore in near.chores if KINDS[chore.kind].reach == "stem"}
    assert set(alone.chores) == {chore for chore in of_stems if touched & set(chore.leaders)}
    theirs = {clip.id: clip for clip in alone.loads.clips}
    assert theirs == {clip.id: clip for clip in near.loads.clips if clip.id in theirs}
    assert bool(theirs) == any(leader.fixings for leader in alone.season.leaders.values())
    assert alone.outlook.leaders == {leader: near.outlook.leaders[leader] for leader in alone.season.leaders}


@pytest.mark.parametrize("kind", TEACHES_NOTHING)
def test_what_teaches_nothing_needs_no_plan_of_the_house(kind: str) -> None:
    followed = Followed(DAY, demo_entries())
    followed.add(entries_of(asked_for()[kind].writes, "tick", 0))
    assert said(followed.plan("loop")) == said(followed.cold())
