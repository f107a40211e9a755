"""What a whole season taught of each cultivar, from all its weeks alike, whatever day it is asked.

The forecasts follow a crop: their last state tells tomorrow best, and swings with every week. A plan for next year
wants the season's own mean instead: all growth read over all warmth it was read in, all kilograms weighed over all
trusses that ripened meanwhile. Each is drawn to what is usual as far as little was read.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from math import exp, hypot, log

from tunneltui.growth.defaults import season_truss_kg, traits
from tunneltui.growth.evidence import ROOTING_DAYS
from tunneltui.growth.forecast import Basis, basis
from tunneltui.growth.leader import LeaderBasis
from tunneltui.growth.outlook import Band
from tunneltui.growth.pick_days import weighed
from tunneltui.season.state import Leader, Season

VIGOUR_SD_LN = 0.35
"""Between cultivars, about what is usual. Assumed."""
STEM_SD_LN = 0.10
"""Between stems of one cultivar over a season. Assumed; the open compartment of Ohio 2024 shows 0.03 to 0.08."""
TRUSS_KG_SD_LN = log(2.5) / 1.645
"""A season's kilograms a truss, before any was weighed: known within a factor of 2.5 (open data, three crops)."""
WEEK_SD_LN = 0.6
"""Of one week's kilograms a truss about its season's mean: picks a day apart tell the same twice, first trusses
are not as later ones. Assumed."""
RIPE_SD_DAYS = 7
"""Of the day on which trusses are taken to ripen. Assumed; while few have ripened it makes a truss's kilograms
uncertain by far more than the scales do."""
SEASONS_SD_LN = 0.25
"""Between two seasons of the same house and cultivar. Assumed."""
COUNTED_DAYS = 60.0
"""Days of counts that the usual truss rate weighs."""
ONE_SEASON = timedelta(days=300)
"""Plants that came in so long before the last ones were of another season."""
WIDE = 1.645


@dataclass(frozen=True, slots=True)
class Taught:
    """One figure of one cultivar: its middle, how sure it is, and what it rests on."""

    mid: float
    sd_ln: float
    n: int
    """Stems, or weighed picks; 0 where it is the usual one."""

    def band(self, spread_ln: float = 0.0) -> Band:
        """90 % interval; ``spread_ln`` is what comes on top of not knowing the middle."""
        wide = exp(WIDE * hypot(self.sd_ln, spread_ln))
        return Band(self.mid / wide, self.mid, self.mid * wide)


@dataclass(frozen=True, slots=True, eq=False)
class SeasonTaught:
    """By cultivar."""

    vigour_m_per_week: Mapping[str, Taught]
    """At 20 degC and 12 h days."""
    stems_m_per_week: Mapping[str, tuple[float, ...]]
    """The same of every measured stem by itself."""
    truss_intercept: Mapping[str, float]
    kg_per_truss: Mapping[str, Taught]


def season_taught(season: Season) -> SeasonTaught:
    """All that the plants of the last season taught, those that are out included."""
    known = basis(_this_season(season))
    stems = _stems(known)
    names = dict.fromkeys([*season.layout.cultivars, *known.traits])
    return SeasonTaught(
        {name: _vigour(season, name, stems.get(name, ())) for name in names},
        stems,
        {name: _intercept(known, name) for name in known.traits},
        {name: _kg_per_truss(season, known, name) for name in names},
    )


def _this_season(season: Season) -> Season:
    everyone = {**season.gone, **season.leaders}
    last = max((leader.planted_on for leader in everyone.values()), default=season.day)
    kept = {name: leader for name, leader in everyone.items() if leader.planted_on >= last - ONE_SEASON}
    return replace(season, leaders=kept)


def _stems(known: Basis) -> dict[str, tuple[float, ...]]:
    rates: dict[str, list[float]] = defaultdict(list)
    for one in known.leaders.values():
        if (rate := _m_per_week(one)) is not None:
            rates[one.leader.cultivar].append(rate)
    return {name: tuple(found) for name, found in rates.items()}


