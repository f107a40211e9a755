"""Whether the parts of a holding agree: names used and given, places within their rows, loops, the zone.

Works on the table that TOML gave, faulty as it may be, so that these faults are told together with the others.
Anything that is not of its kind is passed over here; the types tell of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass
from typing import Any

from tunneltui.holding.crops import CROPS, USUAL
from tunneltui.holding.expected import nearest
from tunneltui.holding.lines import Path
from tunneltui.holding.model import Limits

_ROUNDING_M = 0.005
"""Two lengths measured by tape agree when they differ by less."""


@dataclass(frozen=True, slots=True)
class Disagreement:
    path: Path
    found: str
    expected: str


@dataclass(frozen=True, slots=True)
class _Table:
    """A table of the text and where it stands."""

    path: Path
    of: dict[str, Any]

    def tables(self, key: str) -> list[_Table]:
        listed = self.of.get(key)
        elements = enumerate(listed) if isinstance(listed, list) else ()
        return [_Table((*self.path, key, n), item) for n, item in elements if isinstance(item, dict)]

    def text(self, key: str) -> str:
        value = self.of.get(key)
        return value if isinstance(value, str) else ""

    def number(self, key: str) -> float | None:
        value = self.of.get(key)
        return value if isinstance(value, int | float) and not isinstance(value, bool) else None

    def disagreement(self, key: str, value: str, expected: str) -> Disagreement:
        return Disagreement((*self.path, key), value, expected)


def disagreements(table: dict[str, Any], zones: Set[str]) -> Iterator[Disagreement]:
    """Everything in a holding's table that does not agree with something else in it, or with the known zones."""
    holding = _Table((), table)
    zone = holding.text("zone")
    if zone and zone not in zones:
        near = nearest(zone, zones)
        yield holding.disagreement("zone", f'"{zone}"', f"an IANA time zone{f' ({near}?)' if near else ''}")
    yield from _limits(holding)
    for key in ("tunnels", "cultivars", "clips", "twines", "hooks", "pests"):
        yield from _twice(holding.tables(key), "key")
    yield from _names_of_the_walk(holding)
    cultivars, twines = _given(holding.tables("cultivars")), _given(holding.tables("twines"))
    for cultivar in holding.tables("cultivars"):
        yield from _crop(cultivar)
    for hook in holding.tables("hooks"):
        yield from _known(hook, "twine", twines)
    for tunnel in holding.tables("tunnels"):
        yield from _twice(tunnel.tables("beds"), "key")
        yield from _twice(tunnel.tables("rows"), "number")
        yield from _loops(tunnel)
        for row in tunnel.tables("rows"):
            yield from _known(row, "bed", _given(tunnel.tables("beds")))
            yield from _row_in_tunnel(row, tunnel)
            yield from _row(row, tunnel, cultivars, twines)
            yield from _never_tiered(row, holding.tables("cultivars"))


def _limits(holding: _Table) -> Iterator[Disagreement]:
    given = holding.of.get("limits")
    if not isinstance(given, dict):
        return
    limits, usual = _Table(("limits",), given), Limits()
    for amber, red in (
        ("amber_share", "red_share"),
        ("amber_chance", "red_chance"),
        ("string_amber_share", "string_red_share"),
    ):
        # Where only one is written the other stands at its default.
        first, second = (limits.number(k) if k in given else getattr(usual, k) for k in (amber, red))
        if first is not None and second is not None and first > second:
            wrong = amber if amber in given else red
            yield limits.disagreement(
                wrong, str(limits.of[wrong]), f"{amber} ({first:g}) at most {red} ({second:g})"
            )


def _twice(tables: Iterable[_Table], key: str) -> Iterator[Disagreement]:
    seen: set[Any] = set()
    for table in tables:
        name = table.of.get(key)
        if not isinstance(name, str | int):
            continue
        if name in seen:
            yield table.disagreement(key, f'"{name}" a second time', f"each {key} once")
        seen.add(name)


def _names_of_the_walk(holding: _Table) -> Iterator[Disagreement]:
    """Tunnels, rows and places share one set of names, by which entries speak of them."""
    taken: dict[str, str] = {}
    for tunnel in holding.tables("tunnels"):
        taken.setdefault(tunnel.text("key"), "a tunnel")
    places: list[_Table] = []
    for tunnel in holding.tables("tunnels"):
        for row in tunnel.tables("rows"):
            name = f"{tunnel.text('key')}{row.of.get('number')}"
            if taken.get(name, "a row") != "a row":
                yield row.disagreement("number", f'row "{name}"', f"another name, {taken[name]} has this one")
            taken.setdefault(name, "a row")
            places += row.tables("places")
    present = {place.text("name") for place in places}
    for place in places:
        name = place.text("name")
        if name and name in taken:
            yield place.disagreement("name", f'"{name}"', f"another name, {taken[name]} has this one")
        taken.setdefault(name, "a place")
    yield from _earlier_names(places, present)


