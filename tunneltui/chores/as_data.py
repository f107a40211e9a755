"""A chore as JSON keeps it, and back: lists in the order of their fields, days as text, sentences as cells."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from tunneltui.chores.chore import Choice, Chore, Piece
from tunneltui.journal.entry import Draft


def day_text(value: object) -> str:
    """``default`` of ``json.dumps``. Raises ``TypeError`` for what is no day."""
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value)} cannot be kept")


def chore_of(data: Iterable[Any]) -> Chore:
    """From what ``json.loads`` gave with ``cells.from_data`` as its object hook.

    Raises ``TypeError`` or ``ValueError`` where another version kept it.
    """
    plain = Chore(*data)
    return plain._replace(
        earliest=date.fromisoformat(plain.earliest),  # type: ignore[arg-type]
        latest=date.fromisoformat(plain.latest),  # type: ignore[arg-type]
        pieces=tuple(_piece(Piece(*piece)) for piece in plain.pieces),
        choices=tuple(
            choice._replace(writes=_drafts(choice.writes))
            for choice in (Choice(*fields) for fields in plain.choices)
        ),
        cautions=tuple(plain.cautions),
    )


def _piece(plain: Piece) -> Piece:
    return plain._replace(
        leaders=tuple(plain.leaders),
        writes=_drafts(plain.writes),
        earliest=date.fromisoformat(plain.earliest),  # type: ignore[arg-type]
        latest=date.fromisoformat(plain.latest),  # type: ignore[arg-type]
    )


def _drafts(plain: Iterable[Iterable[Any]]) -> tuple[Draft, ...]:
    return tuple(Draft(*draft) for draft in plain)
