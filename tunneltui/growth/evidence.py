"""What a leader's readings and lowerings say of its growth, its place and its trusses; what makes no sense is
flagged and left out.

On one day a tip is read before it is let out or after, as the notes follow each other.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from math import inf, log
from typing import Literal

from msgspec import Struct

from tunneltui import cells
from tunneltui.cells import say
from tunneltui.growth.counts import TrussCount, days_words, left_out, stood_still, truss_counts
from tunneltui.growth.defaults import COOLER_SHARE, PLANTED_LENGTH_M, STILL_DAYS
from tunneltui.growth.outlook import LeftOut
from tunneltui.growth.stems import READING_CM2, Grown
from tunneltui.holding.crops import USUAL, Crop
from tunneltui.holding.model import Row
from tunneltui.season.state import Accident, Leader, Lowering, Reading

SHRINKS_CM = 3.0
"""A stem read shorter by more than this did not just measure badly."""
PLANTED_AT_MOST_CM = 120.0
"""No plant is longer on the day it is put in. Common practice, no source."""
NOTED_LATE_DAYS = 28
"""Who begins a journal in mid season reads the stems within so many days. Assumed."""
TIP_READ_CM2 = 4.0
"""A tip's place under the wire, read with a rule: sd 2 cm. Assumed."""
TIP_BY_EYE_CM2 = 25.0 + 25.0 / 12
"""A tip's place noted at a lowering: sd 5 cm and noted in steps of 5 cm (assumed)."""
LENGTH_BY_PATH_CM2 = 225.0
"""A length read from the path that hook and tip leave it: sd 15 cm. Assumed."""
TARGET_UNDER_WIRE_CM = 50.0
"""Where a lowering as proposed leaves the tip."""
FINISH_CM2 = 25.0
FINISH_OFF_CM = 12.0
FINISH_OFF_CM2 = 64.0
"""Tip well under, or over, the proposal: 12 cm off with sd 8 cm. Assumed."""
LET_OUT_CM2 = 4.0
AIMED_CM2, AIMED_LET_OUT_CM2 = 144.0, 400.0
"""A tip let down by eye to where it was said to hang comes within a hand's breadth of it; what was let out for it
is then only about known (assumed). Ticked alone, it hangs there or, having hung lower before, where it hung."""
TICKED_CM2 = 9.0
TICKED_SHARE = 0.10
"""A lowering ticked as proposed: sd 3 cm and a tenth of what was proposed together. Some let out what is said,
others bring the tip to its place. Own simulation of 16 weeks."""
FOLDS_CM = 50.0
"""No tip stands further over its wire: it falls over (assumed)."""
LET_OUT_UNKNOWN_CM = 35.0
LET_OUT_UNKNOWN_CM2 = 225.0
DROPPED_CM2 = 2500.0
SNAPPED_CM = 25.0
"""Lost with a tip whose length left was not noted. Assumed."""
SNAPPED_CM2 = 225.0
SNAPPED_READ_CM2 = 25.0
MARKED_LATE_DAYS, USUAL_WEEK_DAYS = 14, 7
"""Stems are read weekly: a first reading so long after planting may be what grew since a mark nobody noted."""
ROWS_OF_FILES = "5"
"""Version of the uuid that entries read from a file are called by (``naming.import_id``)."""
ROOTING_DAYS = 7
"""What grows from so soon after planting on is the plant settling, not its pace. Seen in six crops of lit glass:
learned, it cost half of all accuracy (Hemming et al. 2019 and 2020)."""


class Growth(Struct, frozen=True):
    """Growth read from one day to another, for learning."""

    start: int
    end: int
    grown: Grown
    seen: Literal["length", "tip"]
    after_cm: float
    """Length, or height of the tip after letting out, on the last day as read."""


