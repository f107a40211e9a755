"""Mornings on which, between them, every kind of chore is asked for: the demo's season and what is added to it, a
spring planned for, and a row that is cleared. All through entries, as a grower would have noted them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from functools import cache
from typing import Any

from tests.review import test_plan_adopted as spring
from tunneltui.demo.make import demo_entries
from tunneltui.holding.model import Holding
from tunneltui.holding.new import Start, starter
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Air, Doors, Forecast, Scouted
from tunneltui.journal.kinds_crop import Removed
from tunneltui.journal.kinds_holding_up import (
    Clipped,
    Hung,
    PlantDropped,
    StemKinked,
    StringCut,
    TipSnapped,
    Unclipped,
)
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted
from tunneltui.review.plan_adopted import adoption
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.values import replace

PLAYS_ON = date(2026, 8, 20)
Scene = tuple[tuple[Entry, ...], date]


def noted(known: Sequence[Entry], day: date, *said: tuple[str, Body]) -> tuple[Entry, ...]:
    """Entries after all of those known, each an act of its own."""
    first = max(entry.at_us for entry in known) + 1
    drafts = [draft(about, body) for about, body in said]
    return (
        *known,
        *(
            Entry(f"added {day} {n}", f"added {day} {n}", "test", day, first + n, "", d.about, d.kind, 1, d.body)
            for n, d in enumerate(drafts)
        ),
    )


@cache
def until(day: date) -> tuple[Entry, ...]:
    return tuple(entry for entry in demo_entries() if entry.day <= day)


@cache
def stands(day: date) -> Season:
    return fold(until(day), day)


def _holding() -> Holding:
    return stands(PLAYS_ON).holding


def _of_every_cultivar(holding: Holding, **changes: Any) -> Holding:
    return replace(holding, cultivars=tuple(replace(c, **changes) for c in holding.cultivars))


def _of_every_row(holding: Holding, **changes: Any) -> Holding:
    tunnels = tuple(replace(t, rows=tuple(replace(r, **changes) for r in t.rows)) for t in holding.tunnels)
    return replace(holding, tunnels=tunnels)


def demo_day() -> Scene:
    return until(PLAYS_ON), PLAYS_ON


def june() -> Scene:
    day = date(2026, 6, 18)
    return until(day), day


def just_lowered() -> Scene:
    """The laid-down row has been lowered for the first time."""
    day = date(2026, 7, 1)
    return until(day), day


def mishaps() -> Scene:
    """Accidents, a hook with hardly any twine, a reading that makes no sense, sickness found, a night of frost
    issued after a hot day, doors shut, and fewer fruits wanted on a truss than hang there."""
    season, day = stands(PLAYS_ON), PLAYS_ON
    some = [x for x in season.leaders.values() if x.hook and x.fixings and x.tip_taken_out_on is None]
    # Its run has come past a string, and it is not lowered while it mends.
    kinked = next(x for x in some if x.name == "W1-14a")
    twine = some[3]
    assert twine.hook is not None
    return (
        noted(
            until(day),
            day,
            ("", HoldingSet(to_toml(_of_every_cultivar(_holding(), truss_target=2)))),
            (some[0].place, TipSnapped(some[0].id, 1.2)),
            (kinked.place, StemKinked(kinked.id, 1.0)),
            (some[2].place, PlantDropped(some[2].id)),
            (twine.place, Hung(twine.id, twine.hook.u_m, 0.1, twine.hook.kind)),
            (some[4].place, Measured(some[4].id, length_m=0.4)),
            (some[5].place, Scouted("late blight", (some[5].id,))),
            (some[6].row, Scouted("blossom-end rot")),
            ("W", Scouted("whitefly on many")),
            ("", Doors(open=False)),
            ("", Forecast(str(day), (12.0, 0.0, 8.0), (40.0, 24.0, 24.0))),
        ),
        day,
    )


def unseen() -> Scene:
    """Sixteen days in which nothing was noted."""
    day = PLAYS_ON + timedelta(days=16)
    return until(PLAYS_ON), day


def bare_wires() -> Scene:
    """Every second string of the west cut, and clips of lying stems opened."""
    season, day = stands(PLAYS_ON), PLAYS_ON
    cut = [(s.row, StringCut(s.id)) for s in season.strings.values() if s.row.startswith("W") and s.number % 3]
    lying = [x for x in season.leaders_of_loop("W1") if x.hook and x.fixings][:4]
    opened = [(x.place, Unclipped(f.id)) for x in lying for f in x.fixings[1:]]
    return noted(until(day), day, *cut, *opened), day


def frost() -> Scene:
    day = date(2026, 10, 20)
    return noted(until(PLAYS_ON), day, ("", Air(min_c=-3.0, max_c=8.0))), day


def last_day() -> Scene:
    return until(PLAYS_ON), date(2026, 10, 31)


def cold() -> Scene:
    """After the last pick that the typical year's cold lets one assume; no end is given, and no frost was read."""
    day = date(2026, 11, 20)
    work = replace(_holding().work, bed_wanted_back=None)
    return noted(until(PLAYS_ON), day, ("", HoldingSet(to_toml(replace(_holding(), work=work))))), day


