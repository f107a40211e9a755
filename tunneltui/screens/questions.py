"""What the lettered lists ask about clips and leaders. Pure: values in, questions out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from tunneltui.cells import day_word as day_words
from tunneltui.cells import joined, say
from tunneltui.chores.chore import Chore
from tunneltui.pages.prompts import FAILED_AT, PUT_OFF
from tunneltui.screens.acts import HOW_FAILED
from tunneltui.screens.forms import FormChoice, Question
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView

Fixings = Sequence[tuple[LeaderFacts, FixingChoice]]


def which_leader(title: str, leaders: Iterable[LeaderFacts]) -> Question:
    return Question(
        title, [FormChoice(leader.id, joined("  ", (leader.name, *leader.facts[:1]))) for leader in leaders]
    )


ALL_OF_THE_ROW = ".."


def which_failed(fixings: Fixings, *, others: bool = False) -> Question:
    """Answered by the number of the pair in ``fixings``, or by ``..`` for the others of the row."""
    several = len({leader.id for leader, _ in fixings}) > 1
    choices = [
        FormChoice(str(number), say("{}, {}", leader.name, fixing.words) if several else fixing.words)
        for number, (leader, fixing) in enumerate(fixings)
    ]
    if others:
        choices.append(FormChoice(ALL_OF_THE_ROW, "another one of this row"))
    title = "Which one failed?" if several else say(FAILED_AT, fixings[0][0].name)
    return Question(title, choices, "Likeliest first. A letter chooses, q goes back.")


def how_failed(leader: LeaderFacts, fixing: FixingChoice) -> Question:
    choices = [FormChoice(value, words) for value, words in HOW_FAILED]
    return Question(f"How? {leader.name}, {fixing.words}", choices, "A capital letter: and the stem dropped.")


def until_when(view: RoundView, name: str, chores: Sequence[Chore]) -> Question:
    """Answered by the day as ISO text."""
    chore = chores[0]
    day = view.day
    days: dict[str, date] = {
        "tomorrow": day + timedelta(days=1),
        "in 3 days": day + timedelta(days=3),
        "next work day": view.next_work_day.get(chore.row, day + timedelta(days=7)),
    }
    choices = [FormChoice(until.isoformat(), f"{words}, {day_words(until)}") for words, until in days.items()]
    hint = say("If it waits: {}", chore.waiting) if chore.waiting else ""
    return Question(say(PUT_OFF, name), choices, hint)
