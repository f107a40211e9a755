"""What a whole season taught of each cultivar, from all its weeks alike, whatever day it is asked.

The forecasts follow a crop: their last state tells tomorrow best, and swings with every week. A plan for next year
wants the season's own mean instead: all growth read over all warmth it was read in, all kilograms weighed over all
trusses that ripened meanwhile. Each is drawn to what is usual as far as little was read.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta
from itertools import accumulate, dropwhile
from math import ceil, exp, hypot, inf, log
from statistics import fmean
from typing import NamedTuple

from msgspec import Struct

from tunneltui.growth.defaults import season_truss_kg, traits
from tunneltui.growth.evidence import ROOTING_DAYS
from tunneltui.growth.forecast import Basis, basis_of
from tunneltui.growth.leader import LeaderBasis
from tunneltui.growth.outlook import Band
from tunneltui.growth.pick_days import weighed_picks
from tunneltui.growth.picks import Flow, PickStretch
from tunneltui.growth.truss_states import COUNT_TRUSS2, STRAY_TRUSS2_PER_WEEK
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

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
RIPE_SD_TRUSSES = 1.0
"""Of how many trusses some picks emptied: one more or less hangs half picked at either end. Assumed."""
PLACE_SD_LN = 0.15
"""Of a truss's kilograms between the rows of a house, and between ends and middle of a row. Assumed."""
PLANT_SD_LN = 0.3
"""Of one plant's kilograms about its neighbours'. Assumed; 0.2 to 0.4 is usual in trials of single plants (from
memory)."""
SEASONS_SD_LN = 0.25
"""Between two seasons of the same house and cultivar. Assumed."""
COUNTED_DAYS = 60.0
"""Days of counts that the usual truss rate weighs."""
PLANTED_TRUSS_SD = 1.5
"""Between growers: from plants with two trusses open to seedlings a month from their first. Assumed."""
MOST_PLANTED_TRUSS = 2.0
"""What had more trusses open on the day noted as its planting had stood before."""
ONE_SEASON = timedelta(days=300)
"""Plants that came in so long before the last ones were of another season."""
WIDE = 1.645


class Taught(Struct, frozen=True):
    """One figure of one cultivar: its middle, how sure it is, and what it rests on."""

    mid: float
    sd_ln: float
    n: int
    """Stems, or weighed picks; 0 where it is the usual one."""

    def band(self, spread_ln: float = 0.0) -> Band:
        """90 % interval; ``spread_ln`` is what comes on top of not knowing the middle."""
        wide = exp(WIDE * hypot(self.sd_ln, spread_ln))
        return Band(self.mid / wide, self.mid, self.mid * wide)


class SeasonTaught(Struct, frozen=True, eq=False):
    """By cultivar."""

    vigour_m_per_week: Mapping[str, Taught]
    """At 20 degC and 12 h days."""
    stems_m_per_week: Mapping[str, tuple[float, ...]]
    """The same of every measured stem by itself."""
    truss_intercept: Mapping[str, float]
    planted_truss: Mapping[str, float]
    """The truss in flower on the day of planting, of cultivars that were counted."""
    kg_per_truss: Mapping[str, Taught]
    rows: Mapping[str, Taught]
    """By row, what a truss gives there over the same cultivar's in all weighed rows; n is weighed weeks, 0 where
    only other rows at the side, or in the middle, of a tunnel tell."""
    row_ends: Taught
    """The same of a row's first and last place, towards the ends of the tunnel, over the others; n is stems there
    weighed by themselves."""

    weighed_in: Mapping[str, float]
    """By cultivar, the mean share of the rows in which its kilograms a truss were read."""

    def place_share(self, cultivar: str, row: str, *, at_end: bool) -> float:
        """Kilograms of a cultivar's truss at a place, over what they were read to be."""
        row_share = self.rows[row].mid if row in self.rows else 1.0
        return row_share / self.weighed_in.get(cultivar, 1.0) * (self.row_ends.mid if at_end else 1.0)


class _RowRead(NamedTuple):
    """Weighed picks of one cultivar in one row."""

    kg: float
    trusses: float
    """That ripened meanwhile."""
    weeks: float