class Fix(Struct, frozen=True):
    """Something that shows or changes where a leader is, on a day."""

    day: int
    what: Literal[
        "length", "marked", "grown", "tip", "seen", "let out", "let down", "snapped", "dropped", "stopped"
    ]
    """``seen`` is a tip's place noted in passing, ``length`` and ``tip`` are read; ``let down`` is a height
    to which a tip was let down by eye, if it hung higher. ``marked``: what is read next as ``grown`` counts from
    here."""
    cm: float
    cm2: float
    go_cm: float = inf
    """Of what was let down: as much was said to be let out for it."""
    top_cm: float = inf
    """And higher than this no tip stood."""


class Evidence(Struct, frozen=True):
    leader: str
    growths: tuple[Growth, ...]
    fixes: tuple[Fix, ...]
    counts: tuple[TrussCount, ...]
    trusses: tuple[tuple[int, float], ...]
    """Flowering truss by day, as counted or added up."""
    none_open: int | None
    """Last day on which no truss was in flower yet."""
    lowest: tuple[tuple[int, float], ...]
    """Lowest truss not picked, by day."""
    hanging: tuple[int, int] | None
    """Day on which the trusses on it were last counted, and how many hung."""
    flagged: tuple[LeftOut, ...]
    measured_on: date | None
    still: tuple[tuple[int, int], ...] = ()
    """From which day to which its tip was gone and no shoot led yet."""
    stems: int = 1
    """Stems its readings are the mean of."""
    doubted: LeftOut | None = None
    """A reading left out that none since has settled."""


class _Anchor(Struct, frozen=True):
    day: int
    cm: float
    cm2: float


