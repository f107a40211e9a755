"""The outlook: every leader's stem, tip and trusses for the coming days, and what the next pick days bring.

Nothing is lowered from the outlook's day on. Ripe trusses hang until picked; on coming pick days the ripe ones
are taken to be picked, so that a load a week ahead is not that of a row nobody picks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from math import log

from tunneltui.growth.air import AirSeries, air_series
from tunneltui.growth.courses import Course, RipeCourse, stem_course, truss_course, warmth_course
from tunneltui.growth.defaults import Traits, traits
from tunneltui.growth.evidence import Evidence, evidence
from tunneltui.growth.fruit_mass import CultivarFruit
from tunneltui.growth.groups import Coming, Followed, Member, follow, refollow
from tunneltui.growth.leader import LeaderBasis, Trussed, leader_outlook, planted_truss_line
from tunneltui.growth.learning import learned_ripening, learned_truss_rate
from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.growth.pick_days import Yield, pick_days, pick_outlooks, ripe_today, yields
from tunneltui.growth.response import stem_sensitivity
from tunneltui.growth.ripening import BY_SIZE_SD, GUESS_ABOVE_C, RipeningFactor, SizePace
from tunneltui.growth.truss_states import TrussLine, mean_line
from tunneltui.growth.trusses import WARMTH_SD_C, TrussRate, prior_rate
from tunneltui.holding.crops import USUAL
from tunneltui.holding.model import Row
from tunneltui.season.state import Leader, Season

DAYS = 14
BEFORE_PLANTING_DAYS = 60
"""Trusses on a plant may have flowered before it was planted."""
HOT_BACK_DAYS = 21
HOT_DAYS = 3
"""So many hot days move a ripe day by one."""
RIPENING_DAYS = 75
"""How far past the outlook a truss's ripe day is followed."""


@dataclass(frozen=True, slots=True, eq=False)
class _House:
    """One tunnel's air and its sums."""

    air: AirSeries
    coming: Coming
    warmth: Course
    """Sums of the warmth part of the truss rate."""
    published: RipeCourse
    coming_c: float

    def of_crop(self, kind: Traits) -> _House:
        """The same air with the sums of that kind's crop."""
        if kind.crop is USUAL and kind.ripening == 1:
            return self
        pace = None if kind.days_to_pick is None else SizePace(kind.days_to_pick, kind.crop.no_growth_c)
        warmth = self.warmth if kind.crop is USUAL else warmth_course(self.air, kind.crop)
        return replace(self, warmth=warmth, published=RipeCourse(self.air, _of_kind(kind), pace=pace))


@dataclass(frozen=True, slots=True, eq=False)
class _Kind:
    """One cultivar: what is assumed and what was learned."""

    traits: Traits
    rate: TrussRate
    ripening: RipeningFactor
    flowering: dict[str, Course]
    """Sums of the truss rate, by tunnel."""
    ripe: dict[str, RipeCourse]
    """By tunnel."""
    lines: dict[str, TrussLine]
    """By leader."""


@dataclass(frozen=True, eq=False)
class Basis:
    """All that an outlook rests on; what asks for stems alone waits for no fruit."""

    season: Season
    leaders: dict[str, LeaderBasis]
    traits: dict[str, Traits]
    """By cultivar, as all that follows."""
    fruit: dict[str, CultivarFruit]
    ripening: dict[str, RipeningFactor]
    air_typical: bool
    flagged: tuple[str, ...]
    unmeasured_heat: bool
    """Fruit ripens in air so warm that how fast it does was never measured."""
    last: date
    """Of the days whose air it reaches to; lengths and flowers are foreseen up to it."""

    @cached_property
    def ripe(self) -> dict[str, list[float]]:
        """When the trusses of each leader that were not lost are ripe, those picked long since included."""
        by_cultivar = {cultivar: one.ripe for cultivar, one in self.fruit.items()}
        return {name: by_cultivar[one.leader.cultivar][name] for name, one in self.leaders.items()}

    @cached_property
    def yields(self) -> dict[str, Yield]:
        picks = {cultivar: self.fruit[cultivar].picks for cultivar in sorted(self.fruit)}
        return yields(picks, self.traits, self.season.day.toordinal())


def outlook(season: Season, days: int = DAYS) -> Outlook:
    """What will be, from the season's day to ``days`` on, knowing only what the season knows."""
    return outlook_from(basis(season, days), season, days)


def outlook_from(known: Basis, season: Season, days: int = DAYS) -> Outlook:
    """The outlook of a season from what was learned of it."""
    leaders = {name: leader_outlook(known.leaders[name], days) for name in season.leaders}
    picks = pick_outlooks(season, known.ripe, known.yields, days)
    hanging = ripe_today(season, known.ripe, known.yields)
    return Outlook(
        season.day,
        leaders,
        picks,
        known.air_typical,
        known.flagged,
        known.ripening,
        hanging,
        known,
        unmeasured_heat=known.unmeasured_heat,
    )


