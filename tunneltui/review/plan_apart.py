"""Within a loop, the order of the stems is improved by what strings and wires would bear.

``plan_order`` sorts by length, which leaves the heads free to travel but lets the longest stems of a loop meet at
its last string. From there the search goes on by the loads themselves: in the loop with the fullest string a stem
that is clipped to it changes places with one of another cultivar, the best such change first, as long as that
makes the loop's fullest string and tightest wire, each as a share of what it was in order of length, together
less.

A short stem that stands before vigorous ones spoils the loop, so none changes places with one of less than
``LIKE`` of its length; nor is a change taken that holds heads back by more than ``HELD_MORE_M`` a place or hangs
more fruit on the soil. Loops keep their cultivars.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from msgspec import Struct

from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import Loop
from tunneltui.loads.lines import line_loads
from tunneltui.loads.overhead import wire_loads, wires
from tunneltui.loads.stem import LoadedStem, stem_on
from tunneltui.review.plan_loads import on_soil_kg, stems_on, tipped
from tunneltui.review.plan_season import ComingSeason
from tunneltui.review.plan_stems import hung_along, loop_held_back_m
from tunneltui.season.state import Season
from tunneltui.values import replace

LIKE = 0.5
"""Assumed."""
HELD_MORE_M = 0.4
"""Held back, a stem hangs lower in its bend; what that costs in fruit on the soil has its own limit. Assumed."""
WORTH = 0.05
"""Blocks of a cultivar are picked sooner: a change must better the sum of shares by this much. Assumed."""


class _Look(Struct, frozen=True, eq=False):
    """One loop on one day."""

    string_n: float
    """On its fullest string."""
    on_fullest: frozenset[str]
    """Places with a stem clipped to it."""
    wire_n: float
    held_m: float
    stems: dict[str, LoadedStem]
    """By leader."""


class _OrderLoads(Struct, frozen=True, eq=False):
    """What one order of a loop's stems would bear."""

    looks: dict[date, _Look]
    soil_kg: float

    @property
    def fullest(self) -> _Look:
        return max(self.looks.values(), key=lambda look: look.string_n)


class _Ordered(Struct, frozen=True, eq=False):
    """A loop as its search has got on."""

    season: Season
    """As though the loop were the whole house, in order of length."""
    loop: Loop
    grown: dict[date, dict[str, StemOn]]
    """Stems of the days that are looked at, by leader."""
    from_place: dict[str, str]
    """By place the place whose plants are to stand there."""
    was: _OrderLoads
    best: _OrderLoads


def set_apart(planned: ComingSeason, days: Sequence[date]) -> dict[str, str]:
    """By place the place whose plants are to stand there instead; only those that change."""
    grown = {day: stems_on(planned, day) for day in days}
    loops = [_ordered(planned.season, loop, grown) for loop in planned.season.layout.loops.values()]
    going = {loop.loop.id: loop for loop in loops if loop is not None}
    while going:
        fullest = max(going.values(), key=lambda ordered: ordered.best.fullest.string_n)
        better = _bettered(fullest)
        if better is None:
            break
        going[fullest.loop.id] = better
    return {
        place: source
        for ordered in going.values()
        for place, source in ordered.from_place.items()
        if place != source
    }


def _ordered(season: Season, loop: Loop, grown: Mapping[date, Mapping[str, StemOn]]) -> _Ordered | None:
    """None where nothing lies in tiers."""
    alone = _alone(season, loop)
    places = dict.fromkeys(leader.place for leader in alone.leaders.values() if leader.training == "tiered")
    if not places:
        return None
    mine = {day: {name: stems[name] for name in alone.leaders} for day, stems in grown.items()}
    looks = {day: _look(alone, loop, day, stems, {}) for day, stems in mine.items()}
    bears = _OrderLoads(looks, _soil_kg(looks, mine))
    return _Ordered(alone, loop, mine, {place: place for place in places}, bears, bears)


def _alone(season: Season, loop: Loop) -> Season:
    rows = {stretch.row: season.layout.rows[stretch.row] for stretch in loop.stretches}
    return replace(
        season,
        layout=replace(season.layout, rows=rows, loops={loop.id: loop}),
        leaders={leader.id: leader for leader in season.leaders_of_loop(loop.id)},
        strings={name: string for name, string in season.strings.items() if string.loop == loop.id},
    )


def _bettered(ordered: _Ordered) -> _Ordered | None:
    """After the best change of places; None where none is worth it."""
    better = None
    most = _shares(ordered.best.looks.values(), ordered.was) - WORTH
    for place, other_place in _swaps(ordered):
        tried = {
            **ordered.from_place,
            place: ordered.from_place[other_place],
            other_place: ordered.from_place[place],
        }
        bears = _bears_less(ordered, tried, most)
        if bears is not None:
            better, most = (
                replace(ordered, from_place=tried, best=bears),
                _shares(bears.looks.values(), ordered.was),
            )
    return better