class _Reader:
    """Walks through one leader's notes in order of time. Private to ``evidence``."""

    def __init__(self, leader: Leader, wire_cm: float, crop: Crop) -> None:
        self.leader = leader
        self.fastest_cm_a_day = crop.fastest_cm_a_day
        self.usual_cm_a_day = crop.stem_cm_a_day * COOLER_SHARE
        self.wire_cm = wire_cm
        self.growths: list[Growth] = []
        self.fixes: list[Fix] = []
        self.flagged: list[LeftOut] = []
        self.doubted: LeftOut | None = None
        self.measured_on: date | None = None
        self._since = leader.since.toordinal()
        self._length: _Anchor | None = None
        self._visited: int | None = None
        """Last day on which something was read of it while nothing told its growth."""
        self._doubtful: _Anchor | None = None
        self._tip: _Anchor | None = None
        self._let_out_cm = self._let_out_cm2 = 0.0
        self._since_tip_known = True
        self._still_until = 0

    def _fault(self, grown_cm: float, days: int, slack_cm: float = SHRINKS_CM) -> str:
        return _fault(grown_cm, days, self.fastest_cm_a_day, slack_cm)

    def reading(self, reading: Reading) -> None:
        day = reading.day.toordinal()
        if reading.day < self.leader.since:
            self._flag(reading.day, fault="read before it was planted")
            return
        if reading.by != "rule":
            # By eye: it tells where the stem is, whatever was noted before, and nothing of how fast it came there.
            if reading.length_m is not None and reading.length_m > 0:
                self.fixes.append(Fix(day, "length", reading.length_m * 100, LENGTH_BY_PATH_CM2))
            if reading.tip_under_wire_m is not None:
                cm2 = TIP_BY_EYE_CM2 if reading.by == "eye" else FINISH_OFF_CM2
                self._tip_at(day, reading.tip_under_wire_m, cm2, "seen")
            return
        if reading.length_m is not None:
            self._read_length(reading.day, day, reading.length_m * 100, reading.stems)
        elif reading.growth_m is not None:
            self._read_growth(reading.day, day, reading.growth_m * 100, reading.stems)
        elif self._length is None:
            self._visited = day
        if reading.tip_under_wire_m is not None:
            self.measured_on = reading.day
            self._tip_at(day, reading.tip_under_wire_m, TIP_READ_CM2, learn=reading.length_m is None)

    def _read_length(self, on: date, day: int, cm: float, stems: int) -> None:
        if cm <= 0:
            self._flag(on, fault=say("{} is no length", _cm(cm)))
            return
        self.measured_on = on
        cm2 = READING_CM2 / stems
        before = self._length
        fault = self._fault(cm - before.cm, day - before.day) if before else self._since_planting(cm, day)
        if (
            fault
            and self._doubtful is not None
            and not self._fault(cm - self._doubtful.cm, day - self._doubtful.day)
        ):
            before, fault = self._doubtful, ""
        if fault:
            was_cm = before.cm if before else PLANTED_LENGTH_M * 100
            after = say(" after {}", _cm(before.cm)) if before else ""
            self._flag(on, fault=say("{}{}, {}", _cm(cm), after, fault))
            self._doubtful = _Anchor(day, cm, READING_CM2)
            self.fixes.append(Fix(day, "length", cm, max(cm2, (cm - was_cm) ** 2)))
            return
        if before is not None:
            self._learn(before, day, cm - before.cm, READING_CM2, "length", cm, stems)
        self._length, self._doubtful, self.doubted = _Anchor(day, cm, READING_CM2), None, None
        self.fixes.append(Fix(day, "length", cm, cm2))

    def _since_planting(self, cm: float, day: int) -> str:
        """Why a first length cannot be, or ''; soon after, the day of planting may be that of the first note."""
        days = day - self._since
        too_long = days >= NOTED_LATE_DAYS and cm > PLANTED_AT_MOST_CM + self.fastest_cm_a_day * days
        return say("more than {} a day since it was planted", _cm(self.fastest_cm_a_day)) if too_long else ""

    def _read_growth(self, on: date, day: int, cm: float, stems: int) -> None:
        self.measured_on = on
        before = self._length.cm if self._length is not None else PLANTED_LENGTH_M * 100
        start = self._length.day if self._length is not None else self._marked_on(day, cm)
        if start is None:
            why = "since when is not known; counted from here"
            self.flagged.append(left_out(self.leader, on, fault=say("grew {}, {}", _cm(cm), why)))
            self._length = _Anchor(day, before, READING_CM2)
            self.fixes.append(Fix(day, "marked", 0.0, 0.0))
            return
        if self._length is None and start > self._since:
            self.fixes.append(Fix(start, "marked", 0.0, 0.0))
        fault = self._fault(cm, day - start)
        if fault:
            self._flag(on, fault=say("grew {} in {}, {}", _cm(cm), days_words(day - start), fault))
        else:
            self._learn(_Anchor(start, before, READING_CM2), day, cm, READING_CM2, "length", before + cm, stems)
            self.fixes.append(Fix(day, "grown", cm, 2 * READING_CM2 / stems))
        self._length = _Anchor(day, before + (0.0 if fault else cm), READING_CM2)

    def _marked_on(self, day: int, cm: float) -> int | None:
        """Since when a stem grew whose growth is read for the first time: the day of its mark; else that of the
        last visit or of planting, whichever makes the pace more usual. None where that is today, or where it would
        be more so of a week: who began in mid season, or made a mark without a note, reads a week's growth."""
        marked_on = self.leader.marked_on
        if marked_on is not None and self._since <= marked_on.toordinal() < day:
            return marked_on.toordinal()
        if cm <= 0:
            return self._visited if self._visited is not None else self._since

        def strange(days: int) -> float:
            return abs(log(cm / (self.usual_cm_a_day * max(1, days))))

        starts = [start for start in (self._since, self._visited) if start is not None]
        start = min(starts, key=lambda start: strange(day - start))
        late = day - start > MARKED_LATE_DAYS
        return None if day == start or (late and strange(USUAL_WEEK_DAYS) < strange(day - start)) else start

    def lowering(self, lowering: Lowering) -> None:
        day = lowering.day.toordinal()
        let_out = lowering.let_out_m
        noted = lowering.tip_under_wire_m is not None or lowering.finish is not None
        if lowering.as_proposed and lowering.aimed_under_wire_m is not None and not noted:
            # A tick of what was aimed at: the tip hangs there or lower, and of its growth nothing was seen.
            self.fixes.append(let_down(day, self.wire_cm, lowering.aimed_under_wire_m or 0.0, lowering.let_out_m))
            self._tip, self._since_tip_known = None, True
            self._let_out_cm = self._let_out_cm2 = 0.0
            return
        if let_out is None:
            self._since_tip_known = False
            self.fixes.append(Fix(day, "let out", LET_OUT_UNKNOWN_CM, LET_OUT_UNKNOWN_CM2))
        else:
            cm2 = _let_out_cm2(lowering, let_out)
            self._let_out_cm += let_out * 100
            self._let_out_cm2 += cm2
            self.fixes.append(Fix(day, "let out", let_out * 100, cm2))
        under = _under_wire_cm(lowering)
        if under is not None:
            if lowering.tip_under_wire_m is not None:
                self.measured_on = lowering.day
            self._tip_at(day, under[0] / 100, under[1])

    def _tip_at(
        self,
        day: int,
        under_wire_m: float,
        cm2: float,
        what: Literal["tip", "seen"] = "tip",
        *,
        learn: bool = True,
    ) -> None:
        height = self.wire_cm - under_wire_m * 100
        if height < 0:
            self._flag(
                date.fromordinal(day), fault=say("tip {} under the wire is in the soil", cells.cm(under_wire_m))
            )
            return
        before = self._tip
        if before is not None and learn and what == "tip" and self._since_tip_known:
            cm = height + self._let_out_cm - before.cm
            both_cm2 = cm2 + self._let_out_cm2
            fault = self._fault(cm, day - before.day, slack_cm=SHRINKS_CM + 2 * (both_cm2 + before.cm2) ** 0.5)
            if fault:
                self._flag(
                    date.fromordinal(day), fault=say("tip {} under the wire, {}", cells.cm(under_wire_m), fault)
                )
            else:
                self._learn(before, day, cm, both_cm2, "tip", height)
        # From what was seen in passing no growth is counted either: a hand's breadth of two days is a leap.
        self._tip = _Anchor(day, height, cm2) if what == "tip" else None
        self._since_tip_known = True
        self._let_out_cm = self._let_out_cm2 = 0.0
        self.fixes.append(Fix(day, what, height, cm2))

    def _learn(
        self,
        before: _Anchor,
        day: int,
        cm: float,
        cm2: float,
        seen: Literal["length", "tip"],
        after_cm: float,
        stems: int = 1,
    ) -> None:
        self.doubted = None
        out_on = self.leader.tip_taken_out_on
        stopped = out_on is not None and out_on.toordinal() < day
        if day > before.day and before.day >= self._still_until and not stopped:
            soon = before.day - self.leader.planted_on.toordinal() < ROOTING_DAYS
            rooting = soon and after_cm - cm <= PLANTED_AT_MOST_CM
            grown = Grown(self.leader.id, cm, before.cm2 + cm2, stems, rooting)
            self.growths.append(Growth(before.day, day, grown, seen, after_cm))

    def accident(self, accident: Accident) -> None:
        day = accident.day.toordinal()
        self.doubted = None
        if accident.kind == "tip_snapped":
            placed = accident.s_m is not None
            left = accident.s_m * 100 if accident.s_m is not None else -SNAPPED_CM
            self.fixes.append(Fix(day, "snapped", left, SNAPPED_READ_CM2 if placed else SNAPPED_CM2))
            self._length = self._tip = self._doubtful = self._visited = None
            self._since = day
            self._still_until = day + STILL_DAYS
        elif accident.kind == "plant_dropped":
            self.fixes.append(Fix(day, "dropped", 0.0, DROPPED_CM2))
            self._tip = None

    def _flag(self, on: date, *, fault: str) -> None:
        self.doubted = left_out(self.leader, on, fault=fault)
        self.flagged.append(self.doubted)


