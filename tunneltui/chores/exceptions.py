"""A chore done in part: some of its pieces, or its answer for some of them."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from typing import Any

from tunneltui.chores.chore import Chore
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Draft


def only(chore: Chore, keys: Collection[str]) -> Chore:
    """The chore with those of its pieces alone, and each answer for those alone."""
    kept = {piece.key for piece in chore.pieces if piece.key in keys}
    choices = (choice._replace(writes=_of_pieces(choice.writes, kept)) for choice in chore.choices)
    return chore._replace(
        pieces=tuple(piece for piece in chore.pieces if piece.key in kept), choices=tuple(choices)
    )


def without(chore: Chore, leader_ids: Collection[str]) -> Chore:
    """The chore without the pieces that handle some leaders; it keeps its id and ``answers``: it is the same pass.

    A chore of one piece goes as a whole as soon as all its leaders are left out.
    """
    left_out = frozenset(leader_ids)
    return only(
        chore, [piece.key for piece in chore.pieces if not piece.leaders or not left_out.issuperset(piece.leaders)]
    )


def _of_pieces(drafts: tuple[Draft, ...], keys: Collection[str]) -> tuple[Draft, ...]:
    return tuple(draft for draft in drafts if set(parsed(draft).get("pieces", [""])) & set(keys))


def together(drafts: Iterable[Draft]) -> tuple[Draft, ...]:
    """The same entries, those that say one thing of several leaders as one entry that lists them all.

    A pass of a row is then one line in the journal. Entries keep their order by the first of each.
    """
    groups: dict[tuple[str, str, str], dict[str, Any]] = {}
    for number, draft in enumerate(drafts):
        body = parsed(draft)
        leaders, pieces = body.pop("leaders", None), body.pop("pieces", None)
        alike = json.dumps(body, ensure_ascii=False)
        # What names no leaders, or no pieces, stays as it is.
        if not isinstance(leaders, list) or pieces is None:
            groups[("", str(number), "")] = {"draft": draft}
            continue
        group = groups.setdefault((draft.kind, draft.about, alike), {"draft": draft, "leaders": [], "pieces": []})
        group["leaders"] += leaders
        group["pieces"] += pieces
    return tuple(_joined(**group) for group in groups.values())


def _joined(draft: Draft, leaders: list[str] | None = None, pieces: list[str] | None = None) -> Draft:
    if leaders is None or pieces is None:
        return draft
    body = parsed(draft) | {"leaders": list(dict.fromkeys(leaders)), "pieces": list(dict.fromkeys(pieces))}
    return draft._replace(body=json.dumps(body, ensure_ascii=False, allow_nan=False, separators=(",", ":")))
