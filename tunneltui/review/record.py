"""What the journal says of plants, picks, losses and hours, gathered once for every question of the review."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from msgspec import Struct

from tunneltui.care.feed import dressing_amount
from tunneltui.cells import say
from tunneltui.holding.layout import Layout, Standing
from tunneltui.holding.model import Tunnel
from tunneltui.journal.body import BodyFault, typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import BedDressed
from tunneltui.journal.kinds_crop import FruitLost, GreenStripped, Picked
from tunneltui.journal.kinds_journal import Timed
from tunneltui.journal.kinds_standing import BedMade, Planted
from tunneltui.journal.order import live
from tunneltui.season.growing_year import CALENDAR_YEAR, GrowingYear, growing_year, picked_from
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace


class Site(Struct, frozen=True):
    """The place an entry is about; '' where it does not say so precisely."""

    tunnel: str = ""
    row: str = ""
    bed: str = ""
    """Its name, after its tunnel's where two tunnels have a bed of that name."""
    place: str = ""


class PlantRecord(Struct, frozen=True):
    id: str
    site: Site
    cultivar: str
    planted_on: date
    ended_on: date | None
    training: str = ""
    """As last noted for it, else its row's."""

    def stood(self, first: date, last: date) -> bool:
        """On any day of the span, both ends included."""
        return self.planted_on <= last and (self.ended_on is None or self.ended_on >= first)


class PickRecord(Struct, frozen=True):
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


class StrippedRecord(Struct, frozen=True):
    """Green fruit taken at the end: all of it, and what ripened indoors."""

    day: date
    kg: float | None
    ripened_kg: float | None


class HoursRecord(Struct, frozen=True):
    day: date
    chore: str
    minutes: float
    plants: int | None


class DressingRecord(Struct, frozen=True):
    """What was put on a bed."""

    day: date
    bed: str
    """As in ``Site.bed``."""
    how: str


class SeasonRecord(Struct, frozen=True, eq=False):
    layout: Layout
    plants: tuple[PlantRecord, ...]
    picks: tuple[PickRecord, ...]
    losses: tuple[PickRecord, ...]
    hours: tuple[HoursRecord, ...]
    stripped: tuple[StrippedRecord, ...] = ()
    dressings: tuple[DressingRecord, ...] = ()
    growing_year: GrowingYear = CALENDAR_YEAR
    """Where its seasons begin."""


def within(written: SeasonRecord, since: date | None, until: date | None) -> SeasonRecord:
    """What happened in the span, both days included, and the plants that stood in it."""
    first, last = since or date.min, until or date.max
    return replace(
        written,
        plants=tuple(plant for plant in written.plants if plant.stood(first, last)),
        picks=tuple(pick for pick in written.picks if first <= pick.day <= last),
        losses=tuple(loss for loss in written.losses if first <= loss.day <= last),
        hours=tuple(hours for hours in written.hours if first <= hours.day <= last),
        stripped=tuple(green for green in written.stripped if first <= green.day <= last),
        dressings=tuple(dressing for dressing in written.dressings if first <= dressing.day <= last),
    )


def record(entries: Sequence[Entry], season: Season) -> SeasonRecord:
    """Gather what was recorded up to the season's day. Entries that the fold set aside are left out."""
    aside = {item.entry.id for item in season.set_aside}
    leaders = {**season.gone, **season.leaders}
    trainings = {leader.plant: leader.training for leader in leaders.values()}
    plants, picks, losses, hours, stripped, dressings = [], [], [], [], [], []
    for entry in live(entries):
        if entry.day > season.day or entry.id in aside:
            continue
        body = _body(entry)
        site = site_of(season.layout, entry.about)
        if isinstance(body, Planted):
            ended = season.ended.get(entry.id)
            of_row = season.layout.rows[site.row][1].training if site.row in season.layout.rows else ""
            training = trainings.get(entry.id) or body.training or of_row
            plants.append(PlantRecord(entry.id, site, body.cultivar, entry.day, ended, training))
        elif isinstance(body, Picked) and (body.kg is not None or body.count is not None):
            of_stem = leaders.get(body.leader)
            standing = season.layout.place(of_stem.place) if of_stem is not None else None
            site = site if standing is None else _site_of_place(season.layout, standing)
            picks.append(
                PickRecord(entry.day, site, body.cultivar, body.kg, body.count, body.grade, "", body.leader)
            )
        elif isinstance(body, FruitLost):
            losses.append(PickRecord(entry.day, site, body.cultivar, body.kg, body.count, "", body.why or "lost"))
        elif isinstance(body, GreenStripped):
            losses.append(_stripped(leaders, entry, body, site))
            stripped.append(StrippedRecord(entry.day, body.kg, body.ripened_kg))
        elif isinstance(body, Timed):
            hours.append(HoursRecord(entry.day, body.chore, body.minutes, body.plants))
        elif isinstance(body, BedMade):
            dressings.append(DressingRecord(entry.day, _bed_meant(season.layout, body.bed, site), body.how))
        elif isinstance(body, BedDressed):
            put_on = say("{}{}", body.what, dressing_amount(body))
            dressings.append(DressingRecord(entry.day, _bed_meant(season.layout, body.bed, site), put_on))
    crops = picked_from(((plant.planted_on, plant.ended_on) for plant in plants), (pick.day for pick in picks))
    return SeasonRecord(
        season.layout,
        tuple(plants),
        tuple(picks),
        tuple(losses),
        tuple(hours),
        tuple(stripped),
        tuple(dressings),
        growing_year(crops, season.holding.latitude_deg),
    )


def _body(entry: Entry) -> Body | None:
    try:
        return typed(entry)
    except BodyFault:
        return None


def _stripped(leaders: Mapping[str, Leader], entry: Entry, body: GreenStripped, site: Site) -> PickRecord:
    cultivars = {leaders[leader].cultivar for leader in body.leaders if leader in leaders}
    cultivar = cultivars.pop() if len(cultivars) == 1 else ""
    lost_kg = None if body.kg is None else max(0.0, body.kg - (body.ripened_kg or 0.0))
    return PickRecord(entry.day, site, cultivar, lost_kg, None, "green", "stripped green")


def site_of(layout: Layout, about: str) -> Site:
    """What a name stands for now; a row that is no more keeps its name."""
    standing = layout.place(about)
    if standing is not None:
        return _site_of_place(layout, standing)
    if about in layout.rows:
        tunnel, row = layout.rows[about]
        return Site(tunnel.key, about, bed_name(layout, tunnel, row.bed))
    if any(tunnel.key == about for tunnel in layout.holding.tunnels):
        return Site(about)
    return Site(row=about)


def _site_of_place(layout: Layout, standing: Standing) -> Site:
    bed = bed_name(layout, standing.tunnel, standing.row.bed)
    return Site(standing.tunnel.key, standing.row_id, bed, standing.place.name)


def bed_name(layout: Layout, tunnel: Tunnel, bed: str) -> str:
    """The bed's key, after its tunnel's where another tunnel has a bed of that name; '' where there is none."""
    if not bed:
        return ""
    alike = sum(bed in {standing.key for standing in other.beds} for other in layout.holding.tunnels)
    return f"{tunnel.key} {bed}" if alike > 1 else bed


def _bed_meant(layout: Layout, bed: str, site: Site) -> str:
    """Of two beds of one name, the one in the tunnel that the entry is about."""
    tunnel = next((standing for standing in layout.holding.tunnels if standing.key == site.tunnel), None)
    return bed if tunnel is None else bed_name(layout, tunnel, bed)
