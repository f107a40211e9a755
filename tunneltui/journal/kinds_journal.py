"""Entries about the work and the journal itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Le, Len


@dataclass(frozen=True, slots=True)
class PutOff:
    """A chore put off; which one is in the body's ``answers``."""

    until: date


@dataclass(frozen=True, slots=True)
class Looked:
    """A row or place was looked over and nothing hung loose: its fixings were seen holding."""

    leaders: tuple[str, ...] = ()
    fixings: tuple[str, ...] = ()
    """Where given, only these clips of ``leaders`` were seen."""


@dataclass(frozen=True, slots=True)
class Timed:
    chore: str
    minutes: Annotated[float, Ge(0), Le(1440)]
    plants: Annotated[int, Ge(0), Le(100_000)] | None = None


@dataclass(frozen=True, slots=True)
class Away:
    """Away from the entry's day until and including ``until``."""

    until: date


@dataclass(frozen=True, slots=True)
class Note:
    text: Annotated[str, Len(0, 20_000)]
    stage: Literal["", "raising", "planting", "before_first_pick", "picking", "tip_out", "clearing"] = ""


@dataclass(frozen=True, slots=True)
class CrossedOut:
    act: str


@dataclass(frozen=True, slots=True)
class Restored:
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