def season_taught(season: Season, planned: Iterable[str] = ()) -> SeasonTaught:
    """All that the plants of the last season taught, those that are out included; of ``planned`` cultivars that
    neither stand here nor are in the holding, what is usual."""
    basis = basis_of(this_season(season))
    rates: dict[str, list[float]] = defaultdict(list)
    for leader in basis.leaders.values():
        if (rate := _m_per_week(leader)) is not None:
            rates[leader.leader.cultivar].append(rate)
    stems = {name: tuple(own) for name, own in rates.items()}
    names = dict.fromkeys([*season.layout.cultivars, *basis.traits, *planned])
    intercepts = {name: _intercept(basis, name) for name in basis.traits}
    read = {name: in_rows for name in basis.traits if (in_rows := _read_in_rows(season, basis, name))}
    rows = _with_their_side(season, _rows(read))
    return SeasonTaught(
        {name: _vigour(season, name, stems.get(name, ())) for name in names},
        stems,
        intercepts,
        _planted_trusses(basis, intercepts),
        {name: _kg_per_truss(season, basis, name) for name in names},
        rows,
        _row_ends(season, basis),
        {name: _base(by_row, rows) for name, by_row in read.items()},
    )


def this_season(season: Season) -> Season:
    """With every stem of the last season, those that are out included, and none of earlier ones."""
    everyone = {**season.gone, **season.leaders}
    last = max((leader.planted_on for leader in everyone.values()), default=season.day)
    kept = {name: leader for name, leader in everyone.items() if leader.planted_on >= last - ONE_SEASON}
    return replace(season, leaders=kept)


def _m_per_week(basis: LeaderBasis) -> float | None:
    """A stem's growth over all intervals that tell its pace; what is read after its tip is out tells nothing."""
    stopped = basis.leader.tip_taken_out_on
    rooted = basis.leader.planted_on.toordinal() + ROOTING_DAYS
    cm = response = 0.0
    for growth in basis.evidence.growths:
        if growth.start < rooted or (stopped is not None and growth.end > stopped.toordinal()):
            continue
        cm += growth.grown.cm
        response += basis.coming.stems.between(growth.start, growth.end)
    return cm / response * 7 / 100 if response >= ROOTING_DAYS and cm > 0 else None


def _vigour(season: Season, cultivar: str, stems: tuple[float, ...]) -> Taught:
    usual = traits(season.layout.cultivars.get(cultivar), lit=season.holding.lit).stem_cm_a_day * 7 / 100
    if not stems:
        return Taught(usual, VIGOUR_SD_LN, 0)
    read_ln = sum(map(log, stems)) / len(stems)
    return shrunk(log(usual), VIGOUR_SD_LN, read_ln, STEM_SD_LN / len(stems) ** 0.5, len(stems))


def shrunk(usual_ln: float, usual_sd: float, read_ln: float, read_sd: float, n: int) -> Taught:
    """What was read, drawn to what is usual by how well each is known."""
    share = usual_sd**2 / (usual_sd**2 + read_sd**2)
    return Taught(exp(usual_ln + share * (read_ln - usual_ln)), usual_sd * (1 - share) ** 0.5, n)


def _intercept(basis: Basis, cultivar: str) -> float:
    """The truss rate's intercept that tells all counts of the season together."""
    usual = basis.traits[cultivar].truss_intercept
    days = more = 0.0
    for leader in basis.leaders.values():
        if leader.leader.cultivar != cultivar:
            continue
        stopped = leader.leader.tip_taken_out_on
        for count in leader.evidence.counts:
            if stopped is not None and count.end > stopped.toordinal():
                continue
            counted = count.end - count.start
            foreseen = leader.warmth.between(count.start, count.end) + (usual - leader.rate.intercept) * counted
            days += counted * count.stems
            more += (count.new - foreseen) * count.stems
    return usual + more / (days + COUNTED_DAYS)


class _FollowedBack(NamedTuple):
    """A stem's first count, followed back to its planting."""

    truss: float
    """In flower then; below nought, so many trusses' time before the first."""
    own2: float
    """Its variance by what a stem strays by and a count is off by."""
    shared2: float
    """Its variance by what is not known of the pace, which all stems of a cultivar share."""


def _planted_trusses(basis: Basis, intercepts: Mapping[str, float]) -> dict[str, float]:
    """How old seedlings are set out, and into how cold a spring, is the grower's own. Drawn to what is usual."""
    stems: dict[str, list[_FollowedBack]] = defaultdict(list)
    for leader in basis.leaders.values():
        planted, cultivar = leader.leader, leader.leader.cultivar
        if leader.evidence.trusses and planted.since == planted.planted_on and not planted.planted_about:
            stem = _followed_back(leader, intercepts[cultivar])
            if stem.truss <= MOST_PLANTED_TRUSS:
                stems[cultivar].append(stem)
    return {cultivar: _planted_truss(basis.traits[cultivar].planted_truss, own) for cultivar, own in stems.items()}


