"""The season as a function of the journal's live entries in order (rule 1 of the journal, DEVELOPERS.md).

Every live entry is filed under what it touches (``season.touch``); plants, strings, air and so on are each
worked out from their own entries alone (``season.plant``, ``ground``, ``house``). Adding entries works out
anew only the parts they touch, so an incremental season equals a full one whatever the order of arrival:

- entries about a leader, a plant or a clip: that plant with its leaders;
- ``looked`` and ``scouted`` without leaders, unweighed or weighed picks of a row: the plants of that stretch;
- ``string_hung`` and ``string_cut``: the leaders clipped to that string;
- ``planted``: the plants of that place;
- ``holding_set``: the house;
- air, cover, feeds, stores, times and notes: their own lists.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from contextlib import suppress
from datetime import date
from functools import partial
from operator import attrgetter
from typing import Any, Self

from msgspec import Struct

from tunneltui.holding.crops import crop_of
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KINDS
from tunneltui.season import house
from tunneltui.season.entry_index import EntryIndex
from tunneltui.season.ground import NO_GROUND, Ground, Stand, StringFact, ground, strings
from tunneltui.season.long_journal import LongJournal
from tunneltui.season.past import SETTLED_AFTER, Past, PastTouched, comes_back
from tunneltui.season.plant import PlantEntries, PlantNow, fold_plant, renumbered
from tunneltui.season.state import HungString, Leader, Season, SetAside
from tunneltui.season.stem import Facts, Root
from tunneltui.season.touch import FIXING, LEADER, PLANT, SCOPE, Record
from tunneltui.season.work_days import asked_and_done
from tunneltui.values import replace


def fold(entries: Sequence[Entry], day: date) -> Season:
    """The season up to and including ``day``, from entries in any order, crossed out ones among them."""
    return folded(entries, day).season()


def folded(entries: Sequence[Entry], day: date) -> Fold:
    """The same as a fold that takes in more; of a long journal from what its ended seasons come to, where nothing
    touched them since."""
    if isinstance(entries, LongJournal) and day >= entries.past.day:
        with suppress(PastTouched):
            return _resumed(entries, day)
    return Fold.of(entries, day)


def _resumed(entries: LongJournal, day: date) -> Fold:
    past, recent = entries.past, entries.recent
    folding = Fold.of_past(past, recent)
    if day > past.day:
        folding.pass_to(day)
    folding.add(recent)
    return folding


def fold_days(entries: Sequence[Entry], days: Sequence[date]) -> Iterator[Season]:
    """The season of each of these days, which are in order, as ``fold`` makes it: one walk through the journal."""
    waiting = sorted(entries, key=attrgetter("day"))
    folding, given = None, 0
    for day in days:
        if folding is None:
            folding = Fold(day)
            # Of days to come it takes what speaks of the future, a forecast.
            folding.add(waiting)
        else:
            folding.pass_to(day)
        until = bisect_right(waiting, day, key=attrgetter("day"))
        folding.add(waiting[given:until])
        given = until
        yield folding.season()


class Touched(Struct, frozen=True):
    """What adding entries worked out anew."""

    leaders: frozenset[str]
    rows: frozenset[str]
    house: bool
    """The holding, or something about a tunnel or the house."""


class Fold:
    """A season that takes entries in as they come, in any order."""

    def __init__(self, day: date) -> None:
        self.day = day
        self._filed = EntryIndex(day)
        self._here: Ground = NO_GROUND
        self._ground_aside: list[SetAside] = []
        self._strings: dict[str, StringFact] = {}
        self._strings_aside: list[SetAside] = []
        self._hanging: dict[str, HungString] | None = None
        self._stands: dict[str, Stand | None] = {}
        """By plant."""
        self._plantings: dict[str, list[Record]] = {}
        """By place, as it is called on the season's day."""
        self._parts: dict[str, list[Record]] = {}
        """Looks and scoutings by the part of the house they speak of."""
        self._parts_aside: list[SetAside] = []
        self._clean: dict[tuple[str, str], list[date]] = {}
        self._first_hung: dict[str, Record] = {}
        self._hook_numbers: dict[str, int] = {}
        self._plants: dict[str, PlantNow] = {}
        self._walk: list[str] | None = None
        self._plants_in: dict[str, set[str]] | None = None
        """By part of the house: place, row, tunnel, all ('')."""
        self._house_values: dict[str, tuple[Any, list[SetAside]]] = {}
        self._season: Season | None = None
        self._over: dict[str, PlantNow] = {}
        """Plants whose entries a past left out."""
        self._plant_over: dict[str, str] = {}
        """Of their leaders."""
        self._update_house_values(frozenset(), whole=True)

    @classmethod
    def of(cls, entries: Iterable[Entry], day: date) -> Self:
        folding = cls(day)
        folding.add(entries)
        return folding

    @classmethod
    def of_past(cls, past: Past, recent: Iterable[Entry]) -> Self:
        """The fold that a past was made of, as far as its entries are among the ``recent``. What is added to it
        may raise ``PastTouched``, and then it is of no more use."""
        known = {entry.id for entry in past.entries}
        folding = cls(past.day)
        folding._filed.take_past(past)
        folding._over = past.plants
        folding._plant_over = {id_: plant for plant, now in past.plants.items() for id_ in now.leader_ids}
        folding._first_hung = {
            leader: Record(day, at_us, id_, *_NOTHING) for leader, (day, at_us, id_) in past.first_hung.items()
        }
        folding.add(entry for entry in recent if entry.id in known)
        folding._filed.settled = past
        return folding

    @property
    def is_resumed(self) -> bool:
        """Whether it goes on from a past."""
        return self._filed.settled is not None

    @property
    def has_ended_seasons(self) -> bool:
        """Whether a third of all plants ended long ago."""
        until = self.day - SETTLED_AFTER
        over = sum(plant.ended is not None and plant.ended <= until for plant in self._plants.values())
        return 0 < len(self._plants) <= 3 * over

    def past(self, entries: Sequence[Entry]) -> Past | None:
        """What this fold comes to, of ``entries``, all that were taken in; None where no plant ended long ago."""
        until = self.day - SETTLED_AFTER
        over = {id_ for id_, plant in self._plants.items() if _ended_by(plant, until)}
        while True:
            ids = self._filed.past_ids(until, partial(self._is_over, over, self._stands_since(over)))
            still = {
                id_ if shelf == "planted" else self._plant_of(shelf, key)
                for id_, shelf, key in self._filed.touched_without(ids)
            }
            if over.isdisjoint(still):
                return self._in_short(entries, until, over, ids) if over else None
            over -= still

    def _stands_since(self, over: Set[str]) -> date:
        """The first day of the plants that are not over."""
        plants = [(self._filed.records[id_], plant) for id_, plant in self._plants.items() if id_ not in over]
        days = [planted.day for planted, _ in plants]
        return min([*days, *(leader.since for _, plant in plants for leader in plant.leaders)], default=date.max)

    def _is_over(self, over: Set[str], since: date, record: Record, shelf: str, key: str) -> bool:
        """Whether nothing more can come of what a record touches; ``since``: when the first stood that stands."""
        if shelf in (LEADER, PLANT, FIXING):
            return self._plant_of(shelf, key) in over
        if shelf == SCOPE:
            return record.day < since and self._here.part(record) is not None
        if shelf == "planted":
            return record.id in over
        return shelf not in ("holding_set", "string_hung", "string_cut")

    def _in_short(self, entries: Sequence[Entry], until: date, over: Set[str], ids: Set[str]) -> Past:
        leaders = {leader for plant in over for leader in self._plants[plant].leader_ids}
        records = sorted(self._filed.records[id_] for id_ in ids & self._filed.records.keys())
        of_house = {kind: [record for record in self._filed.get(kind) if record.id in ids] for kind in KINDS}
        last = {(record.entry.kind, record.entry.about): record.day for record in records}
        on_strings = {string: sorted(leaders & on) for string, on in self._filed.leaders_on.items()}
        return Past(
            day=self.day,
            until=until,
            plants={plant: self._plants[plant] for plant in sorted(over)},
            of_house={kind: kept for kind, kept in of_house.items() if kept},
            first_hung={id_: self._first_hung[id_][:3] for id_ in sorted(leaders & self._first_hung.keys())},
            on_strings={string: on for string, on in on_strings.items() if on},
            last_days=[(kind, about, day) for (kind, about), day in last.items()],
            ids=frozenset(ids),
            acts=frozenset(entry.act for entry in entries if entry.id in ids),
            repeats=[aside for id_, aside in self._filed.unfit.items() if id_ in ids],
            entries=[entry for entry in entries if entry.id not in ids],
        )

    def add(self, entries: Iterable[Entry]) -> Touched:
        """Take entries in; those of later days are left out, those known already change nothing."""
        self._filed.add(entries)
        self._season = None
        changed, records = self._filed.taken_changes()
        whole = ("holding_set", "") in changed
        if whole:
            self._here, self._ground_aside = ground(self._filed.get("holding_set"))
        dirty = self._strings_anew(changed, whole)
        dirty |= {self._plant_of(shelf, key) for shelf, key in changed}
        if (past := self._filed.settled) is not None:
            self._refuse_old(past, changed, records, dirty)
        dirty |= self._plantings_anew(records, whole)
        dirty |= self._parts_anew(records, whole)
        dirty = set(self._stands) if whole else dirty & self._stands.keys()
        self._hooks_anew(changed, dirty, whole)
        self._fold_plants(dirty)
        kinds = {shelf for shelf, _ in changed}
        self._update_house_values(kinds, whole)
        return self._touched(dirty, records, whole or bool(kinds & _SAID_KINDS))

    def _refuse_old(
        self, past: Past, changed: Set[tuple[str, str]], records: Iterable[Record], dirty: Set[str]
    ) -> None:
        """Raises ``PastTouched`` where what changed is of ended plants, or cannot be told to be of others."""
        fixings = {key for shelf, key in changed if shelf == FIXING}
        stems = {key for shelf, key in changed if shelf in (LEADER, PLANT)}
        if (
            ("holding_set", "") in changed
            or not past.plants.keys().isdisjoint(dirty)
            or not fixings <= self._filed.records.keys()
            or not all(self._plant_of(LEADER, key) in self._stands for key in stems)
            or any(record.day <= past.until for record in records)
        ):
            raise PastTouched

    def pass_to(self, day: date) -> None:
        """Go on to a later day; what was written on the days between is to be added after that."""
        self.day = day
        self._filed.pass_to(day)
        # A kinked stem in its splint is whole again after some days.
        self._fold_plants({id_ for id_, plant in self._plants.items() if any(map(_waits, plant.leaders))})
        self.add(())

    def season(self) -> Season:
        """The season as it stands with all entries taken in so far."""
        if self._season is None:
            self._season = self._assembled()
        return self._season

    def rows_of(self, leaders: Set[str], before: Season) -> Season:
        """Only the rows of these leaders, as they are now; what is said of their own places, and what is done
        today.
        All else is as in ``before``, a season of this day: no more is looked at than one key needs."""
        stands = (self._stands.get(self._plant_of(LEADER, leader)) for leader in leaders)
        rows = {stand.standing.row_id for stand in stands if stand is not None and stand.standing is not None}
        plants = {plant for row in rows for plant in self._plants_by_part().get(row, ())} & self._plants.keys()
        in_order = (self._plants[plant] for plant in sorted(plants, key=self._walk_key))
        standing = {leader.id: leader for plant in in_order if plant.ended is None for leader in plant.leaders}
        return replace(
            before,
            leaders=standing,
            strings=self._hanging_strings(),
            done=house.dones(self._filed.answered),
            last=self._filed.last_of({leader.place for leader in standing.values() if leader.id in leaders}),
        )

    def _strings_anew(self, changed: set[tuple[str, str]], whole: bool) -> set[str]:
        """Plants whose strings came, went or moved."""
        if not whole and changed.isdisjoint(_STRING_SHELVES):
            return set()
        before = self._strings
        self._hanging = None
        hung, cut = self._filed.get("string_hung"), self._filed.get("string_cut")
        self._strings, self._strings_aside = strings(self._here, hung, cut)
        moved = {id_ for id_ in before.keys() | self._strings.keys() if before.get(id_) != self._strings.get(id_)}
        leaders = set().union(*(self._filed.leaders_on.get(string, ()) for string in moved))
        return {self._plant_of(LEADER, leader) for leader in leaders}

    def _hanging_strings(self) -> dict[str, HungString]:
        """Strings that are not cut."""
        if self._hanging is None:
            self._hanging = {id_: fact.hung for id_, fact in self._strings.items() if fact.cut is None}
        return self._hanging

    def _plantings_anew(self, records: list[Record], whole: bool) -> set[str]:
        """Plants of the places where something was planted, or was not after all."""
        planted = [record for record in records if record.entry.kind == "planted"]
        if whole:
            planted = self._filed.get("planted")
            self._stands, self._plantings, self._plants = {}, {}, {}
        places = set()
        for record in planted:
            before = self._stands.pop(record.id, None)
            if before is not None:
                self._plantings[before.name].remove(record)
                places.add(before.name)
            if record.id not in self._filed.records:
                self._plants.pop(record.id, None)
                continue
            stand = self._here.place(record.entry.about, record.day, record.at_us)
            self._stands[record.id] = stand
            if stand is not None:
                insort(self._plantings.setdefault(stand.name, []), record)
                places.add(stand.name)
        if planted or whole:
            self._walk = self._plants_in = None
        return {record.id for place in places for record in self._plantings[place]}

    def _parts_anew(self, records: list[Record], whole: bool) -> set[str]:
        """Plants of the stretches that were looked over, scouted or picked."""
        kinds = {record.entry.kind for record in records}
        if whole or "picked" in kinds:
            self._clean = house.clean_days(self._filed.get("picked"), self._here)
        if whole or kinds & {"looked", "scouted"}:
            self._looks_anew()
        parts = [self._here.part(r) for r in records if r.entry.kind != "planted"]
        names = {part.name for part in parts if part is not None}
        return {plant for name in names for plant in self._plants_by_part().get(name, ())}

    def _plants_by_part(self) -> dict[str, set[str]]:
        if self._plants_in is None:
            self._plants_in = {}
            for plant in self._stands:
                for part in self._parts_of(plant):
                    self._plants_in.setdefault(part, set()).add(plant)
        return self._plants_in

    def _looks_anew(self) -> None:
        self._parts, self._parts_aside = {}, []
        for about in self._filed.keys(SCOPE):
            for record in self._filed.get(SCOPE, about):
                part = self._here.part(record)
                if part is None:
                    self._parts_aside.append(SetAside(record.entry, f"there is nothing called {about}"))
                else:
                    self._parts.setdefault(part.name, []).append(record)

    def _parts_of(self, plant: str) -> set[str]:
        stand = self._stands[plant]
        if stand is None or stand.standing is None:
            return set()
        return {"", stand.standing.tunnel.key, stand.standing.row_id, stand.standing.place.name}

    def _plant_of(self, shelf: str, key: str) -> str:
        """The plant that a key on a shelf belongs to; '' where there is none."""
        record = self._filed.records.get(key)
        if shelf == PLANT:
            return key
        if shelf == FIXING:
            return self._plant_of(LEADER, record.body.leader) if record and record.entry.kind in _FIXES else ""
        if shelf == LEADER and record is not None and record.entry.kind == "leader_kept":
            return str(record.body.plant)
        if shelf == LEADER and key in self._plant_over:
            return self._plant_over[key]
        return key.partition("+")[0] if shelf == LEADER else ""

    def _fold_plants(self, dirty: set[str]) -> None:
        hooks = self._here.holding.hooks
        only = {"": hooks[0].turn_m} if len(hooks) == 1 else {}
        turn_m = only | {hook.key: hook.turn_m for hook in hooks}
        never_tiered = frozenset(c.key for c in self._here.holding.cultivars if not crop_of(c.crop).tiered)
        facts = Facts(self.day, self._strings, turn_m, never_tiered)
        for plant in dirty:
            given = None if plant in self._over else self._given(plant)
            if given is not None:
                self._plants[plant] = fold_plant(given, facts)
            elif plant in self._over:
                self._plants.setdefault(plant, self._over[plant])

    def _hooks_anew(self, changed: set[tuple[str, str]], dirty: set[str], whole: bool) -> None:
        """Hooks are numbered in the order in which they were first hung, through the house."""
        moved = whole
        for shelf, key in changed:
            moved |= shelf in ("planted", PLANT) or (shelf == LEADER and self._hung_anew(key))
        if moved:
            self._renumber(dirty)

    def _hung_anew(self, leader: str) -> bool:
        """Whether it was first hung by another entry than was known."""
        if leader in self._plant_over:
            return False
        first = next((record for record in self._filed.get(LEADER, leader) if _hangs(record)), None)
        hung = self._first_hung.pop(leader, None)
        if first is not None:
            self._first_hung[leader] = first
        return first != hung

    def _renumber(self, dirty: set[str]) -> None:
        before = self._hook_numbers
        in_order = sorted((r, leader) for leader, r in self._first_hung.items() if self._is_known(leader))
        self._hook_numbers = numbers = {leader: number for number, (_, leader) in enumerate(in_order, 1)}
        moved = {self._plant_of(LEADER, leader) for leader in numbers if before.get(leader) != numbers[leader]}
        for plant in (moved - dirty) & self._plants.keys():
            self._plants[plant] = renumbered(self._plants[plant], numbers)

    def _is_known(self, leader: str) -> bool:
        return self._stands.get(self._plant_of(LEADER, leader)) is not None

    def _given(self, plant: str) -> PlantEntries | None:
        stand = self._stands[plant]
        if stand is None:
            return None
        planted = self._filed.records[plant]
        later = self._plantings[stand.name][bisect_right(self._plantings[stand.name], planted) :]
        parts = [record for part in self._parts_of(plant) for record in self._parts.get(part, ())]
        return PlantEntries(
            planted=planted,
            stand=stand,
            replanted_on=later[0].day if later else None,
            changes=self._filed.get(PLANT, plant),
            of_leader=lambda leader: [*self._of_leader(leader), *parts],
            picked_clean=self._picked_clean,
            hook_numbers=self._hook_numbers,
        )

    def _of_leader(self, leader: str) -> list[Record]:
        """Entries of a leader, of its clips, and cuts of the strings they are on."""
        own = self._filed.get(LEADER, leader)
        records, cuts = list(own), {}
        for record in own:
            if record.entry.kind in _FIXES:
                records += self._filed.get(FIXING, record.id)
                fact = self._strings.get(record.body.string)
                if fact is not None and fact.cut is not None:
                    cuts[fact.hung.id] = fact.cut
        return [*records, *cuts.values()]

    def _picked_clean(self, root: Root, until: date) -> date | None:
        days = [
            record.day
            for record in self._filed.get(LEADER, root.leader)
            if record.entry.kind == "picked" and record.body.clean and record.day <= until
        ]
        for part in ("", root.tunnel, root.row, root.place):
            picked = self._clean.get((part, root.cultivar), [])
            days += picked[: bisect_right(picked, until)][-1:]
        last = max(days, default=None)
        return last if last is not None and last >= root.since else None

    def _update_house_values(self, kinds: Set[str], whole: bool) -> None:
        for field, (kind, work_out) in _HOUSE_VALUES.items():
            if whole or kind in kinds:
                self._house_values[field] = work_out(self._filed.get(kind), self._here, self.day)

    def _touched(self, dirty: set[str], records: list[Record], wide: bool) -> Touched:
        leaders = {leader for plant in dirty if plant in self._plants for leader in self._plants[plant].leader_ids}
        stands = [self._stands[plant] for plant in dirty]
        rows = {stand.standing.row_id for stand in stands if stand is not None and stand.standing is not None}
        parts = [self._here.part(record) for record in records]
        rows |= {part.row for part in parts if part is not None and part.row}
        return Touched(frozenset(leaders), frozenset(rows), wide)

    def _in_walking_order(self) -> list[str]:
        if self._walk is None:
            self._walk = sorted(self._plants, key=self._walk_key)
        return self._walk

    def _walk_key(self, plant: str) -> tuple[Any, ...]:
        stand, planted = self._stands[plant], self._filed.records[plant]
        standing = stand.standing if stand is not None else None
        if standing is None:
            return (1, planted)
        return (0, self._here.row_order[standing.row_id], standing.place.x_m, standing.place.name, planted)

    def _assembled(self) -> Season:
        plants = [(plant, self._plants[plant]) for plant in self._in_walking_order()]
        leaders = {leader.id: leader for _, plant in plants if plant.ended is None for leader in plant.leaders}
        gone = {leader.id: leader for _, plant in plants if plant.ended is not None for leader in plant.leaders}
        ends = [(id_, plant) for _, plant in plants if plant.ended is not None for id_ in plant.leader_ids]
        picks, picks_aside = house.picks(self._filed.get("picked"), self._here, leaders | gone)
        season = Season(
            day=self.day,
            holding=self._here.holding,
            layout=self._here.layout,
            leaders=leaders,
            ended={id_: plant.ended for id_, plant in ends if plant.ended is not None},
            strings=self._hanging_strings(),
            picks=picks,
            done=house.dones(self._filed.answered),
            last=self._filed.last_of(None),
            worked=self._filed.worked,
            set_aside=self._set_aside(picks_aside),
            gone=gone,
            ended_why={id_: plant.why for id_, plant in ends},
            **{field: value for field, (value, _) in self._house_values.items()},
        )
        looked = {row: self._filed.days_of("looked", row) for row in season.layout.rows}
        return replace(season, asked_and_done=asked_and_done(season, looked))

    def _set_aside(self, picks_aside: list[SetAside]) -> tuple[SetAside, ...]:
        """Each entry once, in the order of the journal."""
        every = [*self._filed.unfit.values(), *self._ground_aside, *self._strings_aside, *self._parts_aside]
        every += [set_aside for _, aside in self._house_values.values() for set_aside in aside]
        every += [aside for plant in self._plants.values() for aside in plant.aside]
        every += [*picks_aside, *self._loose()]
        once: dict[str, SetAside] = {}
        for aside in sorted(every, key=lambda aside: (aside.entry.order, aside.why)):
            once.setdefault(aside.entry.id, aside)
        return tuple(once.values())

    def _loose(self) -> Iterable[SetAside]:
        """Entries that lean on a plant, leader or clip that is not there."""
        leaders = {leader for plant in self._plants.values() for leader in plant.leader_ids}
        for plant, stand in self._stands.items():
            if stand is None:
                entry = self._filed.records[plant].entry
                yield SetAside(entry, f"there is no place {entry.about}")
        for shelf, missing, keys in (
            (PLANT, "plant", self._filed.keys(PLANT) - self._plants.keys()),
            (LEADER, "leader", self._filed.keys(LEADER) - leaders),
            (FIXING, "clip", {key for key in self._filed.keys(FIXING) if not self._is_clip(key, leaders)}),
        ):
            for key in keys:
                for record in self._filed.get(shelf, key):
                    yield SetAside(record.entry, f"the {missing} it speaks of is not there")

    def _is_clip(self, fixing: str, leaders: set[str]) -> bool:
        record = self._filed.records.get(fixing)
        return record is not None and record.entry.kind in _FIXES and record.body.leader in leaders


