"""From today to the last pick: how long the stems get, which truss is the last, how much is still to come."""

from __future__ import annotations

from msgspec import Struct

from tunneltui.growth.forecast import Basis
from tunneltui.growth.leader import leader_on
from tunneltui.growth.outlook import Band
from tunneltui.growth.pick_days import pick_until
from tunneltui.growth.topping import LastPick, basis_until, last_pick
from tunneltui.season.state import Season


class LeaderEnd(Struct, frozen=True):
    leader: str
    length_today_m: float
    length_m: Band
    """Length on the last pick day, if its tip is not taken out before."""
    trusses: float
    """Number of the truss that flowers then."""


class RowEnd(Struct, frozen=True):
    cultivar: str
    row: str
    kg: Band
    """Still to be picked, from today on."""


class SeasonEnd(Struct, frozen=True):
    last_pick: LastPick
    leaders: dict[str, LeaderEnd]
    rows: tuple[RowEnd, ...]


def season_end(season: Season, basis: Basis | None = None) -> SeasonEnd | None:
    """What is to come until the last pick; None where no last pick lies ahead. ``basis``: what is learned up to
    it, where it was worked out before."""
    end = last_pick(season)
    if end is None or end.day < season.day:
        return None
    basis = basis or basis_until(season, end)
    last = end.day.toordinal()
    leaders = {}
    for name, stem_basis in basis.leaders.items():
        stem = leader_on(stem_basis, last)
        today_m = leader_on(stem_basis, season.day.toordinal()).length_m.mid
        leaders[name] = LeaderEnd(name, today_m, stem.length_m, stem.flowering_truss)
    standing = {(leader.cultivar, leader.row) for leader in season.leaders.values()}
    rows = tuple(
        RowEnd(cultivar, row, pick_until(season, basis.ripe, basis.yields[cultivar], (row, ""), last))
        for cultivar, row in sorted(standing)
    )
    return SeasonEnd(end, leaders, rows)
