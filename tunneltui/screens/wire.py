"""What hangs on the wire this morning, place by place, and how it is brought up to date after a tick. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import zip_longest
from typing import NamedTuple

from tunneltui.draw.wire import Hangs, WireRow
from tunneltui.screens.round_view import RowFacts
from tunneltui.screens.stops import PassLaid, Stop

Hanging = Callable[[Stop], Hangs]


class WireMap(NamedTuple):
    """The holding's places in walking order with what hangs at each."""

    rows: tuple[WireRow, ...]
    hangs: Mapping[str, Hangs]
    """By place; a bare place is not in it."""
    stops: Mapping[str, tuple[Stop, ...]]
    """By place."""

    def after(self, changed: Iterable[Stop], hanging: Hanging) -> WireMap:
        """With the places of the ``changed`` stops as they are now."""
        touched = {stop.place for stop in changed if stop in self.stops.get(stop.place, ())}
        if not touched:
            return self
        hangs = dict(self.hangs)
        for place in touched:
            hangs[place] = max(map(hanging, self.stops[place]))
        return self._replace(hangs=hangs)


NO_WIRE = WireMap((), {}, {})


def wire_of(rows: Mapping[str, RowFacts], passes: Iterable[PassLaid], hanging: Hanging) -> WireMap:
    """What is done plant by plant; once none of that is left, what is done overhead."""
    shown = _rows(rows)
    places = {place for row in shown for place in row.places}
    by_pass = {"plants": WireMap(shown, {}, {}), "overhead": WireMap(shown, {}, {})}
    for name in by_pass:
        hangs: dict[str, Hangs] = {}
        stops: dict[str, tuple[Stop, ...]] = {}
        for stop in (stop for pass_laid in passes if pass_laid.name == name for stop in pass_laid.stops):
            if stop.place in places:
                stops[stop.place] = (*stops.get(stop.place, ()), stop)
                hangs[stop.place] = max(hangs.get(stop.place, Hangs.NOTHING), hanging(stop))
        by_pass[name] = WireMap(shown, hangs, stops)
    plants, overhead = by_pass["plants"], by_pass["overhead"]
    return plants if any(plants.hangs.values()) or not overhead.hangs else overhead


def _rows(facts: Mapping[str, RowFacts]) -> tuple[WireRow, ...]:
    names = list(facts)
    return tuple(
        WireRow(
            name, facts[name].tunnel, facts[name].places, bool(after) and facts[after].loop == facts[name].loop
        )
        for name, after in zip_longest(names, names[1:], fillvalue="")
    )
