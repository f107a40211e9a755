"""The plan of a season held against what came: each figure as it was foreseen, as it came, as it is learned.

What was foreseen is worked out anew by what was known on the day the plan was adopted, or on the day of planting
where none was; the journal keeps what was known, not what was said of it. What is learned is what the same house
would be planned to give, planted on the same day of the next year. Of a journal begun in mid season, what ripens
before it is left out of both: its picks are not in what came.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from math import log
from statistics import fmean

from msgspec import Struct

from tunneltui.growth.forecast import basis_of
from tunneltui.growth.leader import length_on
from tunneltui.growth.outlook import Band
from tunneltui.holding.layout import layout
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry, written_at
from tunneltui.journal.kinds_standing import PlanAdopted
from tunneltui.review.plan_buy import clips_to_set
from tunneltui.review.plan_dates import dates
from tunneltui.review.plan_hours import hours
from tunneltui.review.plan_records import cultivar_records
from tunneltui.review.plan_season import ComingSeason, coming
from tunneltui.review.plan_values import Dates
from tunneltui.review.record import SeasonRecord, record
from tunneltui.review.season_learned import WIDE, SeasonTaught, season_taught, this_season
from tunneltui.season.adopted import WAITED_FOR_DAYS, holding_of
from tunneltui.season.fold import fold
from tunneltui.season.growing_year import year_on
from tunneltui.season.state import Season
from tunneltui.values import replace


class HeldFigure(Struct, frozen=True):
    """One quantity. None is unknown, never nought."""

    what: str
    """``kg_per_plant``, ``m_per_week`` (at 20 degC and 12 h days), ``stem_m`` (at the end) or ``hours``."""
    cultivar: str
    """'' for the house."""
    foreseen: Band
    came: float | None
    learned: float
    so_far: bool
    """More may come, or come to be known: the season is not over, or only what was timed is known."""

    @property
    def inside(self) -> bool | None:
        """Whether it came within what was foreseen; None while more may come."""
        if self.came is None or (self.so_far and self.came <= self.foreseen.high):
            return None
        return self.foreseen.low <= self.came <= self.foreseen.high


class SeasonDay(Struct, frozen=True):
    """One day of the season, such as ``plant`` or ``first pick``."""

    what: str
    foreseen: date | None
    came: date | None
    learned: date | None


class PlanOutcome(Struct, frozen=True):
    name: str
    """Of the plan adopted; '' where none was."""
    known_on: date
    """By what was known then."""
    over: bool
    """Nothing of the season stands any more; else all that came is so far."""
    figures: tuple[HeldFigure, ...]
    days: tuple[SeasonDay, ...]


class _Expected(Struct, frozen=True, eq=False):
    """One season as it is foreseen."""

    planned: ComingSeason
    taught: SeasonTaught
    dates: Dates
    kg_per_plant: Mapping[str, Band]
    m_per_week: Mapping[str, Band]
    stem_m: Mapping[str, Band]
    hours: Band
    first_ripe: date | None


def plan_held(entries: Sequence[Entry], season: Season) -> PlanOutcome:
    """The last season's plan against what came of it.

    Raises:
        UserError: nothing was planted yet.
    """
    lived = this_season(season)
    if not lived.leaders:
        raise UserError("Nothing was planted yet, so no plan can be held against it.", "Plan: `tunneltui plan`.")
    began, stood = _began_with(lived)
    written = record(entries, season)
    unnoted_days = _unnoted_days(entries, written, began)
    on, taken, foreseen = _foreseen(entries, season, lived, unnoted_days)
    learned = _expected(entries, _a_year_on(season), stood, year_on(began), unnoted_days)
    return PlanOutcome(
        "" if taken is None else taken.name,
        on,
        not season.leaders,
        tuple(_figures(foreseen, learned, lived, written, began)),
        tuple(_days(foreseen, learned, lived, written, began)),
    )


def kg_foreseen_by_week(entries: Sequence[Entry], season: Season) -> dict[str, dict[date, float]]:
    """What the last season was foreseen to ripen, by cultivar and by the Monday of its weeks [kg]; empty before
    any planting."""
    lived = this_season(season)
    if not lived.leaders:
        return {}
    _, _, expected = _foreseen(entries, season, lived, 0)
    foreseen: dict[str, dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for name, leader in expected.planned.season.leaders.items():
        kg = expected.taught.kg_per_truss[leader.cultivar].mid
        for ripe in expected.planned.basis.ripe[name]:
            if ripe <= expected.planned.last_day.toordinal():
                foreseen[leader.cultivar][monday(date.fromordinal(int(ripe)))] += kg
    return {name: dict(sorted(by_week.items())) for name, by_week in sorted(foreseen.items())}


def monday(day: date) -> date:
    """Of the day's week."""
    return day - timedelta(days=day.weekday())


