"""Hours a planned season asks for: its pieces of work by the minutes of the round, beside published figures.

The minutes are what the grower timed, else the holding's, else the trade's usual ones (``chores.minutes``).
The band reaches from the smaller to the larger of the two reckonings, each with the fruit that may come.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from tunneltui.chores.kinds import KINDS
from tunneltui.chores.minutes import PICKED_KG_PER_HOUR, minutes_for
from tunneltui.growth.outlook import Band
from tunneltui.holding.crops import kind_of
from tunneltui.holding.model import Cultivar
from tunneltui.review.labour import yardstick_hours
from tunneltui.review.plan_season import ComingSeason
from tunneltui.review.plan_values import Hours, PlannedCrop
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import pick_weekdays

SETTLING_WEEKS = 2
"""After planting nothing is done to a head. Common practice, no source."""
BARE_WEEKS = 8
"""So long after planting no truss is ripe and no leaf is taken. Common practice, no source."""
LET_OUT_M = 0.30
"""One turn, where no hook's turn is known (assumed)."""
WEEKLY = ("side_shoot", "twist_in")
TIMED = ("plant_out", "string", "lower", "clip_to_string", "deleaf", "tip_out", "clearing", "pick", *WEEKLY)
"""Work whose minutes the hours rest on."""


def hours(now: Season, planned: ComingSeason, crops: Sequence[PlannedCrop], clips: float) -> Hours:
    """For one plan; ``now`` is the season whose minutes are known, ``clips`` how many are set in all."""
    plants = _plant_minutes(now, planned, clips)
    own = [(plants + sum(_pick_minutes(now, planned, c, _end(c, end)) for c in crops)) / 60 for end in _ENDS]
    area_m2 = sum(tunnel.length_m * tunnel.width_m for tunnel in now.holding.tunnels)
    published = [sum(yardstick_hours(area_m2, sum(_end(c, end) for c in crops))) for end in _ENDS]
    return Hours(
        Band(min(own[0], published[0]), own[1], max(own[2], published[2])),
        Band(*published),
        tuple(kind for kind in TIMED if kind in now.timings),
    )


_ENDS = ("low", "mid", "high")


def _end(crop: PlannedCrop, end: str) -> float:
    return float(getattr(crop.kg, end))


def _plant_minutes(now: Season, planned: ComingSeason, clips: float) -> float:
    """All work but picking, from planting out to clearing."""
    season = planned.season
    heads, plants = len(season.leaders), len({leader.plant for leader in season.leaders.values()})
    weeks = max(0.0, (planned.last_day - season.day).days / 7)
    loops = {leader.loop for leader in season.leaders.values()}
    pieces = {
        "plant_out": plants,
        "string": sum(string.loop in loops for string in season.strings.values()),
        "lower": sum(_lowerings(season, planned, leader) for leader in season.leaders.values()),
        "clip_to_string": clips,
        "deleaf": heads * max(0.0, weeks - BARE_WEEKS),
        "tip_out": heads,
        "clearing": plants,
        **dict.fromkeys(WEEKLY, heads * max(0.0, weeks - SETTLING_WEEKS)),
    }
    return sum(minutes_for(now, KINDS[kind], count) for kind, count in pieces.items())


def _lowerings(season: Season, planned: ComingSeason, leader: Leader) -> float:
    """As often as the stem outgrows the wire by what is let out at once, but for a tip taken out at the wire."""
    if leader.training == "pinched_at_wire":
        return 0.0
    turn_m = next((hook.turn_m for hook in season.holding.hooks if hook.turn_m), LET_OUT_M)
    wire_m = season.layout.rows[leader.row][1].wire_height_m
    over_m = planned.stem(leader.id, planned.last_day).length_m.mid - wire_m
    return max(0.0, over_m) / turn_m


def _pick_minutes(now: Season, planned: ComingSeason, crop: PlannedCrop, kg: float) -> float:
    """By the plants there are and the picks there will be where picking was timed, else by weight."""
    if "pick" in now.timings or "pick" in now.holding.work.minutes_by_chore:
        mine = [x for x in planned.season.leaders.values() if (x.cultivar, x.row) == (crop.cultivar, crop.row)]
        ripe = [day for leader in mine for day in planned.basis.ripe[leader.id]]
        first = date.fromordinal(int(min(ripe, default=planned.last_day.toordinal())))
        days = (first + timedelta(days=n) for n in range((planned.last_day - first).days + 1))
        weekdays = pick_weekdays(now)
        picks = sum(day.weekday() in weekdays for day in days)
        return minutes_for(now, KINDS["pick"], len({leader.plant for leader in mine})) * picks
    cultivar = planned.season.layout.cultivars.get(crop.cultivar, Cultivar(crop.cultivar))
    return 60.0 * kg / PICKED_KG_PER_HOUR[kind_of(cultivar.crop, cultivar.fruit)]
