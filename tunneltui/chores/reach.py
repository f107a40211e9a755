"""What a rule is shown: no more than its kinds say that they reach (``ChoreKind.reach``), so that what it asks for
holds while that stays as it is.

A rule that reaches a loop is shown that loop alone: its stems and strings, what was noted of its rows and places,
their outlook and loads. Of ticks it sees those that last. What is said of tunnels and of the house it sees whole,
but not what wires and hoops bear of all loops together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any, NamedTuple, TypeVar

from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import Layout
from tunneltui.loads.result import Loads
from tunneltui.loads.workings import Workings
from tunneltui.memo import NO_MEMO, Stages
from tunneltui.season.entry_index import LASTING
from tunneltui.season.state import Season, hang_across
from tunneltui.values import replace

_T = TypeVar("_T")
_TOGETHER = "*"
"""Stands for all loops where a stem is noted on a string of another loop."""
_SEASON, _OUTLOOK, _LOADS, _WORKINGS = (
    tuple(field.name for field in fields(cls) if field.init) for cls in (Season, Outlook, Loads, Workings)
)


class RuleInputs(NamedTuple):
    """A season, its outlook and its loads, value by value: two are alike where all values are."""

    season: tuple[Any, ...]
    outlook: tuple[Any, ...]
    loads: tuple[Any, ...]
    workings: tuple[Any, ...]
    """Empty for loads made by hand."""

    def opened(self) -> tuple[Season, Outlook, Loads]:
        season, outlook, loads = Season(*self.season), Outlook(*self.outlook), Loads(*self.loads)
        if self.workings:
            loads = replace(loads, workings=Workings(season, outlook, *self.workings))
        return season, outlook, loads


def loops_shown(stages: Stages, season: Season, outlook: Outlook, loads: Loads) -> dict[str, RuleInputs]:
    """By loop, in the order of the layout."""
    layouts = {_TOGETHER: season.layout}
    if not hang_across(season, season.leaders.values()):
        layouts = stages.of(_layouts, "", season.layout)
    loops = _Loops(season, layouts)
    seasons, outlooks, bearing = (
        _seasons(loops, season),
        _outlooks(loops, season, outlook),
        _loads(loops, season, loads),
    )
    workings = _workings(loops, season, loads.workings)
    return {loop: RuleInputs(seasons[loop], outlooks[loop], bearing[loop], workings[loop]) for loop in layouts}


def _layouts(layout: Layout) -> dict[str, Layout]:
    """Of one loop each."""
    loops = layout.loop_of_row
    rows = _by(layout.loops, layout.rows.items(), lambda item: loops[item[0]].id)
    places = _by(layout.loops, layout.places.items(), lambda item: item[1].loop.id)
    strings = _by(layout.loops, layout.strings.items(), lambda item: loops[item[1].row].id)
    return {
        loop.id: replace(
            layout,
            rows=dict(rows[loop.id]),
            loops={loop.id: loop},
            loop_of_row=dict.fromkeys((row for row, _ in rows[loop.id]), loop),
            places=dict(places[loop.id]),
            strings=dict(strings[loop.id]),
        )
        for loop in layout.loops.values()
    }


def _by(loops: Iterable[str], every: Iterable[_T], loop_of: Callable[[_T], str]) -> dict[str, list[_T]]:
    """Each in its order; what is of no loop is left out."""
    by_loop: dict[str, list[_T]] = {loop: [] for loop in loops}
    for value in every:
        loop = loop_of(value)
        if loop in by_loop:
            by_loop[loop].append(value)
    return by_loop


class _Loops:
    """Which loop a row, a place or a stem belongs to, by its name; '' where it is none of these."""

    def __init__(self, season: Season, layouts: Mapping[str, Layout]) -> None:
        self.layouts = layouts
        self._rows = {row: loop for loop, layout in layouts.items() for row in layout.rows}
        self._places = {name: loop for loop, layout in layouts.items() for name in layout.places}
        self._stems = {leader.name: self.of_row(leader.row) for leader in season.leaders.values()}

    def of_row(self, row: str) -> str:
        return self._rows.get(row, "")

    def of_stem(self, name: str) -> str:
        return self._stems.get(name, "")

    def of_name(self, name: str) -> str:
        return self.of_row(name) or self._places.get(name) or self.of_stem(name)

    def split(self, every: Iterable[_T], loop_of: Callable[[_T], str]) -> dict[str, list[_T]]:
        return _by(self.layouts, every, loop_of)

    def values(
        self, names: Sequence[str], of_loop: Callable[[str], Mapping[str, Any]]
    ) -> dict[str, tuple[Any, ...]]:
        """By loop, what ``of_loop`` says of these fields, in their order."""
        by_loop = {loop: of_loop(loop) for loop in self.layouts}
        return {loop: tuple(fields[name] for name in names) for loop, fields in by_loop.items()}


def _seasons(loops: _Loops, season: Season) -> dict[str, tuple[Any, ...]]:
    leaders = loops.split(season.leaders.items(), lambda item: loops.of_row(item[1].row))
    gone = loops.split(season.gone.items(), lambda item: loops.of_row(item[1].row))
    strings = loops.split(season.strings.items(), lambda item: loops.of_row(item[1].row))
    picks = loops.split(season.picks, lambda pick: loops.of_row(pick.row))
    picks_of_more = [pick for pick in season.picks if not pick.row]
    last = loops.split(season.last.items(), lambda item: loops.of_name(item[0][1]))
    last_of_more = {key: day for key, day in season.last.items() if not loops.of_name(key[1])}
    lasting = [done for done in season.done if done.answers[0] in LASTING]
    house = {name: getattr(season, name) for name in _SEASON} | {"set_aside": ()}

    def of_loop(loop: str) -> dict[str, Any]:
        layout = loops.layouts[loop]
        tunnels = {tunnel.key for tunnel, _ in layout.rows.values()} | {""}
        return house | {
            "layout": layout,
            "leaders": dict(leaders[loop]),
            "gone": dict(gone[loop]),
            "ended": {id_: season.ended[id_] for id_, _ in gone[loop] if id_ in season.ended},
            "ended_why": {id_: season.ended_why[id_] for id_, _ in gone[loop] if id_ in season.ended_why},
            "strings": dict(strings[loop]),
            "picks": (*picks[loop], *(pick for pick in picks_of_more if pick.tunnel in tunnels)),
            "last": last_of_more | dict(last[loop]),
            "done": tuple(done for done in lasting if loops.of_name(done.answers[1]) in ("", loop)),
        }

    return loops.values(_SEASON, of_loop)


def _outlooks(loops: _Loops, season: Season, outlook: Outlook) -> dict[str, tuple[Any, ...]]:
    stems = loops.split(season.leaders.values(), lambda leader: loops.of_row(leader.row))
    picks = loops.split(outlook.picks, lambda pick: loops.of_row(pick.row))
    ripe_today = loops.split(outlook.ripe_today, lambda pick: loops.of_row(pick.row))
    house = {name: getattr(outlook, name) for name in _OUTLOOK} | {"basis": None}

    def of_loop(loop: str) -> dict[str, Any]:
        ahead = {stem.id: outlook.leaders[stem.id] for stem in stems[loop] if stem.id in outlook.leaders}
        return {**house, "leaders": ahead, "picks": tuple(picks[loop]), "ripe_today": tuple(ripe_today[loop])}

    return loops.values(_OUTLOOK, of_loop)


def _loads(loops: _Loops, season: Season, loads: Loads) -> dict[str, tuple[Any, ...]]:
    stems = loops.split(season.leaders.values(), lambda leader: loops.of_row(leader.row))
    clips = loops.split(loads.clips, lambda clip: loops.of_stem(clip.leader))
    lines = loops.split(loads.lines, lambda line: loops.of_row(line.row))
    rows = loops.split(loads.rows, lambda row: loops.of_row(row.row))
    corners = loops.split(loads.corners, lambda corner: loops.of_row(corner.row))
    weak_points = loops.split(loads.weak_points, lambda weak: loops.of_stem(weak.leader))

    def of_loop(loop: str) -> dict[str, Any]:
        return {
            "day": loads.day,
            "clips": tuple(clips[loop]),
            "lines": tuple(lines[loop]),
            "wires": (),
            "hoops": (),
            "rows": tuple(rows[loop]),
            "weak_points": tuple(weak_points[loop]),
            "paths": {stem.id: loads.paths[stem.id] for stem in stems[loop] if stem.id in loads.paths},
            "faults": (),
            "corners": tuple(corners[loop]),
            "strengths": (),
            "workings": None,
        }

    return loops.values(_LOADS, of_loop)


def _workings(loops: _Loops, season: Season, workings: Workings | None) -> dict[str, tuple[Any, ...]]:
    if workings is None:
        return dict.fromkeys(loops.layouts, ())
    stems = loops.split(season.leaders, lambda id_: loops.of_row(season.leaders[id_].row))
    house = {
        "day": workings.day,
        "learned": workings.learned,
        "head_failed": workings.head_failed,
        "memo": NO_MEMO,
    }

    def of_loop(loop: str) -> dict[str, Any]:
        own = [id_ for id_ in stems[loop] if id_ in workings.stems]
        of_stems = {
            name: {id_: getattr(workings, name)[id_] for id_ in own}
            for name in ("stems", "later", "pasts", "records", "clips")
        }
        weak_points = {name: points for name, points in workings.weak_points.items() if name == loop}
        return {**house, **of_stems, "weak_points": weak_points}

    return loops.values(_WORKINGS[2:], of_loop)
