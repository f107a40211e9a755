"""How a plan sets a holding out: what is intended at each place, how rows are trained and joined, tiers and rise.

A plan is kept as these differences, not as a whole holding, so that what the grower edits in between stays.
"""

from __future__ import annotations

from dataclasses import dataclass

from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Holding, Place, Row, Training
from tunneltui.values import replace


@dataclass(frozen=True, slots=True)
class SettingOut:
    """Parallel lists, in walking order. A place or row that the holding no longer has is passed over."""

    places: tuple[str, ...]
    cultivars: tuple[str, ...]
    """'' leaves the place empty."""
    leaders: tuple[int, ...]
    """Per plant."""
    rows: tuple[str, ...]
    trainings: tuple[Training, ...]
    partners: tuple[int, ...]
    """Number of the row each is looped with; 0: none."""
    first_tier_m: float
    run_slope: float

    @property
    def cultivar_of(self) -> dict[str, str]:
        return dict(zip(self.places, self.cultivars, strict=True))

    @property
    def heads(self) -> int:
        """Leaders of all places that something is intended for."""
        return sum(n for n, cultivar in zip(self.leaders, self.cultivars, strict=True) if cultivar)


def as_it_is(holding: Holding) -> SettingOut:
    """The holding's own setting out, with what it intends at each place."""
    rows = [(row_id(tunnel, row), row) for tunnel in holding.tunnels for row in tunnel.rows]
    places = [place for _, row in rows for place in sorted(row.places, key=lambda p: p.x_m)]
    return SettingOut(
        tuple(place.name for place in places),
        tuple(place.cultivar for place in places),
        tuple(place.leaders for place in places),
        tuple(name for name, _ in rows),
        tuple(row.training for _, row in rows),
        tuple(row.loop_with or 0 for _, row in rows),
        holding.limits.first_tier_m,
        holding.limits.run_slope,
    )


def set_out(holding: Holding, setting: SettingOut) -> Holding:
    """The holding as the plan would have it; everything else stays."""
    cultivar_of = setting.cultivar_of
    leaders_of = dict(zip(setting.places, setting.leaders, strict=True))
    kinds = dict(zip(setting.rows, zip(setting.trainings, setting.partners, strict=True), strict=True))

    def place(place: Place) -> Place:
        return replace(
            place,
            cultivar=cultivar_of.get(place.name, place.cultivar),
            leaders=leaders_of.get(place.name, place.leaders),
        )

    def row(name: str, row: Row) -> Row:
        training, partner = kinds.get(name, (row.training, row.loop_with or 0))
        places = tuple(place(intended) for intended in row.places)
        return replace(row, training=training, loop_with=partner or None, places=places)

    tunnels = tuple(
        replace(tunnel, rows=tuple(row(row_id(tunnel, standing), standing) for standing in tunnel.rows))
        for tunnel in holding.tunnels
    )
    limits = replace(holding.limits, first_tier_m=setting.first_tier_m, run_slope=setting.run_slope)
    return replace(holding, tunnels=tunnels, limits=limits)
