"""What the journal says of the house and its tunnels: air, cover, feeds, picks, stores, times.

Each function takes the records of its kinds in order and gives the season's value, with the entries that lean
on what is not there. All are short lists beside the leaders, so they are worked out anew whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from math import ceil
from typing import TypeVar

from tunneltui.journal.body import Answers
from tunneltui.journal.kinds_care import Air, Forecast
from tunneltui.journal.kinds_standing import PlanAdopted
from tunneltui.journal.sense import out_of_its_time
from tunneltui.season.ground import Ground
from tunneltui.season.state import Done, Leader, Pick, Reentry, SetAside
from tunneltui.season.touch import Record
from tunneltui.values import replace

_TRUST = {"sensor": 2, "hand": 1, "estimate": 0}
"""Whose air counts for a day: a sensor's over a hand reading over an estimate."""

Aside = list[SetAside]
_T = TypeVar("_T")


def airs(records: Sequence[Record], ground: Ground) -> tuple[dict[str, dict[date, Air]], Aside]:
    """One air a day and tunnel; of two equally trusted the later."""
    best: dict[tuple[str, date], Air] = {}
    aside = []
    for record in records:
        tunnel, air = record.entry.about, record.body
        if tunnel and tunnel not in ground.tunnels:
            aside.append(SetAside(record.entry, f"there is no tunnel {tunnel}"))
            continue
        better = best.get((tunnel, record.day))
        if better is None or _TRUST[air.source] >= _TRUST[better.source]:
            best[(tunnel, record.day)] = air
    walk = {tunnel: place for place, tunnel in enumerate(["", *(t.key for t in ground.holding.tunnels)])}
    by_day = sorted(best.items(), key=lambda item: (walk[item[0][0]], item[0][1]))
    return {
        tunnel: {day: air for (_, day), air in items}
        for tunnel, items in groupby(by_day, key=lambda item: item[0][0])
    }, aside


def forecasts(records: Sequence[Record], day: date) -> tuple[tuple[tuple[date, Forecast], ...], Aside]:
    """Forecasts issued by ``day``, with the day their first figure speaks of."""
    issued, aside = [], []
    for record in records:
        try:
            is_issued = date.fromisoformat(record.body.issued) <= day
        except ValueError:
            aside.append(SetAside(record.entry, f"{record.body.issued!r} is no day"))
            continue
        if late := out_of_its_time(record.body, record.day):
            aside.append(SetAside(record.entry, late))
        elif is_issued:
            issued.append((record.day, record.body))
    return tuple(issued), aside


def switched(
    records: Sequence[Record], ground: Ground, stands: Callable[[Record], _T]
) -> tuple[dict[str, _T], Aside]:
    """Fleece, doors or shade as last noted, by tunnel; a note on the whole house counts for each."""
    state: dict[str, _T] = {}
    aside = []
    for record in records:
        tunnels = ground.tunnels_meant(record)
        if tunnels is None:
            aside.append(SetAside(record.entry, f"there is nothing called {record.entry.about}"))
            continue
        state |= dict.fromkeys([*tunnels, *([] if record.entry.about else [""])], stands(record))
    return dict(sorted(state.items())), aside


def blocked(records: Sequence[Record], ground: Ground) -> tuple[dict[str, date], Aside]:
    """First day on which picking is allowed again, by tunnel; a part of a day counts as a whole one."""
    until: dict[str, date] = {}
    aside = []
    for record in records:
        tunnels = ground.tunnels_meant(record)
        if tunnels is None:
            aside.append(SetAside(record.entry, f"there is nothing called {record.entry.about}"))
            continue
        allowed = record.day + timedelta(days=ceil(record.body.pick_days))
        for tunnel in tunnels if record.body.pick_days > 0 else ():
            until[tunnel] = max(until.get(tunnel, allowed), allowed)
    return dict(sorted(until.items())), aside


