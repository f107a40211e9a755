"""The outlook: every leader's stem, tip and trusses for the coming days, and what the next pick days bring.

Nothing is lowered from the outlook's day on. Ripe trusses hang until picked; on coming pick days the ripe ones
are taken to be picked, so that a load a week ahead is not that of a row nobody picks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import log

from msgspec import Struct

from tunneltui.growth.air import AirSeries, air_series
from tunneltui.growth.courses import Course, RipeCourse, stem_course, truss_course, warmth_course
from tunneltui.growth.defaults import Traits, traits
from tunneltui.growth.evidence import Evidence, evidence_of
from tunneltui.growth.fruit_mass import CultivarFruit
from tunneltui.growth.groups import DaysAhead, Member, StemEstimate, follow
from tunneltui.growth.leader import (
    LeaderBasis,
    TrussDates,
    TrussesNoted,
    leader_outlook,
    planted_truss_line,
    unbroken_truss_line,
)
from tunneltui.growth.learning import learned_ripening, learned_truss_rate
from tunneltui.growth.outlook import Outlook, PickOutlook
from tunneltui.growth.pick_days import CultivarYield, pick_days, pick_outlooks, ripe_today, yields
from tunneltui.growth.response import stem_sensitivity
from tunneltui.growth.ripening import BY_SIZE_SD, GUESS_ABOVE_C, KIND_SD, RipeningFactor, SizePace
from tunneltui.growth.truss_states import TrussLine, mean_line, with_rests
from tunneltui.growth.trusses import PRIOR_SD, WARMTH_SD_C, TrussRate, prior_rate
from tunneltui.holding.crops import USUAL
from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Holding, Row
from tunneltui.journal.kinds_care import Air, Forecast
from tunneltui.memo import Stages
from tunneltui.season.noted_late import may_be_older
from tunneltui.season.state import Leader, Pick, Season, empty_season
from tunneltui.values import replace

DAYS = 14
BEFORE_PLANTING_DAYS = 60
"""Trusses on a plant may have flowered before it was planted."""
HOT_BACK_DAYS = 21
HOT_DAYS = 3
"""So many hot days move a ripe day by one."""
RIPENING_DAYS = 75
"""How far past the outlook a truss's ripe day is followed."""


class _TunnelAir(Struct, frozen=True, eq=False):
    """One tunnel's air and its sums."""

    air: AirSeries
    coming: DaysAhead
    warmth: Course
    """Sums of the warmth part of the truss rate."""
    published: RipeCourse
    coming_c: float

    def of_crop(self, kind: Traits) -> _TunnelAir:
        """The same air with the sums of that kind's crop."""
        if kind.crop is USUAL and kind.ripening == 1:
            return self
        pace = None if kind.days_to_pick is None else SizePace(kind.days_to_pick, kind.crop.no_growth_c)
        warmth = self.warmth if kind.crop is USUAL else warmth_course(self.air, kind.crop)
        return replace(self, warmth=warmth, published=RipeCourse(self.air, _of_kind(kind), pace=pace))


class _CultivarLearned(Struct, frozen=True, eq=False):
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
    """All that an outlook rests on; whoever needs stems alone waits for no fruit."""

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
        by_cultivar = {cultivar: fruit.ripe for cultivar, fruit in self.fruit.items()}
        return {name: by_cultivar[basis.leader.cultivar][name] for name, basis in self.leaders.items()}

    @cached_property
    def yields(self) -> dict[str, CultivarYield]:
        picks = {cultivar: self.fruit[cultivar].picks for cultivar in sorted(self.fruit)}
        return yields(picks, self.traits, self.season.day.toordinal())


def outlook(season: Season, days: int = DAYS) -> Outlook:
    """What will be, from the season's day to ``days`` on, knowing only what the season knows."""
    return plan_outlook(Stages(), season, days)


def basis_of(season: Season, days: int = DAYS, stages: Stages | None = None) -> Basis:
    """Everything learned from the season by its day; ``stages`` with what is known of a day before."""
    return _basis(stages or Stages(), season, days)


def plan_outlook(stages: Stages, season: Season, days: int = DAYS, of: Set[str] | None = None) -> Outlook:
    """The outlook as a part of a plan. At a stem's depth it is that of the leaders ``of``, from a season of whole
    rows; what is learned of a cultivar, its air and its picks, waits for the house."""
    house_basis = _basis(stages, season, days, of)
    leaders = {name: stages.of(leader_outlook, name, basis, days) for name, basis in house_basis.leaders.items()}
    picks, hanging = stages.anew("house", _to_pick, days, season, house_basis, days)
    return Outlook(
        season.day,
        leaders,
        picks,
        house_basis.air_typical,
        house_basis.flagged,
        house_basis.ripening,
        hanging,
        house_basis,
        unmeasured_heat=house_basis.unmeasured_heat,
    )


