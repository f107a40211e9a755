"""One chore is done once (rule 11 of the journal, DEVELOPERS.md): of two acts that answer one thing the first
counts.

What was answered is a chore (kind, about, due day) and, of that, one thing: a piece, a leader, a plant or a clip.
Two hands may do the one half of a row each; only what both say they did is done twice. Two machines that have not
heard of each other may ask for one thing as due on different days, for what is due moves with the rest of the row:
of what both say they did on one day in the same words, once is meant as well. One machine plans each morning with
all it was told before: what it asks for on a later day is asked for anew, though work done early was due then too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple

from tunneltui.journal.body import Answers, answers_in, parsed, pieces_in
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.order import MARKS, acts_out

_NAMES = frozenset({"answers", "pieces", "leaders", "leader", "plant", "fixing"})
STATES = frozenset({"put_off", "fleece", "doors", "shade", "forecast", "air"})
"""Kinds of entry that say how things stand now: said twice nothing is counted twice, and later in the day they may
stand otherwise."""
WALKED_AGAIN = frozenset({"put_right"})
"""Kinds of chore whose later answer puts an earlier one right."""


class Answered(NamedTuple):
    """What an entry says was done, where it may be said once."""

    chore: Answers
    things: frozenset[str]
    says: str
    """What was done to each of them: the body without the chore and the things."""

    def met_under(self, day: date) -> tuple[Answers, tuple[str, str, date, str]]:
        """Under what one claim may meet another of the same thing: its chore, and what it says was done on a day,
        which only those of other machines meet."""
        return self.chore, (self.chore[0], self.chore[1], day, self.says)


def answered(kind: str, plain: dict[str, Any]) -> Answered | None:
    """The chore that an entry answers, and which things of it; None where it may be said again.

    ``plain`` is the body's JSON object.
    """
    given = answers_in(plain)
    if given is None or kind in STATES or kind in MARKS or given[0] in WALKED_AGAIN:
        return None
    rest = {key: value for key, value in plain.items() if key not in _NAMES}
    return Answered(given, things(plain), f"{kind} {sorted(rest.items())}")


def things(plain: dict[str, Any]) -> frozenset[str]:
    """Pieces where the entry names them, else the leaders, leader, plant or clip it speaks of; else ''."""
    if pieces := pieces_in(plain):
        return frozenset(pieces)
    leaders = plain.get("leaders")
    if isinstance(leaders, list) and leaders:
        return frozenset(str(leader) for leader in leaders)
    return frozenset({str(plain.get("leader") or plain.get("plant") or plain.get("fixing") or "")})


class Claim(NamedTuple):
    """Who says that a thing of a chore was done; comparing gives the order of the journal."""

    order: tuple[date, int, str]
    act: str
    device: str


def claims_of(answers: Iterable[tuple[Entry, Answered]]) -> dict[tuple[object, str], list[Claim]]:
    """Who says what was done, by what claims may meet under (``Answered.met_under``) and the thing."""
    claims: dict[tuple[object, str], list[Claim]] = {}
    for entry, once in answers:
        claim = Claim(entry.order, entry.act, entry.device)
        for chore in once.met_under(entry.day):
            for thing in once.things:
                claims.setdefault((chore, thing), []).append(claim)
    return claims


def first_claim(own: Claim, day: date, by_chore: Iterable[Claim], by_day: Iterable[Claim]) -> Claim | None:
    """The claim of another act that says so before ``own``; None where ``own`` counts.

    ``day``: on which it says so. ``by_chore``, ``by_day``: claims of the same thing under the two of
    ``Answered.met_under``.
    """
    of_chore = (claim for claim in by_chore if claim.device != own.device or claim.order[0] == day)
    of_machines = (claim for claim in by_day if claim.act == own.act or claim.device != own.device)
    firsts = (min(of_chore, default=own), min(of_machines, default=own))
    return min((first for first in firsts if first.act != own.act and first < own), default=None)


def done_before(drafts: Iterable[tuple[date, Draft]], device: str, earlier: Sequence[Entry]) -> Entry | None:
    """The first of ``earlier`` that says what one of a machine's drafts is about to say; None where none does.

    ``earlier``: entries that may say it, and the marks that may cross those out.
    """
    out = acts_out(entry for entry in earlier if entry.kind in MARKS)
    entries = {entry.order: entry for entry in earlier if entry.act not in out}
    read = ((entry, answered(entry.kind, parsed(entry))) for entry in entries.values())
    claims = claims_of((entry, answer) for entry, answer in read if answer is not None)
    own = Claim((date.max, 0, ""), "", device)
    for day, draft in drafts:
        if (answer := answered(draft.kind, parsed(draft))) is None:
            continue
        for thing in sorted(answer.things):
            by_chore, by_day = (claims.get((chore, thing), ()) for chore in answer.met_under(day))
            if (first := first_claim(own, day, by_chore, by_day)) is not None:
                return entries[first.order]
    return None