def _swaps(ordered: _Ordered) -> Iterator[tuple[str, str]]:
    """Each place with a stem on the fullest string, with every place that has another cultivar of like length."""
    last = ordered.grown[max(ordered.grown)]
    stands = {
        leader.place: (leader.cultivar, last[leader.id].length_m.mid) for leader in ordered.season.leaders.values()
    }
    for place in (place for place in ordered.from_place if place in ordered.best.fullest.on_fullest):
        cultivar, length_m = stands[ordered.from_place[place]]
        for other_place, source in ordered.from_place.items():
            other, other_m = stands[source]
            if other != cultivar and min(length_m, other_m) >= LIKE * max(length_m, other_m):
                yield place, other_place


def _bears_less(ordered: _Ordered, from_place: Mapping[str, str], most: float) -> _OrderLoads | None:
    """What this order would bear; None as soon as its shares are not less than ``most``, or it holds back or lays
    down more than it may.

    The fullest days are looked at first: most orders are no better there already.
    """
    season = _standing(ordered.season, from_place)
    most_held_m = max(look.held_m for look in ordered.was.looks.values()) + HELD_MORE_M * len(from_place)
    looks: dict[date, _Look] = {}
    for day in sorted(ordered.grown, key=lambda day: -ordered.best.looks[day].string_n):
        looks[day] = _look(season, ordered.loop, day, ordered.grown[day], ordered.best.looks[day].stems)
        if _shares(looks.values(), ordered.was) >= most or looks[day].held_m > most_held_m:
            return None
    soil_kg = _soil_kg(looks, ordered.grown)
    return _OrderLoads(looks, soil_kg) if soil_kg <= ordered.was.soil_kg + 1e-6 else None


def _shares(looks: Iterable[_Look], before: _OrderLoads) -> float:
    """Fullest string and tightest wire of these days, as shares of what they were on all days, together."""
    looks = list(looks)
    string_n, wire_n = max(look.string_n for look in looks), max(look.wire_n for look in looks)
    tightest_n = max(look.wire_n for look in before.looks.values())
    return string_n / (before.fullest.string_n or 1.0) + wire_n / (tightest_n or 1.0)


def _soil_kg(looks: Mapping[date, _Look], grown: Mapping[date, Mapping[str, StemOn]]) -> float:
    paths = [{name: stem.path for name, stem in look.stems.items()} for look in looks.values()]
    return on_soil_kg(paths, [grown[day] for day in looks])


def _standing(season: Season, from_place: Mapping[str, str]) -> Season:
    """Every leader at the place its plant is to have."""
    at = {source: season.layout.places[place] for place, source in from_place.items() if source != place}
    leaders = {}
    for name, leader in season.leaders.items():
        to = at.get(leader.place)
        if to is not None:
            leader = replace(leader, place=to.place.name, row=to.row_id, x_m=to.place.x_m, u_m=to.u_m)
        leaders[name] = leader
    return replace(season, leaders=leaders)


def _look(
    season: Season, loop: Loop, day: date, grown: Mapping[str, StemOn], solved: Mapping[str, LoadedStem]
) -> _Look:
    """``solved``: stems of another order on that day, of which most hang as they do in this one."""
    hanging = replace(season, day=day, leaders=hung_along(season, loop, grown, day))
    stems = _stems(hanging, grown, solved)
    borne = {name: stem.borne for name, stem in stems.items()}
    lines = line_loads(hanging, borne)
    on_strings = {line.id: line.mid_n for line in lines if line.id in season.strings}
    fullest = max(on_strings, key=lambda string: on_strings[string], default="")
    tightest_n = max(load.tension_n for load in wire_loads(hanging, wires(hanging, borne, lines)))
    clipped = frozenset(
        leader.place for leader in hanging.leaders.values() if any(f.string == fullest for f in leader.fixings)
    )
    held_m = sum(loop_held_back_m(season, loop, grown, day).values())
    return _Look(on_strings.get(fullest, 0.0), clipped, tightest_n, held_m, stems)


def _stems(
    hanging: Season, grown: Mapping[str, StemOn], solved: Mapping[str, LoadedStem]
) -> dict[str, LoadedStem]:
    """Solved anew only where a stem does not hang as it did before."""
    return {
        name: solved[name]
        if name in solved and solved[name].leader == leader
        else stem_on(hanging, leader, tipped(hanging, leader, grown[name]))
        for name, leader in hanging.leaders.items()
    }
