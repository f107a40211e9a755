"""What to buy for next season: what it needs less what will be in store once this season is cleared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from math import ceil

from tunneltui.care.stores import (
    CLIPS_A_STEM_METRE,
    SPARE_SHARE,
    held_m,
    stores,
    twine_in_store_m,
    twine_kinds,
    uses_clips,
)
from tunneltui.chores.batches import SEED_SPARE, Batch
from tunneltui.review.plan_values import ToBuy
from tunneltui.season.state import Leader, Season

TWINE_SPARE = 0.2
"""A hook is loaded with what the stem outgrows the wire and a fifth. Common practice, no source."""
CORNER_STRINGS = 2
"""At each end of each row of a loop that turns a corner. Common practice, no source."""


def to_buy(now: Season, planned: Season, length_m: Mapping[str, float], batches: Sequence[Batch]) -> list[ToBuy]:
    """Everything with what is wanted and what is there. ``length_m``: stem at the end, by leader."""
    # What hangs now comes back at clearing; broken clips are off already.
    stock = Counter[str]()
    for store in stores(now):
        stock[store.item] += max(0.0, store.in_store) + store.on_plants  # type: ignore[assignment]
    leaders = planned.leaders
    strings = [s for s in planned.strings.values() if any(s.loop == leader.loop for leader in leaders.values())]
    twine_m = sum(_outgrown_m(planned, leader, length_m[name]) for name, leader in leaders.items())
    twine_m += sum(_wire_m(planned, leader) for leader in leaders.values())
    twine_m += sum(planned.layout.rows[s.row][1].wire_height_m for s in strings)
    spare = spare_m(planned, length_m)
    purchases = [
        ToBuy("clips", "", ceil(clips_to_set(now, planned, length_m) * (1 + SPARE_SHARE)), stock["clip"], ""),
        ToBuy("hooks", "", float(len(leaders)), stock["hook"], "", spare, turns_of(now, spare)),
        _twine(now, twine_m, len(strings)),
    ]
    turned = [
        loop
        for loop in planned.layout.loops.values()
        if len(loop.stretches) > 1 and planned.leaders_of_loop(loop.id)
    ]
    corner = float(2 * CORNER_STRINGS * sum(len(loop.stretches) for loop in turned))
    purchases.append(ToBuy("corner strings", "", corner, stock["string"], ""))
    bars = sum(
        (2 if loop.closed else 1)
        for loop in turned
        if planned.layout.rows[loop.stretches[0].row][1].corner == "nothing"
    )
    if bars:
        purchases.append(ToBuy("end bars", "", float(bars), stock["end bar"], ""))
    seeds_of = Counter[str]()
    for batch in batches:
        seeds_of[batch.cultivar] += batch.seeds
    for cultivar, seeds in sorted(seeds_of.items()):
        sown = float(sum(body.seeds for _, _, body in now.sowings if body.cultivar == cultivar))
        in_store = now.stock.get(("seed", cultivar), 0.0) - sown
        purchases.append(ToBuy("seed", cultivar, float(seeds), max(0.0, in_store), "", spare_share=SEED_SPARE))
    return purchases


def _twine(now: Season, twine_m: float, strings: int) -> ToBuy:
    kinds = twine_kinds(now)
    there_m = twine_in_store_m(now, kinds)
    unknown = bool(kinds) and there_m is None
    return ToBuy("twine", "", ceil(twine_m), there_m or 0.0, "m", strings=strings, spool_unknown=unknown)


def clips_to_set(now: Season, planned: Season, length_m: Mapping[str, float]) -> float:
    """Clips that are on the stems by the end, by a grower who works as in the season of ``now``."""
    return held_m(planned, length_m, uses_clips(now)) * CLIPS_A_STEM_METRE


def spare_m(planned: Season, length_m: Mapping[str, float]) -> float:
    """Twine that every hook is loaded with: for the stem that outgrows its wire most."""
    return max(
        (_outgrown_m(planned, leader, length_m[name]) for name, leader in planned.leaders.items()), default=0.0
    )


def turns_of(season: Season, twine_m: float) -> int | None:
    """The same in turns of the first kind of hook that knows its turn; None where none does."""
    turn_m = next((hook.turn_m for hook in season.holding.hooks if hook.turn_m), None)
    return ceil(twine_m / turn_m) if turn_m else None


def _outgrown_m(season: Season, leader: Leader, length_m: float) -> float:
    return max(0.0, length_m - _wire_m(season, leader)) * (1 + TWINE_SPARE)


def _wire_m(season: Season, leader: Leader) -> float:
    return season.layout.rows[leader.row][1].wire_height_m
