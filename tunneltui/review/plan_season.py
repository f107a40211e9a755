"""Next season's crop before it stands: the same forecasts run from a planting day over planned leaders."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.growth.forecast import Basis, basis_of
from tunneltui.growth.leader import LeaderBasis, TrussDates, head_on, leader_on
from tunneltui.growth.outlook import Band, StemOn
from tunneltui.growth.topping import LastPick, last_pick, tip_outs
from tunneltui.holding.crops import crop_of
from tunneltui.holding.layout import Layout, Standing, layout
from tunneltui.holding.model import Cultivar, Holding, Training
from tunneltui.holding.setting_out import SettingOut, set_out
from tunneltui.loads.room import wire_m
from tunneltui.review.plan_trellis import most_held_m
from tunneltui.review.plan_values import CultivarRecord, PlannedCrop
from tunneltui.review.season_learned import SEASONS_SD_LN, SeasonTaught, Taught, end_places
from tunneltui.season.state import HungString, Leader, Season
from tunneltui.values import replace

SEASON_DAYS = 240
"""Followed from planting where no end is known."""


class ComingSeason(Struct, frozen=True, eq=False):
    """A planned season from its planting day, forecast to its end."""

    season: Season
    basis: Basis
    end: LastPick | None
    last_day: date
    growing: Mapping[str, LeaderBasis]
    """Leaders whose tip comes out, for the days before that."""
    full: frozenset[str]
    """Leaders whose tip comes out sooner than its fruit asks for, since their tiers are full."""

    def stem(self, leader: str, day: date) -> StemOn:
        """A leader as it would be if it were tended: leaves down to those kept, ripe trusses picked."""
        stopped = self.season.leaders[leader].tip_taken_out_on
        grows = stopped is not None and day < stopped
        grown = leader_on((self.growing if grows else self.basis.leaders)[leader], day.toordinal())
        kept = min(grown.leaves, float(self.season.holding.limits.leaves_kept))
        hanging = tuple(t for t in grown.trusses if t.ripe_on is None or t.ripe_on >= day - timedelta(days=4))
        lowest_m = hanging[0].s_m if hanging else 0.0
        bare_m = max(grown.bare_below_m, lowest_m - 0.15, 0.0) if grown.leaves > kept else grown.bare_below_m
        return replace(grown, trusses=hanging, leaves=kept, bare_below_m=min(bare_m, grown.length_m.mid))

    def length_left_growing_m(self, leader: str) -> float:
        """On the last day, were its tip left in."""
        basis = self.growing.get(leader, self.basis.leaders[leader])
        return leader_on(basis, self.last_day.toordinal()).length_m.mid

    def set_out(self, setting: SettingOut) -> ComingSeason:
        """The same stems where the rows are trained so, with that first tier and rise."""
        holding = set_out(self.season.holding, setting)
        places = layout(holding)
        leaders = {
            name: replace(leader, training=_training(places, places.places[leader.place], leader.cultivar))
            for name, leader in self.season.leaders.items()
        }
        return replace(self, season=replace(self.season, holding=holding, layout=places, leaders=leaders))

    def crops(self, taught: SeasonTaught, since: date = date.min) -> tuple[PlannedCrop, ...]:
        """Kg that ripen from a day to the last pick, by cultivar and row: what a truss gives over a season, and
        where it hangs."""
        ends = end_places(self.season)
        trusses: dict[tuple[str, str], float] = defaultdict(float)
        last = self.last_day.toordinal()
        for name, leader in self.season.leaders.items():
            share = taught.place_share(leader.cultivar, leader.row, at_end=leader.place in ends)
            stem = self.basis.leaders[name].trusses
            ripening = _trusses_ripe(stem, last) - _trusses_ripe(stem, since.toordinal() - 1)
            trusses[leader.cultivar, leader.row] += share * max(0.0, ripening)
        kg = taught.kg_per_truss
        return tuple(PlannedCrop(c, row, _scaled(kg[c], ripe)) for (c, row), ripe in sorted(trusses.items()))


def _trusses_ripe(stem: TrussDates, day: int) -> float:
    """Mean number ripe by a day of plants that are apart by a truss: one step for all of them would make a plan
    leap by what tells them a day sooner or later. ``day`` is an ordinal."""
    by_then = bisect_right(stem.ripe, day)
    if not by_then:
        return 0.0
    number = stem.line.number(stem.last_flowering_day(stem.last), stem.course)
    if by_then < len(stem.ripe):
        before, after = stem.ripe[by_then - 1], stem.ripe[by_then]
        number = min(number, by_then + (day - before) / (after - before))
    return max(0.0, number - 0.5)


def _scaled(truss_kg: Taught, trusses: float) -> Band:
    band = truss_kg.band(SEASONS_SD_LN)
    return Band(band.low * trusses, band.mid * trusses, band.high * trusses)


def set_out_season(season: Season, setting: SettingOut) -> Season:
    """The season with its holding set out so; leaders that stand are left as they are."""
    holding = set_out(season.holding, setting)
    return replace(season, holding=holding, layout=layout(holding))


def coming(
    season: Season, cultivar_of: Mapping[str, str], records: Mapping[str, CultivarRecord], planted_on: date
) -> ComingSeason:
    """The season that begins with these cultivars at these places; the air is the typical year."""
    planned = planned_season(season, cultivar_of, records, planted_on)
    end = last_pick(planned)
    last = end.day if end is not None else planted_on + timedelta(days=SEASON_DAYS)
    days = max(14, (last - planted_on).days)
    basis = basis_of(planned, days)
    stopped = {name: out.on for name, out in tip_outs(planned, basis).items()}
    stopped |= _stopped_at_the_wire(planned, basis, days)
    full = _stopped_in_full_tiers(planned, records, basis, days, stopped)
    stopped |= full
    if not stopped:
        return ComingSeason(planned, basis, end, last, {}, frozenset())
    leaders = {
        name: replace(leader, tip_taken_out_on=stopped.get(name)) for name, leader in planned.leaders.items()
    }
    planned = replace(planned, leaders=leaders)
    growing = {name: basis.leaders[name] for name in stopped}
    return ComingSeason(planned, basis_of(planned, days), end, last, growing, frozenset(full))


def _stopped_at_the_wire(season: Season, basis: Basis, days: int) -> dict[str, date]:
    """The day on which each stem that is to be stopped there is as long as its wire is high: then its tip is asked
    for, not as soon as it comes near."""
    stopped: dict[str, date] = {}
    for name, leader in season.leaders.items():
        if leader.training != "pinched_at_wire":
            continue
        limit_m = wire_m(season, season.layout.loops[leader.loop])
        if (on := _as_long(season, basis.leaders[name], limit_m, days)) is not None:
            stopped[name] = on
    return stopped


def _stopped_in_full_tiers(
    season: Season,
    records: Mapping[str, CultivarRecord],
    basis: Basis,
    days: int,
    stopped: Mapping[str, date],
) -> dict[str, date]:
    """The day before a tiered stem is as long as its tiers hold, where that comes before its tip is to be out.

    Only of cultivars that were never measured: who does not know their pace keeps the tiers and stops them there
    (common practice, no source). How long a measured one gets is planned for, whether it fits or not.
    """
    held_m = most_held_m(season)
    full: dict[str, date] = {}
    for name, leader in season.leaders.items():
        record = records.get(leader.cultivar)
        if leader.training == "tiered" and (record is None or not record.stems):
            on = _as_long(season, basis.leaders[name], held_m[leader.loop], days)
            if on is not None and on <= stopped.get(name, on):
                full[name] = on - timedelta(days=1)
    return full


def _as_long(season: Season, growing: LeaderBasis, limit_m: float, days: int) -> date | None:
    """The first day on which a stem is as long as that; None where it stays shorter."""
    ordinals = range(season.day.toordinal(), season.day.toordinal() + days)
    first = bisect_left(ordinals, limit_m, key=lambda day: head_on(growing, day).length_m.mid)
    return date.fromordinal(ordinals[first]) if first < days else None


def planned_season(
    season: Season, cultivar_of: Mapping[str, str], records: Mapping[str, CultivarRecord], planted_on: date
) -> Season:
    """Leaders planted at every place that is given a cultivar, and nothing written yet. '' leaves one empty."""
    holding = replace(season.holding, cultivars=_as_recorded(season.holding, records))
    if holding.work.bed_wanted_back is not None and holding.work.bed_wanted_back <= planted_on:
        holding = replace(holding, work=replace(holding.work, bed_wanted_back=None))
    places = layout(holding)
    leaders = {
        leader.id: leader
        for name, standing in places.places.items()
        if cultivar_of.get(name)
        for leader in _leaders(
            standing, cultivar_of[name], planted_on, _training(places, standing, cultivar_of[name])
        )
    }
    strings = {
        s.id: HungString(s.id, s.row, places.loop_of_row[s.row].id, s.number, s.x_m, s.u_m, s.twine, s.knot_share)
        for s in places.strings.values()
    }
    return replace(
        season,
        day=planted_on,
        holding=holding,
        layout=places,
        leaders=leaders,
        strings=strings,
        ended={},
        ended_why={},
        gone={},
        picks=(),
        forecasts=(),
        done=(),
        set_aside=(),
    )


def _training(places: Layout, standing: Standing, cultivar: str) -> Training:
    """The row's; stems that bear no tiers are laid down."""
    record = places.cultivars.get(cultivar)
    never = record is not None and not crop_of(record.crop).tiered
    return "laid_down" if never and standing.row.training == "tiered" else standing.row.training


