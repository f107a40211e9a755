"""One leader on one day with everything that follows from it for loads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.model import Cultivar
from tunneltui.loads.clips import Ready, StemLoads, ready, stem_loads
from tunneltui.loads.masses import Weights, weights
from tunneltui.loads.path import Along, stem_path
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Leader, Season


@dataclass(frozen=True, slots=True)
class Stem:
    leader: Leader
    path: StemPath
    along: Along
    weights: Weights
    ready: Ready
    borne: StemLoads


def stems_on(season: Season, outlook: Outlook, day: date) -> dict[str, Stem]:
    """Every standing leader the outlook speaks of, by id, on a day."""
    return {
        leader.id: stem_on(season, leader, outlook.stem(leader.id, day))
        for leader in season.leaders.values()
        if leader.id in outlook.leaders
    }


def stem_on(season: Season, leader: Leader, grown: StemOn) -> Stem:
    """One leader's path, weight and loads. What a planned lowering would bear is asked with a changed leader."""
    cultivar = season.layout.cultivars.get(leader.cultivar)
    path = stem_path(leader, grown, season.layout)
    weight = weights(grown, cultivar)
    made_ready = ready(leader, path, weight, weighed=_weighed(cultivar, grown))
    return Stem(leader, path, Along(path), weight, made_ready, stem_loads(made_ready))


def _weighed(cultivar: Cultivar | None, grown: StemOn) -> bool:
    known = cultivar is not None and cultivar.fruit_g is not None
    return known or any(truss.counted for truss in grown.trusses)
