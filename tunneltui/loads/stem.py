"""One leader on one day with everything that follows from it for loads."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.layout import Layout
from tunneltui.loads.clips import Ready, StemLoads, ready, stem_loads
from tunneltui.loads.masses import Weights, weights
from tunneltui.loads.path import Along, stem_path
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Leader, Season


class LoadedStem(Struct, frozen=True):
    leader: Leader
    path: StemPath
    along: Along
    weights: Weights
    ready: Ready
    borne: StemLoads


def stems_on(season: Season, outlook: Outlook, day: date) -> dict[str, LoadedStem]:
    """Every standing leader the outlook speaks of, by id, on a day."""
    return {
        leader.id: stem_on(season, leader, outlook.stem(leader.id, day))
        for leader in season.leaders.values()
        if leader.id in outlook.leaders
    }


def stem_on(season: Season, leader: Leader, grown: StemOn) -> LoadedStem:
    """One leader's path, weight and loads. What a planned lowering would bear is asked with a changed leader."""
    return standing(season.layout, leader, grown)


def standing(layout: Layout, leader: Leader, grown: StemOn) -> LoadedStem:
    """The same of any day, asked of the house alone."""
    path = stem_path(leader, grown, layout)
    weight = weights(grown, layout.cultivars.get(leader.cultivar))
    row = layout.rows.get(leader.row)
    made_ready = ready(
        leader,
        path,
        weight,
        free_twine_m=row[1].wire_height_m - grown.tip_z_m.mid if row is not None else 0.0,
        stiffness_n_m2=layout.holding.limits.stem_stiffness_n_m2,
    )
    return LoadedStem(leader, path, Along(path), weight, made_ready, stem_loads(made_ready))