def _earlier_names(places: Iterable[_Table], present: set[str]) -> Iterator[Disagreement]:
    used: dict[str, str] = {}
    for place in places:
        earlier = place.of.get("was")
        for old in earlier if isinstance(earlier, list) else ():
            if not isinstance(old, str):
                continue
            if old == place.text("name"):
                yield place.disagreement("was", f'"{old}", its present name', "earlier names only")
            if old in used:
                yield place.disagreement(
                    "was", f'"{old}", which {used[old]} also was', "an earlier name of one place"
                )
            used.setdefault(old, place.text("name") if place.text("name") in present else "another place")


def _given(tables: Iterable[_Table]) -> set[str]:
    return {table.text("key") for table in tables}


def _known(table: _Table, key: str, given: set[str]) -> Iterator[Disagreement]:
    name = table.text(key)
    if name and name not in given:
        near = nearest(name, given)
        meant = near or ", ".join(sorted(given)[:8]) or "none is listed"
        yield table.disagreement(
            key, f'the unknown {key} "{name}"', f"a {key} of this file ({meant}{'?' if near else ''})"
        )


def _loops(tunnel: _Table) -> Iterator[Disagreement]:
    partner = {
        row.of.get("number"): row.of.get("loop_with")
        for row in tunnel.tables("rows")
        if all(not isinstance(row.of.get(key), dict | list) for key in ("number", "loop_with"))
    }
    for row in tunnel.tables("rows"):
        number, other = row.number("number"), row.number("loop_with")
        if other is None or number is None:
            continue
        if other == number:
            yield row.disagreement("loop_with", f"{other}, the row itself", "the number of the row at its end")
        elif other not in partner:
            yield row.disagreement(
                "loop_with", f"{other}, which is no row of this tunnel", "the number of the row at its end"
            )
        elif partner[other] != number:
            names = "names none" if partner[other] is None else f"names {partner[other]}"
            yield row.disagreement(
                "loop_with", f"{other}, but row {other} {names}", f"loop_with = {number} in row {other}"
            )


def _row_in_tunnel(row: _Table, tunnel: _Table) -> Iterator[Disagreement]:
    length_m, inside_m = row.number("length_m"), tunnel.number("length_m")
    start_m = row.number("start_m") or 0.0
    if length_m is not None and inside_m is not None and start_m + length_m > inside_m + _ROUNDING_M:
        yield row.disagreement(
            "length_m", f"{length_m} m from {start_m} m on", f"a row that ends within {inside_m} m"
        )
    across_m, width_m = row.number("across_m"), tunnel.number("width_m")
    if across_m is not None and width_m is not None and across_m > width_m + _ROUNDING_M:
        yield row.disagreement("across_m", f"{across_m} m", f"within the tunnel's width, {width_m} m")


def _row(row: _Table, tunnel: _Table, cultivars: set[str], twines: set[str]) -> Iterator[Disagreement]:
    yield from _twice(row.tables("strings"), "number")
    for string in row.tables("strings"):
        yield from _known(string, "twine", twines)
        yield from _beyond(string, row)
    for place in row.tables("places"):
        yield from _known(place, "cultivar", cultivars)
        yield from _beyond(place, row)
        key, name = tunnel.text("key"), place.text("name")
        if key and name and not name.startswith(key):
            yield place.disagreement("name", f'"{name}"', f"a name beginning with its tunnel's key, {key}")


def _crop(cultivar: _Table) -> Iterator[Disagreement]:
    """A crop there is a profile of, and a fruit kind of that crop where one is written."""
    name = cultivar.text("crop") or USUAL.key
    crop = CROPS.get(name)
    if crop is None:
        yield cultivar.disagreement("crop", f'the unknown crop "{name}"', f"one of {', '.join(CROPS)}")
        return
    fruit = cultivar.text("fruit")
    others = {kind for other in CROPS.values() if other is not crop for kind in other.kinds}
    if fruit in others and fruit not in crop.kinds:
        yield cultivar.disagreement("fruit", f'"{fruit}", no kind of {name}', f"one of {', '.join(crop.kinds)}")


def _never_tiered(row: _Table, cultivars: Iterable[_Table]) -> Iterator[Disagreement]:
    """Tiers are not for every crop's stems."""
    crops = {cultivar.text("key"): CROPS.get(cultivar.text("crop"), USUAL) for cultivar in cultivars}
    if (row.text("training") or "tiered") != "tiered":
        return
    named = (crops.get(place.text("cultivar"), USUAL) for place in row.tables("places"))
    never = next((crop for crop in named if not crop.tiered), None)
    if never is not None:
        yield row.disagreement(
            "training",
            f"tiered, with {never.key} in it, whose stems are too brittle for tiers",
            "laid_down or pinched_at_wire",
        )


def _beyond(thing: _Table, row: _Table) -> Iterator[Disagreement]:
    x_m, length_m = thing.number("x_m"), row.number("length_m")
    if x_m is not None and length_m is not None and x_m > length_m + _ROUNDING_M:
        yield thing.disagreement("x_m", f"{x_m} m", f"within the row's length, {length_m} m")