def basis(season: Season, days: int = DAYS) -> Basis:
    """Everything learned from the season by its day."""
    found = {name: _evidence(season, leader) for name, leader in season.leaders.items()}
    houses = _houses(season, days)
    kinds = _kinds(season, found, houses)
    followed = _followed(season, found, houses, kinds)
    fruit = _fruit(season, houses, kinds, days)
    bases = _bases(season, found, houses, kinds, followed, fruit, days)
    flagged = tuple(dict.fromkeys(flag for house in houses.values() for flag in house.air.flagged))
    hot = any(kind.traits.days_to_pick is None for kind in kinds.values()) and _hot(houses.values())
    typical = any(house.air.typical for house in houses.values())
    return Basis(
        season,
        bases,
        {name: kind.traits for name, kind in kinds.items()},
        fruit,
        {name: kind.ripening for name, kind in kinds.items()},
        typical,
        flagged,
        hot,
        season.day + timedelta(days=days + RIPENING_DAYS),
    )


def leader_anew(known: Basis, season: Season, name: str, days: int = DAYS) -> LeaderOutlook:
    """One leader after a new entry of its own, for the moment of the key press.

    What its group and its cultivar were known to do stands; a new outlook learns from the entry.

    Raises:
        KeyError: the leader was not there when ``known`` was worked out.
    """
    old, leader = known.leaders[name], season.leaders[name]
    found = _evidence(season, leader)
    followed = refollow(Member(leader, found, old.wire_cm), old.followed, old.found, old.coming)
    line = planted_truss_line(leader, found, old.warmth) if found.trusses else old.trusses.line
    last = season.day.toordinal() + days
    trusses = Trussed(leader, line, old.warmth, old.ripe, old.air, old.kind, last)
    return leader_outlook(replace(old, leader=leader, found=found, followed=followed, trusses=trusses), days)


def _of_kind(kind: Traits) -> RipeningFactor:
    if kind.days_to_pick is not None:
        return RipeningFactor(variance=BY_SIZE_SD**2, passing=False)
    return RipeningFactor(kind_log=-log(kind.ripening))


def _hot(houses: Iterable[_House]) -> bool:
    """Whether fruit ripens in air warmer than anybody measured."""
    for house in houses:
        today = house.coming.today
        means_c = (house.air.mean_c(date.fromordinal(day)) for day in range(today - HOT_BACK_DAYS, today + DAYS))
        if sum(mean_c > GUESS_ABOVE_C for mean_c in means_c) >= HOT_DAYS:
            return True
    return False


def _evidence(season: Season, leader: Leader) -> Evidence:
    return evidence(leader, _row(season, leader), season.crop_of(leader))


def _row(season: Season, leader: Leader) -> Row:
    return season.layout.rows[leader.row][1]


def _tunnel(season: Season, leader: Leader) -> str:
    return season.layout.rows[leader.row][0].key


def _houses(season: Season, days: int) -> dict[str, _House]:
    """The air of every tunnel that has leaders, from before their planting to past the outlook's end."""
    since: dict[str, date] = {}
    for leader in season.leaders.values():
        key = _tunnel(season, leader)
        since[key] = min(leader.planted_on, since.get(key, leader.planted_on))
    last = season.day + timedelta(days=days + RIPENING_DAYS)
    latitude = None if season.holding.lit else season.holding.latitude_deg
    houses = {}
    for key, first in since.items():
        air = air_series(season, key, first - timedelta(days=BEFORE_PLANTING_DAYS), last)
        today = season.day.toordinal()
        coming_c = air.mean_over(today, today + days)
        doubt2 = (stem_sensitivity(coming_c) * WARMTH_SD_C) ** 2
        coming = Coming(stem_course(air, latitude), today, doubt2)
        houses[key] = _House(air, coming, warmth_course(air), RipeCourse(air), coming_c)
    return houses


def _kinds(season: Season, found: Mapping[str, Evidence], houses: Mapping[str, _House]) -> dict[str, _Kind]:
    """Every cultivar that stands, with its truss rate and ripening as learned."""
    by_cultivar: dict[str, list[Leader]] = defaultdict(list)
    for leader in season.leaders.values():
        by_cultivar[leader.cultivar].append(leader)
    return {key: _kind(season, key, leaders, found, houses) for key, leaders in by_cultivar.items()}


