"""Made-up houses for the tests of plans: rows of strings, a few cultivars of given vigour."""

from __future__ import annotations

from datetime import date
from random import Random

from tests.loads import made
from tunneltui.holding.model import Cultivar
from tunneltui.holding.setting_out import as_it_is
from tunneltui.review.plan import lengths_m
from tunneltui.review.plan_apart import set_apart
from tunneltui.review.plan_arrange import arranged
from tunneltui.review.plan_loads import peak
from tunneltui.review.plan_season import ComingSeason, coming
from tunneltui.review.plan_trellis import trellis
from tunneltui.review.plan_values import CultivarRecord, Peak
from tunneltui.season.state import Season
from tunneltui.values import replace

PLANTED = date(2027, 5, 6)
AUGUST = date(2027, 8, 12)


def recorded(cultivar: str, vigour_m_per_week: float) -> CultivarRecord:
    return CultivarRecord(cultivar, vigour_m_per_week, None, 3, 0.1, None, None, 0)


def house(rows: int = 1) -> Season:
    stands = made.holding(*(made.row(number) for number in range(1, rows + 1)))
    cultivars = tuple(Cultivar(name, fruit="standard") for name in "vmw")
    return made.season(stands=replace(stands, latitude_deg=51.0, cultivars=cultivars))


def planned(season: Season, order: str, vigour: dict[str, float]) -> ComingSeason:
    """One letter a place, in walking order."""
    records = {name: recorded(name, value) for name, value in vigour.items()}
    return coming(season, dict(zip(season.layout.places, order, strict=True)), records, PLANTED)


def housed(season: Season, order: str, vigour: dict[str, float]) -> ComingSeason:
    """Planned, with the first tier and rise that these stems ask for."""
    made_ready = planned(season, order, vigour)
    found = trellis(made_ready, {name: recorded(name, value) for name, value in vigour.items()})
    setting = as_it_is(made_ready.season.holding)
    return made_ready.set_out(replace(setting, first_tier_m=found.first_tier_m, run_slope=found.run_slope))


def borne(season: Season, order: str, vigour: dict[str, float], *days: date) -> Peak:
    found = peak(housed(season, order, vigour), days or [AUGUST])
    assert found is not None
    return found


def by_length(season: Season, order: str, vigour: dict[str, float]) -> str:
    given = dict(zip(season.layout.places, order, strict=True))
    length_m = lengths_m(planned(season, order, vigour))
    return "".join(arranged(season.layout, given, length_m).values())


def by_vigour(season: Season, order: str, vigour: dict[str, float], *days: date) -> str:
    """By length, then set apart by what strings and wires would bear on these days."""
    sorted_ = by_length(season, order, vigour)
    moved = set_apart(housed(season, sorted_, vigour), days or [AUGUST])
    stands = dict(zip(season.layout.places, sorted_, strict=True))
    return "".join(stands[moved.get(place, place)] for place in stands)


def random_house(random: Random) -> tuple[Season, str, dict[str, float]]:
    """One or two rows of twelve; vigour from 8 to 24 cm a week, as weak to strong lines grow."""
    season = house(random.randint(1, 2))
    vigour = {name: random.uniform(0.08, 0.24) for name in "vmw"}
    return season, "".join(random.choice("vmw") for _ in season.layout.places), vigour
