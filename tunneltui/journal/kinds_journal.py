"""Entries about the work and the journal itself."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Le, Len
from msgspec import Struct


class PutOff(Struct, frozen=True):
    """A chore put off; which one is in the body's ``answers``."""

    until: date


class Looked(Struct, frozen=True):
    """A row or place was looked over and nothing hung loose: its fixings were seen holding."""

    leaders: tuple[str, ...] = ()
    fixings: tuple[str, ...] = ()
    """Where given, only these clips of ``leaders`` were seen."""


class Timed(Struct, frozen=True):
    chore: str
    minutes: Annotated[float, Ge(0), Le(1440)]
    plants: Annotated[int, Ge(0), Le(100_000)] | None = None


class Away(Struct, frozen=True):
    """Away from the entry's day until and including ``until``."""

    until: date


class Note(Struct, frozen=True):
    text: Annotated[str, Len(0, 20_000)]
    stage: Literal["", "raising", "planting", "before_first_pick", "picking", "tip_out", "clearing"] = ""


class CrossedOut(Struct, frozen=True):
    act: str


class Restored(Struct, frozen=True):
    act: str


KINDS: dict[str, type] = {
    "put_off": PutOff,
    "looked": Looked,
    "timed": Timed,
    "away": Away,
    "note": Note,
    "crossed_out": CrossedOut,
    "restored": Restored,
}