def _kind(
    season: Season,
    cultivar: str,
    leaders: Sequence[Leader],
    found: Mapping[str, Evidence],
    houses: Mapping[str, _House],
) -> _Kind:
    given = traits(season.layout.cultivars.get(cultivar), lit=season.holding.lit)
    tunnels = {leader.id: _tunnel(season, leader) for leader in leaders}
    own = {tunnel: houses[tunnel].of_crop(given) for tunnel in dict.fromkeys(tunnels.values())}
    counts = [(found[name], own[tunnel].warmth) for name, tunnel in tunnels.items()]
    prior = prior_rate(given.truss_intercept, given.crop)
    rate = learned_truss_rate(prior, counts, season.day.toordinal())
    flowering = {tunnel: truss_course(house.air, rate.intercept, rate.slope) for tunnel, house in own.items()}
    lines = _truss_lines(leaders, found, {m.id: flowering[tunnels[m.id]] for m in leaders})
    seen = [
        (found[name], lines[name], flowering[tunnel], own[tunnel].published) for name, tunnel in tunnels.items()
    ]
    ripening = learned_ripening(seen, _of_kind(given))
    ripe = {tunnel: _ripe_course(house, ripening) for tunnel, house in own.items()}
    return _Kind(given, rate, ripening, flowering, ripe, lines)


def _ripe_course(house: _House, factor: RipeningFactor) -> RipeCourse:
    """Where nothing was learned yet, that of the kind."""
    return RipeCourse(house.air, factor, house.published) if factor.log_factor else house.published


def _truss_lines(
    leaders: Sequence[Leader], found: Mapping[str, Evidence], courses: Mapping[str, Course]
) -> dict[str, TrussLine]:
    """By leader; one never counted flowers with those counted that began with it."""
    lines = {m.id: planted_truss_line(m, found[m.id], courses[m.id]) for m in leaders}
    counted: dict[tuple[str, date], list[TrussLine]] = defaultdict(list)
    for m in leaders:
        if found[m.id].trusses:
            counted[m.row, m.since].append(lines[m.id])
    for m in leaders:
        if not found[m.id].trusses and (mates := counted.get((m.row, m.since))):
            lines[m.id] = mean_line(m.since.toordinal(), mates, courses[m.id])
    return lines


def _followed(
    season: Season, found: Mapping[str, Evidence], houses: Mapping[str, _House], kinds: Mapping[str, _Kind]
) -> dict[str, Followed]:
    groups: dict[tuple[str, str], list[Member]] = defaultdict(list)
    for name, leader in season.leaders.items():
        wire_cm = _row(season, leader).wire_height_m * 100
        groups[leader.cultivar, leader.row].append(Member(leader, found[name], wire_cm))
    followed: dict[str, Followed] = {}
    for (cultivar, row), members in groups.items():
        coming = houses[season.layout.rows[row][0].key].coming
        followed |= follow(members, kinds[cultivar].traits, coming.stems, coming.today)
    return followed


def _fruit(
    season: Season, houses: Mapping[str, _House], kinds: Mapping[str, _Kind], days: int
) -> dict[str, CultivarFruit]:
    """By cultivar."""
    last = season.day.toordinal() + days
    trusses: dict[str, dict[str, Trussed]] = {key: {} for key in kinds}
    for name, leader in season.leaders.items():
        tunnel, kind = _tunnel(season, leader), kinds[leader.cultivar]
        flowering, ripe = kind.flowering[tunnel], kind.ripe[tunnel]
        trusses[leader.cultivar][name] = Trussed(
            leader, kind.lines[name], flowering, ripe, houses[tunnel].air, kind.traits, last
        )
    return {key: CultivarFruit(season, key, kinds[key].traits, of_it) for key, of_it in trusses.items()}


def _bases(
    season: Season,
    found: Mapping[str, Evidence],
    houses: Mapping[str, _House],
    kinds: Mapping[str, _Kind],
    followed: Mapping[str, Followed],
    fruit: Mapping[str, CultivarFruit],
    days: int,
) -> dict[str, LeaderBasis]:
    """What each leader's outlook rests on."""
    picks = tuple(day.toordinal() for day in pick_days(season, days))
    bases = {}
    for name, leader in season.leaders.items():
        tunnel, row = season.layout.rows[leader.row]
        house, kind = houses[tunnel.key], kinds[leader.cultivar]
        flowering, ripe = kind.flowering[tunnel.key], kind.ripe[tunnel.key]
        wire_m = row.wire_height_m
        limit_m = wire_m if tunnel.plastic_height_m is None else min(wire_m, tunnel.plastic_height_m)
        bases[name] = LeaderBasis(
            leader,
            found[name],
            followed[name],
            fruit[leader.cultivar].trusses[name],
            kind.traits,
            fruit[leader.cultivar],
            kind.rate,
            house.coming,
            flowering,
            ripe,
            limit_m * 100,
            wire_m * 100,
            picks,
            house.coming_c,
            house.air,
        )
    return bases
