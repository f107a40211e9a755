"""What a change would do to the loads before it is done: two pictures of the same day, before and after.

A change is typed as growers say it (``typed_change``) or made as a value, turns season and outlook into what they
would be (``changed``), and the loads of both are set side by side (``what_if``). Nothing is written anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from math import hypot

from tunneltui.growth.outlook import Band, Outlook, StemOn
from tunneltui.holding.trouble import Trouble
from tunneltui.loads.chain import loads
from tunneltui.loads.path import hook_across_m, hook_u_m, layer_z_m, lying_holds, onward_u_m, stem_path
from tunneltui.loads.result import Loads
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season

CLOSE_M = 0.08
"""A second clip goes this far along the stem from the first (common practice, no source)."""
SLACK = 1.02
"""Stem laid along a straight metre between strings (loads-forms.md section 2)."""
BESIDE_M = 0.10
"""A kept leader's hook hangs this far from the first one's (assumed)."""


@dataclass(frozen=True, slots=True)
class Lower:
    """Let out twine and move the hook on; strings passed are clipped to. No hook place: on the loop's slope."""

    leader: str
    let_out_m: float
    hook_u_m: float | None = None


@dataclass(frozen=True, slots=True)
class SecondHold:
    """A second clip, or a tie, close beside a clip."""

    fixing: str
    tie: bool = False


@dataclass(frozen=True, slots=True)
class PickRow:
    """Every ripe truss of a row taken."""

    row: str


@dataclass(frozen=True, slots=True)
class TakeLeaves:
    """The lowest leaves of a leader taken."""

    leader: str
    leaves: float


@dataclass(frozen=True, slots=True)
class AddString:
    """A further string; every lying stem that crosses it is clipped to it."""

    row: str
    x_m: float
    twine: str = ""


@dataclass(frozen=True, slots=True)
class KeepLeader:
    """A side shoot kept, reckoned as long and heavy as the leader it springs beside."""

    leader: str


Change = Lower | SecondHold | PickRow | TakeLeaves | AddString | KeepLeader
USAGE = (
    "lower W1-07a 0.35",
    "second W1-07a 8",
    "tie W1-07a 8",
    "pick W1",
    "leaves W1-07a 4",
    "string W1 3.4",
    "keep W1-07a",
)
"""One example of each change as typed; 8 is the number of a string."""


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    before: Loads
    after: Loads


def what_if(season: Season, outlook: Outlook, day: date, wanted: Sequence[Change]) -> Compared:
    """Loads of a day as things are, and with all the changes made."""
    then, coming = season, outlook
    for change in wanted:
        then, coming = changed(then, coming, day, change)
    return Compared(loads(season, outlook, day), loads(then, coming, day))


def typed_change(season: Season, text: str) -> Change:
    """A change from one line such as ``lower W1-07a 0.35``.

    Raises:
        Trouble: not one of the changes, or something named in it does not stand.
    """
    word, *rest = text.split() or [""]
    reader = _READERS.get(word)
    if reader is None or len(rest) != len(next(one for one in USAGE if one.startswith(word)).split()) - 1:
        raise Trouble(f"'{text}' is no change to try.", "Write one of: " + "; ".join(USAGE))
    return reader(season, rest)


def changed(season: Season, outlook: Outlook, day: date, change: Change) -> tuple[Season, Outlook]:
    """Season and outlook as they would be with a change made."""
    match change:
        case Lower():
            return _lowered(season, outlook, day, change)
        case SecondHold():
            return _with_second(season, change), outlook
        case PickRow():
            return season, _picked(season, outlook, change)
        case TakeLeaves():
            return season, _stripped(outlook, change)
        case AddString():
            return _strung(season, outlook, day, change), outlook
        case KeepLeader():
            return _kept(season, outlook, change)


def _lowered(season: Season, outlook: Outlook, day: date, change: Lower) -> tuple[Season, Outlook]:
    leader = season.leaders[change.leader]
    stem = outlook.stem(leader.id, day)
    loop = season.layout.loops.get(leader.loop)
    u_m, z_m, s_m = _last_hold(season, leader, stem)
    hook_m = change.hook_u_m
    if hook_m is None:
        limits = season.holding.limits
        slope = limits.run_slope if leader.training == "tiered" else 0.0
        spare_m = max(0.0, stem.length_m.mid - s_m - (stem.tip_z_m.mid - z_m)) + change.let_out_m
        line_z_m = layer_z_m(leader.u_m, u_m, limits) if leader.training == "tiered" else z_m
        drop_m = max(0.0, line_z_m - z_m)
        on_line_m = u_m + hook_across_m(spare_m, slope, limits.bend_radius_m, drop_m)
        hook_m = max(on_line_m, hook_u_m(leader, loop))
    hook = leader.hook or Hook(0, hook_m, None, "", day, assumed=True)
    fixings = [replace(f, u_m=hook_m) if f.on == "head" else f for f in leader.fixings]
    fixings += _clips_passed(season, leader, (u_m, z_m, s_m), hook_m, day)
    moved = replace(
        leader, hook=replace(hook, u_m=hook_m), fixings=tuple(sorted(fixings, key=lambda fixing: fixing.s_m))
    )
    return _with_leader(season, moved), _each_day(outlook, leader.id, lambda on: _let_out(on, change.let_out_m))


