"""What a change would do to the loads before it is done: two pictures of the same day, before and after.

A change is typed as growers say it (``typed_change``) or made as a value, turns season and outlook into what they
would be (``with_change``), and the loads of both are set side by side (``what_if``). Nothing is written anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from itertools import pairwise
from math import nan

from msgspec import Struct

from tunneltui.cells import m, say
from tunneltui.growth.leader import let_down_m
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.user_error import UserError
from tunneltui.loads.chain import loads, update_loads
from tunneltui.loads.doubles import NOTHING_KNOWN, Bearing, bearing_of, second_clips
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.lowered import DOUBLED_M, after_let_out, as_lowered, hanging, let_down
from tunneltui.loads.path import onward_u_m, stem_path
from tunneltui.loads.result import Loads
from tunneltui.season.state import Ending, Fixing, HungString, Leader, Lowering, Season
from tunneltui.values import replace

BESIDE_M = 0.10
"""A kept leader's hook hangs this far from the first one's (assumed)."""


class Lower(Struct, frozen=True):
    """Let out twine and move the hook on, as a lowering of the row would. No hook place: on the loop's slope.

    With ``aimed_under_wire_m`` as much is let out as brings the tip there, and ``let_out_m`` only about says it.
    """

    leader: str
    let_out_m: float
    hook_u_m: float | None = None
    aimed_under_wire_m: float | None = None


class SecondHold(Struct, frozen=True):
    """A second clip, or a tie, close beside a clip."""

    fixing: str
    tie: bool = False


class PickedRow(Struct, frozen=True):
    """Every ripe truss of a row taken."""

    row: str


class TakeLeaves(Struct, frozen=True):
    """The lowest leaves of a leader taken."""

    leader: str
    leaves: float


class AddString(Struct, frozen=True):
    """A further string; every lying stem that crosses it is clipped to it."""

    row: str
    x_m: float
    twine: str = ""


class KeepLeader(Struct, frozen=True):
    """A side shoot kept, reckoned as long and heavy as the leader it springs beside."""

    leader: str


Change = Lower | SecondHold | PickedRow | TakeLeaves | AddString | KeepLeader
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


class LoadComparison(Struct, frozen=True, eq=False):
    before: Loads
    after: Loads


def what_if(
    season: Season, outlook: Outlook, day: date, changes: Sequence[Change], former: Loads | None = None
) -> LoadComparison:
    """Loads of a day as things are, and with all the changes made. ``former``: those before, where known."""
    before = loads(season, outlook, day) if former is None or former.workings is None else former
    bearing = bearing_of(before)
    season_after, coming = season, outlook
    for change in changes:
        season_after, coming = with_change(season_after, coming, day, change, bearing)
    return LoadComparison(before, update_loads(before, season_after, coming))


def string_beside(season: Season, leader: Leader, u_m: float) -> AddString | None:
    """A string in the middle of the wider gap beside a place on a leader's loop; None without two."""
    row, x_m = season.layout.loops[leader.loop].row_at(u_m)
    hung = sorted(string.x_m for string in season.strings.values() if string.row == row)
    beside = [(b - a, (a + b) / 2) for a, b in pairwise(hung) if a - 1e-6 <= x_m <= b + 1e-6]
    return AddString(row, round(max(beside)[1], 2)) if beside else None


def typed_change(season: Season, text: str) -> Change:
    """A change from one line such as ``lower W1-07a 0.35``.

    Raises:
        UserError: not one of the changes, or something named in it does not stand.
    """
    word, *rest = text.split() or [""]
    reader = _READERS.get(word)
    if reader is None or len(rest) != len(next(usage for usage in USAGE if usage.startswith(word)).split()) - 1:
        raise UserError(f"'{text}' is no change to try.", "Write one of: " + "; ".join(USAGE))
    return reader(season, rest)


def with_change(
    season: Season, outlook: Outlook, day: date, change: Change, bearing: Bearing = NOTHING_KNOWN
) -> tuple[Season, Outlook]:
    """Season and outlook as they would be with a change made. ``bearing``: what hangs and the strengths of the
    kinds of clip, by which a lowering doubles clips."""
    match change:
        case Lower():
            return _lowered(season, outlook, day, change, bearing)
        case SecondHold():
            return _with_second(season, change), outlook
        case PickedRow():
            return season, _picked(season, outlook, change)
        case TakeLeaves():
            return season, _stripped(outlook, change)
        case AddString():
            return _strung(season, outlook, day, change), outlook
        case KeepLeader():
            return _kept(season, outlook, change)


