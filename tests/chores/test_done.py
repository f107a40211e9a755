"""On the demo's morning: what its chores say, and exceptions of passes (every kind: ``test_kinds``)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from functools import cache

import pytest

from tests.chores.given import bodies
from tests.demo_once import demo_entries
from tunneltui.chores.exceptions import together, without
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.chores.rules import chores
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.loads.chain import loads
from tunneltui.values import replace

PLAYS_ON = date(2026, 8, 20)
LATE = date(2026, 6, 18)
"""A morning early in the demo's season, with first lowerings and other chores than in August."""


@cache
def entries_until(day: date) -> tuple[Entry, ...]:
    return tuple(entry for entry in demo_entries() if entry.day <= day)


@cache
def morning(day: date) -> Morning:
    return plan_morning(entries_until(day), day)


def act(day: date, drafts: Sequence[Draft], name: str = "done") -> list[Entry]:
    us = max(entry.at_us for entry in entries_until(day)) + 1
    return [
        Entry(d.id or f"{name}-{n}", name, "test", day, us + n, "me", d.about, d.kind, 1, d.body)
        for n, d in enumerate(together(drafts))
    ]


def test_every_chore_of_the_demo_says_why_with_numbers() -> None:
    for chore in morning(PLAYS_ON).chores:
        assert any(c.isdigit() for c in chore.why), chore
        assert not chore.why[0].islower()
        assert chore.why.rstrip()[-1] in ".)"
        assert chore.minutes > 0
        assert chore.id == f"{chore.kind} {chore.about} {chore.latest}"


def test_the_demos_lowering_moves_five_heads_or_more_and_keeps_hook_order() -> None:
    from tunneltui.chores.lowering import lowering_jobs

    here = morning(PLAYS_ON)
    jobs = [job for job in lowering_jobs(here.season, here.outlook, here.loads) if len(job.doable) >= 5]
    assert jobs
    for job in jobs:
        order = [x.id for x in here.season.leaders_of_loop(job.loop) if x.hook]
        to = {m.leader: m.hook_to_u_m for m in job.moves}
        now = {x: here.season.leaders[x].hook.u_m for x in order}  # type: ignore[union-attr]
        before = sorted(order, key=lambda x: now[x])
        after = sorted(order, key=lambda x: to.get(x, now[x]))
        passing = {name for move in job.moves for name in move.passes}
        assert before == after or passing


def test_a_pass_with_exceptions_leaves_them_out_and_takes_them_up_again() -> None:
    here = morning(PLAYS_ON)
    for kind in ("side_shoot", "deleaf", "lower", "twist_in"):
        chore = next((c for c in here.chores if c.kind == kind and len(c.leaders) > 2), None)
        if chore is None or chore.earliest > PLAYS_ON:
            continue
        left = set(chore.leaders[1:3])
        part = without(chore, left)
        assert part.leaders == tuple(x for x in chore.leaders if x not in left)
        assert part.answers == chore.answers
        assert part.minutes == pytest.approx(chore.minutes * len(part.leaders) / len(chore.leaders))
        named = {b.leader for b in bodies(part.writes) if hasattr(b, "leader")}
        listed = {x for b in bodies(part.writes) for x in getattr(b, "leaders", ())}
        assert (named | listed) == set(part.leaders)
        after = plan_morning([*entries_until(PLAYS_ON), *act(PLAYS_ON, part.writes)], PLAYS_ON)
        if kind != "twist_in":
            (rest,) = [
                c for c in after.chores if (c.kind, c.about) == (kind, chore.about) and c.earliest <= PLAYS_ON
            ]
            assert set(rest.leaders) <= left | {x for x in rest.leaders if x not in chore.leaders}
            assert left <= set(rest.leaders)
    assert not without(chore, chore.leaders).writes if chore else True


def test_clips_opened_for_an_excepted_head_are_not_written() -> None:
    chore = next(
        c for c in morning(PLAYS_ON).chores if c.kind == "lower" and "unclipped" in {d.kind for d in c.writes}
    )
    opened = next(n for n, d in enumerate(chore.writes) if d.kind == "unclipped")
    whose = next(b.leader for b in reversed(bodies(chore.writes[:opened])) if isinstance(b, Lowered))
    fixing = bodies(chore.writes)[opened].fixing
    part = without(chore, [whose])
    assert fixing not in {getattr(b, "fixing", "") for b in bodies(part.writes)}
    assert whose not in {getattr(b, "leader", "") for b in bodies(part.writes)}


def test_a_fifth_more_fruit_changes_a_chore_that_names_the_clip_both_ends_and_the_day() -> None:
    here = morning(PLAYS_ON)
    heavier = {
        name: replace(
            leader,
            days={
                day: replace(stem, trusses=tuple(t._replace(kg=1.2 * t.kg) for t in stem.trusses))
                for day, stem in leader.days.items()
            },
        )
        for name, leader in here.outlook.leaders.items()
    }
    outlook = replace(here.outlook, leaders=heavier)
    after = chores(here.season, outlook, loads(here.season, outlook, PLAYS_ON))
    before = {chore.id: chore.why for chore in here.chores}
    changed = [c for c in after if c.kind == "second_clip" and before.get(c.id) != c.why]
    assert changed
    said = re.compile(
        r"[EW]\d-\d\da's \w* ?clip on (string [\w/]+|the head) carries \d\.\d to \d\.\d kg (today|by \w+)"
    )
    assert not [chore.why for chore in changed if not said.match(chore.why)]
