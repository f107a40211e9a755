"""What the grower's own records say of each cultivar, with its interval and the number it rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import sqrt
from statistics import fmean, stdev

from tunneltui.growth.defaults import traits
from tunneltui.growth.outlook import Band
from tunneltui.journal.entry import Entry
from tunneltui.review.plan_values import CultivarRecord
from tunneltui.review.record import SeasonRecord, record
from tunneltui.review.season_learned import SeasonTaught, season_taught
from tunneltui.review.student import t_quantile
from tunneltui.season.state import Season

STEM_SPREAD = 0.25
"""Half the 90 % interval of one stem where fewer than three were measured, as a share. Assumed."""


def cultivar_records(
    entries: Sequence[Entry], season: Season, taught: SeasonTaught | None = None
) -> dict[str, CultivarRecord]:
    """Every cultivar of the holding, that was planted or was ``taught`` of, by name; defaults where nothing was
    recorded."""
    written = record(entries, season)
    taught = taught or season_taught(season)
    planted = (plant.cultivar for plant in written.plants if plant.cultivar)
    names = dict.fromkeys([*season.layout.cultivars, *planted, *taught.vigour_m_per_week])
    return {name: _record(season, written, name, taught) for name in names}


def _record(season: Season, written: SeasonRecord, cultivar: str, taught: SeasonTaught) -> CultivarRecord:
    measured = taught.stems_m_per_week.get(cultivar, ())
    usual = traits(season.layout.cultivars.get(cultivar), lit=season.holding.lit).stem_cm_a_day * 7 / 100
    vigour = taught.vigour_m_per_week.get(cultivar)
    rows = _kg_a_plant(written, cultivar)
    plants = sum(1 for plant in written.plants if plant.cultivar == cultivar)
    kg = sum(pick.kg or 0.0 for pick in written.picks if pick.cultivar == cultivar)
    weighed = any(pick.kg is not None for pick in written.picks if pick.cultivar == cultivar)
    return CultivarRecord(
        cultivar,
        usual if vigour is None else vigour.mid,
        mean_band(measured),
        len(measured),
        _stem_spread(measured),
        kg / plants if weighed and plants else None,
        mean_band(rows),
        plants if weighed else 0,
        taught.truss_intercept.get(cultivar),
        taught.planted_truss.get(cultivar),
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


def _kg_a_plant(written: SeasonRecord, cultivar: str) -> list[float]:
    """Per row where this cultivar was weighed by row."""
    kg: dict[str, float] = defaultdict(float)
    for pick in written.picks:
        if pick.cultivar == cultivar and pick.site.row and pick.kg is not None:
            kg[pick.site.row] += pick.kg
    plants = {row: sum(1 for p in written.plants if p.cultivar == cultivar and p.site.row == row) for row in kg}
    return [kg[row] / plants[row] for row in sorted(kg) if plants[row]]
