"""Every kind of chore, walked through: done as proposed it is silent, in part the rest stays open with its
minutes, undone all is as it was, and each answer to a choice is written and silences it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields
from functools import cache

import pytest

from tests.chores.scenes import SCENES, Scene
from tunneltui.chores.chore import Chore
from tunneltui.chores.exceptions import only, together
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning, plan
from tunneltui.journal.body import draft, parsed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.memo import Memo, Stages
from tunneltui.season.fold import Fold, fold
from tunneltui.season.state import Season

BY_NAME = {scene.__name__: scene for scene in SCENES}


@cache
def planned(scene: str) -> tuple[Morning, Memo]:
    known, day = BY_NAME[scene]()
    stages = Stages()
    return plan(stages, fold(known, day), known), stages.memo


def morning(scene: str) -> Morning:
    return planned(scene)[0]


def planned_after(scene: str, acts: Iterable[Sequence[Entry]]) -> Morning:
    """With what was written since, planned from what is known (to the same bytes: ``test_plan.py``)."""
    known, day = BY_NAME[scene]()
    entries = [*known, *(entry for act in acts for entry in act)]
    return plan(Stages(planned(scene)[1]), fold(entries, day), entries)


@cache
def of_each_kind(scene: str) -> tuple[Chore, ...]:
    """Of every kind asked for today the chore of most pieces."""
    found: dict[str, Chore] = {}
    for chore in sorted(morning(scene).chores, key=lambda c: (-len(c.pieces), c.id)):
        if chore.earliest <= morning(scene).day:
            found.setdefault(chore.kind, chore)
    return tuple(found.values())


def acts(known: Sequence[Entry], day_of: Scene, done: Iterable[tuple[str, Sequence[Draft]]]) -> list[list[Entry]]:
    """An act for each name, one after the other."""
    us = max(entry.at_us for entry in known) + 1
    found = []
    for name, drafts in done:
        found.append(
            [
                Entry(d.id or f"{name}-{n}", name, "test", day_of[1], us + n, "me", d.about, d.kind, 1, d.body)
                for n, d in enumerate(together(drafts))
            ]
        )
        us += 1000
    return found


def said(season: Season) -> dict[str, object]:
    """Everything of a season; that something was crossed out is the one thing undoing leaves behind."""
    plain = {f.name: getattr(season, f.name) for f in fields(season) if f.compare and f.name != "layout"}
    plain["last"] = {key: day for key, day in season.last.items() if key[0] != "crossed_out"}
    return plain


def ways_of(chore: Chore) -> list[tuple[str, tuple[Draft, ...]]]:
    """Every act a grower may write of it at once: as proposed, or each of its choices."""
    if chore.choices:
        return [(f"{chore.id} {choice.key}", choice.writes) for choice in chore.choices]
    return [(chore.id, chore.writes)] if chore.writes else []


def asked_again(after: Morning, chore: Chore, keys: Iterable[str]) -> set[str]:
    """Which of those pieces are asked for still, today."""
    same = [c for c in after.chores if (c.kind, c.about) == (chore.kind, chore.about)]
    return {p.key for c in same for p in c.pieces if p.earliest <= after.day} & set(keys)


def leaves_the_rest(scene: str, chore: Chore) -> bool:
    """Whether it is tried together with others: what takes plants away would take what others ask for."""
    return (chore.kind == "clearing") is (scene == "last_day")


def test_every_kind_is_met() -> None:
    met = {chore.kind for scene in BY_NAME for chore in of_each_kind(scene)}
    assert met == KINDS.keys()


@pytest.mark.parametrize("scene", BY_NAME)
def test_what_a_chore_says_of_itself(scene: str) -> None:
    for chore in of_each_kind(scene):
        kind = KINDS[chore.kind]
        assert bool(chore.choices) is (kind.taken == "choice"), chore.id
        assert bool(chore.writes) is (kind.taken not in ("choice", "walk")), chore.id
        assert all(piece.minutes > 0 for piece in chore.pieces), chore.id
        assert len({piece.key for piece in chore.pieces}) == len(chore.pieces), chore.id
        assert len({choice.key for choice in chore.choices}) == len(chore.choices), chore.id
        assert all(len(choice.key) == 1 for choice in chore.choices), chore.id
        for name, drafts in ways_of(chore):
            assert {parsed(one)["answers"][0] for one in drafts} == {chore.kind}, name
            assert {parsed(one)["answers"][1] for one in drafts} == {chore.about}, name
        if chore.choices:
            harmless = {d.kind for d in chore.choices[0].writes}
            assert not harmless & {"tip_taken_out", "removed", "plant_lost"}, chore.id


@pytest.mark.parametrize("scene", BY_NAME)
def test_undone_the_state_is_equal(scene: str) -> None:
    known, day = BY_NAME[scene]()
    growing = Fold(day)
    growing.add(known)
    before = said(growing.season())
    ways = [way for chore in of_each_kind(scene) for way in ways_of(chore)]
    for act in acts(known, (known, day), ways):
        growing.add(act)
        assert said(growing.season()) != before, act[0].act
        out, name = draft("", CrossedOut(act[0].act)), f"x {act[0].act}"
        growing.add([Entry(name, name, "test", day, act[-1].at_us + 1, "me", "", out.kind, 1, out.body)])
        assert said(growing.season()) == before, act[0].act


@pytest.mark.parametrize("scene", BY_NAME)
def test_done_as_proposed_it_is_silent(scene: str) -> None:
    known, day = BY_NAME[scene]()
    done = [chore for chore in of_each_kind(scene) if chore.writes and leaves_the_rest(scene, chore)]
    written = acts(known, (known, day), [(c.id, c.writes) for c in done])
    after = planned_after(scene, written)
    assert not [aside for aside in after.season.set_aside if aside.entry.act in {c.id for c in done}]
    for chore in done:
        assert not asked_again(after, chore, [piece.key for piece in chore.pieces]), chore.id


@pytest.mark.parametrize("scene", BY_NAME)
def test_done_in_part_the_rest_stays_open_with_its_minutes(scene: str) -> None:
    known, day = BY_NAME[scene]()
    every = [chore for chore in of_each_kind(scene) if chore.writes and len(chore.pieces) > 1]
    several = [chore for chore in every if leaves_the_rest(scene, chore)]
    if not several:
        pytest.skip("nothing of several pieces is asked for here")
    parts = [only(c, [piece.key for piece in c.pieces[: len(c.pieces) // 2]]) for c in several]
    written = acts(known, (known, day), [(part.id, part.writes) for part in parts])
    after = planned_after(scene, written)
    for chore, part in zip(several, parts, strict=True):
        done = {piece.key for piece in part.pieces}
        rest = {piece.key: piece for piece in chore.pieces if piece.key not in done}
        assert not asked_again(after, chore, done), chore.id
        left = {
            piece.key: piece
            for c in after.chores
            if (c.kind, c.about) == (chore.kind, chore.about)
            for piece in c.pieces
        }
        assert rest.keys() <= left.keys(), chore.id
        assert sum(left[key].minutes for key in rest) == pytest.approx(
            sum(piece.minutes for piece in rest.values())
        ), chore.id


@pytest.mark.parametrize("scene", BY_NAME)
def test_each_answer_is_written_and_silences_the_question(scene: str) -> None:
    known, day = BY_NAME[scene]()
    asked = [chore for chore in of_each_kind(scene) if chore.choices]
    if not asked:
        pytest.skip("nothing is to be decided here")
    for number in range(max(len(chore.choices) for chore in asked)):
        taken = [(c, c.choices[number]) for c in asked if number < len(c.choices)]
        written = acts(known, (known, day), [(f"{c.id} {choice.key}", choice.writes) for c, choice in taken])
        assert all(written), "each answer can be recorded"
        after = planned_after(scene, written)
        for chore, _ in taken:
            assert not asked_again(after, chore, [piece.key for piece in chore.pieces]), (chore.id, number)


def test_an_unknown_kind_is_an_error() -> None:
    from tunneltui.chores.rules import finished

    here = morning("demo_day")
    made_up = here.chores[0]._replace(kind="made_up")
    with pytest.raises(KeyError, match="made_up"):
        finished(Stages(), here.season, here.loads, [made_up])