def _ended_by(plant: PlantNow, day: date) -> bool:
    """Whether nothing but its value is needed of it."""
    return plant.ended is not None and plant.ended <= day and not plant.aside and comes_back(plant)


def _waits(leader: Leader) -> bool:
    return any(accident.kind == "stem_kinked" and not accident.made_good for accident in leader.accidents)


def _hangs(record: Record) -> bool:
    kind = record.entry.kind
    return kind == "hung" or (kind == "lowered" and record.body.hook_u_m is not None)


_NOTHING: tuple[Any, Any] = (None, None)
"""Entry and body of a record that is only compared."""
_FIXES = frozenset({"clipped", "tied"})
_STRING_SHELVES = frozenset({("string_hung", ""), ("string_cut", "")})

_HOUSE_VALUES: dict[str, tuple[str, Callable[[Sequence[Record], Ground, date], tuple[Any, list[SetAside]]]]] = {
    "airs": ("air", lambda records, stood, _: house.airs(records, stood)),
    "forecasts": ("forecast", lambda records, _, day: house.forecasts(records, day)),
    "strength_tests": ("strength_tested", lambda records, _, __: (tuple(r.body for r in records), [])),
    "stock": ("stocked", lambda records, _, __: (house.stock(records), [])),
    "timings": ("timed", lambda records, _, __: (house.timings(records), [])),
    "fleece_on": ("fleece", lambda records, stood, _: house.switched(records, stood, lambda r: r.body.on)),
    "fleece_layers": ("fleece", lambda records, stood, _: house.switched(records, stood, lambda r: r.body.layers)),
    "doors_open": ("doors", lambda records, stood, _: house.switched(records, stood, lambda r: r.body.open)),
    "shade_on": ("shade", lambda records, stood, _: house.switched(records, stood, lambda r: r.body.on)),
    "reentry": ("treated", lambda records, stood, _: house.reentries(records, stood)),
    "picking_blocked_until": ("treated", lambda records, stood, _: house.blocked(records, stood)),
    "waterings": ("watered", lambda records, _, __: (house.dated_bodies(records), [])),
    "feeds": ("fed", lambda records, _, __: (house.dated_bodies(records), [])),
    "plans": ("plan_adopted", lambda records, _, __: house.plans(records)),
    "stockings": ("stocked", lambda records, _, __: (house.dated_bodies(records), [])),
    "bed_dressings": ("bed_dressed", lambda records, _, __: (house.dated_bodies(records), [])),
    "frosts": ("frosted", lambda records, _, __: (house.dated_bodies(records), [])),
    "crop_ends": ("crop_over", lambda records, _, __: (house.dated_bodies(records), [])),
    "room_decisions": ("room_decided", lambda records, _, __: (house.dated_bodies(records), [])),
    "bucket_tests": ("bucket_tested", lambda records, _, __: (house.dated_bodies(records), [])),
    "scoutings": ("scouted", lambda records, _, __: (house.dated_bodies(records), [])),
    "fruit_losses": ("fruit_lost", lambda records, _, __: (house.dated_bodies(records), [])),
    "truss_losses": ("truss_lost", lambda records, _, __: (house.dated_bodies(records), [])),
    "sowings": ("sown", lambda records, _, __: (house.dated_bodies(records), [])),
    "germinations": ("germinated", lambda records, _, __: (house.dated_bodies(records), [])),
    "pottings": ("potted_on", lambda records, _, __: (house.dated_bodies(records), [])),
    "hardenings": ("hardened", lambda records, _, __: (house.dated_bodies(records), [])),
    "notes": ("note", lambda records, _, __: (house.dated_bodies(records), [])),
    "aways": ("away", lambda records, _, __: (tuple((r.day, r.body.until) for r in records), [])),
}
"""Fields of the season that belong to tunnels or the house: the kind they come from and how."""
_SAID_KINDS = frozenset(kind for kind, _ in _HOUSE_VALUES.values())