def _followed_back(leader: LeaderBasis, intercept: float) -> _FollowedBack:
    since, (counted_on, _) = leader.leader.since.toordinal(), leader.evidence.trusses[0]
    days = counted_on - since
    came = leader.warmth.between(since, counted_on) + (intercept - leader.rate.intercept) * days
    number = leader.trusses.line.number(counted_on, leader.trusses.course)
    own2 = COUNT_TRUSS2 + STRAY_TRUSS2_PER_WEEK * days / 7
    # The season's mean pace is known well; those weeks' own strays from it.
    return _FollowedBack(number - came, own2, replace(leader.rate, variance=0.0).pace_var(days))


def _planted_truss(usual: float, stems: Sequence[_FollowedBack]) -> float:
    read2 = fmean(stem.own2 for stem in stems) / len(stems) + fmean(stem.shared2 for stem in stems)
    share = PLANTED_TRUSS_SD**2 / (PLANTED_TRUSS_SD**2 + read2)
    return usual + share * (fmean(stem.truss for stem in stems) - usual)


def _kg_per_truss(season: Season, basis: Basis, cultivar: str) -> Taught:
    usual = season_truss_kg(season.layout.cultivars.get(cultivar))
    kg = 0.0
    n = days = 0
    ripened = dict.fromkeys((-RIPE_SD_DAYS, 0, RIPE_SD_DAYS), 0.0)
    for flow, stretches in weighed_picks(replace(season, leaders=_leaders(basis)), cultivar, basis.ripe):
        for stretch in _telling(flow, stretches, usual):
            kg += stretch.kg
            n += 1
            days += stretch.end - stretch.start
            for off in ripened:
                ripened[off] += max(0.0, flow.at(stretch.end + off) - flow.at(stretch.start + off))
    if kg <= 0 or ripened[0] <= 0 or not days:
        return Taught(usual, TRUSS_KG_SD_LN, 0)
    timing = log((ripened[RIPE_SD_DAYS] + 1) / (ripened[-RIPE_SD_DAYS] + 1)) / 2
    read_sd = hypot(WEEK_SD_LN / (days / 7) ** 0.5, timing, RIPE_SD_TRUSSES / ripened[0])
    return shrunk(log(usual), TRUSS_KG_SD_LN, log(kg / ripened[0]), read_sd, n)


def _telling(flow: Flow, stretches: Sequence[PickStretch], usual_kg: float) -> list[PickStretch]:
    """Stretches that say what a truss gives, on the days of the flow: none before the first truss is taken to be
    ripe, none of the empty ones before the first fruit, which say when and not how much, and not the first one of
    a journal that was begun while ripe trusses hung: what was picked before it stands nowhere.

    Where a truss's usual kilograms, ``usual_kg``, were picked before any is taken to be ripe, all ripened so much
    sooner: those kilograms came of trusses too.
    """
    if flow.first is None:
        return []
    begun_late = bool(stretches) and flow.at(stretches[0].start) > 0
    fruitful = list(dropwhile(lambda stretch: stretch.kg <= 0, stretches[1:] if begun_late else stretches))
    picked_kg = accumulate(stretch.kg for stretch in fruitful)
    first_picked = next((s.end for s, kg in zip(fruitful, picked_kg, strict=True) if kg >= usual_kg), inf)
    sooner = ceil(max(0.0, flow.first - first_picked))
    moved = [PickStretch(stretch.start + sooner, stretch.end + sooner, stretch.kg) for stretch in fruitful]
    return [stretch for stretch in moved if stretch.end >= flow.first]


def _rows(read_in: Mapping[str, Mapping[str, _RowRead]]) -> dict[str, Taught]:
    """Rows in which a cultivar was weighed that was weighed in others too, their side of the tunnel with them."""
    read: dict[str, list[tuple[float, _RowRead]]] = defaultdict(list)
    for by_row in read_in.values():
        mean = sum(row_read.kg for row_read in by_row.values()) / sum(
            row_read.trusses for row_read in by_row.values()
        )
        for row, row_read in by_row.items() if len(by_row) > 1 else ():
            read[row].append((log(row_read.kg / row_read.trusses / mean), row_read))
    taught = {}
    for row, row_reads in read.items():
        trusses = sum(row_read.trusses for _, row_read in row_reads)
        weeks = max(row_read.weeks for _, row_read in row_reads)
        mean_ln = sum(ln * row_read.trusses for ln, row_read in row_reads) / trusses
        taught[row] = shrunk(0.0, PLACE_SD_LN, mean_ln, WEEK_SD_LN / weeks**0.5, round(weeks))
    return taught