def _began_with(lived: Season) -> tuple[date, dict[str, str]]:
    """The first planting, and what stood at each place."""
    leaders = lived.leaders.values()
    return min(leader.planted_on for leader in leaders), {leader.place: leader.cultivar for leader in leaders}


def _unnoted_days(entries: Sequence[Entry], written: SeasonRecord, began: date) -> int:
    """Days from the planting on whose picks are not in the journal: those before it was begun, save where earlier
    picks were read in. What the first pick finds ripe has ripened within the week before."""
    first = min((p.day for p in written.picks if p.day >= began and p.kg is not None), default=None)
    if first is None:
        return 0
    begun = min(written_at(entry).date() for entry in entries)
    return max(0, (min(begun, first - timedelta(days=7)) - began).days)


def _foreseen(
    entries: Sequence[Entry], season: Season, lived: Season, unnoted_days: int
) -> tuple[date, PlanAdopted | None, _Expected]:
    """By what was known on the day a plan was adopted, else on the first planting."""
    began, stood = _began_with(lived)
    on, taken = _adopted(season, began)
    before = [entry for entry in entries if entry.day <= on]
    season_then = fold(before, on)
    holding = season.holding if taken is None else holding_of(season_then.holding, taken)
    cultivar_of = stood if taken is None else dict(zip(taken.places, taken.cultivars, strict=True))
    planted_on = began if taken is None else taken.plant
    planned = replace(season_then, holding=holding, layout=layout(holding))
    return on, taken, _expected(before, planned, cultivar_of, planted_on, unnoted_days)


def _a_year_on(season: Season) -> Season:
    """With the bed wanted back on the same day of the next year."""
    end = season.holding.work.bed_wanted_back
    if end is None:
        return season
    work = replace(season.holding.work, bed_wanted_back=year_on(end))
    return replace(season, holding=replace(season.holding, work=work))


def _adopted(season: Season, began: date) -> tuple[date, PlanAdopted | None]:
    """The last plan adopted for the season that began then."""
    for on, plan in reversed(season.plans):
        if on <= began + timedelta(days=WAITED_FOR_DAYS) and abs((plan.plant - began).days) <= WAITED_FOR_DAYS:
            return on, plan
    return began, None


def _expected(
    entries: Sequence[Entry],
    season: Season,
    cultivar_of: Mapping[str, str],
    planted_on: date,
    unnoted_days: int,
) -> _Expected:
    taught = season_taught(season, cultivar_of.values())
    records = cultivar_records(entries, season, taught)
    planned = coming(season, cultivar_of, records, planted_on)
    crops = planned.crops(taught, planted_on + timedelta(days=unnoted_days))
    leaders = planned.season.leaders
    plants = Counter({leader.plant: leader.cultivar for leader in leaders.values()}.values())
    ends_m = {name: planned.stem(name, planned.last_day).length_m.mid for name in leaders}
    names = sorted(plants)
    pace = {name: taught.vigour_m_per_week[name] for name in names}
    spread = {name: log(1 + records[name].stem_spread) / WIDE for name in names}
    stem_m = {name: fmean(ends_m[i] for i, leader in leaders.items() if leader.cultivar == name) for name in names}
    ripe = [days[0] for days in planned.basis.ripe.values() if days]
    return _Expected(
        planned,
        taught,
        dates(planned),
        {name: _summed([crop.kg for crop in crops if crop.cultivar == name], 1 / plants[name]) for name in names},
        {name: pace[name].band() for name in names},
        {name: replace(pace[name], mid=stem_m[name]).band(spread[name]) for name in names},
        hours(season, planned, planned.crops(taught), clips_to_set(season, planned.season, ends_m)).band,
        date.fromordinal(int(min(ripe))) if ripe else None,
    )