def let_down(day: int, wire_cm: float, under_wire_m: float, let_out_m: float | None) -> Fix:
    """A tip let down by eye to hang so far under its wire, as a tick of it is read; about as much was said to be
    let out for it."""
    go_cm = inf if let_out_m is None else let_out_m * 100
    height_cm = max(0.0, wire_cm - under_wire_m * 100)
    return Fix(day, "let down", height_cm, AIMED_CM2, go_cm, wire_cm + FOLDS_CM)


def _cm(cm: float) -> cells.Quantity:
    return cells.cm(cm / 100)


def _fault(grown_cm: float, days: int, fastest_cm_a_day: float, slack_cm: float = SHRINKS_CM) -> str:
    """Why a growth cannot be, or ''."""
    if grown_cm < -slack_cm:
        return "shorter than before (slipped, tip broken, lowered?)"
    if days <= 0 and abs(grown_cm) > slack_cm:
        return "two readings of one day differ"
    if grown_cm > fastest_cm_a_day * days + slack_cm:
        return say("more than {} a day", _cm(fastest_cm_a_day))
    return ""


def _let_out_cm2(lowering: Lowering, let_out_m: float) -> float:
    """However it ended, what was let out to bring a tip to a place is only about known."""
    if lowering.aimed_under_wire_m is not None:
        return AIMED_LET_OUT_CM2
    return TICKED_CM2 + (TICKED_SHARE * let_out_m * 100) ** 2 if lowering.as_proposed else LET_OUT_CM2