def _to_pick(season: Season, basis: Basis, days: int) -> tuple[tuple[PickOutlook, ...], tuple[PickOutlook, ...]]:
    """On the coming pick days, and today."""
    return (
        pick_outlooks(season, basis.ripe, basis.yields, days),
        ripe_today(season, basis.ripe, basis.yields),
    )


def _basis(stages: Stages, season: Season, days: int, of: Set[str] | None = None) -> Basis:
    evidence = {
        name: stages.of(evidence_of, name, leader, _row(season, leader), season.crop_of(leader))
        for name, leader in season.leaders.items()
    }
    houses = _houses(stages, season, days)
    kinds = _kinds(stages, season, evidence, houses)
    followed = _followed(stages, season, evidence, houses, kinds)
    leaders = (
        season.leaders if of is None else {name: season.leaders[name] for name in season.leaders if name in of}
    )
    trusses = _trusses(stages, season, leaders, evidence, houses, kinds, days)
    picks = stages.of_house(_by_cultivar, "", season.picks)
    fruit = {
        key: _fruit(stages, season, key, kind.traits, trusses, picks.get(key, ())) for key, kind in kinds.items()
    }
    kept_fruit = {key: stages.resumed(_kept_if_same, key, cultivar_fruit) for key, cultivar_fruit in fruit.items()}
    bases = _bases(stages, season, leaders, evidence, houses, kinds, followed, trusses, kept_fruit, days)
    flagged = tuple(dict.fromkeys(flag for house in houses.values() for flag in house.air.flagged))
    hot = stages.of_loop(_hot, "", tuple(houses.values())) and any(
        kind.traits.days_to_pick is None for kind in kinds.values()
    )
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


def _of_kind(kind: Traits) -> RipeningFactor:
    if kind.days_to_pick is not None:
        return RipeningFactor(variance=BY_SIZE_SD**2, passing=False)
    return RipeningFactor(kind_log=-log(kind.ripening), kind_variance=KIND_SD**2)


def _hot(houses: tuple[_TunnelAir, ...]) -> bool:
    """Whether fruit ripens in air warmer than anybody measured."""
    for house in houses:
        today = house.coming.today
        means_c = (house.air.mean_c(date.fromordinal(day)) for day in range(today - HOT_BACK_DAYS, today + DAYS))
        if sum(mean_c > GUESS_ABOVE_C for mean_c in means_c) >= HOT_DAYS:
            return True
    return False


def _row(season: Season, leader: Leader) -> Row:
    return season.layout.rows[leader.row][1]


def _tunnel(season: Season, leader: Leader) -> str:
    return season.layout.rows[leader.row][0].key


def _houses(stages: Stages, season: Season, days: int) -> dict[str, _TunnelAir]:
    """The air of every tunnel that has leaders, from before their planting to past the outlook's end."""
    since: dict[str, date] = {}
    for leader in season.leaders.values():
        key = _tunnel(season, leader)
        since[key] = min(leader.planted_on, since.get(key, leader.planted_on))
    sky = stages.of(_sky, "", season.day, season.holding, season.layout, season.airs, season.forecasts)
    return {key: stages.of_loop(_house, key, sky, key, first, days) for key, first in since.items()}


def _sky(
    day: date,
    holding: Holding,
    layout: Layout,
    airs: dict[str, dict[date, Air]],
    forecasts: tuple[tuple[date, Forecast], ...],
) -> Season:
    """The season where only the air was read."""
    return replace(empty_season(day, holding, layout), airs=airs, forecasts=forecasts)


def _house(sky: Season, tunnel: str, first: date, days: int) -> _TunnelAir:
    today = sky.day.toordinal()
    last = sky.day + timedelta(days=days + RIPENING_DAYS)
    air = air_series(sky, tunnel, first - timedelta(days=BEFORE_PLANTING_DAYS), last)
    coming_c = air.mean_over(today, today + days)
    doubt2 = (stem_sensitivity(coming_c) * WARMTH_SD_C) ** 2
    coming = DaysAhead(stem_course(air, _unlit_latitude(sky)), today, doubt2)
    return _TunnelAir(air, coming, warmth_course(air), RipeCourse(air), coming_c)


def _unlit_latitude(season: Season) -> float | None:
    """None: lit, or unknown; what the sun does is left out."""
    return None if season.holding.lit else season.holding.latitude_deg