def _lowered(
    season: Season, outlook: Outlook, day: date, change: Lower, bearing: Bearing
) -> tuple[Season, Outlook]:
    leader = season.leaders[change.leader]
    hangs = hanging(season, leader, outlook.stem(leader.id, day))
    to = after_let_out(season, hangs, change.let_out_m, at_u_m=change.hook_u_m)
    second = second_clips(season, outlook, hangs, to, bearing, day)
    before = _handled(leader, day)
    after = as_lowered(season, replace(hangs, leader=before), to, second)
    kept = {fixing.id for fixing in after.fixings}
    opened = (Ending(fixing, day, None) for fixing in before.fixings if fixing.id not in kept)
    aimed_m = change.aimed_under_wire_m
    move = Lowering("lowering", day, change.let_out_m, to.hook_u_m, None, None, True, aimed_m)
    after = replace(
        after,
        lowerings=(*after.lowerings, move),
        endings=(*after.endings, *opened),
        props=(),
    )
    season, down_m = _with_leader(season, after), change.let_out_m
    if aimed_m is not None and outlook.basis is not None and leader.id in outlook.basis.leaders:
        down_m = let_down_m(outlook.basis.leaders[leader.id], day.toordinal(), aimed_m, change.let_out_m)
    return season, _each_day(outlook, leader.id, lambda on: let_down(on, down_m))


def _handled(leader: Leader, day: date) -> Leader:
    """Who lowers a stem or closes a clip on it sees what holds it, as the journal takes it."""
    seen = (f if day in f.seen_on else replace(f, seen_on=(*f.seen_on, day)) for f in leader.fixings)
    return replace(leader, fixings=tuple(seen))


def _with_second(season: Season, change: SecondHold) -> Season:
    leader, fixing = next(
        (leader, f) for leader in season.leaders.values() for f in leader.fixings if f.id == change.fixing
    )
    leader = _handled(leader, season.day)
    second = replace(
        fixing,
        id=f"second at {fixing.id}",
        s_m=round(fixing.s_m + (DOUBLED_M / 2 if change.tie else DOUBLED_M), 2),
        tie=change.tie,
        clip_kind="" if change.tie else fixing.clip_kind or clip_kind(season, leader),
        hung_on=season.day,
        seen_on=(),
        assumed=True,
    )
    fixings = sorted((*leader.fixings, second), key=lambda fixing: fixing.s_m)
    return _with_leader(season, replace(leader, fixings=tuple(fixings)))


def _picked(season: Season, outlook: Outlook, change: PickedRow) -> Outlook:
    def left(on: StemOn, ripe: set[int]) -> StemOn:
        return replace(on, trusses=tuple(truss for truss in on.trusses if truss.number not in ripe))

    for leader in season.leaders_of_row(change.row):
        if leader.id in outlook.leaders:
            ripe = {t.number for t in outlook.stem(leader.id, outlook.day).trusses if t.z >= 1}
            outlook = _each_day(outlook, leader.id, lambda on, ripe=ripe: left(on, ripe))  # type: ignore[misc]
    return outlook


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
        id=f"{change.row}/{number}",
        row=change.row,
        loop=loop.id,
        number=number,
        x_m=change.x_m,
        u_m=loop.u_m(change.row, change.x_m),
        twine=change.twine or next((s.twine for s in season.strings.values() if s.row == change.row), ""),
        knot_share=0.5,
    )
    season = replace(season, strings={**season.strings, string.id: string})
    for leader in season.leaders_of_loop(loop.id):
        if leader.id in outlook.leaders:
            crossing = _crossing(season, leader, outlook.stem(leader.id, day), string, day)
            if crossing is not None:
                leader = _handled(leader, day)
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
            return Fixing(
                id=f"new clip {leader.name} {string.id}",
                leader=leader.id,
                on="string",
                string=string.id,
                u_m=string.u_m,
                z_m=z1 + share * (z2 - z1),
                s_m=s1 + share * (s2 - s1),
                tie=False,
                clip_kind=clip_kind(season, leader),
                hung_on=day,
                assumed=True,
            )
    return None