def _under_wire_cm(lowering: Lowering) -> tuple[float, float] | None:
    """Where the tip hung after a lowering and the variance of that, in cm; None where nothing tells."""
    aimed = lowering.aimed_under_wire_m
    target_cm = TARGET_UNDER_WIRE_CM if aimed is None else aimed * 100
    if lowering.tip_under_wire_m is not None:
        return lowering.tip_under_wire_m * 100, TIP_BY_EYE_CM2
    if lowering.finish == "as_said":
        return target_cm, FINISH_CM2
    if lowering.finish == "well_under":
        return target_cm + FINISH_OFF_CM, FINISH_OFF_CM2
    if lowering.finish == "over":
        return target_cm - FINISH_OFF_CM, FINISH_OFF_CM2
    return None


def _lowered_before(reading: Reading, leader: Leader) -> int:
    """How often the leader was lowered before a reading. In the order of the notes, save that rows of a file come
    before the lowerings of their day: when they were written down is not known."""
    if reading.id[14:15] != ROWS_OF_FILES:
        return reading.lowerings
    return sum(lowering.day < reading.day for lowering in leader.lowerings)


def evidence_of(leader: Leader, row: Row, crop: Crop = USUAL) -> Evidence:
    """All that the journal says of one leader's growth, in order of time."""
    reader = _Reader(leader, row.wire_height_m * 100, crop)
    steps: list[tuple[date, float, Callable[[], None]]] = []
    steps += [(r.day, _lowered_before(r, leader), partial(reader.reading, r)) for r in leader.readings]
    steps += [(w.day, at + 0.5, partial(reader.lowering, w)) for at, w in enumerate(leader.lowerings)]
    steps += [(a.day, inf, partial(reader.accident, a)) for a in leader.accidents]
    for _, _, step in sorted(steps, key=lambda s: (s[0], s[1])):
        step()
    if leader.tip_taken_out_on is not None:
        reader.fixes.append(Fix(leader.tip_taken_out_on.toordinal(), "stopped", 0.0, 0.0))
    reader.fixes.sort(key=lambda fix: fix.day)
    counted = truss_counts(leader, crop)
    return Evidence(
        leader.id,
        tuple(reader.growths),
        tuple(reader.fixes),
        counted.counts,
        counted.trusses,
        counted.none_open,
        counted.lowest,
        counted.hanging,
        (*reader.flagged, *counted.flagged),
        reader.measured_on,
        stood_still(leader),
        leader.readings[-1].stems if leader.readings else 1,
        reader.doubted or counted.doubted,
    )