def _leaders(standing: Standing, cultivar: str, planted_on: date, training: Training) -> Iterator[Leader]:
    """As many as the place is to have, named as ``planted`` would name them."""
    place = standing.place
    for letter in "abcd"[: place.leaders]:
        yield Leader(
            id=place.name if letter == "a" else f"{place.name}+{letter}",
            name=f"{place.name}{letter}",
            plant=place.name,
            place=place.name,
            row=standing.row_id,
            loop=standing.loop.id,
            x_m=place.x_m,
            u_m=standing.u_m,
            cultivar=cultivar,
            planted_on=planted_on,
            since=planted_on,
            training=training,
        )


def _as_recorded(holding: Holding, records: Mapping[str, CultivarRecord]) -> tuple[Cultivar, ...]:
    """The holding's cultivars with the pace and first truss of the records, or their kind's pace: a plan must find
    room for long stems. One that is only in the records is added."""
    recorded = {cultivar.key: cultivar for cultivar in holding.cultivars}
    for name, record in records.items():
        cultivar = recorded.get(name, Cultivar(name))
        cultivar = replace(cultivar, stem_m_per_week=record.vigour_m_per_week)
        if record.truss_intercept is not None:
            cultivar = replace(cultivar, truss_rate_intercept=record.truss_intercept)
        if record.planted_truss is not None:
            cultivar = replace(cultivar, planted_truss=record.planted_truss)
        recorded[name] = cultivar
    return tuple(recorded.values())
