"""Take the tip out: a choice, row by row, once no new truss can ripen any more or the wire is reached."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Bit, Written, at_head, at_row, in_order_of_work, make_chore
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.wording import day_word, listed, many
from tunneltui.growth.air import air_series
from tunneltui.growth.outlook import Outlook
from tunneltui.growth.ripening import RipeningFactor
from tunneltui.growth.topping import last_useful_flowering
from tunneltui.holding.model import Row, Tunnel
from tunneltui.journal.kinds_crop import LetItRun, TipTakenOut
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

TIP_OUT = ChoreKind(
    "tip_out",
    "take the tip out",
    "row",
    "plants",
    worth=0.1,
    minutes=0.25,
    part="morning",
    reach="loop",
    taken="choice",
)
LOOK_BACK_DAYS = 100
"""A last useful flowering day further back than this is not looked for: nothing in flower will ripen."""
LATER_DAYS = 7


@dataclass(frozen=True, slots=True)
class LastFlower:
    """The last day on which a truss may flower and still ripen by the day the bed is wanted back."""

    day: date
    bed_back: date


def tip_out(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """One chore a row; leaders that were let run, or are out already, are left alone."""
    last_of: dict[str, LastFlower | None] = {}
    for row, (tunnel, standing) in season.layout.rows.items():
        growing = [
            leader
            for leader in in_order_of_work(season.leaders_of_row(row))
            if leader.tip_taken_out_on is None and not leader.let_it_run and leader.id in outlook.leaders
        ]
        if not growing:
            continue
        if tunnel.key not in last_of:
            last_of[tunnel.key] = last_useful_flower(season, tunnel)
        last = last_of[tunnel.key]
        if last is not None and last.day <= season.day:
            yield _season_ends(season, row, growing, last)
        elif at_wire := _at_the_wire(season, outlook, growing, standing):
            yield _wire_reached(season, outlook, row, at_wire, standing)


def last_useful_flower(season: Season, tunnel: Tunnel) -> LastFlower | None:
    """From the air read and to come; None where no day is said for the bed (agronomy.md 9.1).

    A flower of the day after would still be green on the bed's day. Never earlier than 100 days ago.
    """
    bed_back = season.holding.work.bed_wanted_back
    if bed_back is None:
        return None
    first = season.day - timedelta(days=LOOK_BACK_DAYS)
    if bed_back <= first:
        return LastFlower(first, bed_back)
    air = air_series(season, tunnel.key, first, bed_back)
    return LastFlower(last_useful_flowering(bed_back, air, RipeningFactor()) or first, bed_back)


def _season_ends(season: Season, row: str, leaders: list[Leader], last: LastFlower) -> Chore:
    said = day_word(last.day, season.day)
    return _tip_out(
        season,
        row,
        leaders,
        f"Trusses that flower after {said} will be picked green: the bed is wanted back on "
        f"{day_word(last.bed_back, season.day)}, {many((last.bed_back - last.day).days, 'day')} later; "
        f"{many(len(leaders), 'tip')} of {row} still {'grows' if len(leaders) == 1 else 'grow'}.",
    )


def _at_the_wire(season: Season, outlook: Outlook, growing: list[Leader], standing: Row) -> list[Leader]:
    """Leaders to be stopped at the wire whose tips are within the margin of it."""
    z_m = standing.wire_height_m - season.holding.limits.tip_margin_m
    return [
        leader
        for leader in growing
        if leader.training == "pinched_at_wire" and outlook.stem(leader.id, season.day).tip_z_m.mid >= z_m - 1e-9
    ]


def _wire_reached(season: Season, outlook: Outlook, row: str, leaders: list[Leader], standing: Row) -> Chore:
    highest = max(leaders, key=lambda leader: (outlook.stem(leader.id, season.day).tip_z_m.mid, leader.name))
    under_cm = round(100 * (standing.wire_height_m - outlook.stem(highest.id, season.day).tip_z_m.mid))
    where = f"{under_cm} cm under the wire" if under_cm > 0 else "at the wire"
    return _tip_out(
        season,
        row,
        leaders,
        f"{many(len(leaders), 'tip')} of {row} to be stopped at the wire came near it: {highest.name} is {where}.",
    )


def _tip_out(season: Season, row: str, leaders: list[Leader], why: str) -> Chore:
    return make_chore(
        TIP_OUT,
        row,
        at_row(season, row),
        when="early and dry",
        earliest=season.day,
        latest=season.day + timedelta(days=LATER_DAYS),
        proposal=f"let it run, or take the tip out two leaves above the last truss: "
        f"{listed([leader.name for leader in leaders])}",
        why=why,
        bits=tip_bits(season, leaders),
        choices=tip_choices(leaders),
    )


def tip_bits(season: Season, leaders: Iterable[Leader]) -> list[Bit]:
    """A tip each, to be decided together or one by one."""
    minutes = minutes_for(season, TIP_OUT)
    return [Bit(x.id, at_head(season, x), minutes, (), (x.id,), f"tip of {x.name}") for x in leaders]


def tip_choices(leaders: Iterable[Leader]) -> list[tuple[str, str, list[tuple[str, Written]]]]:
    """Let it run, remembered to the end of the season, or take the tip out."""
    leaders = list(leaders)
    return [
        ("l", "let it run, to the end of the season", [(x.id, (x.place, LetItRun(x.id))) for x in leaders]),
        ("t", "take the tip out", [(x.id, (x.place, TipTakenOut(x.id))) for x in leaders]),
    ]
