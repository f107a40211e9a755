"""One plant with its leaders, worked out from every entry that touches it: the smallest part folded anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from msgspec import Struct

from tunneltui.holding.user_error import Fault
from tunneltui.journal.naming import LETTERS, leader_id, leader_name
from tunneltui.season import effects
from tunneltui.season.ground import Stand
from tunneltui.season.state import Leader, SetAside
from tunneltui.season.stem import Facts, Root, StemBuilder
from tunneltui.season.touch import Record
from tunneltui.values import replace


class PlantEntries(Struct, frozen=True):
    """What touches a plant. Sequences are in the journal's order."""

    planted: Record
    stand: Stand
    replanted_on: date | None
    """Day on which the next plant was put in its place."""
    changes: Sequence[Record]
    """Entries that name the plant."""
    of_leader: Callable[[str], list[Record]]
    """Entries that name a leader or its clips, or speak of its stretch of the walk."""
    picked_clean: Callable[[Root, date], date | None]
    """Last day, up to the given one, on which a pick cleared the leader."""
    hook_numbers: dict[str, int]


class PlantNow(Struct, frozen=True):
    """A plant on the season's day."""

    leaders: tuple[Leader, ...]
    """As they are, or were on the plant's last day; empty where its place is gone."""
    leader_ids: tuple[str, ...]
    ended: date | None
    why: str
    aside: tuple[SetAside, ...]


def leaders_planted(planted: Record) -> list[tuple[str, str]]:
    """Id and letter of each leader that a ``planted`` makes."""
    return [(leader_id(planted.id, letter), letter) for letter in LETTERS[: max(planted.body.leaders, 1)]]


def fold_plant(given: PlantEntries, facts: Facts) -> PlantNow:
    """The plant, its leaders, its end if it came, and the entries that lean on what is not there."""
    ended, why = _end(given)
    aside: list[SetAside] = []
    lettered = leaders_planted(given.planted)
    changes = _within(given, ended, aside)
    # The day of its note, or the earlier day last given for it.
    days: list[date] = [record.body.on for record in changes if record.entry.kind == "planted_about"]
    planted_on = min(given.planted.day, days[-1]) if days else given.planted.day
    begun = dict.fromkeys((id_ for id_, _ in lettered), planted_on)
    for record in changes:
        if record.entry.kind == "leader_kept":
            lettered.append((record.id, _free_letter(record.body.letter, [letter for _, letter in lettered])))
            begun[record.id] = record.day
    leaders = []
    for id_, letter in lettered:
        leader = _leader(given, facts, ended, changes, id_, letter, planted_on, begun[id_], aside)
        leaders.extend([leader] if leader is not None else [])
    ids = tuple(id_ for id_, _ in lettered)
    return PlantNow(tuple(leaders), ids, ended, why, tuple(aside))


def _end(given: PlantEntries) -> tuple[date | None, str]:
    ends = [
        (record.day, "removed" if record.entry.kind == "removed" else record.body.why or "lost")
        for record in given.changes
        if record.entry.kind in ("removed", "plant_lost") and record.day >= given.planted.day
    ]
    if given.stand.gone_on is not None:
        ends.append((given.stand.gone_on, "its place was taken out of the holding"))
    if given.replanted_on is not None:
        ends.append((given.replanted_on, "its place was planted anew"))
    return min(ends, key=lambda end: end[0]) if ends else (None, "")


def _within(given: PlantEntries, ended: date | None, aside: list[SetAside]) -> list[Record]:
    """The plant's own entries from its planting to its end; the others are set aside."""
    kept, ends = [], 0
    for record in given.changes:
        why = _out_of_time(record, given.planted.day, ended)
        if why is None and record.entry.kind in ("removed", "plant_lost"):
            ends += 1
            why = Fault("its plant had ended before") if ends > 1 else None
        if why is None:
            kept.append(record)
        else:
            aside.append(SetAside(record.entry, why))
    return kept


def _out_of_time(record: Record, since: date, ended: date | None) -> Fault | None:
    if record.day < since:
        return Fault(f"on that day it did not stand yet, it came on {since.isoformat()}")
    if ended is not None and record.day > ended:
        return Fault(f"on that day its plant stood no more, it ended on {ended.isoformat()}")
    return None


def _free_letter(preferred: str, taken: Iterable[str]) -> str:
    """The letter wanted, or the next free one: two laptops may both have kept a ``b``."""
    letters = set(taken)
    if preferred not in letters:
        return preferred
    return next((letter for letter in LETTERS if letter not in letters), preferred)


def _leader(
    given: PlantEntries,
    facts: Facts,
    ended: date | None,
    changes: Sequence[Record],
    id_: str,
    letter: str,
    planted_on: date,
    since: date,
    aside: list[SetAside],
) -> Leader | None:
    root = _root(given, id_, letter, planted_on, since)
    if root is None:
        late = [(r, _out_of_time(r, r.day, ended)) for r in given.of_leader(id_) if _speaks_of_one(r)]
        aside.extend(SetAside(record.entry, why) for record, why in late if why is not None)
        return None
    standing = given.stand.standing
    assert standing is not None  # noqa: S101 - a root has a place
    stem = StemBuilder(root, given.planted.body.training or standing.row.training, facts)
    theirs = [r for r in changes if r.entry.kind in ("training_changed", "leader_kept") and r.id != id_]
    for record in sorted([*given.of_leader(id_), *theirs]):
        why = _out_of_time(record, since, ended)
        if why is None:
            why = effects.read(stem, record)
        elif not _speaks_of_one(record):
            continue
        if why is not None:
            aside.append(SetAside(record.entry, why))
    clean = given.picked_clean(root, ended or facts.day)
    return stem.frozen(given.hook_numbers.get(id_, 0), clean)


def _speaks_of_one(record: Record) -> bool:
    """A row pass or look may name leaders that have ended; it still holds for the others. So does a pick's
    weight."""
    named = hasattr(record.body, "leader") or hasattr(record.body, "fixing")
    return named and record.entry.kind != "picked"


def _root(given: PlantEntries, id_: str, letter: str, planted_on: date, since: date) -> Root | None:
    standing, planted = given.stand.standing, given.planted
    if standing is None:
        return None
    came_up_m = planted.body.came_up_m
    x_m = standing.place.x_m if came_up_m is None else came_up_m
    return Root(
        leader=id_,
        name=leader_name(standing.place.name, letter),
        plant=planted.id,
        place=standing.place.name,
        row=standing.row_id,
        tunnel=standing.tunnel.key,
        loop=standing.loop.id,
        x_m=x_m,
        u_m=standing.loop.u_m(standing.row_id, x_m),
        cultivar=planted.body.cultivar,
        planted_on=planted_on,
        planted_about=planted_on < planted.day,
        since=since,
        buried_m=planted.body.buried_m,
    )


def renumbered(plant: PlantNow, hook_numbers: dict[str, int]) -> PlantNow:
    """The same plant, its hooks numbered anew."""
    leaders = [
        leader
        if leader.hook is None
        else replace(leader, hook=replace(leader.hook, number=hook_numbers[leader.id]))
        for leader in plant.leaders
    ]
    return replace(plant, leaders=tuple(leaders))