def _kept(season: Season, outlook: Outlook, change: KeepLeader) -> tuple[Season, Outlook]:
    leader = season.leaders[change.leader]
    new_id = f"{leader.id} kept"
    letters = {stem.name[-1] for stem in season.leaders.values() if stem.plant == leader.plant}
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


def _with_leader(season: Season, leader: Leader) -> Season:
    return replace(season, leaders={**season.leaders, leader.id: leader})


def _each_day(outlook: Outlook, leader: str, change: Callable[[StemOn], StemOn]) -> Outlook:
    ahead = outlook.leaders[leader]
    days = {day: change(on) for day, on in ahead.days.items()}
    return replace(outlook, leaders={**outlook.leaders, leader: replace(ahead, days=days)})


def _leader_named(season: Season, name: str) -> Leader:
    leader = season.leader_named(name)
    if leader is None:
        raise UserError(f"No leader {name} stands.", "Write its place and letter, such as W1-07a.")
    return leader


def _number(text: str, least: float, most: float) -> float:
    value = _read_number(text)
    if not least <= value <= most:
        raise UserError(f"'{text}' is not a number from {least:g} to {most:g}.")
    return value


def _metres(text: str, least_m: float, most_m: float) -> float:
    value_m = _read_number(text)
    if not least_m <= value_m <= most_m:
        raise UserError(
            say("The length has to be from {} to {}.", m(least_m, 2), m(most_m, 2)),
            "Write a bare number, or its unit right after it: 35cm.",
        )
    return value_m


def _read_number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return nan


def _read_second(season: Season, rest: Sequence[str], *, tie: bool) -> Change:
    """The string by its number, or by row and number where both rows of its loop have one of that number."""
    leader = _leader_named(season, rest[0])
    fitting: dict[str, Fixing] = {}
    for fixing in leader.fixings:
        string = season.strings.get(fixing.string)
        meant = (str(string.number), f"{string.row}/{string.number}") if string is not None else (fixing.on,)
        if rest[1] in meant:
            fitting.setdefault(fixing.string, fixing)
    if len(fitting) > 1:
        alike = " or ".join(season.string_name(string).removeprefix("string ") for string in fitting)
        raise UserError(
            f"{leader.name} is clipped to several strings {rest[1]}.", f"Name its row as well: {alike}."
        )
    if fitting:
        return SecondHold(next(iter(fitting.values())).id, tie)
    held_by = dict.fromkeys(fixing.string if fixing.on == "string" else fixing.on for fixing in leader.fixings)
    names = [season.string_name(on).removeprefix("string ") if on in season.strings else on for on in held_by]
    raise UserError(
        f"{leader.name} has no {'head clip' if rest[1] == 'head' else f'clip on string {rest[1]}'}.",
        f"It is clipped to: {', '.join(names)}." if names else "It has no clips.",
    )


def _read_row(season: Season, row: str) -> str:
    if row not in season.layout.rows:
        raise UserError(f"There is no row {row}.", "Write one of: " + ", ".join(season.layout.rows))
    return row


def _read_string(season: Season, rest: Sequence[str]) -> Change:
    row = _read_row(season, rest[0])
    return AddString(row, _metres(rest[1], 0.0, season.layout.rows[row][1].length_m))


_READERS: dict[str, Callable[[Season, Sequence[str]], Change]] = {
    "lower": lambda season, rest: Lower(_leader_named(season, rest[0]).id, _metres(rest[1], 0.01, 3.0)),
    "second": lambda season, rest: _read_second(season, rest, tie=False),
    "tie": lambda season, rest: _read_second(season, rest, tie=True),
    "pick": lambda season, rest: PickedRow(_read_row(season, rest[0])),
    "leaves": lambda season, rest: TakeLeaves(_leader_named(season, rest[0]).id, _number(rest[1], 1, 60)),
    "string": lambda season, rest: _read_string(season, rest),
    "keep": lambda season, rest: KeepLeader(_leader_named(season, rest[0]).id),
}