def _m_per_week(one: LeaderBasis) -> float | None:
    """A stem's growth over all intervals that tell its pace; what is read after its tip is out tells nothing."""
    stopped = one.leader.tip_taken_out_on
    rooted = one.leader.planted_on.toordinal() + ROOTING_DAYS
    cm = response = 0.0
    for growth in one.found.growths:
        if growth.start < rooted or (stopped is not None and growth.end > stopped.toordinal()):
            continue
        cm += growth.grown.cm
        response += one.coming.stems.between(growth.start, growth.end)
    return cm / response * 7 / 100 if response >= ROOTING_DAYS and cm > 0 else None


def _vigour(season: Season, cultivar: str, stems: tuple[float, ...]) -> Taught:
    usual = traits(season.layout.cultivars.get(cultivar), lit=season.holding.lit).stem_cm_a_day * 7 / 100
    if not stems:
        return Taught(usual, VIGOUR_SD_LN, 0)
    read_ln = sum(map(log, stems)) / len(stems)
    return drawn(log(usual), VIGOUR_SD_LN, read_ln, STEM_SD_LN / len(stems) ** 0.5, len(stems))


def drawn(usual_ln: float, usual_sd: float, read_ln: float, read_sd: float, n: int) -> Taught:
    """What was read, drawn to what is usual by how well each is known."""
    share = usual_sd**2 / (usual_sd**2 + read_sd**2)
    return Taught(exp(usual_ln + share * (read_ln - usual_ln)), usual_sd * (1 - share) ** 0.5, n)


def _intercept(known: Basis, cultivar: str) -> float:
    """The truss rate's intercept that tells all counts of the season together."""
    usual = known.traits[cultivar].truss_intercept
    days = more = 0.0
    for one in known.leaders.values():
        if one.leader.cultivar != cultivar:
            continue
        stopped = one.leader.tip_taken_out_on
        for count in one.found.counts:
            if stopped is not None and count.end > stopped.toordinal():
                continue
            counted = count.end - count.start
            foreseen = one.warmth.between(count.start, count.end) + (usual - one.rate.intercept) * counted
            days += counted * count.stems
            more += (count.new - foreseen) * count.stems
    return usual + more / (days + COUNTED_DAYS)


def _kg_per_truss(season: Season, known: Basis, cultivar: str) -> Taught:
    usual = season_truss_kg(season.layout.cultivars.get(cultivar))
    kg = 0.0
    n = days = 0
    ripened = dict.fromkeys((-RIPE_SD_DAYS, 0, RIPE_SD_DAYS), 0.0)
    for flow, stretches in weighed(replace(season, leaders=_leaders(known)), cultivar, known.ripe):
        for at, stretch in enumerate(stretches):
            # Begun in mid season, a journal's first pick does not say what was picked before it.
            begun_late = at == 0 and flow.at(stretch.start) > 0
            if flow.first is None or stretch.end < flow.first or begun_late:
                continue
            kg += stretch.kg
            n += 1
            days += stretch.end - stretch.start
            for off in ripened:
                ripened[off] += max(0.0, flow.at(stretch.end + off) - flow.at(stretch.start + off))
    if kg <= 0 or ripened[0] <= 0 or not days:
        return Taught(usual, TRUSS_KG_SD_LN, 0)
    timing = log((ripened[RIPE_SD_DAYS] + 1) / (ripened[-RIPE_SD_DAYS] + 1)) / 2
    read_sd = hypot(WEEK_SD_LN / (days / 7) ** 0.5, timing)
    return drawn(log(usual), TRUSS_KG_SD_LN, log(kg / ripened[0]), read_sd, n)


def _leaders(known: Basis) -> dict[str, Leader]:
    return {name: one.leader for name, one in known.leaders.items()}
