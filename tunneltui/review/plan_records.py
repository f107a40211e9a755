"""What the grower's own records say of each cultivar, with its interval and the number it rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import sqrt
from statistics import fmean, stdev

from tunneltui.growth.defaults import traits
from tunneltui.growth.forecast import basis
from tunneltui.growth.outlook import Band
from tunneltui.journal.entry import Entry
from tunneltui.review.plan_values import CultivarRecord
from tunneltui.review.record import Record, record
from tunneltui.review.student import t_quantile
from tunneltui.season.state import Season

STEM_SPREAD = 0.25
"""Half the 90 % interval of one stem where fewer than three were measured, as a share. Assumed."""


def cultivar_records(entries: Sequence[Entry], season: Season) -> dict[str, CultivarRecord]:
    """Every cultivar of the holding or that was planted, by name; defaults where nothing was recorded."""
    written = record(entries, season)
    vigour = _vigour(season)
    names = dict.fromkeys([*season.layout.cultivars, *(p.cultivar for p in written.plants if p.cultivar)])
    return {name: _record(season, written, name, vigour.get(name, [])) for name in names}


def _record(season: Season, written: Record, cultivar: str, measured: Sequence[float]) -> CultivarRecord:
    default = traits(season.layout.cultivars.get(cultivar)).stem_cm_a_day * 7 / 100
    rows = _kg_a_plant(written, cultivar)
    plants = sum(1 for plant in written.plants if plant.cultivar == cultivar)
    kg = sum(pick.kg or 0.0 for pick in written.picks if pick.cultivar == cultivar)
    weighed = any(pick.kg is not None for pick in written.picks if pick.cultivar == cultivar)
    return CultivarRecord(
        cultivar,
        fmean(measured) if measured else default,
        mean_band(measured),
        len(measured),
        _stem_spread(measured),
        kg / plants if weighed and plants else None,
        mean_band(rows),
        plants if weighed else 0,
    )


def mean_band(values: Sequence[float]) -> Band | None:
    """90 % interval of a mean by Student's t, not below nought; None for fewer than two values."""
    if len(values) < 2:
        return None
    half = t_quantile(0.10, len(values) - 1) * stdev(values) / sqrt(len(values))
    mid = fmean(values)
    return Band(max(0.0, mid - half), mid, mid + half)


def _stem_spread(measured: Sequence[float]) -> float:
    """Half a 90 % prediction interval for one more stem, by Student's t, as a share of the mean."""
    if len(measured) < 3:
        return STEM_SPREAD
    half = t_quantile(0.10, len(measured) - 1) * stdev(measured) * sqrt(1 + 1 / len(measured))
    return min(1.0, half / fmean(measured))


def _vigour(season: Season) -> Mapping[str, list[float]]:
    """Metres a week at 20 degC and 12 h of every measured stem, ended ones included, by cultivar."""
    everyone = replace(season, leaders={**season.gone, **season.leaders})
    by_cultivar: dict[str, list[float]] = defaultdict(list)
    for one in basis(everyone).leaders.values():
        if one.found.measured_on is not None:
            by_cultivar[one.leader.cultivar].append(one.followed.cm_per_response * 7 / 100)
    return by_cultivar


def _kg_a_plant(written: Record, cultivar: str) -> list[float]:
    """Per row where this cultivar was weighed by row."""
    kg: dict[str, float] = defaultdict(float)
    for pick in written.picks:
        if pick.cultivar == cultivar and pick.site.row and pick.kg is not None:
            kg[pick.site.row] += pick.kg
    plants = {row: sum(1 for p in written.plants if p.cultivar == cultivar and p.site.row == row) for row in kg}
    return [kg[row] / plants[row] for row in sorted(kg) if plants[row]]
