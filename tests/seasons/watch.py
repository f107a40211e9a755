"""What is held against the rounds of a season, morning by morning, with the truth beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import NamedTuple

from tests.seasons.growers import LAST_AWAY
from tests.seasons.hands import Hands, let_out_of
from tests.seasons.houses import House
from tests.seasons.truth.garden import Garden
from tests.seasons.truth.stem import Stem
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.holding.model import WEEKDAYS
from tunneltui.journal.body import typed
from tunneltui.journal.kinds_holding_up import Lowered, Unclipped
from tunneltui.season.state import Leader

HEAD_WORK = frozenset({"lower", "twist_in", "clip_head"})
AFTER_FROST = frozenset({
    "strip_green", "clearing", "make_bed", "look", "pick", "put_right", "set_out", "sow", "order", "frost_took",
    "load_hooks", "look_wire", "hang_strings", "raise", "fleece", "vents",
})  # fmt: skip
"""What may still be asked once frost took the crop: fruit that is sound, clearing, and what comes next."""
SECOND_CLIPS_A_DAY = 6
FAILED = ("popped_open", "broke", "stem_pulled_out", "slid")
NEEDLESS_UNDER_M = 0.70
WRONG_LET_OUT_M = 0.15
BACK_UNDER_M, CLEAR_M = 0.50, 0.10
STARVED_DAYS = 7
RUNNING_WORK_DAYS = 5
LONG_WEEKS = 8
EVERY_DAYS = 7
"""Bands are held against the truth once a week: days on end say the same."""


class Fault(NamedTuple):
    """Something a round should not have said."""

    day: date
    what: str
    """impossible, starved, needless, over minutes, must again, refused."""
    kind: str
    about: str
    says: str


class Day(NamedTuple):
    """A morning as it was planned."""

    day: date
    there: float
    planned: float
    musts: float
    later: int


@dataclass(slots=True)
class Bands:
    """How often the truth lay inside."""

    asked: int = 0
    held: int = 0
    off_m: float = 0.0

    def take(self, low: float, high: float, true: float) -> None:
        self.asked += 1
        self.held += low - 1e-6 <= true <= high + 1e-6
        self.off_m += (low + high) / 2 - true


@dataclass
class Watch:
    """Counts of one season."""

    house: House
    garden: Garden
    hands: Hands
    days: list[Day] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    lowerings: int = 0
    needless: int = 0
    wrong_let_outs: int = 0
    late_lowerings: int = 0
    """Asked eight weeks after the beginning or later."""
    unread_lengths: Bands = field(default_factory=Bands)
    unread_tips: Bands = field(default_factory=Bands)
    ticked_tips: Bands = field(default_factory=Bands)
    back_minutes: float | None = None
    """Planned musts of the first morning after a fortnight away."""
    _waits: dict[tuple[str, str], date] = field(default_factory=dict)
    _starved: set[tuple[str, str]] = field(default_factory=set)
    _musts: Counter[tuple[str, str]] = field(default_factory=Counter)
    _held_on: date | None = None

    def morning(self, shown: Morning) -> None:
        """Before the work of the day."""
        walk = shown.round
        asked = [chore for spot in walk.spots for chore in spot.chores]
        musts = sum(chore.minutes for chore in asked if chore.must)
        self.days.append(Day(walk.day, walk.minutes_there, walk.minutes_planned, musts, len(walk.later)))
        if self.back_minutes is None and walk.day > LAST_AWAY:
            self.back_minutes = musts
        if walk.minutes_planned - musts > walk.minutes_there + 0.5:
            self._fault(
                walk.day, "over minutes", "", "", f"{walk.minutes_planned:.0f} of {walk.minutes_there:.0f}"
            )
        for chore in asked:
            self._impossible(shown, chore)
        self._contradictions(walk.day, asked, walk.later)
        self._second_clips(shown, [chore for chore in asked if chore.kind == "second_clip"])
        self._lowerings(shown, [*asked])
        self._starving(shown)
        if self._held_on is None or (walk.day - self._held_on).days >= EVERY_DAYS:
            self._held_on = walk.day
            self._bands(shown)

    def evening(self, shown: Morning, done: Iterable[tuple[str, str]]) -> None:
        """A must that was done and is a must again, and again."""
        finished = set(done)
        asked = {(c.kind, c.about) for spot in shown.round.spots for c in spot.chores if c.must}
        for key in asked:
            self._musts[key] = self._musts[key] + 1 if key in finished else 0
            if self._musts[key] == RUNNING_WORK_DAYS + 1:
                self._fault(
                    shown.day, "must again", *key, f"{RUNNING_WORK_DAYS + 1} work days running, done each time"
                )
        for key in [key for key in self._musts if key not in asked]:
            del self._musts[key]

    def _fault(self, day: date, what: str, kind: str, about: str, says: str) -> None:
        self.faults.append(Fault(day, what, kind, about, says))

    # ------------------------------------------------------------------------------------------ what cannot be

    def _impossible(self, shown: Morning, chore: Chore) -> None:
        for why in self._why_impossible(shown, chore):
            self._fault(shown.day, "impossible", chore.kind, chore.about, f"{why}: {chore.proposal}")

    def _why_impossible(self, shown: Morning, chore: Chore) -> Iterator[str]:
        season = shown.season
        known = [season.leaders[id_] for id_ in chore.leaders if id_ in season.leaders]
        if len(known) < len(chore.leaders):
            yield "a plant that is gone"
        if any(leader.planted_on > shown.day for leader in known):
            yield "before planting"
        stopped = [leader.name for leader in known if leader.tip_taken_out_on is not None]
        if stopped and chore.kind in ("tip_out", "twist_in", "clip_head"):
            yield f"a stopped head ({stopped[0]})"
        off = [leader.name for leader in known if _is_off(leader, shown.day)]
        if off and chore.kind in ("lower", "twist_in", "clip_head", "tip_out"):
            yield f"a snapped head ({off[0]})"
        still = any(not body.took_crop for _, _, body in season.frosts)
        if self._frost_noted(shown) and not still and chore.kind not in AFTER_FROST:
            yield "after the frost"
        if chore.kind in ("lower", "take_back_clips") and (bare := self._last_clip(shown, chore)):
            yield f"the last clip ({bare})"

    def _frost_noted(self, shown: Morning) -> bool:
        killed = self.garden.book.frost_on
        airs = [air for airs in shown.season.airs.values() for day, air in airs.items() if day == killed]
        return killed is not None and any(air.min_c is not None and air.min_c <= -1.0 for air in airs)

    def _last_clip(self, shown: Morning, chore: Chore) -> str:
        """A head that would hang on nothing once the clips are opened that the chore opens."""
        bodies = [typed(one) for one in chore.writes]
        opened = {body.fixing for body in bodies if isinstance(body, Unclipped)}
        if not opened:
            return ""
        closed = {getattr(body, "leader", "") for body in bodies if getattr(body, "on", "") == "head"}
        for id_ in chore.leaders:
            leader = shown.season.leaders.get(id_)
            if leader is None or leader.twisted_in_on is not None or id_ in closed:
                continue
            head = [fixing.id for fixing in leader.fixings if fixing.on == "head"]
            if head and opened.issuperset(head) and leader.hook is not None:
                return leader.name
        return ""

    def _contradictions(self, day: date, asked: list[Chore], later: Iterable[Chore]) -> None:
        kinds: dict[str, set[str]] = {}
        places: set[tuple[str, str]] = set()
        for chore in asked:
            for id_ in chore.leaders:
                # Two second clips of one stem are on two strings.
                twice = chore.kind == "second_clip" and (chore.kind, chore.about) in places
                if chore.kind in kinds.setdefault(id_, set()) and (twice or chore.kind in HEAD_WORK):
                    self._fault(
                        day, "impossible", chore.kind, chore.about, f"twice for one head: {chore.proposal}"
                    )
                kinds[id_].add(chore.kind)
            places.add((chore.kind, chore.about))
        for chore in asked:
            if chore.kind == "tip_out" and any(kinds[x] & {"twist_in", "clip_head"} for x in chore.leaders):
                self._fault(
                    day, "impossible", "tip_out", chore.about, f"held and stopped at once: {chore.proposal}"
                )
        lowered = {id_ for chore in asked if chore.kind == "lower" for id_ in chore.leaders}
        for chore in later:
            if chore.kind == "deleaf" and not lowered.isdisjoint(chore.leaders) and chore.earliest <= day:
                self._fault(
                    day, "impossible", "deleaf", chore.about, f"later, on stems lowered today: {chore.proposal}"
                )

    def _second_clips(self, shown: Morning, asked: Iterable[Chore]) -> None:
        """No more in a day than anybody works, and none at a head before one there has failed."""
        head_failed = any(
            ending.fixing.on == "head" and ending.how in FAILED
            for leader in (*shown.season.leaders.values(), *shown.season.gone.values())
            for ending in leader.endings
        )
        beside_musts = 0
        for chore in asked:
            beside_musts += not chore.must
            if not head_failed and any(getattr(typed(one), "on", "") == "head" for one in chore.writes):
                self._fault(shown.day, "impossible", chore.kind, chore.about, f"a head clip: {chore.proposal}")
        if beside_musts > SECOND_CLIPS_A_DAY:
            self._fault(shown.day, "impossible", "second_clip", "", f"{beside_musts} second clips in a day")

    # ------------------------------------------------------------------------------------------ lowerings

    def _lowerings(self, shown: Morning, asked: Iterable[Chore]) -> None:
        late = (shown.day - self.house.begins_on).days >= 7 * LONG_WEEKS
        for chore in asked:
            if chore.kind != "lower":
                continue
            measures = any("measure" in said.lower() for said in (chore.proposal, chore.why))
            for body in (typed(one) for one in chore.writes):
                if (
                    isinstance(body, Lowered)
                    and (stem := self.hands.stem(body.leader)) is not None
                    and stem.stands
                ):
                    self._lowering(shown, body, stem, late and not measures)

    def _lowering(self, shown: Morning, body: Lowered, stem: Stem, late: bool) -> None:
        self.lowerings += 1
        under_m = -stem.over_m
        if under_m > NEEDLESS_UNDER_M:
            self.needless += 1
            self._fault(
                shown.day, "needless", "lower", stem.name, f"its tip is {under_m:.2f} m under its limit, "
                f"{body.let_out_m or 0:.2f} m asked"
            )  # fmt: skip
        if late:
            self.late_lowerings += 1
            # Said as a place for the tip it is seen when it is there: nothing is let out where it hangs lower.
            let_out_m = let_out_of(stem, body)
            back_m = self._back_under_m(shown.day, stem)
            right_m = min(max(0.0, back_m - under_m), self.house.plan.holding.limits.lower_most_m)
            self.wrong_let_outs += abs(let_out_m - right_m) > WRONG_LET_OUT_M

    def _back_under_m(self, day: date, stem: Stem) -> float:
        """Half a metre; in a row that has its own work day, as far as it grows to the next, and a margin."""
        work_day = self.house.plan.rows[stem.row][1].work_day
        if work_day is None:
            return BACK_UNDER_M
        days = next(ahead for ahead in range(4, 11) if WEEKDAYS[(day.weekday() + ahead) % 7] == work_day)
        return max(BACK_UNDER_M, CLEAR_M + days * stem.week_cm / 700 * stem.vigour)

    # ------------------------------------------------------------------------------------------ starving

    def _starving(self, shown: Morning) -> None:
        """Due work that stays in Later, day after day, with minutes free."""
        walk, day = shown.round, shown.day
        free = walk.minutes_there - walk.minutes_planned
        due = {(c.kind, c.about): c for c in walk.later if c.earliest <= day and c.latest <= day}
        # What goes by pieces fits into any free time; three minutes are the smallest piece of a pick.
        waiting = {key for key, chore in due.items() if free >= min(chore.minutes, 3.0)}
        for key in [key for key in self._waits if key not in waiting]:
            del self._waits[key]
            self._starved.discard(key)
        for key in waiting:
            since = self._waits.setdefault(key, day)
            if (day - since).days > STARVED_DAYS and key not in self._starved:
                self._starved.add(key)
                self._fault(
                    day, "starved", *key, f"waits since {since:%d %b}, {free:.0f} min free: {due[key].proposal}"
                )

    # ------------------------------------------------------------------------------------------ bands

    def _bands(self, shown: Morning) -> None:
        for id_, leader in shown.season.leaders.items():
            stem = self.hands.stem(id_)
            if stem is None or not stem.stands or id_ not in shown.outlook.leaders or not stem.dead_seen:
                continue
            if not stem.snapped_seen or not stem.dropped_seen or stem.dropped_on is not None:
                continue
            now = shown.outlook.stem(id_, shown.day)
            if not any(x.length_m is not None or x.growth_m is not None for x in leader.readings):
                self.unread_lengths.take(now.length_m.low, now.length_m.high, stem.length_m)
            if leader.tip_taken_out_on is not None or stem.stopped_on is not None:
                continue
            tips = [x.day for x in leader.readings if x.tip_under_wire_m is not None]
            tips += [x.day for x in leader.lowerings if x.tip_under_wire_m is not None]
            if not tips:
                self.unread_tips.take(now.tip_z_m.low, now.tip_z_m.high, stem.tip_m)
            if (
                leader.lowerings
                and leader.lowerings[-1].as_proposed
                and max(tips, default=date.min) < (leader.lowerings[-1].day)
            ):
                self.ticked_tips.take(now.tip_z_m.low, now.tip_z_m.high, stem.tip_m)


def _is_off(leader: Leader, day: date) -> bool:
    """Its tip snapped, and no shoot can lead yet."""
    return any(one.kind == "tip_snapped" and day - one.day < timedelta(days=14) for one in leader.accidents)
