"""How long a chore takes: what the grower timed, else what the holding says, else the trade's usual figures."""

from __future__ import annotations

from tunneltui.holding.model import FruitKind
from tunneltui.season.state import Season

USUAL_MINUTES: dict[str, float] = {
    # Common practice, no source, save where said; each for one head, plant, clip or string.
    "look": 0.08,
    "repair": 1.0,
    "dropped": 10.0,  # loads-forms section 2: a failure costs about 10 minutes (assumed there)
    "tip_snapped": 5.0,
    "kinked": 5.0,
    "lower": 1.25,
    "twist_in": 0.75,
    "side_shoot": 0.75,
    "deleaf": 0.5,
    "clip_head": 1 / 3,
    "clip_to_string": 1 / 3,
    "second_clip": 1 / 3,
    "take_back_clips": 1 / 3,
    "string": 3.0,
    "truss_prune": 0.25,
    "prop": 0.5,
    "pollinate": 0.05,
    "tip_out": 0.25,
    "feed": 0.5,
    "weak_plant": 1.0,
    "will_fit": 2.0,
    "mark_plants": 2.0,
    "read_again": 1.0,
    "put_right": 0.1,
    "set_out": 5.0,
    "sow": 10.0,
    "look_wire": 5.0,
    "load_hooks": 0.5,
    "raise": 10.0,
    "plant_out": 3.0,
    "strip_green": 1.0,
    "clearing": 5.0,
    "make_bed": 30.0,
}
"""Minutes for one piece of work; a row of ``n`` takes ``n`` times that."""

PICKED_KG_PER_HOUR: dict[FruitKind, float] = {
    "cherry": 8.0,
    "cocktail": 25.0,
    "plum": 25.0,
    "standard": 25.0,
    "beef": 25.0,
    "long": 40.0,
    "short": 20.0,
}
"""Common practice, no source."""


def minutes_for(season: Season, kind: str, pieces: float = 1.0) -> float:
    """Minutes for so many pieces of work of a kind (heads, plants, clips, strings)."""
    timed = season.timings.get(kind)
    if timed is not None and timed[1] > 0:
        return pieces * timed[0] / timed[1]
    return pieces * season.holding.work.minutes_by_chore.get(kind, USUAL_MINUTES.get(kind, 1.0))


def minutes_to_pick(season: Season, fruit: FruitKind, kg: float, plants: int) -> float:
    """Minutes for a pick: as timed per plant, else by the weight expected; never less than one."""
    if "pick" in season.timings or "pick" in season.holding.work.minutes_by_chore:
        return max(1.0, minutes_for(season, "pick", plants))
    return max(1.0, 60.0 * kg / PICKED_KG_PER_HOUR[fruit])