def _kinds(
    stages: Stages, season: Season, evidence: Mapping[str, Evidence], houses: Mapping[str, _TunnelAir]
) -> dict[str, _CultivarLearned]:
    """Every cultivar that stands, with its truss rate and ripening as learned."""
    by_cultivar: dict[str, list[Leader]] = defaultdict(list)
    for leader in season.leaders.values():
        by_cultivar[leader.cultivar].append(leader)
    kinds = {key: _kind(stages, season, key, leaders, evidence, houses) for key, leaders in by_cultivar.items()}
    lines = _beside_those_counted(stages, season, evidence, kinds)
    return {key: replace(kind, lines=kind.lines | lines.get(key, {})) for key, kind in kinds.items()}


def _beside_those_counted(
    stages: Stages, season: Season, evidence: Mapping[str, Evidence], kinds: Mapping[str, _CultivarLearned]
) -> dict[str, dict[str, TrussLine]]:
    """By cultivar and leader, of stems never counted: each flowers with those counted of its cultivar that began
    with it in its row. Where none was, with those of its crop in its tunnel: its own pace differs from theirs by
    little, what all of them met is shared."""
    alike: dict[tuple[str, str, date], list[TrussLine]] = defaultdict(list)
    of_crop: dict[tuple[str, str, date], list[TrussLine]] = defaultdict(list)
    uncounted = []
    for leader in season.leaders.values():
        kind = kinds[leader.cultivar]
        own = (leader.cultivar, leader.row, leader.since)
        shared = (kind.traits.crop.key, _tunnel(season, leader), leader.since)
        seen = evidence[leader.id]
        if seen.trusses or seen.none_open is not None:
            line = kind.lines[leader.id]
            if seen.still:
                course = kind.flowering[_tunnel(season, leader)]
                line = unbroken_truss_line(leader, kind.traits.planted_truss, seen, course)
            alike[own].append(line)
            of_crop[shared].append(line)
        else:
            uncounted.append((leader, own, shared))
    lines: dict[str, dict[str, TrussLine]] = defaultdict(dict)
    for leader, own, shared in uncounted:
        mates, pace_sd = (alike[own], 0.0) if own in alike else (of_crop.get(shared, ()), PRIOR_SD)
        if mates:
            course = kinds[leader.cultivar].flowering[_tunnel(season, leader)]
            given = (leader.since.toordinal(), tuple(mates), course, pace_sd)
            line = stages.of(mean_line, own, *given)
            lines[leader.cultivar][leader.id] = with_rests(line, evidence[leader.id].still, course)
    return lines


def _kind(
    stages: Stages,
    season: Season,
    cultivar: str,
    leaders: Sequence[Leader],
    evidence: Mapping[str, Evidence],
    houses: Mapping[str, _TunnelAir],
) -> _CultivarLearned:
    given = traits(season.layout.cultivars.get(cultivar), lit=season.holding.lit)
    tunnels = {leader.id: _tunnel(season, leader) for leader in leaders}
    own = {
        tunnel: stages.of(_TunnelAir.of_crop, (tunnel, cultivar), houses[tunnel], given)
        for tunnel in dict.fromkeys(tunnels.values())
    }
    counts = tuple((evidence[name], own[tunnel].warmth) for name, tunnel in tunnels.items())
    prior = prior_rate(given.truss_intercept, given.crop)
    rate = stages.of_house(learned_truss_rate, cultivar, prior, counts, season.day.toordinal())
    flowering = {
        tunnel: stages.of(truss_course, (tunnel, cultivar), house.air, rate.intercept, rate.slope)
        for tunnel, house in own.items()
    }
    lines = {
        m.id: stages.of(planted_truss_line, m.id, m, given.planted_truss, evidence[m.id], flowering[tunnels[m.id]])
        for m in leaders
    }
    seen = tuple(
        (evidence[name], lines[name], flowering[tunnel], own[tunnel].published) for name, tunnel in tunnels.items()
    )
    ripening = stages.of_house(learned_ripening, cultivar, seen, _of_kind(given))
    ripe = {tunnel: stages.of(_ripe_course, (tunnel, cultivar), house, ripening) for tunnel, house in own.items()}
    return _CultivarLearned(given, rate, ripening, flowering, ripe, lines)


def _ripe_course(house: _TunnelAir, factor: RipeningFactor) -> RipeCourse:
    """Where nothing was learned yet, that of the kind."""
    return RipeCourse(house.air, factor, house.published) if factor.log_factor else house.published


def _followed(
    stages: Stages,
    season: Season,
    evidence: Mapping[str, Evidence],
    houses: Mapping[str, _TunnelAir],
    kinds: Mapping[str, _CultivarLearned],
) -> dict[str, StemEstimate]:
    groups: dict[tuple[str, str], list[Member]] = defaultdict(list)
    for name, leader in season.leaders.items():
        wire_cm = _row(season, leader).wire_height_m * 100
        began = (leader.since, leader.planted_on, leader.planted_about, may_be_older(season, leader))
        member = Member(name, leader.u_m, *began, evidence[name], wire_cm, leader.training == "pinched_at_wire")
        groups[leader.cultivar, leader.row].append(member)
    followed: dict[str, StemEstimate] = {}
    for group, members in groups.items():
        cultivar, row = group
        coming = houses[season.layout.rows[row][0].key].coming
        traits, course = kinds[cultivar].traits, coming.stems
        followed |= stages.resumed(follow, group, tuple(members), traits, course, coming.today).leaders
    return followed


