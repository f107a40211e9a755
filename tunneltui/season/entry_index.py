"""The live entries of a journal, filed under what they touch; entries may come and go in any order."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, KeysView, Sequence, Set
from datetime import date, timedelta
from functools import lru_cache
from operator import attrgetter, itemgetter
from typing import NamedTuple, TypeVar

from tunneltui.journal.body import Answers, BodyFault, answers, answers_in, from_plain, parsed, pieces_in
from tunneltui.journal.entry import Draft, Entry, written_at
from tunneltui.journal.kinds import KINDS, SPEAKS_OF_THE_FUTURE, Body
from tunneltui.journal.once import Answered, Claim, answered, claims_of, first_claim
from tunneltui.journal.order import MARKS, act_named, acts_out, kept_of_two
from tunneltui.season.past import Past, PastTouched
from tunneltui.season.state import Done, SetAside
from tunneltui.season.touch import SCOPE, Record, touched
from tunneltui.values import replace

_T = TypeVar("_T", Record, tuple[Record, Done])
_order = attrgetter("day", "at_us", "id")
"""Of an entry: its ``order``, for thousands at a time."""

_HOUSE_WIDE_CHANGES = frozenset({"picked", "planted"})
"""House-wide kinds of which each changed record counts, not only that the shelf changed."""
LASTING = frozenset(
    {
        *("blight", "end_rot", "low_fruit", "order", "put_right", "read_again", "set_out", "hang_strings"),
        *("load_hooks", "stood_before", "will_fit"),
    }
)
"""Kinds of chores whose tick holds beyond its day: what follows from something found, until it is found again,
the walk that puts the picture right, when plants were planted, a reading looked at again, what is done once for a
coming season, that stems will not fit, and what lies under fruit on the soil."""

WORKED_FOR = timedelta(days=28)
"""So far back it is looked for which days of the week are worked."""


class EntryIndex:
    """Entries up to a day, filed."""

    def __init__(self, day: date) -> None:
        self.day = day
        self.records: dict[str, Record] = {}
        """Live entries whose body fits, by id."""
        self.answered: list[tuple[Record, Done]] = []
        """Ticks of the day, those that last, and what is put off beyond the day."""
        self.unfit: dict[str, SetAside] = {}
        self.leaders_on: dict[str, set[str]] = {}
        """Leaders that were ever clipped to a string, by string; may name some whose entry counts no more."""
        self._last_days: dict[tuple[str, str], list[date]] = {}
        """Days of the entries by (kind, about), in order."""
        self._worked: Counter[date] = Counter()
        """Ticks on each day of the weeks before."""
        self._changed: set[tuple[str, str]] = set()
        self._changed_records: list[Record] = []
        self._shelves: dict[str, dict[str, list[Record]]] = defaultdict(lambda: defaultdict(list))
        self._entries: dict[str, Entry] = {}
        self._acts: dict[str, list[str]] = {}
        self._marks: dict[str, Entry] = {}
        self._out: frozenset[str] = frozenset()
        self._answering: dict[int, str | set[str]] = {}
        """The act, or the acts, that answer a chore, by the hash of that (``Answered.met_under``)."""
        self._machine: dict[int, str] = {}
        """The one machine that says a thing was done on a day, by the hash of that; '' where there are several."""
        self._contested: set[int] = set()
        """Chores answered by several acts of which something came or went."""
        self._cut: dict[str, dict[str, Entry]] = {}
        """Things that entries say were done though another act said so first, with its entry."""
        self.settled: Past | None = None
        """What no entry may touch any more."""

    def get(self, shelf: str, key: str = "") -> list[Record]:
        """Records under a key, in the order of the journal."""
        return self._shelves[shelf].get(key, [])

    def keys(self, shelf: str) -> KeysView[str]:
        return self._shelves[shelf].keys()

    def last_of(self, places: Set[str] | None) -> dict[tuple[str, str], date]:
        """Last day of an entry by (kind, about); of some places only where they are named."""
        if places is None:
            return {key: days[-1] for key, days in sorted(self._last_days.items())}
        keys = [(kind, place) for kind in KINDS for place in sorted(places)]
        return {key: self._last_days[key][-1] for key in keys if key in self._last_days}

    def days_of(self, kind: str, about: str) -> Sequence[date]:
        """Days of the entries of a kind about a thing, in order; a day may come more than once."""
        return self._last_days.get((kind, about), ())

    @property
    def worked(self) -> tuple[date, ...]:
        """Days of the last weeks, before this one, on which a chore was ticked."""
        return tuple(sorted(day for day, ticks in self._worked.items() if ticks > 0))

    def taken_changes(self) -> tuple[set[tuple[str, str]], list[Record]]:
        """What changed since this was last asked: shelves and keys, and single records where each counts."""
        changed, records = self._changed, self._changed_records
        self._changed, self._changed_records = set(), []
        return changed, records

    def add(self, entries: Iterable[Entry]) -> None:
        """File entries that speak by the day; those known already change nothing."""
        fresh = [entry for entry in entries if self._is_news(entry)]
        marked = any(entry.kind in MARKS or entry.id in self._marks for entry in fresh)
        for entry in fresh:
            self._take_in(entry)
        turned: frozenset[str] = frozenset()
        if marked:
            # Acts that turned from counting to not, or back.
            before, self._out = self._out, acts_out(self._marks.values())
            turned = before ^ self._out
        if self.settled is not None:
            self._refuse_old(self.settled, fresh, turned)
        ids = {entry.id for entry in fresh}.union(*(self._acts.get(act, ()) for act in turned))
        for entry in sorted((self._entries[id_] for id_ in ids), key=_order):
            self._set(entry, entry.act not in self._out)
        contested, self._contested = self._contested, set()
        self._settle(contested)

    def take_past(self, past: Past) -> None:
        """What a season has of the entries that a past left out."""
        for kind, records in past.of_house.items():
            self._shelves[kind][""] = list(records)
            self.records.update((record.id, record) for record in records)
        self.unfit = {aside.entry.id: aside for aside in past.repeats}
        self.leaders_on = {string: set(leaders) for string, leaders in past.on_strings.items()}
        self._last_days = {(kind, about): [day] for kind, about, day in past.last_days}

    def past_ids(self, until: date, is_over: Callable[[Record, str, str], bool]) -> set[str]:
        """Entries up to a day that nothing written later can touch, if only what ``is_over`` is settled.

        ``is_over``: of a record and what it touches. Marks and what they name stay, and ticks that last; of what
        several acts say they did of one chore either all is over or nothing.
        """
        marked = {act for mark in self._marks.values() for act in (mark.act, act_named(mark))}
        lasting = {record.id for record, _ in self.answered}
        repeats = {id_ for id_, aside in self.unfit.items() if aside.first is not None}
        ids = {
            id_
            for id_ in (self.records.keys() - lasting) | repeats
            if (entry := self._entries[id_]).day <= until and entry.act not in marked
            if not self._answers_later(entry, until)
            if all(is_over(self.records[id_], *key) for key in self._touched_by(id_))
        }
        groups = [
            {entry.id for entry, _, _ in self._answers_to(key)}
            for key, acts in self._answering.items()
            if isinstance(acts, set)
        ]
        while apart := [group for group in groups if not group.isdisjoint(ids) and not group <= ids]:
            ids.difference_update(*apart)
        return ids

    def touched_without(self, ids: Set[str]) -> set[tuple[str, str, str]]:
        """Shelf and key of all that is touched by others than these, with the id of one that does."""
        return {(id_, *key) for id_ in self.records.keys() - ids for key in self._touched_by(id_)}

    def _touched_by(self, id_: str) -> Iterable[tuple[str, str]]:
        record = self.records.get(id_)
        return touched(record.entry.kind, record.entry.about, record.body) if record is not None else ()

    @staticmethod
    def _answers_later(entry: Entry, until: date) -> bool:
        """Whether it answers a chore that another may answer after ``until``."""
        read = _read_of(entry)
        return read is not None and read.once is not None and read.once.chore[2] > until.isoformat()

    def _refuse_old(self, past: Past, fresh: Iterable[Entry], turned: Iterable[str]) -> None:
        """Raises ``PastTouched`` where one of these entries, or of the acts that turned, speaks of the past."""
        turning = [self._entries[id_] for act in turned for id_ in self._acts.get(act, ())]
        named = {act_named(mark) for mark in fresh if mark.kind in MARKS} - {None}
        late = any(
            entry.day <= past.until or entry.id in past.ids or entry.kind == "planted_about"
            for entry in (*fresh, *turning)
        )
        if late or not named.isdisjoint(past.acts) or not named <= self._acts.keys():
            raise PastTouched
        for entry in fresh:
            read = _read_of(entry)
            if read is not None and read.once is not None and read.once.chore[2] <= past.until.isoformat():
                raise PastTouched

    def pass_to(self, day: date) -> None:
        """Go on to a later day; what was written on the days between is to be added after that."""
        before, self.day = self.day, day
        self._worked[before] += sum(done.day == before and done.put_off_until is None for _, done in self.answered)
        self._worked = Counter({on: n for on, n in self._worked.items() if on >= day - WORKED_FOR})
        self.answered = [(record, done) for record, done in self.answered if self._holds_on(done)]
        for kind in SPEAKS_OF_THE_FUTURE:
            self._changed.add((kind, ""))
            for record in [record for record in self.get(kind) if before < record.day <= day]:
                self._unfile(record)
                self._file(record.entry)

    def _holds_on(self, done: Done) -> bool:
        """Whether what was answered on an earlier day is still answered."""
        return done.answers[0] in LASTING if done.put_off_until is None else done.put_off_until > self.day

    def _is_news(self, entry: Entry) -> bool:
        if entry.day > self.day and entry.kind not in SPEAKS_OF_THE_FUTURE:
            return False
        filed = self._entries.get(entry.id)
        return filed is None or (filed is not entry and kept_of_two(filed, entry) != filed)

    def _take_in(self, entry: Entry) -> None:
        filed = self._entries.get(entry.id)
        if filed is not None:
            # The same id with another text, from two laptops; ``fresh`` itself may hold both.
            entry = kept_of_two(filed, entry)
            # Forget one of two entries with one id.
            self._set(filed, False)
            self._acts[filed.act].remove(filed.id)
            self._marks.pop(filed.id, None)
        self._entries[entry.id] = entry
        self._acts.setdefault(entry.act, []).append(entry.id)
        if entry.kind in MARKS:
            self._marks[entry.id] = entry

    def _set(self, entry: Entry, counts: bool) -> None:
        filed = self.records.get(entry.id)
        if counts and filed is None and entry.id not in self.unfit:
            self._file(entry)
            self._answer(entry)
        elif not counts:
            self._take_off(entry)
            self._answer(entry)

    def _take_off(self, entry: Entry) -> None:
        self.unfit.pop(entry.id, None)
        self._cut.pop(entry.id, None)
        if (filed := self.records.get(entry.id)) is not None:
            self._unfile(filed)

    def _answer(self, entry: Entry) -> None:
        """Notes the act beside others that answer the same chore."""
        read = _read_of(entry)
        if read is None or read.once is None:
            return
        by_chore, by_day = map(hash, read.once.met_under(entry.day))
        if self._is_beside_others(by_chore, entry.act):
            self._contested.add(by_chore)
        # Two acts of one machine on one day only meet where they answer the same chore.
        if self._machine.setdefault(by_day, entry.device) != entry.device:
            self._machine[by_day] = ""
        if self._is_beside_others(by_day, entry.act) and not self._machine[by_day]:
            self._contested.add(by_day)

    def _is_beside_others(self, key: int, act: str) -> bool:
        acts = self._answering.setdefault(key, act)
        if isinstance(acts, set):
            acts.add(act)
        elif acts != act:
            self._answering[key] = {acts, act}
        else:
            return False
        return True

    def _settle(self, contested: Set[int]) -> None:
        """Of what several acts say they did of one chore the first to say so counts (rule 11)."""
        claims: dict[int, dict[tuple[object, str], list[Claim]]] = {}
        answers = {key: [*self._answers_to(key)] for key in contested}
        claimants = {claim[0].id: claim for of_chore in answers.values() for claim in of_chore}
        for entry, read, once in claimants.values():
            others = {}
            for thing in once.things:
                meets = []
                for chore in once.met_under(entry.day):
                    key = hash(chore)
                    if self._machine.get(key):
                        claims[key] = {}
                    if key not in claims:
                        answering = answers.get(key) or self._answers_to(key)
                        claims[key] = claims_of((entry, once) for entry, _, once in answering)
                    meets.append(claims[key].get((chore, thing), []))
                first = first_claim(Claim(entry.order, entry.act, entry.device), entry.day, *meets)
                if first is not None:
                    others[thing] = self._entries[first.order[2]]
            if others != self._cut.get(entry.id, {}):
                listed = getattr(read.body, "leaders", ())
                # A planting says how many leaders a plant has, not which.
                left = [leader for leader in listed if leader not in others] if isinstance(listed, tuple) else []
                self._refile(entry, others, bool(left) or not others)

    def _answers_to(self, key: int) -> Iterable[tuple[Entry, _ParsedBody, Answered]]:
        """Entries of acts that are not crossed out which answer a chore, in the order of the journal."""
        acts = self._answering[key]
        named = sorted(acts) if isinstance(acts, set) else [acts]
        ids = [id_ for act in named for id_ in self._acts.get(act, ()) if act not in self._out]
        for entry in sorted((self._entries[id_] for id_ in ids), key=_order):
            read = _read_of(entry)
            if read is None or read.once is None:
                continue
            if key in map(hash, read.once.met_under(entry.day)):
                yield entry, read, read.once

    def _refile(self, entry: Entry, others: dict[str, Entry], counts: bool) -> None:
        """The entry without the things that ``others`` say first; set aside where it says nothing else."""
        self._take_off(entry)
        if others:
            self._cut[entry.id] = others
        if counts:
            self._file(entry)
        else:
            first = min(others.values(), key=_order)
            who = first.by or f"machine {first.device}"
            why = f"{who} noted first that it was done, {first.day} at {written_at(first):%H:%M} UTC"
            self.unfit[entry.id] = SetAside(entry, why, first)

    def _file(self, entry: Entry) -> None:
        if entry.kind not in KINDS:
            self.unfit[entry.id] = SetAside(entry, "a newer version wrote it, this one does not know its kind")
            return
        try:
            body, given, pieces, _ = _read(entry.kind, entry.body)
        except BodyFault as fault:
            self.unfit[entry.id] = SetAside(
                entry, f"what it says does not fit its kind: {fault.__cause__ or fault}"
            )
            return
        if cut := self._cut.get(entry.id):
            body = replace(body, leaders=tuple(leader for leader in body.leaders if leader not in cut))
        record = Record(entry.day, entry.at_us, entry.id, entry, body)
        self.records[entry.id] = record
        for shelf, key in touched(entry.kind, entry.about, body):
            _put(self._shelves[shelf][key], record)
            self._note_change(shelf, key, record)
        if entry.kind in ("clipped", "tied") and body.string:
            self.leaders_on.setdefault(body.string, set()).add(body.leader)
        if given is not None and entry.kind not in MARKS:
            until = body.until if entry.kind == "put_off" else None
            lasts = until is None and given[0] in LASTING
            if until is None and self.day - WORKED_FOR <= entry.day < self.day:
                self._worked[entry.day] += 1
            if entry.day == self.day or lasts or (until is not None and until > self.day):
                _put(self.answered, (record, Done(given, entry.act, entry.day, until, pieces)))
        if entry.day <= self.day and entry.kind not in MARKS:
            insort(self._last_days.setdefault((entry.kind, entry.about), []), entry.day)

    def _unfile(self, record: Record) -> None:
        entry = record.entry
        del self.records[entry.id]
        for shelf, key in touched(entry.kind, entry.about, record.body):
            filed = self._shelves[shelf]
            filed[key].remove(record)
            if not filed[key]:
                del filed[key]
            self._note_change(shelf, key, record)
        at = bisect_left(self.answered, record, key=itemgetter(0))
        if at < len(self.answered) and self.answered[at][0] is record:
            del self.answered[at]
        ticks = entry.kind not in MARKS and entry.kind != "put_off" and answers(entry) is not None
        if ticks and entry.day in self._worked:
            self._worked[entry.day] -= 1
        days = self._last_days.get((entry.kind, entry.about))
        if days is not None and entry.day in days:
            days.remove(entry.day)
            if not days:
                del self._last_days[(entry.kind, entry.about)]

    def _note_change(self, shelf: str, key: str, record: Record) -> None:
        self._changed.add((shelf, key))
        if shelf == SCOPE or shelf in _HOUSE_WIDE_CHANGES:
            self._changed_records.append(record)


class _ParsedBody(NamedTuple):
    body: Body
    answers: Answers | None
    pieces: tuple[str, ...]
    once: Answered | None
    """What of that chore it says was done, where that is said once (``journal.once``)."""


@lru_cache(maxsize=50_000)
def _read(kind: str, text: str) -> _ParsedBody:
    # Remembered because a backtest folds the same journal at many days, and reading bodies is half the work.
    unfiled = Draft(kind, "", text)
    plain = parsed(unfiled)
    body = from_plain(unfiled, KINDS[kind], plain)
    return _ParsedBody(body, answers_in(plain), pieces_in(plain), answered(kind, plain))


def _read_of(entry: Entry) -> _ParsedBody | None:
    if '"answers"' not in entry.body or entry.kind not in KINDS:
        return None
    try:
        return _read(entry.kind, entry.body)
    except BodyFault:
        return None


def _put(records: list[_T], record: _T) -> None:
    """Nearly every record comes last."""
    if records and record < records[-1]:
        insort(records, record)
    else:
        records.append(record)
