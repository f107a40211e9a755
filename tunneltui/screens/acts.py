"""What each key press means to write: drafts of entries from a chore and what the grower typed. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tunneltui.cells import as_typed, say
from tunneltui.cells import day_word as day_words
from tunneltui.chores.chore import Choice, Chore
from tunneltui.journal import body
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import ClipFailed, HowFailed, PlantDropped, StemKinked, TipSnapped
from tunneltui.journal.kinds_journal import CrossedOut, Note, PutOff
from tunneltui.journal.kinds_standing import Measured
from tunneltui.screens.messages import Act
from tunneltui.screens.round_view import FixingChoice, LeaderFacts
from tunneltui.values import replace

HOW_FAILED: tuple[tuple[HowFailed, str], ...] = (
    ("popped_open", "popped open"),
    ("broke", "broke"),
    ("slid", "slid down the string"),
    ("stem_pulled_out", "stem pulled out of it"),
    ("knot", "knot gave"),
    ("twine", "twine or string broke"),
    ("knocked", "knocked off while working"),
)
ACCIDENTS = (("tip_snapped", "tip snapped"), ("stem_kinked", "stem kinked"), ("plant_dropped", "plant dropped"))


def done(chores: Sequence[Chore]) -> Act:
    """Done as proposed: what the chores say they write."""
    from tunneltui.chores.exceptions import together

    first = chores[0].proposal if chores else ""
    what = first if len(chores) == 1 else f"{len(chores)} chores"
    drafts = together(draft for chore in chores for draft in chore.writes)
    return Act(drafts, say("Done: {}", what), tuple(chore.id for chore in chores), parts_of(chores))


def parts_of(chores: Sequence[Chore]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each chore's id with the keys of the pieces it has."""
    return tuple((chore.id, tuple(piece.key for piece in chore.pieces)) for chore in chores)


def chosen(chore: Chore, choice: Choice) -> Act:
    """The answer that was chosen, and nothing else."""
    return Act(choice.writes, f"{chore.about}: {choice.words}", (chore.id,), parts_of([chore]))


def place_of(chore: Chore) -> str:
    """What entries about a chore are about: what its own are, else its row."""
    return chore.writes[0].about if chore.writes else chore.row


def put_off(name: str, chores: Sequence[Chore], until: date) -> Act:
    """What is left of ``chores`` at a line of the walk called ``name``, piece by piece."""
    drafts = tuple(
        body.changed(
            body.draft(place_of(chore), PutOff(until), chore.answers),
            pieces=[piece.key for piece in chore.pieces if piece.key] or None,
        )
        for chore in chores
    )
    ids = tuple(chore.id for chore in chores)
    return Act(drafts, f"{name}: put off to {day_words(until)}", ids, parts_of(chores), put_off=True)


def failed(leader: LeaderFacts, fixing: FixingChoice, how: str, dropped: bool) -> Act:
    """``how`` is one of ``HOW_FAILED``."""
    failure, words = next(pair for pair in HOW_FAILED if pair[0] == how)
    draft = body.draft(leader.place, ClipFailed(fixing.id, failure, dropped))
    tail = ", and the stem dropped" if dropped else ""
    return Act((draft,), say("Noted: {}, {}, {}{}", leader.name, fixing.words, words, tail))


def accident(leader: LeaderFacts, kind: str) -> Act:
    entry_body = {
        "tip_snapped": TipSnapped(leader.id),
        "stem_kinked": StemKinked(leader.id),
        "plant_dropped": PlantDropped(leader.id),
    }[kind]
    return Act((body.draft(leader.place, entry_body),), f"Noted: {leader.name}, {dict(ACCIDENTS)[kind]}")


def picked(row: str, cultivar: str, kg: float, chore: Chore | None) -> Act:
    """A weighed pick; it ticks off the pick chore it was made for."""
    answers = chore.answers if chore else None
    draft = body.draft(row, Picked(cultivar, kg=kg), answers=answers)
    return Act(
        (draft,), say("Picked {} {} in {}", as_typed(kg, "kg"), cultivar, row), (chore.id,) if chore else ()
    )


def measured(leader: LeaderFacts, values: Mapping[str, float]) -> Act:
    """``values`` by field of ``Measured``, lengths in metres."""
    read = replace(Measured(leader.id), **values)  # type: ignore[arg-type]
    return Act((body.draft(leader.place, read),), f"Noted readings of {leader.name}")


def note(about: str, text: str) -> Act:
    return Act((body.draft(about, Note(text)),), f"Noted about {about or 'the house'}")


def crossed_out(act: str, what: str) -> Act:
    words = say("Crossed out: {}", what) if what else "Crossed out what was noted last"
    return Act((body.draft("", CrossedOut(act)),), words, crosses_out=act)
