"""A row pass with exceptions: all but 07 and 12."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator

from tunneltui.chores.chore import Chore
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Draft


def without(chore: Chore, leader_ids: Collection[str]) -> Chore:
    """The chore without some of its leaders.

    Entries that list leaders lose those, and go if none is left; entries about one of them go, with the clips
    opened on it. The chore keeps its id and ``answers``: it is the same pass.
    """
    left_out = frozenset(leader_ids)
    kept = tuple(leader for leader in chore.leaders if leader not in left_out)
    each = chore.minutes / len(chore.leaders) if chore.leaders else 0.0
    return chore._replace(
        leaders=kept,
        minutes=chore.minutes - each * (len(chore.leaders) - len(kept)),
        writes=tuple(_kept(chore.writes, left_out)),
    )


def _kept(drafts: tuple[Draft, ...], left_out: frozenset[str]) -> Iterator[Draft]:
    of = ""
    for draft in drafts:
        body = parsed(draft)
        # An opened clip is named by its fixing alone and follows the leader it is on.
        about_one = body.get("leader") or body.get("plant")
        of = about_one or of
        if (about_one or draft.kind == "unclipped") and of in left_out:
            continue
        if isinstance(body.get("leaders"), list):
            body["leaders"] = [leader for leader in body["leaders"] if leader not in left_out]
            if not body["leaders"]:
                continue
            draft = draft._replace(body=json.dumps(body, ensure_ascii=False, separators=(",", ":")))
        yield draft
