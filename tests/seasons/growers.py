"""Growers who work by the round, each with habits, and one who ignores it and works fixed weekly passes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from tests.seasons.door import Door
from tests.seasons.hands import CORE, PIECE_MINUTES, STEPS_MINUTES, Hands
from tests.seasons.houses import YEAR, House
from tests.seasons.quirks import forecast, quirks
from tests.seasons.truth.garden import Garden
from tests.seasons.truth.stem import Stem
from tunneltui.chores.chore import Chore, Piece
from tunneltui.chores.exceptions import only, together
from tunneltui.chores.morning import Morning
from tunneltui.chores.put_right import CropStep, HookStep, Step, Walk, begin, marks
from tunneltui.chores.put_right_answers import answer_step
from tunneltui.chores.stood_before import WEEKS_AGO
from tunneltui.chores.wording import HAND_M
from tunneltui.holding.model import WEEKDAYS
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import answers_in, draft, parsed, typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_care import Forecast
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.journal.kinds_journal import Note
from tunneltui.values import replace

MUSTS_RUN_OVER = 1.5
"""Times the minutes there are that musts may take before a grower goes in for breakfast."""
SEEN_OFF_M = 0.15
"""A tip that hangs so far from where it was said to be is noted by who reads tips."""
SAVED_MINUTES = 5.0
"""Who is done so much sooner than planned looks what else waits (assumed)."""
SAID_FIRST = ("frost_took", "stood_before")
"""What is asked of the grower and answered before the walk."""
FIRST_AWAY, LAST_AWAY = date(YEAR, 7, 10), date(YEAR, 7, 23)


@dataclass(frozen=True, slots=True)
class Habits:
    """How a grower takes the round."""

    name: str
    skips: float = 0.0
    """Share of mornings, and of the chores of the others, that are left out."""
    misses: float = 0.0
    """Share of stems of a pass that are ticked with the others, but were not done."""
    reads: bool = True
    """Weighs picks, reads what a reading is asked for, and tips that hang otherwise than said."""
    reports: bool = True
    """Notes failures and accidents that are seen."""
    blunders: float = 0.02
    """Spread of what is weighed, counted or read, as a share."""
    away: bool = False


OBEDIENT = Habits("obedient")
TICKS_ONLY = Habits("ticks only", reads=False, reports=False)
SLOPPY = Habits("sloppy", skips=0.30, misses=0.08, blunders=0.12)
AWAY = Habits("away", away=True)
BY_NAME = {habits.name: habits for habits in (OBEDIENT, TICKS_ONLY, SLOPPY, AWAY)}
FIXED = "fixed passes"


@dataclass(slots=True)
class Spent:
    """Minutes, of one day or a season, by kind of chore."""

    kinds: Counter[str] = field(default_factory=Counter)

    def take(self, kind: str, minutes: float) -> None:
        # A counter of minutes: its type speaks of whole numbers only.
        self.kinds[kind] += minutes  # type: ignore[assignment]

    @property
    def all(self) -> float:
        return sum(self.kinds.values())

    @property
    def core(self) -> float:
        return sum(minutes for kind, minutes in self.kinds.items() if kind in CORE)


class ByTheRound:
    """Does what the round says, as far as the minutes go."""

    def __init__(self, house: House, garden: Garden, hands: Hands, door: Door, habits: Habits) -> None:
        self.house, self.garden, self.hands, self.door, self.habits = house, garden, hands, door, habits
        self.quirks = quirks(house)
        self.in_crate_kg = 0.0
        """Picked and to be weighed with the next."""
        self.luck = Random(f"{habits.name} {house.seed}")
        self.spent = Spent()
        self.season_spent = Spent()
        self.steps_in: set[str] = set()
        self.minutes = float(house.minutes)
        self.noted_until = house.begins_on - timedelta(days=1)
        """The air was written down to here."""
        self.done: list[tuple[str, str]] = []
        """(kind, about) of the day's chores that were done to their end."""

    # ------------------------------------------------------------------------------------------ the day

    def comes(self, day: date) -> bool:
        if WEEKDAYS[day.weekday()] not in self.house.work_days:
            return False
        if self.habits.away and FIRST_AWAY <= day <= LAST_AWAY:
            return False
        return not self._is_skipped(f"{day}")

    def notes_before(self) -> None:
        """What is written down before the round is looked at: the air, and plants that frost took."""
        self._air()
        if self.quirks.reads_forecast and self.habits.reads:
            day = self.garden.day
            coming = [self.garden.air[day + timedelta(days=ahead)] for ahead in range(5)]
            lows, highs = forecast(self.quirks, self.house.seed, day, coming)
            self.door.write([draft("", Forecast(f"{day}", lows, highs))])

    def work(self, shown: Morning) -> None:
        """A look first, for what it finds is planned for; then the walk."""
        self.spent, self.steps_in, self.done = Spent(), set(), []
        looks = [chore for spot in shown.round.spots for chore in spot.chores if chore.kind == "look"]
        found = [self._look(chore) for chore in looks if not self._leaves_out(chore)]
        if any(found) | self._says_what_only_a_grower_knows(shown):
            shown = self.door.round()
        left_out = self._walk(shown)
        if shown.round.later and self._saved(shown, left_out) >= SAVED_MINUTES:
            # Less was there than was planned for: what waited comes in its place, as on the screen after a tick.
            self._walk(self.door.round(self.minutes - self.spent.all - left_out))
        self.season_spent.kinds.update(self.spent.kinds)

    def _walk(self, shown: Morning) -> float:
        """Does the round; the minutes of what is left out."""
        left_out = 0.0
        for chore in [chore for spot in shown.round.spots for chore in spot.chores]:
            if self._leaves_out(chore):
                left_out += chore.minutes
            elif chore.kind not in ("look", *SAID_FIRST):
                self._do(chore, shown)
        return left_out

    def _saved(self, shown: Morning, left_out: float) -> float:
        return min(shown.round.minutes_planned, self.minutes) - self.spent.all - left_out

    def _says_what_only_a_grower_knows(self, shown: Morning) -> bool:
        """Whether the crop stands after a frost, and when it was planted; then the round is planned anew."""
        asked = [c for spot in shown.round.spots for c in spot.chores if c.kind in SAID_FIRST]
        for chore in asked:
            key = self._of_frost() if chore.kind == "frost_took" else self._of_planting()
            self._spend(chore.kind, chore.minutes)
            self._written(chore, next(one for one in chore.choices if one.key == key).writes)
        return bool(asked)

    def _of_frost(self) -> str:
        return "s" if any(stem.stands for stem in self.garden.stems) else "f"

    def _of_planting(self) -> str:
        """Who does not know the day knows the month."""
        noted_late = 0 if self.house.day_known else (self.house.begins_on - self.house.planted_on).days
        weeks = {"n": 0} | WEEKS_AGO
        return min(weeks, key=lambda key: abs(7 * weeks[key] - noted_late))

    def _leaves_out(self, chore: Chore) -> bool:
        return self._is_skipped(f"{self.garden.day} {chore.kind} {chore.about}")

    def _is_skipped(self, what: str) -> bool:
        """The same mornings and chores are left out whatever else is asked for: rules are held against each other
        over the same gaps."""
        return Random(f"{self.habits.name} {self.house.seed} {what}").random() < self.habits.skips

    def _do(self, chore: Chore, shown: Morning) -> None:
        special: dict[str, Callable[[Chore, Morning], None]] = {
            "pick": self._pick,
            "lower": self._lower,
            "put_right": self._put_right,
            "mark_plants": self._read,
            "read_again": self._read,
            "dropped": self._rescue,
        }
        special.get(chore.kind, self._plain)(chore, shown)

    def _time_for(self, chore: Chore, minutes: float) -> bool:
        most = self.minutes * (MUSTS_RUN_OVER if chore.must else 1.0)
        return self.spent.all + minutes <= most + 1e-9

    def _spend(self, kind: str, minutes: float) -> None:
        self.spent.take(kind, minutes)

    def _fetch_steps(self, chore: Chore) -> None:
        if chore.overhead and chore.row not in self.steps_in:
            self.steps_in.add(chore.row)
            self._spend(chore.kind, STEPS_MINUTES)

    # ------------------------------------------------------------------------------------------ most chores

    def _plain(self, chore: Chore, _shown: Morning) -> None:
        """Piece after piece as far as the time goes; what is left stays open."""
        if chore.kind == "tip_out" and "only those that have come to it" in chore.proposal:
            self._hold_those_under_the_wire(chore)
        meant = self._as_far_as_time_goes(chore)
        if meant is not None:
            self._written(meant, self._answer_of(meant))

    def _hold_those_under_the_wire(self, chore: Chore) -> None:
        """Answered one by one: a tip that has not come to the wire is wound in and goes on growing."""
        stems = {id_: stem for id_ in chore.leaders if (stem := self.hands.stem(id_)) is not None and stem.stands}
        under = {id_: stem for id_, stem in stems.items() if not self._is_fit(chore, stem)}
        held = next((one for one in only(chore, set(under)).choices if one.key == "w"), None) if under else None
        if held is not None and self._time_for(chore, len(under) * PIECE_MINUTES["twist_in"]):
            for stem in under.values():
                self._spend("twist_in", self.hands.minutes("twist_in", stem, 0.75))
            self._written(only(chore, set(under)), held.writes)

    def _answer_of(self, chore: Chore) -> Sequence[Draft]:
        """What the pieces write; where it is to be decided, the answer given by its letter: a tip comes out
        where the whole row's do, at the wire or at the season's end; else the first, the harmless one."""
        if not chore.choices:
            return chore.writes or (draft(chore.about, Note(text=""), answers=chore.answers),)
        if chore.kind == "tip_out" and chore.about in self.house.plan.rows:
            out = [c for c in chore.choices if any(one.kind == "tip_taken_out" for one in c.writes)]
            return (out or list(chore.choices))[0].writes
        return chore.choices[0].writes

    def _as_far_as_time_goes(self, chore: Chore) -> Chore | None:
        took = set()
        for piece in chore.pieces:
            stems = [stem for id_ in piece.leaders if (stem := self.hands.stem(id_)) is not None]
            if piece.leaders and not [stem for stem in stems if self._is_fit(chore, stem)]:
                continue
            minutes = self._minutes(chore.kind, piece, stems)
            if not self._time_for(chore, minutes):
                break
            self._fetch_steps(chore)
            self._spend(chore.kind, minutes)
            took.add(piece.key)
        return only(chore, took) if took else None

    def _minutes(self, kind: str, piece: Piece, stems: Sequence[Stem]) -> float:
        if not stems:
            return self.hands.minutes(kind, None, piece.minutes)
        return sum(self.hands.minutes(kind, stem, piece.minutes / len(stems)) for stem in stems)

    def _is_fit(self, chore: Chore, stem: Stem) -> bool:
        """Seen at the stem itself: nothing is done to a dead one, nor to a head that is off or on the floor."""
        self._see(stem)
        kind = chore.kind
        if not stem.stands:
            return kind in ("clearing", "strip_green")
        if kind in ("lower", "twist_in", "clip_head"):
            return stem.dropped_on is None and not self._is_headless(stem)
        if kind == "tip_out" and "only those that have come to it" in chore.proposal:
            return stem.over_wire_m >= -HAND_M or "picked green" in chore.why
        return True

    def _is_headless(self, stem: Stem) -> bool:
        return stem.resumes_on is not None and self.garden.day < stem.resumes_on - timedelta(days=5)

    def _written(self, chore: Chore, writes: Sequence[Draft]) -> None:
        """Ticked, and done but for those that were missed."""
        entries = self.door.write(together(writes))
        self.hands.handle(entries, self._missed(chore))
        self.done.append((chore.kind, chore.about))

    def _missed(self, chore: Chore) -> frozenset[str]:
        if not self.habits.misses:
            return frozenset()
        return frozenset(id_ for id_ in chore.leaders if self.luck.random() < self.habits.misses)

    # ------------------------------------------------------------------------------------------ looking

    def _look(self, chore: Chore) -> bool:
        """Walks along a row; whether something was found that the round is to know."""
        row = chore.row
        stems = [stem for stem in self.garden.by_row.get(row, ()) if stem.stands or not stem.dead_seen]
        self._spend("look", sum(self.hands.minutes("look", stem, 0.08) for stem in stems))
        found = False
        for stem in stems:
            if self.habits.misses and self.luck.random() < 5 * self.habits.misses:
                continue
            found |= self._see(stem)
            found |= self._see_clips(stem)
        self.door.write(together(chore.writes))
        self.done.append((chore.kind, chore.about))
        return found

    def _see(self, stem: Stem) -> bool:
        """Notes what happened to a stem; whether anything was written."""
        wrote = []
        if stem.dead_on is not None and not stem.dead_seen:
            for one in self.hands.stems_of_plant(stem.plant):
                one.dead_seen = True
            wrote += self._report("plant_lost", f"plant={stem.place}")
        if not stem.stands:
            return bool(wrote)
        if not stem.snapped_seen:
            stem.snapped_seen = True
            wrote += self._report("tip_snapped", f"leader={stem.name}")
        if not stem.kinked_seen:
            stem.kinked_seen = True
            wrote += self._report("stem_kinked", f"leader={stem.name}")
        if not stem.dropped_seen:
            stem.dropped_seen = True
            wrote += self._report("plant_dropped", f"leader={stem.name}")
        if stem.dropped_on is not None and not self.habits.reports:
            # Nobody walks past a plant on the floor.
            self._spend("dropped", self.hands.minutes("dropped", stem, 8.0))
            self.garden.rescue(stem)
        if stem.grows and stem.id in self.hands.said_out:
            # Missed when the others came out, it stands over them all; nobody leaves it so once it is seen.
            self._spend("tip_out", self.hands.minutes("tip_out", stem, 0.25))
            self.garden.take_tip(stem)
        return bool(wrote)

    def _see_clips(self, stem: Stem) -> bool:
        wrote = []
        for clip in [clip for clip in stem.clips if not clip.holds and not clip.seen]:
            clip.seen = True
            if self.habits.reports:
                wrote += self.door.add("clip_failed", f"fixing={clip.fixing}", "how=popped_open")
            else:
                self._spend("repair", self.hands.minutes("repair", stem, 1.0))
                clip.holds, clip.closed_on = True, self.garden.day
        return bool(wrote)

    def _report(self, kind: str, word: str) -> list[object]:
        return list(self.door.add(kind, word)) if self.habits.reports else []

    def _rescue(self, chore: Chore, shown: Morning) -> None:
        self._plain(chore, shown)
        for leader in chore.leaders:
            stem = self.hands.stem(leader)
            if stem is not None and (chore.kind, chore.about) in self.done:
                self.garden.rescue(stem)

    # ------------------------------------------------------------------------------------------ picking

    def _pick(self, chore: Chore, shown: Morning) -> None:
        row, body = chore.row, next(b for one in chore.writes if isinstance(b := typed(one), Picked))
        fruit = self.house.sorts[body.cultivar].fruit
        left = self.minutes * (MUSTS_RUN_OVER if chore.must else 1.0) - self.spent.all
        if left <= 0.5:
            return
        a_kg = self.hands.minutes_a_kg(fruit)
        kg = self.garden.pick(row, body.cultivar, left / a_kg)
        self._spend("pick", max(0.3, kg * a_kg))
        clean = self.garden.ripe_kg(row, body.cultivar) < 0.03
        weighed = round(max(0.0, self._on_scale(kg, chore, shown) * self.luck.gauss(1.0, self.habits.blunders)), 1)
        if not self.habits.reads or self.in_crate_kg or self.quirks.weighs_on not in (None, shown.day.weekday()):
            if clean:
                self.door.write(chore.writes)
        elif clean:
            self.door.done(f"{row} {body.cultivar} {weighed:g}", shown)
        else:
            self.door.add("picked", f"cultivar={body.cultivar}", f"kg={weighed:g}", "clean=false", about=row)
        if clean:
            self.done.append((chore.kind, chore.about))

    def _on_scale(self, kg: float, chore: Chore, shown: Morning) -> float:
        """What is weighed now, or stays in the crate under the day's next pick."""
        kg, self.in_crate_kg = kg + self.in_crate_kg, 0.0
        picks = [one for spot in shown.round.spots for one in spot.chores if one.kind == "pick"]
        if self.quirks.two_in_a_crate and any(one is chore for one in picks[:-1]):
            self.in_crate_kg = kg if self.luck.random() < self.quirks.two_in_a_crate else 0.0
        return kg

    # ------------------------------------------------------------------------------------------ lowering

    def _lower(self, chore: Chore, shown: Morning) -> None:
        meant = self._as_far_as_time_goes(chore)
        if meant is None:
            return
        # Noting how a stem lies lets nothing out.
        noted = {id_ for piece in meant.pieces if "note it as" in piece.what for id_ in piece.leaders}
        missed = self._missed(meant) | noted
        self.hands.handle([one for one in meant.writes if one.kind == "lowered"], missed)
        entries = self.door.write([self._with_tip(shown, one) for one in meant.writes])
        self.hands.handle([one for one in entries if one.kind != "lowered"], missed)
        self.done.append((chore.kind, chore.about))

    def _with_tip(self, shown: Morning, one: Draft) -> Draft:
        """The tip as it is seen to hang after letting out, where that is not as said."""
        body = typed(one)
        if not self.habits.reads or not isinstance(body, Lowered) or body.leader not in shown.outlook.leaders:
            return one
        stem = self.hands.stem(body.leader)
        if stem is None:
            return one
        said_m = shown.outlook.stem(body.leader, shown.day).tip_z_m.mid - (body.let_out_m or 0.0)
        if body.aimed_under_wire_m is not None:
            said_m = stem.wire_m - body.aimed_under_wire_m
        if abs(said_m - stem.tip_m) <= SEEN_OFF_M:
            return one
        under_m = round((stem.wire_m - stem.tip_m) * self.luck.gauss(1.0, self.habits.blunders), 2)
        read, plain = replace(body, tip_under_wire_m=under_m, as_proposed=False), parsed(one)
        return draft(one.about, read, answers_in(plain), next(iter(plain.get("pieces", ())), ""))

    # ------------------------------------------------------------------------------------------ reading

    def _read(self, chore: Chore, _shown: Morning) -> None:
        """Growth since the last mark, trusses, and the tip; by who reads nothing it is ticked all the same."""
        meant = self._as_far_as_time_goes(chore)
        if meant is None:
            return
        self._written(meant, self._answer_of(meant))
        if not self.habits.reads:
            return
        for leader in meant.leaders:
            stem = self.hands.stem(leader)
            if stem is not None and stem.stands:
                self._measure(stem)

    def _measure(self, stem: Stem) -> None:
        off, read_m = self.luck.gauss(0.0, 0.010 + 0.1 * self.habits.blunders**2), self.quirks.read_m
        words = [f"leader={stem.name}", f"tip_under_wire_m={read_m(stem.wire_m - stem.tip_m + off):.2f}"]
        if stem.marked_length_m is not None and stem.length_m > stem.marked_length_m:
            words.append(f"growth_m={read_m(stem.length_m - stem.marked_length_m + off):.2f}")
        elif stem.length_m < stem.reach_m + 0.2:
            words.append(f"length_m={read_m(stem.length_m + off):.2f}")
        flowering = int(stem.flowering // 1) + self.quirks.truss_off
        if stem.flowering >= 1 and flowering >= 1 and self.quirks.counts:
            words.append(f"flowering_truss={flowering}")
        lowest = next((truss.number for truss in stem.trusses if truss.kg > 0.01), None)
        if lowest is not None and stem.flowering >= 1 and self.quirks.counts:
            words.append(f"lowest_truss={lowest}")
        stem.marked_length_m, stem.marked_flowering = stem.length_m, stem.flowering
        self.door.add("measured", *words)

    # ------------------------------------------------------------------------------------------ putting right

    def _put_right(self, chore: Chore, shown: Morning) -> None:
        loops = self.house.plan.loops
        if chore.about not in loops:
            self._look_where_it_hangs(chore)
            return
        if not self.habits.reads:
            self._plain(chore, shown)
            return
        walk = begin(self.door.season, shown.outlook, chore.about, chore)
        while walk.left:
            minutes = self.hands.minutes("put_right", None, 0.1)
            if not self._time_for(chore, minutes):
                return
            self._spend("put_right", minutes)
            walk = self._answered(walk, walk.left[0])
        self.done.append((chore.kind, chore.about))

    def _answered(self, walk: Walk, step: Step) -> Walk:
        try:
            made = answer_step(walk, step, self._answer(walk, step))
        except UserError as fault:
            self.door.refused.append(f"{self.door.day} put-right {step.key}: {fault}")
            made = answer_step(walk, step, "")
        entries = self.door.write(made.drafts)
        self._link(entries)
        return made.walk

    def _answer(self, walk: Walk, step: Step) -> str:
        if isinstance(step, HookStep):
            return self._hook_answer(walk, step)
        if isinstance(step, CropStep):
            stem = self.hands.stem(step.leaders[0])
            hanging = sum(truss.ripe_on is None for truss in stem.trusses) if stem is not None else 0
            return f"{hanging}l{round(stem.leaves)}" if stem is not None else ""
        u_m = self.hands.strings_u_m.get(step.string, step.u_m)
        count = sum(
            any(c.holds and c.u_m is not None and abs(c.u_m - u_m) < 0.05 for c in stem.clips)
            for stem in self.garden.stems
            if stem.loop == walk.loop.id and stem.stands
        )
        return f"{'+' * (count // 10)}{count % 10}"

    def _hook_answer(self, walk: Walk, step: HookStep) -> str:
        stem = self.hands.stem(step.leader)
        if stem is None or not stem.stands or stem.hook_u_m is None:
            return ""
        nearest = min(marks(walk), key=lambda mark: abs(mark.u_m - (stem.hook_u_m or 0.0)), default=None)
        where = ""
        if nearest is not None:
            hands = round((stem.hook_u_m - nearest.u_m) / HAND_M)
            where = f"{nearest.row}/{nearest.number}"
            where += f"{'+' if hands > 0 else '-'}{abs(hands)}" if hands else ""
        off = self.luck.gauss(1.0, self.habits.blunders)
        # Nobody reads a tip in the soil, however small the plant.
        under_cm = round(100 * min((stem.wire_m - stem.tip_m) * off, stem.wire_m - 0.05))
        tip = f"t{'-' if under_cm < 0 else ''}{abs(under_cm)}"
        return f"{where}{'f' if stem.loose_m >= self.house.plan.holding.limits.unheld_head_m else ''}{tip}"

    def _link(self, entries: Sequence[Entry]) -> None:
        """Clips noted on the walk are those that hang there; what nobody ever closed stays a note."""
        for entry in entries:
            body = typed(entry)
            stem = self.hands.stem(getattr(body, "leader", ""))
            u_m = self.hands.strings_u_m.get(getattr(body, "string", ""))
            if stem is None or u_m is None:
                continue
            for clip in stem.clips:
                if not clip.fixing and clip.u_m is not None and abs(clip.u_m - u_m) < 0.05:
                    clip.fixing = entry.id
                    break

    def _look_where_it_hangs(self, chore: Chore) -> None:
        meant = self._as_far_as_time_goes(chore)
        if meant is None:
            return
        self._written(meant, self._answer_of(meant))
        if not self.habits.reads:
            return
        for leader in meant.leaders:
            stem = self.hands.stem(leader)
            if stem is not None and stem.stands and stem.hook_u_m is not None:
                self.door.add("hung", f"leader={stem.name}", f"hook_u_m={stem.hook_u_m:.2f}")
                self.door.add(
                    "measured", f"leader={stem.name}", f"tip_under_wire_m={stem.wire_m - stem.tip_m:.2f}"
                )

    # ------------------------------------------------------------------------------------------ air

    def _air(self) -> None:
        """A logger's days since it was last read out; a thermometer's night, each time it is passed."""
        yesterday = self.garden.day - timedelta(days=1)
        if self.house.air_noted == "logger":
            since = self.noted_until
            days = [since + timedelta(days=n) for n in range(1, (yesterday - since).days + 1)]
        elif self.house.air_noted == "thermometer" or self._burnt(yesterday):
            days = [yesterday] if yesterday >= self.house.begins_on else []
        else:
            days = []
        self.door.add_each("air", [(self._air_words(day), day) for day in days])
        self.noted_until = yesterday

    def _burnt(self, day: date) -> bool:
        return self.habits.reports and self.garden.book.frost_on == day

    def _air_words(self, day: date) -> tuple[str, ...]:
        air = self.garden.air[day]
        lowest_c = air.min_c + (2.0 if self.garden.fleece_on else 0.0)
        return (f"min_c={lowest_c:.1f}", f"max_c={air.max_c:.1f}")


class FixedPasses:
    """Never opens the program. Each pass has its turn once a week; what does not fit goes on the next work day."""

    LOWERS_UNDER_M = 0.30
    """A head so near its limit is lowered, to half a metre under it."""

    def __init__(self, house: House, garden: Garden, hands: Hands) -> None:
        self.house, self.garden, self.hands = house, garden, hands
        self.minutes = float(house.minutes)
        self.season_spent = Spent()
        self.spent = Spent()
        self.last: dict[tuple[str, str], date] = {}
        """By (pass, stem), the day it was last done."""
        self.pick_days = frozenset(house.plan.holding.work.pick_days)

    def comes(self, day: date) -> bool:
        return WEEKDAYS[day.weekday()] in self.house.work_days

    def work(self) -> None:
        self.spent = Spent()
        for step in (self._look, self._pick, self._tips, self._lower, self._heads, self._shoots, self._leaves):
            step()
        self.season_spent.kinds.update(self.spent.kinds)

    def _time_for(self, minutes: float) -> bool:
        return self.spent.all + minutes <= self.minutes + 1e-9

    def _standing(self) -> Iterator[Stem]:
        return (stem for stem in self.garden.stems if stem.stands)

    def _pass(self, kind: str, every_days: int, wanted: Callable[[Stem], bool]) -> Iterator[Stem]:
        """Stems whose turn it is, longest left first, as far as the time goes."""
        day = self.garden.day
        due: list[tuple[int, int, Stem]] = []
        for stem in self._standing():
            since = (day - self.last.get((kind, stem.name), stem.planted_on)).days
            if since >= every_days and wanted(stem):
                due.append((-since, len(due), stem))
        for _, _, stem in sorted(due, key=lambda one: one[:2]):
            minutes = self.hands.minutes(kind, stem, 0.5)
            if not self._time_for(minutes):
                return
            self._count(kind, minutes)
            self.last[(kind, stem.name)] = day
            yield stem

    def _count(self, kind: str, minutes: float) -> None:
        self.spent.take(kind, minutes)

    def _look(self) -> None:
        """What lies on the floor is seen in passing; the rest when a stem is handled."""
        for stem in self._standing():
            if stem.dropped_on is not None:
                self._count("dropped", self.hands.minutes("dropped", stem, 8.0))
                stem.dropped_seen = True
                self.garden.rescue(stem)

    def _mend(self, stem: Stem) -> None:
        for clip in stem.clips:
            if not clip.holds:
                self._count("repair", self.hands.minutes("repair", stem, 1.0))
                clip.holds, clip.seen, clip.closed_on = True, True, self.garden.day
        stem.snapped_seen = stem.kinked_seen = True

    def _pick(self) -> None:
        day = self.garden.day
        if WEEKDAYS[day.weekday()] not in self.pick_days and not self._left_over():
            return
        for row in self.house.plan.rows:
            for sort in self.house.sorts.values():
                a_kg = self.hands.minutes_a_kg(sort.fruit)
                left = self.minutes - self.spent.all
                if left > 1.0:
                    kg = self.garden.pick(row, sort.key, left / a_kg)
                    self._count("pick", max(0.3, kg * a_kg) if kg else 0.0)

    def _left_over(self) -> bool:
        """What was not finished on the pick day goes on."""
        day = self.garden.day
        old = (
            truss.ripe_on is not None and (day - truss.ripe_on).days > 4
            for stem in self._standing()
            for truss in stem.trusses
        )
        return any(old)

    def _tips(self) -> None:
        for stem in self._pass("tip_out", 1, self._tip_is_due):
            self.garden.take_tip(stem)

    def _tip_is_due(self, stem: Stem) -> bool:
        """By the almanac: eight weeks before the bed is wanted back or the usual frost, three where fruit is
        picked a fortnight after its flower (garden rule)."""
        if not stem.grows:
            return False
        if stem.training == "pinched_at_wire" and stem.tip_m >= stem.wire_m - 0.05:
            return True
        frost = date(YEAR, 11, 10) - timedelta(days=round(2.2 * (self.house.latitude_deg - 38)))
        end = min(self.house.ends_on or frost, frost)
        return self.garden.day >= end - timedelta(days=21 if stem.cucumber else 56)

    def _heads(self) -> None:
        for stem in self._pass("twist_in", 6, lambda stem: stem.grows and stem.dropped_on is None):
            self._mend(stem)
            self.garden.hold_head(stem)

    def _lower(self) -> None:
        def due(stem: Stem) -> bool:
            near = stem.over_m > -self.LOWERS_UNDER_M
            return near and stem.grows and stem.training != "pinched_at_wire" and stem.dropped_on is None

        rows = set()
        for stem in self._pass("lower", 3, due):
            if self.hands.is_overhead(stem.row) and stem.row not in rows:
                rows.add(stem.row)
                self._count("lower", STEPS_MINUTES)
            self._mend(stem)
            self._lowered(stem)

    def _lowered(self, stem: Stem) -> None:
        """To half a metre under its limit, the hook on as far, as long as there is wire; then coiled."""
        let_out_m = min(0.50, stem.over_m + 0.50)
        loop = self.house.plan.loops[stem.loop]
        hook_u_m = (stem.hook_u_m or stem.root_u_m) + 1.05 * let_out_m
        if not loop.closed:
            hook_u_m = min(hook_u_m, loop.length_m)
        before = stem.hook_u_m or stem.root_u_m
        self.garden.lower(stem, let_out_m, hook_u_m)
        if stem.training == "tiered":
            for u_m in self.hands.strings_u_m.values():
                if before - 0.3 < u_m <= hook_u_m - 0.3 and not any(c.u_m == u_m for c in stem.clips):
                    self._count("lower", self.hands.minutes("clip_to_string", stem, 0.35))
                    self.garden.clip_to_string(stem, u_m)

    def _shoots(self) -> None:
        """Weekly; a stopped stem still shoots from its top, half as often seen to."""
        for stem in self._pass("side_shoot", 7, lambda stem: stem.grows):
            self.garden.take_shoots(stem)
        for stem in self._pass("side_shoot", 14, lambda stem: not stem.grows):
            self.garden.take_shoots(stem)

    def _leaves(self) -> None:
        for stem in self._pass("deleaf", 9, lambda stem: stem.leaves > 17):
            self.garden.take_leaves(stem, 4)

    def ends(self) -> bool:
        """The bed's day, or frost."""
        return (self.house.ends_on is not None and self.garden.day >= self.house.ends_on) or (
            self.garden.book.frost_on is not None
        )

    def clear(self) -> None:
        """Ripe and green fruit off, everything out."""
        for stem in self.garden.stems:
            if stem.removed_on is None:
                self.season_spent.take("strip_green", self.hands.minutes("strip_green", stem, 1.0))
        for place in self.house.plan.places:
            self.season_spent.take("clearing", self.hands.minutes("clearing", None, 4.0))
            self.garden.remove([stem for stem in self.garden.stems if stem.place == place])
