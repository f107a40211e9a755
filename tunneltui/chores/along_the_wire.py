"""What follows from where the next lowerings bring the heads: the lowerings are worked out once for all of it."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.chores import clips, lowering, room_gone, strings
from tunneltui.chores.chore import Chore
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season


def along_the_wire(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    jobs = lowering.lowering_jobs(season, outlook, loads)
    yield from lowering.lower(season, outlook, jobs)
    yield from clips.second_clip(season, outlook, loads, jobs)
    yield from strings.clip_to_string(season, outlook, jobs)
    yield from strings.cross_wire(season, loads, jobs)
    yield from room_gone.room_gone(season, jobs)


RULES = (
    ChoreRule(
        along_the_wire,
        (lowering.LOWER, clips.SECOND_CLIP, strings.CLIP_TO_STRING, strings.CROSS_WIRE, room_gone.ROOM_GONE),
    ),
)
