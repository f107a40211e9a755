"""What next season asks for, less what will be in store once this season is cleared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from tunneltui.care.stores import CLIPS_A_STEM_METRE, SPARE_SHARE, stores
from tunneltui.season.state import Season

SEED_SPARE = 0.2
"""A fifth more is sown than is planted. Common practice, no source."""
TWINE_SPARE = 0.2
"""A hook is loaded with what the stem outgrows the wire and a fifth. Common practice, no source."""
CORNER_STRINGS = 2
"""At each end of each row of a loop that turns a corner. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Wanted:
    item: str
    kind: str
    wanted: float
    there: float
    unit: str
    note: str = ""

    @property
    def buy(self) -> float:
        return max(0.0, self.wanted - self.there)


def to_buy(season: Season, cultivar_of: Mapping[str, str], length_m: Mapping[str, float]) -> list[Wanted]:
    """Everything with what is wanted and what is there. ``length_m``: stem at the end, by place."""
    there = Counter[str]()
    for store in stores(season):
        # What hangs now comes back at clearing; broken clips are off already.
        there[store.item] += max(0.0, store.in_store) + store.on_plants  # type: ignore[assignment]
    standing = {place: season.layout.places[place] for place, cultivar in cultivar_of.items() if cultivar}
    clips = sum(min(length_m[p], _housed_m(season, p)) for p in standing) * CLIPS_A_STEM_METRE * (1 + SPARE_SHARE)
    twine_m = {p: max(0.0, length_m[p] - s.row.wire_height_m) * (1 + TWINE_SPARE) for p, s in standing.items()}
    turned = [row for row in {s.row_id for s in standing.values()} if _turns(season, row)]
    found = [
        Wanted("clips", "", ceil(clips), there["clip"], ""),
        Wanted("hooks", "", float(len(standing)), there["hook"], "", _turns_loaded(season, twine_m)),
        Wanted(
            "twine", "", ceil(sum(twine_m.values()) + _wire_m(season, standing)), 0.0, "m", "spools not counted"
        ),
        Wanted("corner strings", "", float(2 * CORNER_STRINGS * len(turned)), there["string"], ""),
    ]
    for cultivar, plants in sorted(Counter(c for c in cultivar_of.values() if c).items()):
        found.append(Wanted("seed", cultivar, float(ceil(plants * (1 + SEED_SPARE))), 0.0, "", "a fifth spare"))
    return found


def _housed_m(season: Season, place: str) -> float:
    """Stem that carries clips at one time: bare lower stem gives its clips back."""
    limits, row = season.holding.limits, season.layout.places[place].row
    return row.wire_height_m + (row.wire_height_m - limits.first_tier_m) / max(limits.run_slope, 0.05)


def _turns(season: Season, row: str) -> bool:
    return len(season.layout.loop_of_row[row].stretches) > 1


def _wire_m(season: Season, standing: Mapping[str, object]) -> float:
    return sum(season.layout.places[place].row.wire_height_m for place in standing)


def _turns_loaded(season: Season, twine_m: Mapping[str, float]) -> str:
    """Turns of spare twine by kind of hook that knows its turn."""
    most_m = max(twine_m.values(), default=0.0)
    known = [hook for hook in season.holding.hooks if hook.turn_m]
    if not known or not known[0].turn_m:
        return f"load {most_m:.1f} m of spare twine"
    return f"load {ceil(most_m / known[0].turn_m)} turns ({most_m:.1f} m)"