def _summed(bands: Sequence[Band], times: float) -> Band:
    return Band(*(times * sum(getattr(band, end) for band in bands) for end in ("low", "mid", "high")))


def _figures(
    foreseen: _Expected, learned: _Expected, lived: Season, written: SeasonRecord, began: date
) -> list[HeldFigure]:
    over = all(leader.plant in lived.ended for leader in lived.leaders.values())
    minutes = sum(spent.minutes for spent in written.hours if spent.day >= began)
    # As read, not drawn to what is usual.
    paces = {name: fmean(read) for name, read in season_taught(lived).stems_m_per_week.items()}
    figures = [
        HeldFigure(what, name, band, came(name), of(learned)[name].mid, what != "m_per_week" and not over)
        for what, of, came in (
            ("kg_per_plant", _kg_of, lambda name: _kg_per_plant(written, lived, name, began)),
            ("m_per_week", _pace_of, paces.get),
            ("stem_m", _stem_of, _lengths_m(lived).get),
        )
        for name, band in of(foreseen).items()
        if name in of(learned)
    ]
    timed = minutes / 60 if minutes else None
    return [*figures, HeldFigure("hours", "", foreseen.hours, timed, learned.hours.mid, so_far=True)]


def _kg_of(expected: _Expected) -> Mapping[str, Band]:
    return expected.kg_per_plant


def _pace_of(expected: _Expected) -> Mapping[str, Band]:
    return expected.m_per_week


def _stem_of(expected: _Expected) -> Mapping[str, Band]:
    return expected.stem_m


def _kg_per_plant(written: SeasonRecord, lived: Season, cultivar: str, began: date) -> float | None:
    weighed = [p.kg for p in written.picks if p.cultivar == cultivar and p.day >= began and p.kg is not None]
    plants = {leader.plant for leader in lived.leaders.values() if leader.cultivar == cultivar}
    return sum(weighed) / len(plants) if weighed and plants else None


def _lengths_m(lived: Season) -> dict[str, float]:
    """Mean length of the stems that were measured, on the day each went out, else today."""
    lengths: dict[str, list[float]] = {}
    for leader in basis_of(lived).leaders.values():
        if leader.evidence.growths:
            day = lived.ended.get(leader.leader.plant) or lived.day
            lengths.setdefault(leader.leader.cultivar, []).append(length_on(leader, day.toordinal()).mid)
    return {name: fmean(lengths_m) for name, lengths_m in lengths.items()}


def _days(
    foreseen: _Expected, learned: _Expected, lived: Season, written: SeasonRecord, began: date
) -> list[SeasonDay]:
    picked = sorted(pick.day for pick in written.picks if pick.day >= began and pick.kg != 0)
    tips = sorted(out for leader in lived.leaders.values() if (out := leader.tip_taken_out_on) is not None)
    days: list[tuple[str, Callable[[_Expected], date | None], date | None]] = [
        ("planted", lambda expected: expected.dates.plant, began),
        ("first pick", lambda expected: expected.first_ripe, picked[0] if picked else None),
        # The middle one of the days on which tips were taken out.
        ("tips out", lambda expected: expected.dates.tip_out, tips[len(tips) // 2] if tips else None),
        ("last pick", lambda expected: expected.dates.last_pick, picked[-1] if picked else None),
    ]
    return [SeasonDay(what, of(foreseen), came, of(learned)) for what, of, came in days]
