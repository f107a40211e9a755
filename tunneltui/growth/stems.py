"""Stem growth of one cultivar in one row: a level they share, an effect of each leader, learned from readings.

State: the logarithm of the group's growth in cm a day at 20 degC and 12 h with its variance, and an effect of
each leader ever read, the larger the more uneven the row proves. Readings come visit by visit; a visit's hour
or weather moves all of them together. Noise is in cm and does not shrink with growth. A reading above what was
foreseen teaches the logarithm of its ratio, since ``ratio - 1`` in a state of logarithms overshoots: three
stems read at twice the rate assumed would teach two and a half times it. One below teaches ``ratio - 1``, so
that a stem that stood still or shrank is no special case.

Constants: own comparison on ten stems of Ohio 2024 and two lit compartments (Hemming et al. 2020), settled before
other crops were looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from math import exp, log, sqrt
from statistics import median
from typing import NamedTuple

from tunneltui.growth.widths import Widths, WidthsSeen

LEVEL_SD = 0.50
"""How far a crop's level may lie from what is assumed of its kind: lit ones grow at twice it."""
ASSUMED_SD = 0.30
"""The same for most crops; intervals of a group that was never read go by it."""
LEADER_SD = 0.03
"""Lasting differences between stems that are read: 2 to 3 % in Ohio 2024. How uneven a row is, is learned."""
PRIOR_STEMS = 5.0
APART_HALF_DAYS = 28.0
"""Differences between stems pass: what was seen of them counts half after so long. By how much a stem led in one
week, it led by a quarter in the next and by a tenth or less in those after (54 stems of a field trial, Buck et al.
2008, and Ohio 2024)."""
MOST_APART = log(3.0)
"""A stem at three times its row's pace, or a third of it, is a misreading or another plant. Common practice, no
source."""
ALONE = 0.9
"""A stem that makes so much of its visit's mean cannot be told from it."""
LATELY_SD = 0.05
"""Of a stem that was read once, but not at its group's last visit: two of ten read, bands held 77 % without."""
BETWEEN_SD = 0.08
"""How far a stem that is not read may lie from those that are. Own simulation of uneven tunnels, assumed."""
WALK_SD_PER_WEEK = 0.06
YOUNG_WALK_SD_PER_WEEK = 0.20
"""How much more a level moves just after planting; it fades over ``YOUNG_DAYS``."""
YOUNG_DAYS = 14.0
VISIT_SD = 0.06
"""Of a week; the more days between visits, the less one visit's hour counts."""
STRAY_CM2_PER_DAY = 1.0
"""Variance by which one stem strays from its group in a day."""
READING_CM2 = 1.0
GUARD_AT = 2.0


class Grown(NamedTuple):
    """Growth of one leader since its last reading, as read."""

    leader: str
    cm: float
    reading_cm2: float = 2 * READING_CM2
    """Variance of both readings together."""
    stems: int = 1
    """Stems it is a mean of."""
    rooting: bool = False
    """Its first days after planting are in it: slow growth says nothing of what is to come."""


class Visit(NamedTuple):
    """What one visit tells of the growth all leaders had until then."""

    factor: float
    """By which all of them grew more than was foreseen, leaders not read included."""
    relative2: float
    """Variance of the logarithm of that."""


class _Before(NamedTuple):
    """What a visit foresaw, and what the next one read: for errors two visits ahead."""

    group: StemGroup
    """As it was after the visit before."""
    age_days: float
    """At the end of the visit's stretch."""
    days: float
    response: float
    visit: Sequence[Grown]


class GrowthSeen(NamedTuple):
    """A leader's growth against what was foreseen."""

    grown: Grown
    surprise: float
    noise: float
    """Variance of ``surprise``."""


def walk2(age_days: float, days: float) -> float:
    """Variance by which a group's level moves in ``days`` from the age of ``age_days`` since planting on."""
    young = YOUNG_DAYS * (exp(-max(0.0, age_days) / YOUNG_DAYS) - exp(-(max(0.0, age_days) + days) / YOUNG_DAYS))
    return (WALK_SD_PER_WEEK**2 * days + YOUNG_WALK_SD_PER_WEEK**2 * young) / 7