def _last_hold(season: Season, leader: Leader, stem: StemOn) -> tuple[float, float, float]:
    """(u, z, s) from which the free stem runs to its hook: the last fixing of the lying stem, else the root."""
    holds = lying_holds(leader, stem.length_m.mid)
    return stem_path(leader, stem, season.layout).points[len(holds)]


def _clips_passed(
    season: Season, leader: Leader, hold: tuple[float, float, float], hook_m: float, day: date
) -> list[Fixing]:
    """Clips to the strings that the hook has got two bend radii past, at the slope's height."""
    if leader.training != "tiered":
        return []
    limits, loop = season.holding.limits, season.layout.loops.get(leader.loop)
    u_m, z_m, s_m = hold
    made: list[Fixing] = []
    for string in season.strings.values():
        at_m = onward_u_m(string.u_m, leader.u_m, loop)
        if string.loop == leader.loop and u_m + CLOSE_M < at_m <= hook_m - 2 * limits.bend_radius_m:
            up_m = layer_z_m(leader.u_m, at_m, limits)
            made.append(_new_clip(leader, string, s_m + SLACK * hypot(at_m - u_m, up_m - z_m), day))
    return sorted(made, key=lambda fixing: fixing.s_m)


def _let_out(on: StemOn, let_out_m: float) -> StemOn:
    tip = on.tip_z_m
    return replace(on, tip_z_m=Band(tip.low - let_out_m, tip.mid - let_out_m, tip.high - let_out_m))


def _with_second(season: Season, change: SecondHold) -> Season:
    leader, fixing = _fixing(season, change.fixing)
    second = replace(
        fixing,
        id=f"second at {fixing.id}",
        s_m=fixing.s_m + CLOSE_M,
        tie=change.tie,
        clip_kind="" if change.tie else fixing.clip_kind,
        hung_on=season.day,
        seen_on=(),
        assumed=True,
    )
    fixings = sorted((*leader.fixings, second), key=lambda fixing: fixing.s_m)
    return _with_leader(season, replace(leader, fixings=tuple(fixings)))


def _picked(season: Season, outlook: Outlook, change: PickRow) -> Outlook:
    for leader in season.leaders_of_row(change.row):
        if leader.id in outlook.leaders:
            ripe = {t.number for t in outlook.stem(leader.id, outlook.day).trusses if t.z >= 1}
            outlook = _each_day(outlook, leader.id, lambda on, ripe=ripe: _without(on, ripe))  # type: ignore[misc]
    return outlook


def _without(on: StemOn, ripe: set[int]) -> StemOn:
    return replace(on, trusses=tuple(truss for truss in on.trusses if truss.number not in ripe))


def _stripped(outlook: Outlook, change: TakeLeaves) -> Outlook:
    def strip(on: StemOn) -> StemOn:
        taken = min(change.leaves, on.leaves)
        leafy_m = max(0.0, on.length_m.mid - on.bare_below_m)
        bare_m = on.bare_below_m + (leafy_m * taken / on.leaves if on.leaves > 0 else 0.0)
        return replace(on, leaves=on.leaves - taken, bare_below_m=bare_m)

    return _each_day(outlook, change.leader, strip)


def _strung(season: Season, outlook: Outlook, day: date, change: AddString) -> Season:
    loop = season.layout.loop_of_row[change.row]
    number = 1 + max((string.number for string in season.strings.values()), default=0)
    string = HungString(
        f"{change.row} new string",
        change.row,
        loop.id,
        number,
        change.x_m,
        loop.u_m(change.row, change.x_m),
        change.twine or next((s.twine for s in season.strings.values() if s.row == change.row), ""),
        0.5,
    )
    season = replace(season, strings={**season.strings, string.id: string})
    for leader in season.leaders_of_loop(loop.id):
        if leader.id in outlook.leaders:
            crossing = _crossing(season, leader, outlook.stem(leader.id, day), string, day)
            if crossing is not None:
                fixings = sorted((*leader.fixings, crossing), key=lambda fixing: fixing.s_m)
                season = _with_leader(season, replace(leader, fixings=tuple(fixings)))
    return season