def _with_their_side(season: Season, weighed: Mapping[str, Taught]) -> dict[str, Taught]:
    """Rows never weighed by themselves too: each gives what weighed rows along a wall, or amid others, give. Half
    of the variance between rows is taken to come of that (assumed)."""
    at_side = _at_side(season)
    part_sd = PLACE_SD_LN / 2**0.5
    shared = dict(weighed)
    for row, side in at_side.items():
        alike = [log(taught.mid) for other, taught in weighed.items() if at_side.get(other) is side]
        if row not in weighed and alike:
            mean_ln = sum(alike) / len(alike)
            shared[row] = shrunk(0.0, part_sd, mean_ln, part_sd / len(alike) ** 0.5, 0)
    return shared


def _at_side(season: Season) -> dict[str, bool]:
    """Of the rows of every tunnel of three or more, whether it is the first or the last across."""
    across: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for name, (tunnel, row) in season.layout.rows.items():
        across[tunnel.key].append((row.across_m, name))
    return {
        name: across_m in (min(rows)[0], max(rows)[0])
        for rows in across.values()
        if len({across_m for across_m, _ in rows}) > 2
        for across_m, name in rows
    }


def _base(by_row: Mapping[str, _RowRead], rows: Mapping[str, Taught]) -> float:
    """What the rows gave where a cultivar was weighed: its kilograms a truss hold it already."""
    trusses = sum(row_read.trusses for row_read in by_row.values())
    return (
        sum(
            row_read.trusses * rows[row].mid if row in rows else row_read.trusses
            for row, row_read in by_row.items()
        )
        / trusses
    )


def _read_in_rows(season: Season, basis: Basis, cultivar: str) -> dict[str, _RowRead]:
    """By row in which the cultivar was weighed."""
    read_rows = {row: _row_read(season, basis, cultivar, row) for row in season.layout.rows}
    return {row: read for row, read in read_rows.items() if read is not None}


def _row_read(season: Season, basis: Basis, cultivar: str, row: str) -> _RowRead | None:
    """One row's weighed picks."""
    picks = tuple(pick for pick in season.picks if pick.row == row)
    kg = trusses = days = 0.0
    of_row = replace(season, leaders=_leaders(basis), picks=picks)
    usual = season_truss_kg(season.layout.cultivars.get(cultivar))
    for flow, stretches in weighed_picks(of_row, cultivar, basis.ripe) if picks else ():
        for stretch in _telling(flow, stretches, usual):
            kg += stretch.kg
            trusses += max(0.0, flow.at(stretch.end) - flow.at(stretch.start))
            days += stretch.end - stretch.start
    return _RowRead(kg, trusses, days / 7) if kg > 0 and trusses > 0 and days > 0 else None


def _row_ends(season: Season, basis: Basis) -> Taught:
    """From stems weighed by themselves, within their row and cultivar."""
    kg: dict[str, float] = defaultdict(float)
    for pick in season.picks:
        if pick.picked.leader in basis.leaders and pick.picked.kg is not None:
            kg[pick.picked.leader] += pick.picked.kg
    ends = end_places(season)
    groups: dict[tuple[str, str], tuple[list[float], list[float]]] = defaultdict(lambda: ([], []))
    for name, weighed_kg in kg.items():
        leader = basis.leaders[name].leader
        if weighed_kg > 0:
            groups[leader.row, leader.cultivar][leader.place in ends].append(log(weighed_kg))
    pairs = [(amid, at_end) for amid, at_end in groups.values() if amid and at_end]
    n = sum(len(at_end) for _, at_end in pairs)
    if not n:
        return Taught(1.0, PLACE_SD_LN, 0)
    mean_ln = sum(len(end) * (sum(end) / len(end) - sum(amid) / len(amid)) for amid, end in pairs) / n
    alike = sum(1 / (1 / len(end) + 1 / len(amid)) for amid, end in pairs)
    return shrunk(0.0, PLACE_SD_LN, mean_ln, PLANT_SD_LN / alike**0.5, n)


def end_places(season: Season) -> frozenset[str]:
    """First and last place of every row of three or more."""
    by_row: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for name, standing in season.layout.places.items():
        by_row[standing.row_id].append((standing.place.x_m, name))
    return frozenset(
        name for places in by_row.values() if len(places) > 2 for _, name in (min(places), max(places))
    )


def _leaders(basis: Basis) -> dict[str, Leader]:
    return {name: stem.leader for name, stem in basis.leaders.items()}
