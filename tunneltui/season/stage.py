"""The stage a crop is in, and the notes that were written to come back at that stage. Pure."""

from __future__ import annotations

from datetime import date
from typing import Literal

from msgspec import Struct

from tunneltui.season.growing_year import usual_growing_year
from tunneltui.season.state import Season

Stage = Literal["raising", "planting", "before_first_pick", "picking", "tip_out", "clearing"]
"""As in a note's ``stage``."""
STAGE_WORDS: dict[Stage, str] = {
    "raising": "raising",
    "planting": "planting",
    "before_first_pick": "before the first pick",
    "picking": "picking",
    "tip_out": "tips out",
    "clearing": "clearing",
}
JUST_PLANTED_DAYS = 14
"""Common practice, no source: how long a planting counts as such."""
CLEARED_DAYS = 60
"""Common practice, no source: how long after its end a crop still counts as being cleared."""


class Lesson(Struct, frozen=True):
    """A note that belongs to the present stage."""

    day: date
    about: str
    text: str
    earlier_crop: bool
    """Written before the crop that stands now."""


def crop_stage(season: Season) -> Stage:
    """The stage the whole holding's crop is in, by what was noted and by the day the bed is wanted back."""
    leaders = list(season.leaders.values())
    if not leaders:
        cleared = any((season.day - day).days < CLEARED_DAYS for day in season.ended.values())
        return "clearing" if cleared else "raising"
    planted = min(leader.planted_on for leader in leaders)
    wanted_back = season.holding.work.bed_wanted_back
    if wanted_back is not None and planted < wanted_back <= season.day:
        return "clearing"
    if all(leader.tip_taken_out_on is not None for leader in leaders):
        return "tip_out"
    if any(pick.day >= planted for pick in season.picks):
        return "picking"
    return "planting" if (season.day - planted).days <= JUST_PLANTED_DAYS else "before_first_pick"


def lessons(season: Season) -> list[Lesson]:
    """Notes of the present stage: those of earlier crops first, each group in order of day."""
    stage = crop_stage(season)
    planted = min((leader.planted_on for leader in season.leaders.values()), default=None)
    # The crop to come has no planting yet: everything noted before this season's raising is an earlier one's.
    growing = usual_growing_year(season.holding.latitude_deg)
    crop_from = planted or growing.span(growing.of(season.day))[0]
    learned = [
        Lesson(day, about, note.text, day < crop_from)
        for day, about, note in season.notes
        if note.stage == stage and note.text.strip()
    ]
    return sorted(learned, key=lambda lesson: (not lesson.earlier_crop, lesson.day))
