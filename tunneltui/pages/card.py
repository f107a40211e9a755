"""The day card as plain values; light enough for the first paint."""

from __future__ import annotations

from typing import NamedTuple

from tunneltui.cells import Role


class CardLine(NamedTuple):
    """One line of the card: its label where a part of it begins, words, and what stands beside them."""

    key: str
    label: str
    words: tuple[str, ...]
    """The same in up to three lengths, longest first."""
    beside: tuple[str, ...] = ()
    role: Role = ""
    goes: str = ""
    """Where ``enter`` leads: ``pass pick``, ``screen stores``, ``chore ID``."""


class WeekDay(NamedTuple):
    """One work day of the week ahead."""

    key: str
    day: str
    minutes: int
    bar: str
    share: float
    """Of the fullest day."""
    what: str