def reentries(records: Sequence[Record], ground: Ground) -> tuple[dict[str, Reentry], Aside]:
    """By tunnel, the treatment after which nobody may go in for longest."""
    by_tunnel: dict[str, Reentry] = {}
    for record in records:
        closed = Reentry(record.day, record.body.what, record.body.reentry_hours)
        for tunnel in ground.tunnels_meant(record) or [] if closed.hours > 0 else ():
            by_tunnel[tunnel] = max(
                by_tunnel.get(tunnel, closed), closed, key=lambda reentry: (reentry.opens, reentry.day)
            )
    return dict(sorted(by_tunnel.items())), []


def dated_bodies(records: Sequence[Record]) -> tuple[tuple[date, str, object], ...]:
    """Day, about and body of each, in order."""
    return tuple((record.day, record.entry.about, record.body) for record in records)


def plans(records: Sequence[Record]) -> tuple[tuple[tuple[date, PlanAdopted], ...], Aside]:
    """Adopted plans in order; one whose lists are not of one length is no plan."""
    adopted, aside = [], []
    for record in records:
        body = record.body
        places, rows = len(body.places), len(body.rows)
        if {len(body.cultivars), len(body.leaders)} != {places} or {len(body.trainings), len(body.partners)} != {
            rows
        }:
            aside.append(SetAside(record.entry, "its lists of places or rows are not of one length"))
        else:
            adopted.append((record.day, body))
    return tuple(adopted), aside


def stock(records: Sequence[Record]) -> dict[tuple[str, str], float]:
    counts: dict[tuple[str, str], float] = {}
    for record in records:
        item = (record.body.item, record.body.item_kind)
        counts[item] = counts.get(item, 0.0) + record.body.count
    return dict(sorted(counts.items()))


def timings(records: Sequence[Record]) -> dict[str, tuple[float, int]]:
    """Minutes and plants by chore kind; a timing without a count of plants is of one chore."""
    sums: dict[str, tuple[float, int]] = {}
    for record in records:
        minutes, plants = sums.get(record.body.chore, (0.0, 0))
        count = 1 if record.body.plants is None else record.body.plants
        sums[record.body.chore] = (minutes + record.body.minutes, plants + count)
    return dict(sorted(sums.items()))


def dones(ticked: Iterable[tuple[Record, Done]]) -> tuple[Done, ...]:
    """One for each chore that an act ticks off or puts off, in order."""
    once: dict[tuple[str, Answers], Done] = {}
    for _, done in ticked:
        key = (done.act, done.answers)
        first = once.setdefault(key, done)
        if first is not done and first.pieces and first.put_off_until == done.put_off_until:
            pieces = tuple(dict.fromkeys(first.pieces + done.pieces)) if done.pieces else ()
            once[key] = replace(first, pieces=pieces)
        elif first.put_off_until is None and done.put_off_until is not None:
            once[key] = done
    return tuple(once.values())


def picks(
    records: Sequence[Record], ground: Ground, leaders: Mapping[str, Leader]
) -> tuple[tuple[Pick, ...], Aside]:
    """Picks in order; a marked leader's is from its row whatever it says it is about."""
    picked, aside = [], []
    for record in records:
        leader = leaders.get(record.body.leader)
        part = ground.part(record) if leader is None else ground.part_of_row(leader.row)
        if part is None or (record.body.leader and leader is None and not record.entry.about):
            missing = record.entry.about or "that leader"
            aside.append(SetAside(record.entry, f"there is nothing called {missing}"))
        else:
            picked.append(Pick(record.id, record.entry.act, record.day, part.row, part.tunnel, record.body))
    return tuple(picked), aside


def clean_days(records: Sequence[Record], ground: Ground) -> dict[tuple[str, str], list[date]]:
    """Days on which a part of the house was picked clean of a cultivar, by (part, cultivar), in order."""
    days: dict[tuple[str, str], list[date]] = {}
    for record in records:
        part = ground.part(record) if record.body.clean and not record.body.leader else None
        if part is not None:
            days.setdefault((part.name, record.body.cultivar), []).append(record.day)
    return days
