"""Where one leader's tip is: stem length and tip height, kept together.

Both grow alike; letting out lowers the tip and leaves the length. Their errors are shared as far as their past
is: a tip read under the wire tells the length of a stem that stood upright so far. In cm; variances in cm2.
"""

from __future__ import annotations

from math import erf, exp, inf, pi, sqrt

from msgspec import Struct

from tunneltui.growth.defaults import STILL_DAYS
from tunneltui.growth.evidence import Fix
from tunneltui.values import replace

PAST_WIRE_CM = 20.0
"""A tip foreseen this far above the wire was lowered without a note."""
UNNOTED_UNDER_CM, UNNOTED_SD_CM = 25.0, 30.0
"""Let down to half a metre under its wire a tip grows up to it again: midway on average (common practice)."""
UNNOTED_CM2 = 150.0**2
"""A tip seen far from where it was foreseen may have been lowered any number of times without a note. Assumed."""
FAR_CM = 20.0
FAR_SD = 2.5
"""A tip seen nearer than this, in cm or in standard deviations, was not lowered without a note. Own simulation."""
SHORT_CM = 10.0
"""A go that falls shorter of its place than this is taken to be all that one go allows."""
LET_DOWN_MOST_CM = 40.0
"""The most in one go where the holding says nothing else (common practice, no source)."""
STRANGE_SD = 3.0
"""A length read so far from what was foreseen is no chance."""


