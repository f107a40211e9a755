"""A holding for measurements that came without one: one row, its places taken from the labels, all of it assumed.

Every assumption is a sentence in ``notes``, so that it is seen and put right with ``holding edit``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from tunneltui.holding.crops import USUAL, kind_of
from tunneltui.holding.model import Cultivar, FruitKind, Holding, Place, Row, Training, Tunnel, Work
from tunneltui.values import replace

TUNNEL, ROW = "T", 1
SPACING_M = 0.5
"""Between plants in the row (common practice, no source)."""
END_M = 0.5
WIDTH_M = 5.0
REACH_SHORT_OF_WIRE_M = 0.1
CULTIVAR = "unnamed"
BY_ZONE = "that of your time zone: day length takes about a tenth off the error of stem forecasts"
"""Ohio 2024: 6 % off a visit ahead, 15 % two; six degrees wrong cost a hundredth."""
NO_CULTIVARS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Assumption:
    """What a grower may say beforehand instead of leaving it to be assumed."""

    wire_m: float = 2.2
    training: Training = "laid_down"
    fruit: FruitKind = "standard"
    latitude_deg: float | None = None
    zone: str = "UTC"
    crop: str = ""
    """'': not given; the usual one."""
    lit: bool = False
    by_zone: bool = False
    """The latitude is that of the zone."""


def place_of(label: str) -> str:
    """The place a label stands for: ``11`` is T1-11, ``3`` T1-03, ``T1-11a`` its place."""
    plain = re.sub(r"[^0-9A-Za-z]+", "", label.removeprefix(f"{TUNNEL}{ROW}-")) or "01"
    return f"{TUNNEL}{ROW}-{plain.zfill(2) if plain.isdigit() else plain}"


def assumed_holding(
    labels: Sequence[str], assumption: Assumption, cultivars: Mapping[str, str] = NO_CULTIVARS
) -> Holding:
    """One row with a place for every label, in their order; ``cultivars`` by label, where they are known."""
    places = _placed(labels, END_M, cultivars)
    crop = assumption.crop or USUAL.key
    row = Row(ROW, assumption.wire_m, _length_m(places), training=assumption.training, places=places)
    tunnel = Tunnel(TUNNEL, "assumed tunnel", row.length_m, WIDTH_M, rows=(row,))
    return Holding(
        "measurements without a holding",
        zone=assumption.zone,
        latitude_deg=assumption.latitude_deg,
        lit=assumption.lit,
        assumed=True,
        notes=_notes(assumption),
        work=Work(reach_m=max(0.6, assumption.wire_m - REACH_SHORT_OF_WIRE_M)),
        tunnels=(tunnel,),
        cultivars=tuple(
            Cultivar(key, kind_of(crop, assumption.fruit), crop, sources={"fruit": "assumed"})
            for key in dict.fromkeys(cultivars.get(label) or CULTIVAR for label in labels)
        ),
    )


def with_more_places(
    holding: Holding, labels: Sequence[str], cultivars: Mapping[str, str] = NO_CULTIVARS
) -> Holding:
    """An assumed holding with places for labels that it has none for, after its last."""
    tunnel = holding.tunnels[0]
    row = tunnel.rows[0]
    last_m = max((place.x_m for place in row.places), default=END_M - SPACING_M)
    places = row.places + _placed(labels, last_m + SPACING_M, cultivars)
    length_m = max(row.length_m, _length_m(places))
    row = replace(row, places=places, length_m=length_m)
    tunnel = replace(tunnel, rows=(row, *tunnel.rows[1:]), length_m=max(tunnel.length_m, length_m))
    listed = {cultivar.key for cultivar in holding.cultivars}
    first = holding.cultivars[0]
    more = tuple(
        replace(first, key=key)
        for key in dict.fromkeys(cultivars.get(label) or CULTIVAR for label in labels)
        if key not in listed
    )
    return replace(holding, tunnels=(tunnel, *holding.tunnels[1:]), cultivars=(*holding.cultivars, *more))


def _placed(labels: Sequence[str], from_m: float, cultivars: Mapping[str, str]) -> tuple[Place, ...]:
    names = {place_of(label): cultivars.get(label) or CULTIVAR for label in labels}
    return tuple(
        Place(name, round(from_m + SPACING_M * n, 3), cultivar) for n, (name, cultivar) in enumerate(names.items())
    )


def _length_m(places: Sequence[Place]) -> float:
    return round(places[-1].x_m + END_M, 3)


def _notes(assumption: Assumption) -> tuple[str, ...]:
    training = {"tiered": "hung in tiers", "laid_down": "laid down", "pinched_at_wire": "pinched out at the wire"}
    light = (
        f"Latitude {assumption.latitude_deg:g}{', ' + BY_ZONE if assumption.by_zone else ''}."
        if assumption.latitude_deg is not None
        else "Lamps make the day, so day length is left out."
        if assumption.lit
        else "Latitude unknown, so day length is left out."
    )
    fruit = kind_of(assumption.crop, assumption.fruit)
    return (
        f"One row, top wire at {assumption.wire_m:g} m, stems {training[assumption.training]}.",
        f"Places from the labels, one plant each, {SPACING_M:g} m apart.",
        f"Crop {assumption.crop or USUAL.key}, fruit kind {fruit}, with its usual figures.",
        f"Times are the local clock of {assumption.zone}. {light}",
        f"Reach up to {REACH_SHORT_OF_WIRE_M * 100:.0f} cm under the wire.",
        "Hoops 2 m apart; what crop they may bear is not known.",
        "Planted on the day of the first visit, unless said otherwise; no clip, string or hook is known.",
    )
