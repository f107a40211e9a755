"""Water of a row: what it asks by its air and stage, what a bucket test corrects, and what it was given.

A day's litres rest on that day's air. The crop factor is that of the stage seen today: within a fortnight it moves
by less than its own error.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from statistics import fmean

from msgspec import Struct

from tunneltui.care.tunnel_air import Inside, air_on, recent_inside, whole_ends
from tunneltui.care.water import TunnelDay, Water, bucket_factor, crop_factor, litres_range, water
from tunneltui.cells import litres, many, say
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Bed, Row, Tunnel
from tunneltui.journal.kinds_care import Air, BucketTested, Watered
from tunneltui.season.state import Season

AREA_PER_PLANT_M2 = 0.4
"""Ground a plant roots in where the bed's area is not given; 2.5 plants/m2, common practice."""
FORTNIGHT = 14
TEST_DAYS_READ = 0.6
"""Share of a bucket test's days whose air must have been read."""
LIKELY_FACTORS = (0.4, 2.0)
"""A bucket test outside these was leaking, or its plants were not what they were taken for (assumed)."""


def row_water(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> tuple[Water, int] | None:
    """(litres a plant and day by the last days' air, plants); None where no air was read or nothing stands."""
    inside = recent_inside(season, tunnel.key)
    plants = plants_of(season, row_id(tunnel, row))
    if not plants or inside is None or season.holding.latitude_deg is None:
        return None
    factor = tested_factor(season, outlook, tunnel, row).factor
    return _water_on(season, outlook, tunnel, row, season.day, inside, factor), plants


def _water_on(
    season: Season, outlook: Outlook, tunnel: Tunnel, row: Row, day: date, inside: Inside, tunnel_factor: float
) -> Water:
    return water(
        TunnelDay(
            season.holding.latitude_deg or 0.0,
            day.timetuple().tm_yday,
            inside.min_c,
            inside.max_c,
            tunnel.film_light_share,
            inside.rh_min,
            inside.rh_max,
        ),
        stage_factor(season, outlook, row_id(tunnel, row)),
        area_m2(season, tunnel, row),
        tunnel_factor,
    )


def stage_factor(season: Season, outlook: Outlook, row: str) -> float:
    """Crop factor by the trusses that flower on a row, and by the weeks since its tips were out."""
    leaders = season.leaders_of_row(row)
    stems = [outlook.stem(leader.id, season.day) for leader in leaders if leader.id in outlook.leaders]
    flowering = fmean(stem.flowering_truss for stem in stems) if stems else 0.0
    out = [leader.tip_taken_out_on for leader in leaders if leader.tip_taken_out_on is not None]
    weeks_out = (season.day - min(out)).days / 7 if out and len(out) == len(leaders) else None
    return crop_factor(flowering, weeks_out)


def plants_of(season: Season, row: str) -> int:
    return len({leader.plant for leader in season.leaders_of_row(row)})


def bed_of(tunnel: Tunnel, row: Row) -> Bed | None:
    return next((bed for bed in tunnel.beds if bed.key == row.bed), None)


def area_m2(season: Season, tunnel: Tunnel, row: Row) -> float:
    """Ground for one plant: the bed's, shared among the plants of all rows that stand on it."""
    bed = bed_of(tunnel, row)
    if bed is None or bed.area_m2 is None:
        return AREA_PER_PLANT_M2
    plants = sum(plants_of(season, row_id(tunnel, other)) for other in tunnel.rows if other.bed == row.bed)
    return bed.area_m2 / max(1, plants)


# ------------------------------------------------------------------------------------------ the bucket test


UNLIKELY = "unlikely"
"""Of a test whose factor is out of ``LIKELY_FACTORS``."""


class BucketResult(Struct, frozen=True):
    """What a bucket test made of the litres asked."""

    factor: float
    """1 without a test that can be used."""
    on: date | None = None
    used_l: float | None = None
    needed_l: float | None = None
    """Drunk by its plants, and worked out for them; None where that is not known."""
    unused: str = ""
    """Why the litres do not follow it; '' where they do, or there was no test."""


def tested_factor(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> BucketResult:
    """The newest bucket test of this row, its tunnel or the house, against the litres worked out for its days."""
    name = row_id(tunnel, row)
    tests = [(day, test) for day, about, test in season.bucket_tests if about in (name, tunnel.key, "")]
    if not tests:
        return BucketResult(1.0)
    day, test = tests[-1]
    needed_l = _litres_of_test(season, outlook, tunnel, row, day, test)
    if needed_l is None:
        few = "the air of its days was not read" if season.holding.latitude_deg is not None else "no latitude"
        return BucketResult(1.0, day, unused=few)
    try:
        factor = bucket_factor(test.given_l, test.drained_l, needed_l)
    except ValueError as fault:
        return BucketResult(1.0, day, unused=str(fault))
    used_l = test.given_l - test.drained_l
    if not LIKELY_FACTORS[0] <= factor <= LIKELY_FACTORS[1]:
        return BucketResult(1.0, day, used_l, needed_l, UNLIKELY)
    return BucketResult(factor, day, used_l, needed_l)


def _litres_of_test(
    season: Season, outlook: Outlook, tunnel: Tunnel, row: Row, ended: date, test: BucketTested
) -> float | None:
    """Litres worked out for the plants of a test over its days; missing days take the mean of the others."""
    days = [ended - timedelta(days=back) for back in range(1, test.days + 1)]
    by_day = _litres_by_day(season, outlook, tunnel, row, days, 1.0)
    if len(by_day) < max(1.0, TEST_DAYS_READ * test.days):
        return None
    return fmean(water.mid_l for water in by_day.values()) * test.days * test.plants


def _litres_by_day(
    season: Season, outlook: Outlook, tunnel: Tunnel, row: Row, days: Sequence[date], factor: float
) -> dict[date, Water]:
    if season.holding.latitude_deg is None:
        return {}
    litres_by_day = {}
    for day in days:
        inside = _inside_on(air_on(season, tunnel.key, day))
        if inside is not None:
            litres_by_day[day] = _water_on(season, outlook, tunnel, row, day, inside, factor)
    return litres_by_day


def _inside_on(air: Air | None) -> Inside | None:
    ends = whole_ends(air)
    if air is None or ends is None:
        return None
    humid = [rh for rh in air.hours_rh if rh is not None]
    return Inside(*ends, min(humid) if humid else None, max(humid) if humid else None, 1)


# --------------------------------------------------------------------------------------- given against asked


class WaterBalance(Struct, frozen=True):
    """A row's water over some days: litres for the whole row."""

    row: str
    plants: int
    first: date
    last: date
    needed_low_l: float | None
    needed_high_l: float | None
    """None: no day's air was read, or no latitude."""
    days_read: int
    given_l: float
    times: int
    """Waterings by hand, and days of the timer."""
    uncounted: int
    """Waterings without an amount that could be counted."""
    longest_gap_days: int
    """Most days from one watering to the next, the ends of the span included."""

    @property
    def words(self) -> str:
        """Given against asked, in one clause."""
        if not self.times:
            return "no water was noted"
        given = say("{} given in {}", litres(self.given_l), many(self.times, "watering"))
        if self.uncounted:
            given += say(" ({} without an amount)", self.uncounted)
        if self.needed_low_l is None or self.needed_high_l is None:
            return given + "; what was asked is unknown, no air was read"
        return say("{}, {} asked", given, litres_range(self.needed_low_l, self.needed_high_l))

    @property
    def short(self) -> bool | None:
        """Less was given than the low end; None where it cannot be said."""
        if self.needed_low_l is None or self.uncounted or not self.times:
            return None
        return self.given_l < self.needed_low_l


def water_balance(
    season: Season, outlook: Outlook, tunnel: Tunnel, row: Row, last: date, days: int = FORTNIGHT
) -> WaterBalance:
    """The days up to and including ``last``. Days without air are asked as the mean of those with."""
    name = row_id(tunnel, row)
    span = [last - timedelta(days=back) for back in range(days - 1, -1, -1)]
    factor = tested_factor(season, outlook, tunnel, row).factor
    by_day = _litres_by_day(season, outlook, tunnel, row, span, factor)
    plants = plants_of(season, name)
    low = fmean(water.low_l for water in by_day.values()) * days * plants if by_day else None
    high = fmean(water.high_l for water in by_day.values()) * days * plants if by_day else None
    given = [
        (day, _litres_to(season, tunnel, row, about, watered))
        for day, about, watered in (*_by_hand(season, tunnel, name), *_by_timer(season, tunnel, name, span))
        if span[0] <= day <= last
    ]
    marks = [span[0] - timedelta(days=1), *sorted({day for day, _ in given}), span[-1] + timedelta(days=1)]
    return WaterBalance(
        name,
        plants,
        span[0],
        last,
        low,
        high,
        len(by_day),
        sum(litres for _, litres in given if litres is not None),
        len(given),
        sum(1 for _, litres in given if litres is None),
        max((later - earlier).days for earlier, later in itertools.pairwise(marks)) - 1,
    )


def _by_hand(season: Season, tunnel: Tunnel, row: str) -> Iterator[tuple[date, str, Watered]]:
    for day, about, watered in season.waterings_of((row, tunnel.key, "")):
        if not watered.timer:
            yield day, about, watered


def _by_timer(
    season: Season, tunnel: Tunnel, row: str, span: Sequence[date]
) -> Iterator[tuple[date, str, Watered]]:
    """What the timer gave on each day of a span, by the setting that stood on it."""
    for day in span:
        by_timer = timer_on(season, (row, tunnel.key, ""), day)
        if by_timer is not None and (by_timer[2].minutes or by_timer[2].litres):
            yield day, by_timer[1], by_timer[2]


def timer_on(season: Season, abouts: Sequence[str], day: date) -> tuple[date, str, Watered] | None:
    """(set on, about, setting) of the timer on a day; None where none was ever set."""
    set_by_then = [
        watering for watering in season.waterings_of(abouts) if watering[2].timer and watering[0] <= day
    ]
    return set_by_then[-1] if set_by_then else None


def _litres_to(season: Season, tunnel: Tunnel, row: Row, about: str, watered: Watered) -> float | None:
    """Litres of one watering that came to this row: shared by plants where it was noted for more than the row."""
    bed = bed_of(tunnel, row)
    plants = plants_of(season, row_id(tunnel, row))
    if watered.litres is not None:
        meant = (
            season.leaders_of_row(about) or season.leaders_of_tunnel(about) if about else season.leaders.values()
        )
        return watered.litres * plants / max(1, len({leader.plant for leader in meant}))
    if watered.minutes is not None and bed is not None and bed.drip_lph_per_plant is not None:
        return watered.minutes / 60 * bed.drip_lph_per_plant * plants
    return None
