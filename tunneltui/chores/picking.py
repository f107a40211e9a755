"""Pick: on pick days, one chore per row side and cultivar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_row, in_order_of_work, make_chore, whole
from tunneltui.chores.minutes import minutes_to_pick
from tunneltui.chores.wording import day_word, many
from tunneltui.growth.defaults import traits
from tunneltui.growth.outlook import Outlook, PickOutlook
from tunneltui.holding.crops import crop_of, kind_of
from tunneltui.holding.model import WEEKDAYS, Cultivar
from tunneltui.journal.kinds_crop import Picked
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Pick, Season

PICK = ChoreKind(
    "pick",
    "pick",
    "row",
    "pick",
    weight=60,
    minutes=1.0,
    part="morning",
    reach="loop",
    taken="amount",
    blank=("weighed, kg", 5),
)
WORTH_PICKING_KG = 0.05
"""Less than this expected in a row is no chore: about two cherries (common practice, no source)."""


def pick(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Today's pick day, or the day picking is allowed again after a treatment."""
    today = [pick for pick in season.picks if pick.day == season.day and not pick.picked.leader]
    for coming in outlook.picks:
        if not _is_due(season, coming) or coming.kg.high < WORTH_PICKING_KG or _is_among(today, season, coming):
            continue
        leaders = [x for x in season.leaders_of_row(coming.row) if x.cultivar == coming.cultivar]
        if leaders:
            yield _pick(season, coming, in_order_of_work(leaders))


def _is_due(season: Season, coming: PickOutlook) -> bool:
    return coming.day == season.day


def _is_among(picks: Iterable[Pick], season: Season, coming: PickOutlook) -> bool:
    tunnel = season.layout.rows[coming.row][0].key
    return any(
        p.picked.cultivar == coming.cultivar and (p.row == coming.row or (not p.row and p.tunnel in ("", tunnel)))
        for p in picks
    )


def _pick(season: Season, coming: PickOutlook, leaders: list[Leader]) -> Chore:
    tunnel = season.layout.rows[coming.row][0].key
    blocked_until = season.picking_blocked_until.get(tunnel)
    earliest = max(season.day, blocked_until) if blocked_until else season.day
    cultivar = season.layout.cultivars.get(coming.cultivar, Cultivar(coming.cultivar))
    where = at_row(season, coming.row)
    fruit = kind_of(cultivar.crop, cultivar.fruit)
    return make_chore(
        PICK,
        f"{coming.row} {coming.cultivar}",
        where,
        when="early and dry",
        earliest=earliest,
        latest=earliest,
        proposal=f"pick {coming.row} {coming.cultivar}, {_how_much(coming)}",
        why=_why(season, coming, earliest) + _size_words(cultivar),
        bits=whole(
            where,
            minutes_to_pick(season, PICK, fruit, coming.kg.mid, len(leaders)),
            (coming.row, Picked(coming.cultivar)),
            leaders=[leader.id for leader in leaders],
        ),
        waiting=f"next pick day is {day_word(_next_pick_day(season), season.day)}; {_left_on(cultivar)}",
    )


def _size_words(cultivar: Cultivar) -> str:
    """From what size on, where size and not colour says when."""
    if not crop_of(cultivar.crop).picked_by_size:
        return ""
    return f" By size: from about {traits(cultivar).fruit_g:.0f} g on, whatever its colour."


def _left_on(cultivar: Cultivar) -> str:
    if crop_of(cultivar.crop).picked_by_size:
        return "fruit left on grows coarse and holds the next back"
    return "ripe fruit splits"


def _how_much(coming: PickOutlook) -> str:
    if coming.blind:
        return "what is ripe"
    low, high = _kg(coming.kg.low), _kg(coming.kg.high)
    if low == "0.0":
        return f"up to {high} kg"
    return f"{low} kg" if low == high else f"{low} to {high} kg"


def _kg(mass: float) -> str:
    """Whole kg from 3 kg on, tenths below."""
    return str(round(mass)) if mass >= 3 else f"{mass:.1f}"


def _why(season: Season, coming: PickOutlook, earliest: date) -> str:
    if earliest > season.day:
        return f"Ripe now, but the treatment's label keeps it on the plant until {day_word(earliest, season.day)}."
    trusses = many(max(1, round(coming.trusses)), "truss", "trusses")
    if coming.blind:
        return (
            f"Pick day, and fruit is ripe on about {trusses}; no pick has been weighed yet, so no kg is promised."
        )
    return f"Pick day: {_kg(coming.kg.mid)} kg likely ripe, {_how_much(coming)}, on about {trusses}."


def _next_pick_day(season: Season) -> date:
    days = {WEEKDAYS.index(day) for day in season.holding.work.pick_days}
    ahead = (season.day + timedelta(days=n) for n in range(1, 8))
    return next((day for day in ahead if day.weekday() in days), season.day + timedelta(days=7))