class Position(Struct, frozen=True):
    """A leader on the day ``day`` (an ordinal)."""

    day: int
    length_cm: float
    tip_cm: float
    length_cm2: float
    shared_cm2: float
    tip_cm2: float
    grown_cm: float = 0.0
    """Since its length was last read, as taken to be."""
    grown_cm2: float = 0.0
    unread_cm: float = 0.0
    """Since its length was last read: a stem that outgrows its group does so all that way."""
    unseen_cm: float = 0.0
    """Since its length or the place of its tip was."""
    lowered: bool = False
    tip_read: bool = False
    unnoted: bool = False
    """It was lowered without a note: the tip hangs somewhere about the wire."""
    stopped_on: int | None = None
    still_until: int = 0
    """Its tip snapped and no shoot has taken over."""

    @staticmethod
    def planted(day: int, length_cm: float, sd_cm: float) -> Position:
        variance = sd_cm**2
        return Position(day, length_cm, length_cm, variance, variance, variance)

    def grow(self, day: int, cm: float, length_cm2: float, tip_cm2: float) -> Position:
        """The same leader later, having grown ``cm``, by which its length and its tip are as much less sure."""
        return Position(
            day,
            self.length_cm + cm,
            self.tip_cm + cm,
            self.length_cm2 + length_cm2,
            self.shared_cm2 + tip_cm2,
            self.tip_cm2 + tip_cm2,
            self.grown_cm + cm,
            self.grown_cm2 + length_cm2,
            self.unread_cm + cm,
            self.unseen_cm + cm,
            self.lowered,
            self.tip_read,
            self.unnoted,
            self.stopped_on,
            self.still_until,
        )

    def within_wire(self, wire_cm: float, stopped_there: bool = False) -> Position:
        """A tip that would stand well above the wire hangs somewhere under it: its lowerings were not noted. One
        that is stopped there, not lowered, hangs at the wire."""
        if self.tip_read or self.tip_cm <= wire_cm + PAST_WIRE_CM:
            return self
        hangs_cm = wire_cm if stopped_there else wire_cm - UNNOTED_UNDER_CM
        return replace(
            self,
            tip_cm=hangs_cm,
            shared_cm2=0.0,
            tip_cm2=UNNOTED_SD_CM**2,
            unseen_cm=0.0,
            lowered=True,
            unnoted=True,
        )

    def take(self, fix: Fix) -> Position:
        """After a fix of this day."""
        if fix.what == "length":
            return self._length_read(fix.cm, fix.cm2)
        if fix.what == "marked":
            return self._with(self.length_cm, self.tip_cm, grown_cm=0.0, grown_cm2=0.0)
        if fix.what == "grown":
            return self._growth_read(fix.cm, fix.cm2)
        if fix.what in ("tip", "seen"):
            before = self._before_seen(fix) if fix.what == "seen" else self
            after = before._tip_read(fix.cm, fix.cm2)
            return after if self.tip_read else replace(after, tip_read=True, unnoted=False)
        if fix.what == "let down":
            return replace(self._let_down(fix), tip_read=True, unnoted=False)
        if fix.what == "let out" and self.unnoted and fix.cm > LET_DOWN_MOST_CM:
            # More than a go allows: what was taken to be let out before is noted at last, its tip comes no lower.
            return self
        if fix.what == "stopped":
            return replace(self, stopped_on=fix.day)
        if fix.what == "snapped":
            return self._snapped(fix)
        down_cm = fix.cm if fix.what == "let out" else 0.0
        return self._with(self.length_cm, self.tip_cm - down_cm, tip_cm2=self.tip_cm2 + fix.cm2, lowered=True)

    def _with(
        self,
        length_cm: float,
        tip_cm: float,
        length_cm2: float | None = None,
        shared_cm2: float | None = None,
        tip_cm2: float | None = None,
        grown_cm: float | None = None,
        grown_cm2: float | None = None,
        unread_cm: float | None = None,
        unseen_cm: float | None = None,
        lowered: bool = False,
    ) -> Position:
        """The same day; what is not given stays. Written out, as it runs a thousand times in an outlook."""
        return Position(
            self.day,
            length_cm,
            tip_cm,
            self.length_cm2 if length_cm2 is None else length_cm2,
            self.shared_cm2 if shared_cm2 is None else shared_cm2,
            self.tip_cm2 if tip_cm2 is None else tip_cm2,
            self.grown_cm if grown_cm is None else grown_cm,
            self.grown_cm2 if grown_cm2 is None else grown_cm2,
            self.unread_cm if unread_cm is None else unread_cm,
            self.unseen_cm if unseen_cm is None else unseen_cm,
            self.lowered or lowered,
            self.tip_read,
            self.unnoted,
            self.stopped_on,
            self.still_until,
        )

    def _before_seen(self, fix: Fix) -> Position:
        """A tip seen far from where it was foreseen was lowered without a note. One nearer by was not, and what is
        seen counts the more the further it lies from what was foreseen."""
        off = fix.cm - self.tip_cm
        if self.unnoted or abs(off) > max(FAR_CM, FAR_SD * sqrt(self.tip_cm2 + fix.cm2)):
            return self._with(self.length_cm, self.tip_cm, tip_cm2=self.tip_cm2 + UNNOTED_CM2)
        return self._with(self.length_cm, self.tip_cm, tip_cm2=max(self.tip_cm2, off**2 / 4 - fix.cm2))

    def _length_read(self, cm: float, cm2: float) -> Position:
        off = cm - self.length_cm
        if off**2 > (STRANGE_SD**2) * (self.length_cm2 + cm2):
            # What was taken to be is wrong: it was planted before its note. Upright, its tip is as far off.
            unsure2 = off**2 / 4 - cm2
            upright2 = None if self.lowered else unsure2
            unsure = self._with(self.length_cm, self.tip_cm, unsure2, upright2, upright2)
            return unsure._length_read(cm, cm2)
        gain = self.length_cm2 / (self.length_cm2 + cm2)
        gain_tip = self.shared_cm2 / (self.length_cm2 + cm2)
        return self._with(
            self.length_cm + gain * off,
            self.tip_cm + gain_tip * off,
            self.length_cm2 * (1 - gain),
            self.shared_cm2 * (1 - gain),
            self.tip_cm2 - gain_tip * self.shared_cm2,
            grown_cm=0.0,
            grown_cm2=0.0,
            unread_cm=0.0,
            unseen_cm=0.0,
        )

    def _tip_read(self, cm: float, cm2: float) -> Position:
        gain = self.tip_cm2 / (self.tip_cm2 + cm2)
        gain_length = self.shared_cm2 / (self.tip_cm2 + cm2)
        off = cm - self.tip_cm
        return self._with(
            self.length_cm + gain_length * off,
            self.tip_cm + gain * off,
            self.length_cm2 - gain_length * self.shared_cm2,
            self.shared_cm2 * (1 - gain),
            self.tip_cm2 * (1 - gain),
            grown_cm=self.grown_cm + gain_length * off,
            unseen_cm=0.0,
            lowered=True,
        )

    def _let_down(self, fix: Fix) -> Position:
        """Let down by eye to a height: one that hung lower hangs there still. Where one go was said to fall short
        of it, one that hung higher than a go reaches came down by that go. Mean and variance of a normal height in
        parts, each as it was or as it came down, none higher than a tip can stand."""
        top = max(fix.top_cm - fix.cm, 0.0)
        sd, over = sqrt(max(self.tip_cm2, 1e-6)), min(self.tip_cm - fix.cm, top)
        go = fix.go_cm if over > fix.go_cm + SHORT_CM else 0.0
        mean, _, able = _between(over, sd, -inf, top)
        low, low2, lower = _between(over, sd, -inf, 0.0)
        high, high2, higher = _between(over - go, sd, 0.0, top - go) if go else (0.0, 0.0, 0.0)
        off, off2 = (low + high) / able, (low2 + high2) / able
        with_before = off2 + (go * high - mean * off) / able
        return self._with(
            self.length_cm,
            fix.cm + off,
            shared_cm2=self.shared_cm2 * with_before / sd**2,
            tip_cm2=off2 - off**2 + fix.cm2 * (1 - lower / able),
            unseen_cm=self.unseen_cm * (lower + higher) / able,
            lowered=True,
        )

    def _growth_read(self, cm: float, cm2: float) -> Position:
        """Growth since the last reading replaces what was foreseen for the same days."""
        gain = self.grown_cm2 / (self.grown_cm2 + cm2)
        off = gain * (cm - self.grown_cm)
        growth_cm2 = gain * self.grown_cm2
        return self._with(
            self.length_cm + off,
            self.tip_cm + off,
            max(1.0, self.length_cm2 - growth_cm2),
            max(0.0, self.shared_cm2 - growth_cm2),
            max(1.0, self.tip_cm2 - growth_cm2),
            grown_cm=0.0,
            grown_cm2=0.0,
            unread_cm=0.0,
            unseen_cm=0.0,
        )

    def _snapped(self, fix: Fix) -> Position:
        left = self.length_cm + fix.cm if fix.cm < 0 else fix.cm
        lost = self.length_cm - max(5.0, left)
        snapped = self._with(
            self.length_cm - lost,
            self.tip_cm - lost,
            fix.cm2,
            0.0 if self.lowered else fix.cm2,
            self.tip_cm2 + fix.cm2 if self.lowered else fix.cm2,
            grown_cm=0.0,
            grown_cm2=0.0,
            unread_cm=0.0,
            unseen_cm=0.0,
        )
        return replace(snapped, still_until=fix.day + STILL_DAYS)


def _between(mean: float, sd: float, low: float, high: float) -> tuple[float, float, float]:
    """First and second moment about nought of what of a normal value lies between two, and the chance of that."""
    if low >= high:
        return 0.0, 0.0, 0.0
    (chance_low, density_low), (chance_high, density_high) = (_normal((at - mean) / sd) for at in (low, high))
    chance = chance_high - chance_low
    first = mean * chance + sd * (density_low - density_high)
    edges = (low * density_low if density_low else 0.0) - (high * density_high if density_high else 0.0)
    return first, sd * sd * chance + mean * first + sd * edges, chance


def _normal(z: float) -> tuple[float, float]:
    """Of a standard normal value: the chance to be lower, and the density there."""
    return (1 + erf(z / sqrt(2))) / 2, exp(-z * z / 2) / sqrt(2 * pi)