def _crossing(season: Season, leader: Leader, stem: StemOn, string: HungString, day: date) -> Fixing | None:
    """A clip where the lying stem passes a string, at the height it has there; None where it does not pass."""
    at_m = onward_u_m(string.u_m, leader.u_m, season.layout.loops.get(leader.loop))
    path = stem_path(leader, stem, season.layout)
    for (u1, z1, s1), (u2, z2, s2) in pairwise(path.points):
        if min(u1, u2) < at_m < max(u1, u2):
            share = (at_m - u1) / (u2 - u1)
            clip = _new_clip(leader, string, s1 + share * (s2 - s1), day)
            return replace(clip, z_m=z1 + share * (z2 - z1))
    return None


def _kept(season: Season, outlook: Outlook, change: KeepLeader) -> tuple[Season, Outlook]:
    leader = season.leaders[change.leader]
    new_id = f"{leader.id} kept"
    letters = {one.name[-1] for one in season.leaders.values() if one.plant == leader.plant}
    letter = next(letter for letter in "abcdefghijklmnopqrstuvwxyz" if letter not in letters)
    hook = replace(leader.hook, u_m=leader.hook.u_m + BESIDE_M) if leader.hook else None
    kept = replace(
        leader,
        id=new_id,
        name=leader.name[:-1] + letter,
        hook=hook,
        fixings=tuple(replace(f, id=f"{f.id} kept", leader=new_id, assumed=True) for f in leader.fixings),
        endings=(),
    )
    ahead = replace(outlook.leaders[leader.id], leader=new_id)
    return _with_leader(season, kept), replace(outlook, leaders={**outlook.leaders, new_id: ahead})


def _new_clip(leader: Leader, string: HungString, s_m: float, day: date) -> Fixing:
    kind = next((f.clip_kind for f in reversed(leader.fixings) if not f.tie), "")
    return Fixing(
        id=f"new clip of {leader.name} on {string.id}",
        leader=leader.id,
        on="string",
        string=string.id,
        u_m=string.u_m,
        z_m=None,
        s_m=s_m,
        tie=False,
        clip_kind=kind,
        hung_on=day,
        assumed=True,
    )


def _fixing(season: Season, fixing: str) -> tuple[Leader, Fixing]:
    return next((one, f) for one in season.leaders.values() for f in one.fixings if f.id == fixing)


def _with_leader(season: Season, leader: Leader) -> Season:
    return replace(season, leaders={**season.leaders, leader.id: leader})


def _each_day(outlook: Outlook, leader: str, change: Callable[[StemOn], StemOn]) -> Outlook:
    ahead = outlook.leaders[leader]
    days = {day: change(on) for day, on in ahead.days.items()}
    return replace(outlook, leaders={**outlook.leaders, leader: replace(ahead, days=days)})


def _leader_named(season: Season, name: str) -> Leader:
    leader = season.leader_named(name)
    if leader is None:
        raise Trouble(f"No leader {name} stands.", "Write its place and letter, such as W1-07a.")
    return leader


def _number(text: str, least: float, most: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not least <= value <= most:
        raise Trouble(f"'{text}' is not a number from {least:g} to {most:g}.")
    return value


def _read_second(season: Season, rest: Sequence[str], *, tie: bool) -> Change:
    leader = _leader_named(season, rest[0])
    for fixing in leader.fixings:
        string = season.strings.get(fixing.string)
        if string is not None and str(string.number) == rest[1]:
            return SecondHold(fixing.id, tie)
    raise Trouble(f"{leader.name} has no clip on string {rest[1]}.", "Name a string it is clipped to.")


def _read_row(season: Season, row: str) -> str:
    if row not in season.layout.rows:
        raise Trouble(f"There is no row {row}.", "Write one of: " + ", ".join(season.layout.rows))
    return row


_READERS: dict[str, Callable[[Season, Sequence[str]], Change]] = {
    "lower": lambda season, rest: Lower(_leader_named(season, rest[0]).id, _number(rest[1], 0.01, 3)),
    "second": lambda season, rest: _read_second(season, rest, tie=False),
    "tie": lambda season, rest: _read_second(season, rest, tie=True),
    "pick": lambda season, rest: PickRow(_read_row(season, rest[0])),
    "leaves": lambda season, rest: TakeLeaves(_leader_named(season, rest[0]).id, _number(rest[1], 1, 60)),
    "string": lambda season, rest: AddString(_read_row(season, rest[0]), _number(rest[1], 0, 500)),
    "keep": lambda season, rest: KeepLeader(_leader_named(season, rest[0]).id),
}