def _trusses(
    stages: Stages,
    season: Season,
    leaders: Mapping[str, Leader],
    evidence: Mapping[str, Evidence],
    houses: Mapping[str, _TunnelAir],
    kinds: Mapping[str, _CultivarLearned],
    days: int,
) -> dict[str, TrussDates]:
    """By leader."""
    last, latitude = season.day.toordinal() + days, _unlit_latitude(season)
    dates = {}
    for name, leader in leaders.items():
        tunnel, kind = _tunnel(season, leader), kinds[leader.cultivar]
        flowering, ripe, air = kind.flowering[tunnel], kind.ripe[tunnel], houses[tunnel].air
        events = leader.truss_fruits, leader.trusses_lost, leader.tip_taken_out_on
        noted = TrussesNoted(*events, evidence[name].lowest, evidence[name].hanging)
        line, traits_of_kind = kind.lines[name], kind.traits
        dates[name] = stages.of(
            TrussDates, name, noted, line, flowering, ripe, air, traits_of_kind, last, latitude
        )
    return dates


def _by_cultivar(picks: tuple[Pick, ...]) -> dict[str, tuple[Pick, ...]]:
    by_cultivar: dict[str, list[Pick]] = defaultdict(list)
    for pick in picks:
        by_cultivar[pick.picked.cultivar].append(pick)
    return {cultivar: tuple(of_it) for cultivar, of_it in by_cultivar.items()}


def _fruit(
    stages: Stages,
    season: Season,
    cultivar: str,
    kind: Traits,
    trusses: Mapping[str, TrussDates],
    picks: tuple[Pick, ...],
) -> CultivarFruit:
    own = [name for name in trusses if season.leaders[name].cultivar == cultivar]
    stands = {name: _stands(stages, season.leaders[name]) for name in own}
    picked = stages.of_house(_picked, cultivar, season.day, season.holding, season.layout, stands, picks)
    return stages.of_house(CultivarFruit, cultivar, picked, cultivar, kind, {name: trusses[name] for name in own})


def _stands(stages: Stages, leader: Leader) -> Leader:
    """Where and since when it stands, and nothing else of it."""
    root = (leader.plant, leader.place, leader.row, leader.loop, leader.x_m, leader.u_m)
    planted = (leader.cultivar, leader.planted_on, leader.since, leader.training)
    return stages.of(Leader, leader.id, leader.id, leader.name, *root, *planted)


def _picked(
    day: date, holding: Holding, layout: Layout, leaders: dict[str, Leader], picks: tuple[Pick, ...]
) -> Season:
    """The season where nothing was done but planted and picked."""
    return replace(empty_season(day, holding, layout), leaders=leaders, picks=picks)


def _kept_if_same(fruit: CultivarFruit | None, now: CultivarFruit) -> CultivarFruit:
    """The former where what hangs today is the same in both: stems need no more."""
    same = fruit is not None and fruit.season.day == now.season.day and fruit.mass == now.mass
    return fruit if fruit is not None and same else now


def _bases(
    stages: Stages,
    season: Season,
    leaders: Mapping[str, Leader],
    evidence: Mapping[str, Evidence],
    houses: Mapping[str, _TunnelAir],
    kinds: Mapping[str, _CultivarLearned],
    followed: Mapping[str, StemEstimate],
    trusses: Mapping[str, TrussDates],
    fruit: Mapping[str, CultivarFruit],
    days: int,
) -> dict[str, LeaderBasis]:
    """What each leader's outlook rests on."""
    picks = tuple(day.toordinal() for day in pick_days(season, days))
    bases = {}
    for name, leader in leaders.items():
        tunnel, row = season.layout.rows[leader.row]
        house, kind = houses[tunnel.key], kinds[leader.cultivar]
        wire_m = row.wire_height_m
        limit_m = wire_m if tunnel.plastic_height_m is None else min(wire_m, tunnel.plastic_height_m)
        bases[name] = stages.of(
            LeaderBasis,
            name,
            leader,
            evidence[name],
            followed[name],
            trusses[name],
            kind.traits,
            fruit[leader.cultivar],
            kind.rate,
            house.coming,
            kind.flowering[tunnel.key],
            kind.ripe[tunnel.key],
            limit_m * 100,
            wire_m * 100,
            picks,
            house.coming_c,
            house.air,
        )
    return bases
