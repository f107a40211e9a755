"""The greatest weight each row gets to bear, and the day, from today to the last pick.

Stems grow on, ripe trusses are picked on the holding's pick days, leaves below the lowest truss still hanging are
taken off. Longer to work out than all other loads of a day, so it is asked for only where it is shown.
"""

from __future__ import annotations

from datetime import date

from tunneltui.growth.defaults import LEAVES_PER_TRUSS
from tunneltui.growth.forecast import DAYS, outlook
from tunneltui.growth.leaves import LEAVES_ABOVE_TRUSS
from tunneltui.growth.outlook import StemOn
from tunneltui.growth.topping import last_pick
from tunneltui.loads.masses import GRAVITY_M_PER_S2, weights
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season
from tunneltui.values import replace


def with_peaks(bearing: Loads, season: Season) -> Loads:
    """The same loads with each row's peak in them: today's, with all that hangs, or that of a day to come."""
    peaks = row_peaks(season)
    rows = []
    for row in bearing.rows:
        kg, day = max((row.hanging_kg, season.day), peaks[row.row], key=lambda peak: peak[0])
        rows.append(replace(row, peak_kg=kg, peak_day=day))
    return replace(bearing, rows=tuple(rows))


def row_peaks(season: Season) -> dict[str, tuple[float, date]]:
    """(kg, day) by row: the heaviest day from the season's own to the last pick, or the outlook's end where that
    is later or no last pick is known."""
    end = last_pick(season)
    days = max(DAYS, (end.day - season.day).days) if end is not None else DAYS
    coming = outlook(season, days)
    by_row: dict[str, dict[date, float]] = {row: {season.day: 0.0} for row in season.layout.rows}
    for leader in season.leaders.values():
        cultivar, newtons = season.layout.cultivars.get(leader.cultivar), by_row[leader.row]
        for day, stem in coming.leaders[leader.id].days.items():
            newtons[day] = newtons.get(day, 0.0) + weights(_leaves_taken(stem), cultivar).total_n
    peaks = {}
    for row, newtons in by_row.items():
        peak = max(newtons, key=lambda day: newtons[day])
        peaks[row] = (newtons[peak] / GRAVITY_M_PER_S2, peak)
    return peaks


def _leaves_taken(stem: StemOn) -> StemOn:
    """With no more leaves than hang beside and above its trusses; the forecast itself takes none."""
    if not stem.trusses:
        return stem
    beside = LEAVES_PER_TRUSS * (stem.flowering_truss - stem.trusses[0].number + 1) + LEAVES_ABOVE_TRUSS
    return replace(stem, leaves=min(stem.leaves, max(beside, 0.0)))