def cleared() -> Scene:
    day = date(2026, 11, 2)
    plants = {x.plant: x.place for x in stands(PLAYS_ON).leaders.values()}
    return noted(until(PLAYS_ON), day, *((place, Removed(plant)) for plant, place in plants.items())), day


def nothing_at_the_corner() -> Scene:
    """The end bar of the west loop is gone, and the heads that went round it last hang before it again."""
    season, day = stands(PLAYS_ON), PLAYS_ON
    (first, _) = season.layout.loops["W1"].stretches
    end_m = first.u_start_m + season.layout.rows[first.row][1].length_m
    round_it = [x for x in season.leaders_of_row("W1") if x.hook and x.hook.u_m > end_m]
    holding = _of_every_row(_holding(), corner="nothing")
    hung = [(x.place, Hung(x.id, round(end_m - 0.05, 2), 5.0)) for x in round_it]
    return noted(until(day), day, ("", HoldingSet(to_toml(holding))), *hung), day


def newly_planted() -> Scene:
    """Plants stand since yesterday, and nothing holds them."""
    known, day = planting()
    standing = fold(known, day).layout.places
    plants = [(name, Planted(place.place.cultivar or "round")) for name, place in standing.items()]
    return noted(known, day, *plants), day + timedelta(days=1)


def noted_in_summer() -> Scene:
    """A journal begun in August with what stands: who knows when it was planted?"""
    begun = Entry(
        "h", "h", "test", PLAYS_ON, 0, "", "", "holding_set", 1, draft("", HoldingSet(starter(Start()))).body
    )
    plants = [(f"W1-{number:02}", Planted("tomato 1")) for number in range(1, 7)]
    return noted((begun,), PLAYS_ON, *plants), PLAYS_ON + timedelta(days=1)


def clips_on_bare_stem() -> Scene:
    """A clip more on the bare stretch of every lying stem, between its first two."""
    day = PLAYS_ON
    more = []
    for leader in stands(day).leaders_of_loop("W1"):
        lying = [fixing for fixing in leader.fixings if fixing.on == "string"]
        if len(lying) > 1:
            s_m = round((lying[0].s_m + lying[1].s_m) / 2, 2)
            more.append((leader.place, Clipped(leader.id, s_m, "string", lying[0].string)))
    return noted(until(day), day, *more), day


def plan_adopted() -> Scene:
    """Adopted, and the holding still as it was."""
    plan = adoption(spring.worked_out(), "by-vigour")
    return noted(spring.begun(), spring.WINTER, ("", plan)), spring.WINTER


def sowing() -> Scene:
    return spring.taken(), spring.worked_out().dates.sow


def made_ready() -> Scene:
    return spring.taken(), spring.worked_out().dates.plant - timedelta(days=20)


def planting() -> Scene:
    return spring.taken(), spring.worked_out().dates.plant


SCENES: tuple[Callable[[], Scene], ...] = (
    *(demo_day, june, mishaps, unseen, bare_wires, frost, cold, last_day, cleared, sowing, made_ready, planting),
    *(nothing_at_the_corner, newly_planted, noted_in_summer, clips_on_bare_stem, plan_adopted, just_lowered),
)
