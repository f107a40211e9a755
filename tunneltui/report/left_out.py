"""Readings that make no sense: they are written, nothing is learned from them, and the grower is told at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import VERSION
from tunneltui.season.fold import fold

TELLING = frozenset({"measured", "lowered", "air"})


def left_out_by(entries: Sequence[Entry], drafts: Sequence[tuple[date, Draft]]) -> tuple[str, ...]:
    """What becomes doubtful by writing the drafts, each a sentence; in the order of the leaders."""
    telling = [(day, draft) for day, draft in drafts if draft.kind in TELLING]
    if not telling:
        return ()
    # The air of a day counts from the next day on.
    last = max(day for day, _ in drafts) + timedelta(days=1)
    since_us = max((entry.at_us for entry in entries), default=0) + 1
    written = [
        Entry(
            draft.id or f"draft {n}",
            "draft",
            "",
            day,
            since_us + n,
            "",
            draft.about,
            draft.kind,
            VERSION,
            draft.body,
        )
        for n, (day, draft) in enumerate(drafts)
    ]
    places = {draft.about for _, draft in telling}
    before = set(_flags(entries, last, places))
    return tuple(sentence for sentence in _flags([*entries, *written], last, places) if sentence not in before)


def _flags(entries: Sequence[Entry], day: date, places: set[str]) -> list[str]:
    # Of what is written most says nothing of growth.
    from tunneltui.growth.air import air_flags
    from tunneltui.growth.evidence import evidence_of

    try:
        season = fold(entries, day)
    except UserError:
        return []
    return [
        *air_flags(season),
        *(
            out.sentence
            for leader in season.leaders.values()
            if leader.place in places
            for out in evidence_of(leader, season.layout.rows[leader.row][1], season.crop_of(leader)).flagged
        ),
    ]
