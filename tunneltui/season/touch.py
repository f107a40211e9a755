"""What each kind of entry touches: a leader, a plant, a fixing, a stretch of the walk, or the house.

The fold files every live entry under what it touches and later works out anew only what was touched. Filing
looks at the entry alone, never at other entries, so that nothing depends on the order of arrival.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any, NamedTuple

from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body


class Record(NamedTuple):
    """A live entry with its typed body. Records sort in the order of the journal."""

    day: date
    at_us: int
    id: str
    entry: Entry
    body: Body


LEADER, PLANT, FIXING, SCOPE = "leader", "plant", "fixing", "scope"
"""EntryIndex whose keys are ids of leaders, plants and fixings, and what ``about`` says of a stretch of the walk.
Every other shelf is a kind, its key ``''``: what is worked out for the house as a whole."""

Keys = Iterable[tuple[str, str]]


def touched(kind: str, about: str, body: Body) -> Keys:
    """Shelf and key of everything an entry touches; what is named in no line of the table is of the house."""
    return TOUCHES.get(kind, _house)(kind, about, body)


def _leader(_kind: str, _about: str, body: Any) -> Keys:
    return ((LEADER, body.leader),)


def _leaders(_kind: str, _about: str, body: Any) -> Keys:
    return [(LEADER, leader) for leader in dict.fromkeys(body.leaders)]


def _plant(_kind: str, _about: str, body: Any) -> Keys:
    return ((PLANT, body.plant),)


def _fixing(_kind: str, _about: str, body: Any) -> Keys:
    return ((FIXING, body.fixing),)


def _leaders_or_scope(kind: str, about: str, body: Any) -> Keys:
    return _leaders(kind, about, body) if body.leaders else ((SCOPE, about),)


def _house(kind: str, _about: str, _body: Any) -> Keys:
    return ((kind, ""),)


def _pick(kind: str, _about: str, body: Any) -> Keys:
    return ((kind, ""), (LEADER, body.leader)) if body.leader else ((kind, ""),)


def _scouted(kind: str, about: str, body: Any) -> Keys:
    return (*_leaders_or_scope(kind, about, body), (kind, ""))


def _truss_lost(kind: str, _about: str, body: Any) -> Keys:
    return ((LEADER, body.leader), (kind, ""))


def _nothing(_kind: str, _about: str, _body: Any) -> Keys:
    return ()


TOUCHES: dict[str, Callable[[str, str, Any], Keys]] = {
    **dict.fromkeys(
        (
            *("hung", "clipped", "tied", "twisted_in", "lowered", "propped"),
            *("tip_snapped", "stem_kinked", "plant_dropped"),
            *("measured", "truss_counted", "marked_plant"),
            *("truss_pruned", "tip_taken_out", "let_it_run"),
        ),
        _leader,
    ),
    **dict.fromkeys(("side_shooted", "deleafed", "pollinated", "green_stripped"), _leaders),
    **dict.fromkeys(("leader_kept", "planted_about", "training_changed", "plant_lost", "removed"), _plant),
    **dict.fromkeys(("unclipped", "clip_failed"), _fixing),
    "looked": _leaders_or_scope,
    "picked": _pick,
    "scouted": _scouted,
    "truss_lost": _truss_lost,
    # Kept in the journal for review; the season only knows the last day of each (``Season.last``).
    **dict.fromkeys(
        (*("bed_made", "put_off", "crossed_out", "restored"),),
        _nothing,
    ),
}