class StemGroup:
    """The filter of one group. A private builder: forecasts read it, nothing outside keeps it.

    ``age_days``: since planting. ``walks``, ``leader_sd`` and ``guard`` switch parts off for comparisons.
    """

    __slots__ = (
        "_apart",
        "_before",
        "_effects",
        "_guard",
        "_last",
        "_leader_sd",
        "_level2",
        "_walks",
        "_widths",
        "age_days",
        "last_read",
        "learned",
        "level",
    )

    def __init__(
        self,
        ln_cm_a_day: float = log(3.5),
        *,
        age_days: float = 1000.0,
        walks: bool = True,
        leader_sd: float = LEADER_SD,
        guard: bool = True,
    ) -> None:
        self.level = ln_cm_a_day
        """Logarithm of the group's growth in cm a day at 20 degC and 12 h."""
        self.age_days = age_days
        self.learned = False
        self.last_read: frozenset[str] = frozenset()
        """Leaders read at the last visit."""
        self._level2 = LEVEL_SD**2
        self._effects: dict[str, tuple[float, float]] = {}
        self._apart: dict[str, tuple[float, float]] = {}
        """By leader: how far it lay from the others, added up by weight, and the weights."""
        self._walks = walks
        self._leader_sd = leader_sd
        self._guard = guard
        self._widths = WidthsSeen()
        self._last: StemGroup | None = None
        """As it was after its last visit."""
        self._before: _Before | None = None

    @property
    def widths(self) -> Widths:
        """By which forecasts' variances are to be multiplied."""
        return self._widths.learned()

    @property
    def level_sd(self) -> float:
        return sqrt(self._level2)

    @property
    def level2(self) -> float:
        """Variance of the level for intervals. What is assumed is that of a whole season: it does not wander."""
        return self._level2 if self.learned else ASSUMED_SD**2

    def effect(self, leader: str) -> tuple[float, float]:
        """A leader's effect and its variance; one never read may lie as far off as plants of a row do."""
        own = self._effects.get(leader)
        if own is not None:
            effect, own2 = own
            return effect, own2 if leader in self.last_read else max(own2, LATELY_SD**2)
        return 0.0, BETWEEN_SD**2 * (1 + 1 / len(self.last_read) if self.last_read else 1.0)

    def pass_days(self, days: float) -> None:
        """Time goes by: the level may have moved."""
        if self._walks:
            self._level2 += walk2(self.age_days, days)
        if days > 0:
            kept = 0.5 ** (days / APART_HALF_DAYS)
            self._apart = {leader: (offs * kept, borne * kept) for leader, (offs, borne) in self._apart.items()}
        self.age_days += days

    def growth(
        self, leader: str, response: float, days: float, ahead: float = 0.0, stems: int = 1
    ) -> tuple[float, float]:
        """Growth in cm and its variance over ``days`` whose responses sum to ``response``.

        ``ahead`` are those of the days that lie after the state's own, ``stems`` how many the leader stands for.
        Reading errors are not included.
        """
        if days <= 0:
            return 0.0, 0.0
        effect, own2 = self.effect(leader)
        cm = response * exp(self.level + effect)
        moved2 = walk2(self.age_days, ahead) if self._walks and self.learned else 0.0
        relative2 = self.level2 + own2 + moved2 + VISIT_SD**2 * 7 / days
        return cm, cm * cm * relative2 + STRAY_CM2_PER_DAY * days / stems

    def learn(self, days: float, response: float, visit: Sequence[Grown]) -> Visit | None:
        """Take in what the leaders of one visit grew in the same ``days`` with the same ``response``."""
        if days <= 0 or response <= 0 or not visit:
            return None
        self._see_errors(days, response, visit)
        seen = self._seen(days, response, visit)
        rooting = [stem.surprise for stem in seen if stem.grown.rooting]
        slow = bool(rooting) and sum(rooting) <= 0
        rooted = [stem for stem in seen if not (slow and stem.grown.rooting)]
        weights = [1 / stem.noise for stem in rooted or seen]
        total = sum(weights)
        mean = sum(w * stem.surprise for w, stem in zip(weights, rooted or seen, strict=True)) / total
        both2 = self._level2 + VISIT_SD**2 * 7 / days
        share = both2 / (both2 + 1 / total)
        pooled = Visit(_factor(share * mean), both2 * (1 - share))
        self.last_read = frozenset(grown.leader for grown in visit)
        if rooted:
            gain = self._level2 / (both2 + 1 / total)
            self.level += gain * mean
            self._level2 *= 1 - gain
            self.learned = True
        for weight, stem in zip(weights, rooted, strict=False):
            self._take_apart(stem, mean, weight / total)
        if rooted:
            self._learn_effects()
        self._last = self._kept() if rooted else None
        return pooled

    def copied(self) -> StemGroup:
        """The same, to learn on from; what was kept of earlier visits is never changed."""
        twin = copy(self)
        twin._effects, twin._apart, twin._widths = {**self._effects}, {**self._apart}, self._widths.copied()
        return twin

    def _kept(self) -> StemGroup:
        """The state as it is, to be held against what comes."""
        kept = copy(self)
        kept._effects = dict(self._effects)
        kept._last = kept._before = None
        return kept

    def _see_errors(self, days: float, response: float, visit: Sequence[Grown]) -> None:
        """How far this visit lies from what the last one foresaw, and the one before."""
        last, before, self._before = self._last, self._before, None
        if last is None or abs(last.age_days + days - self.age_days) > 1e-6:
            return
        self._widths.take(days, last.errors2(response, days, visit))
        if before is not None and abs(before.age_days + days - self.age_days) < 1e-6:
            earlier = {grown.leader: grown for grown in before.visit}
            summed = [
                grown._replace(cm=grown.cm + earlier[grown.leader].cm)
                for grown in visit
                if grown.leader in earlier
            ]
            self._widths.take(
                before.days + days,
                before.group.errors2(before.response + response, before.days + days, summed),
            )
        self._before = _Before(last, self.age_days, days, response, visit)

    def errors2(self, response: float, days: float, visit: Sequence[Grown]) -> list[float]:
        """Squares of how far leaders lie from what this state foresees for the next ``days``, in variances."""
        errors = []
        for grown in visit:
            cm, cm2 = self.growth(grown.leader, response, days, days, grown.stems)
            errors.append((grown.cm - cm) ** 2 / (cm2 + grown.reading_cm2 / grown.stems))
        return errors

    def _seen(self, days: float, response: float, visit: Sequence[Grown]) -> list[GrowthSeen]:
        middle = median(grown.cm for grown in visit)
        seen = []
        for grown in visit:
            effect = self._effects.get(grown.leader, (0.0, 0.0))[0]
            foreseen = response * exp(self.level + effect)
            noise = (grown.reading_cm2 + STRAY_CM2_PER_DAY * days) / grown.stems
            ratio = grown.cm / foreseen
            surprise = log(ratio) if ratio > 1 else ratio - 1
            seen.append(GrowthSeen(grown, surprise, noise / max(foreseen, middle) ** 2))
        return _guarded(seen) if self._guard and len(seen) >= 3 else seen

    def _take_apart(self, seen: GrowthSeen, mean: float, weight: float) -> None:
        """Add up how far a leader lies from the others of its visit; one that is read alone is the level.

        ``weight`` is its own share of the mean, so that its surprise over the mean has lost that much of it.
        """
        leader = seen.grown.leader
        offs, borne = self._apart.get(leader, (0.0, 0.0))
        if weight < ALONE:
            effect = self._effects.get(leader, (0.0, 0.0))[0]
            more = (1 - weight) / seen.noise
            offs, borne = offs + more * ((seen.surprise - mean) / (1 - weight) + effect), borne + more
        self._apart[leader] = (offs, borne)

    def _learn_effects(self) -> None:
        """How uneven the stems are, by how far their means lie apart beyond what readings scatter (DerSimonian and
        Laird 1986, Controlled Clinical Trials 7:177, with a prior worth a few stems); each stem's effect by it."""
        effects = [effect for effect in self._apart.values() if effect[1] > 0]
        uneven2 = self._leader_sd**2
        if len(effects) > 1 and uneven2 > 0:
            weight = sum(w for _, w in effects)
            usual = PRIOR_STEMS * weight / len(effects)
            beyond = sum(offs * offs / w for offs, w in effects) - (len(effects) - 1)
            spread = weight - sum(w * w for _, w in effects) / weight
            uneven2 = max(0.0, (beyond + usual * uneven2) / (spread + usual))
        for leader, (offs, w) in self._apart.items():
            share = uneven2 / (1 + w * uneven2)
            self._effects[leader] = (max(-MOST_APART, min(offs * share, MOST_APART)), share)


def _factor(surprise: float) -> float:
    """Growth over what was foreseen; the reverse of how a surprise is taken."""
    return exp(surprise) if surprise > 0 else max(0.0, 1 + surprise)


def _guarded(seen: Sequence[GrowthSeen]) -> list[GrowthSeen]:
    """A reading far from the others counts for less. Of one or two leaders nobody can tell a misreading from a
    change, and the next reading will."""
    middle = median(stem.surprise for stem in seen)
    strange = [max(1.0, abs(stem.surprise - middle) / sqrt(stem.noise) / GUARD_AT) for stem in seen]
    return [stem._replace(noise=stem.noise * z**2) for stem, z in zip(seen, strange, strict=True)]
