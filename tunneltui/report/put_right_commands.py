"""``tunneltui put-right``: the walk that makes the picture true again, answered on the command line."""

from __future__ import annotations

import sys
from argparse import Namespace as Args
from collections.abc import Sequence

from tunneltui.cells import listed
from tunneltui.chores.begun_late import KIND
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.chores.put_right import Walk, begin
from tunneltui.chores.put_right_answers import StepAnswered, answer_step
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.pages.put_right import (
    AS_SHOWN,
    KEYS_OF_THE_WALK,
    how_far,
    keys_for,
    stage,
    step_words,
    walk_document,
    walk_text,
)
from tunneltui.pages.units import in_force, localize
from tunneltui.report import command_helpers
from tunneltui.report.open_journal import OpenJournal


def put_right(args: Args) -> int:
    """Lists what is asked, takes the answers given, or on a terminal asks for each in turn."""
    journal = command_helpers.read_journal(args)
    morning = command_helpers.morning(args, journal)
    walk = begin(morning.season, morning.outlook, *_loop_and_chore(morning, args.loop))
    if args.answers:
        walk = _given(journal, walk, args.answers)
    elif sys.stdin.isatty() and not (args.json or args.plain):
        walk = _ask_in_turn(journal, walk)
        print(f"{how_far(walk)}.")
        return command_helpers.DONE
    return command_helpers.print_result(args, lambda: walk_document(walk), lambda: localize(walk_text(walk)))


def _loop_and_chore(morning: Morning, name: str | None) -> tuple[str, Chore | None]:
    """The loop meant by a row's or loop's name; by none, the one that is asked for, else the only one there is.

    Raises:
        UserError: no row has that name, or several could be meant.
    """
    loops = morning.season.layout.loops
    chore_of = {chore.about: chore for chore in morning.chores if chore.kind == KIND and chore.about in loops}
    if name:
        ids = [id_ for id_, loop in loops.items() if name in (id_, *(stretch.row for stretch in loop.stretches))]
    else:
        ids = [id_ for id_ in loops if id_ in chore_of] or list(loops)
    if not ids:
        raise UserError(f"There is no row {name}.", f"There are {listed(list(loops), 12)}.")
    if len(ids) > 1 and not chore_of:
        raise UserError("Which row is walked?", f"Say one: {listed(ids, 12)}.")
    return ids[0], chore_of.get(ids[0])


def _given(journal: OpenJournal, walk: Walk, texts: Sequence[str]) -> Walk:
    """Answers in the order of the walk, an act each; where one is wrong none is written.

    Raises:
        UserError: one is no answer to its step, or there are more than steps.
    """
    steps: list[StepAnswered] = []
    for text in texts:
        left = walk.left
        if not left:
            raise UserError(f"{text!r} answers nothing: all of {walk.loop.id} is answered by then.")
        try:
            steps.append(answer_step(walk, left[0], "" if text == AS_SHOWN else text, in_force()))
        except UserError as fault:
            raise UserError(f"At {step_words(walk, left[0])[0]}: {fault.problem}", fault.hint) from None
        walk = steps[-1].walk
    journal.write(*([(journal.day, written) for written in answer.drafts] for answer in steps))
    return walk


def _ask_in_turn(journal: OpenJournal, walk: Walk) -> Walk:
    """Asks step by step; ``u`` takes the answer before back, ``q`` stops till the walk is taken up again."""
    print(f"{how_far(walk)}. {KEYS_OF_THE_WALK}")
    before: list[tuple[Walk, str]] = []
    stage_shown = ""
    while left := walk.left:
        step = left[0]
        if stage(step) != stage_shown:
            stage_shown = stage(step)
            print(f"\n{stage_shown.capitalize()}. {localize(keys_for(step))}")
        name, shown = step_words(walk, step)
        text = input(f"{name}: {localize(shown)}\n> ").strip()
        if text == "q":
            break
        if text == "u":
            walk = _taken_back(journal, walk, before)
            continue
        try:
            step_answered = answer_step(walk, step, text, in_force())
            entries = journal.write([(journal.day, written) for written in step_answered.drafts])
        except UserError as fault:
            print(fault)
            continue
        before.append((walk, entries[0].act))
        walk = step_answered.walk
    return walk


def _taken_back(journal: OpenJournal, walk: Walk, before: list[tuple[Walk, str]]) -> Walk:
    if not before:
        print("Nothing was answered since this walk was begun here.")
        return walk
    earlier, act = before.pop()
    journal.write([(journal.day, draft("", CrossedOut(act)))])
    return earlier
