"""What the journal says of plants, picks, losses and hours, gathered once for every question of the review."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from tunneltui.holding.layout import Layout, Standing
from tunneltui.journal.body import BodyFault, typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_crop import FruitLost, GreenStripped, Picked
from tunneltui.journal.kinds_journal import Timed
from tunneltui.journal.kinds_standing import Planted
from tunneltui.journal.order import live
from tunneltui.season.state import Season


@dataclass(frozen=True, slots=True)
class Site:
    """Where something was said of; '' where the entry did not say it so closely."""

    tunnel: str = ""
    row: str = ""
    bed: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class PlantRecord:
    id: str
    site: Site
    cultivar: str
    planted_on: date
    ended_on: date | None


@dataclass(frozen=True, slots=True)
class PickRecord:
    """One weighed or counted pick, or a loss where ``lost`` says why."""

    day: date
    site: Site
    cultivar: str
    kg: float | None
    count: int | None
    grade: str
    lost: str = ""
    leader: str = ""
    """Id of the marked leader it was weighed from, '' for a pick of a row or tunnel."""


@dataclass(frozen=True, slots=True)
class StrippedRecord:
    """Green fruit taken at the end: all of it, and what ripened indoors."""

    day: date
    kg: float | None
    ripened_kg: float | None


@dataclass(frozen=True, slots=True)
class HoursRecord:
    day: date
    chore: str
    minutes: float
    plants: int | None


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    layout: Layout
    plants: tuple[PlantRecord, ...]
    picks: tuple[PickRecord, ...]
    losses: tuple[PickRecord, ...]
    hours: tuple[HoursRecord, ...]
    stripped: tuple[StrippedRecord, ...] = ()


def within(written: Record, since: date | None, until: date | None) -> Record:
    """What happened in the span, both days included; the plants stay, whenever they were planted."""
    first, last = since or date.min, until or date.max
    return replace(
        written,
        picks=tuple(pick for pick in written.picks if first <= pick.day <= last),
        losses=tuple(loss for loss in written.losses if first <= loss.day <= last),
        hours=tuple(hours for hours in written.hours if first <= hours.day <= last),
        stripped=tuple(green for green in written.stripped if first <= green.day <= last),
    )


def record(entries: Sequence[Entry], season: Season) -> Record:
    """Gather what was recorded up to the season's day. Entries that the fold set aside are left out."""
    aside = {item.entry.id for item in season.set_aside}
    plants, picks, losses, hours, stripped = [], [], [], [], []
    for entry in live(entries):
        if entry.day > season.day or entry.id in aside:
            continue
        body = _body(entry)
        site = _site(season.layout, entry.about)
        if isinstance(body, Planted):
            ended = season.ended.get(entry.id)
            plants.append(PlantRecord(entry.id, site, body.cultivar, entry.day, ended))
        elif isinstance(body, Picked) and (body.kg is not None or body.count is not None):
            picks.append(
                PickRecord(entry.day, site, body.cultivar, body.kg, body.count, body.grade, "", body.leader)
            )
        elif isinstance(body, FruitLost):
            losses.append(PickRecord(entry.day, site, body.cultivar, body.kg, body.count, "", body.why or "lost"))
        elif isinstance(body, GreenStripped):
            losses.append(_stripped(season, entry, body, site))
            stripped.append(StrippedRecord(entry.day, body.kg, body.ripened_kg))
        elif isinstance(body, Timed):
            hours.append(HoursRecord(entry.day, body.chore, body.minutes, body.plants))
    return Record(season.layout, tuple(plants), tuple(picks), tuple(losses), tuple(hours), tuple(stripped))


def _body(entry: Entry) -> Body | None:
    try:
        return typed(entry)
    except BodyFault:
        return None


def _stripped(season: Season, entry: Entry, body: GreenStripped, site: Site) -> PickRecord:
    cultivars = {season.leaders[leader].cultivar for leader in body.leaders if leader in season.leaders}
    cultivar = cultivars.pop() if len(cultivars) == 1 else ""
    lost_kg = None if body.kg is None else max(0.0, body.kg - (body.ripened_kg or 0.0))
    return PickRecord(entry.day, site, cultivar, lost_kg, None, "green", "stripped green")


def _site(layout: Layout, about: str) -> Site:
    standing = layout.place(about)
    if standing is not None:
        return _site_of_place(standing)
    if about in layout.rows:
        tunnel, row = layout.rows[about]
        return Site(tunnel.key, about, row.bed)
    return Site(about) if any(tunnel.key == about for tunnel, _ in layout.rows.values()) else Site()


def _site_of_place(standing: Standing) -> Site:
    return Site(standing.tunnel.key, standing.row_id, standing.row.bed, standing.place.name)
