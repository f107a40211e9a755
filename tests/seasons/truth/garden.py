"""The tunnel as it truly is, day after day. It reacts only to what hands really do in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp
from random import Random

from tests.seasons.truth import laws
from tests.seasons.truth.nature import First, Nature
from tests.seasons.truth.stem import FLOWERS_UNDER_TIP_M, TIP_M, Clip, Stem, Truss
from tests.seasons.truth.weather import Air

GRAVITY = 9.81
STEM_KG_A_M, LEAF_KG, LEAVES_A_METRE = 0.22, 0.045, 9.0
"""A stem of 12 to 15 mm, a leaf half bare of water, as weighed now and then (assumed)."""
COVERED, YOUNG_COVER_K = timedelta(days=45), 6.0
"""Nobody plants out early without hoops and two covers at hand for the young plants' cold nights (common practice;
what they are worth assumed). Autumn has no such help: the plants are too high."""
LIGHT_DAYS = 5.0
WAITS_AFTER_SNAP_DAYS = 20
"""Until a shoot leads in the place of a snapped tip (common practice: three weeks)."""


@dataclass(slots=True)
class Book:
    """What came of the season, counted as it happened."""

    picked_kg: float = 0.0
    late_kg: float = 0.0
    """Picked or spoiled more than a week after it was ripe."""
    ripened_kg: float = 0.0
    spoiled_kg: float = 0.0
    green_kg: float = 0.0
    snapped: int = 0
    dropped: int = 0
    clips_failed: int = 0
    kinked: int = 0
    lost: int = 0
    """Plants, but for those that frost took."""
    head_days: int = 0
    over_days: int = 0
    loose_days: int = 0
    made_kg: float = 0.0
    """All fruit that ever hung, for the balance."""
    shed_kg: float = 0.0
    """Green fruit that fell or died with its plant."""
    frost_on: date | None = None


@dataclass
class Garden:
    """All stems of a house under one sky."""

    stems: list[Stem]
    air: dict[date, Air]
    seed: int
    day: date
    nature: Nature = field(default_factory=First)
    book: Book = field(default_factory=Book)
    fleece_on: bool = False
    hand_watered: bool = False
    dry_days: float = 0.0
    light_mj: float = 8.0
    """Of the last days, the latest counting most: plants answer the light of about a week."""

    def __post_init__(self) -> None:
        self.luck = Random(f"garden {self.seed}")
        self.by_row: dict[str, list[Stem]] = {}
        self.by_plant: dict[str, list[Stem]] = {}
        for stem in self.stems:
            self.by_row.setdefault(stem.row, []).append(stem)
            self.by_plant.setdefault(stem.place, []).append(stem)

    # ------------------------------------------------------------------------------------------ a day and a night

    def live_on(self) -> None:
        """From this morning, its work done, to the next."""
        today = self.air[self.day]
        self.light_mj += (today.light_mj - self.light_mj) / LIGHT_DAYS
        for stem in self.stems:
            if stem.stands and stem.planted_on <= self.day:
                self._grow(stem, today)
                self._fruit(stem, today)
                self._bear(stem)
                self._head(stem)
        self._night(today)
        self.day += timedelta(days=1)

    def _grow(self, stem: Stem, today: Air) -> None:
        stem.spell = 0.8 * stem.spell + stem.growth_luck.gauss(0.0, 0.05)
        age = (self.day - stem.planted_on).days
        rooted = 1 - 0.75 * exp(-age / 6.0)
        waits = stem.resumes_on is not None and self.day < stem.resumes_on
        burdened = self.nature.slack(stem.hanging_kg)
        flopped = 0.85 if stem.loose_m > 0.6 else 1.0
        if stem.stopped_on is None and not waits and stem.dropped_on is None:
            cm = self.nature.stem_cm(stem, today, self.light_mj)
            stem.length_m += cm / 100 * stem.vigour * exp(stem.spell) * rooted * burdened * flopped
            stem.leaves += 3 * self.nature.trusses(stem, today.mean_c) / (3 if stem.cucumber else 1)

    def _fruit(self, stem: Stem, today: Air) -> None:
        before = stem.flowering
        waits = stem.resumes_on is not None and self.day < stem.resumes_on
        if stem.stopped_on is None and not waits:
            age = (self.day - stem.planted_on).days
            stem.flowering += self.nature.trusses(stem, today.mean_c) * (1 - 0.6 * exp(-age / 5.0))
        for number in range(max(0, int(before // 1) + 1), int(stem.flowering // 1) + 1):
            if number >= 1:
                self._flower(stem, number, today)
        speed = self.nature.ripening(today.mean_c, cucumber=stem.cucumber)
        for truss in stem.trusses:
            self._ripen(truss, speed * stem.ripens_by, today)
        stem.trusses = [truss for truss in stem.trusses if truss.kg > 0.001 or truss.way < 1]

    def _flower(self, stem: Stem, number: int, today: Air) -> None:
        kg = self.nature.truss_kg(stem, number, today) * stem.vigour**0.5
        shoots_days = (self.day - (stem.shoots_on or stem.planted_on)).days
        kg *= max(0.55, 1 - 0.006 * max(0, shoots_days - 10))
        stem.trusses.append(Truss(number, max(0.05, stem.length_m - FLOWERS_UNDER_TIP_M), kg))

    def _ripen(self, truss: Truss, speed: float, today: Air) -> None:
        if truss.ripe_on is None:
            truss.way += speed
            truss.days += 1
            truss.light_mj += (today.light_mj - truss.light_mj) / min(truss.days, 30)
            full_kg = truss.full_kg * laws.light_share(truss.light_mj)
            grown_kg = full_kg * laws.filled(truss.way)
            self.book.made_kg += max(0.0, grown_kg - truss.kg)
            truss.kg = max(truss.kg, grown_kg)
            if truss.way >= 1:
                truss.ripe_on = self.day
                self.book.ripened_kg += truss.kg
            return
        gone_kg = truss.kg * laws.spoiling((self.day - truss.ripe_on).days)
        truss.kg -= gone_kg
        self.book.spoiled_kg += gone_kg
        self.book.late_kg += gone_kg

    # ------------------------------------------------------------------------------------------ what holds, breaks

    def _bear(self, stem: Stem) -> None:
        """Clips tire and fail under what they carry; the next ones take it over the same day."""
        if stem.dropped_on is not None:
            self._lie(stem)
            return
        for _ in range(6):
            failed = [clip for clip, newton in self._carried(stem) if self._fails(clip, newton)]
            if not failed:
                return
            for clip in failed:
                clip.holds, clip.seen = False, not clip.fixing
                self.book.clips_failed += 1
            if not self._is_up(stem):
                self._drop(stem)
                return
            # What is not held sags: the tip comes down with it a little.
            stem.laid_m += self.luck.uniform(0.01, 0.06) if stem.laid_m > 0.2 else 0.0

    def _carried(self, stem: Stem) -> list[tuple[Clip, float]]:
        """Each holding clip with its newtons: the stem between the middles to its neighbours, what hangs there."""
        lying = sorted((c for c in stem.clips if c.holds and c.u_m is not None), key=lambda c: c.s_m)
        head = [c for c in stem.clips if c.holds and c.u_m is None]
        bent_s_m = max(0.0, stem.length_m - stem.tip_m + 0.3) if stem.laid_m > 0.3 else 0.0
        found = []
        for number, clip in enumerate(lying):
            low = (lying[number - 1].s_m + clip.s_m) / 2 if number else clip.s_m / 2
            high = (clip.s_m + lying[number + 1].s_m) / 2 if number + 1 < len(lying) else (clip.s_m + bent_s_m) / 2
            found.append((clip, 1.15 * self._newton(stem, low, max(low, high))))
        if head and stem.held_s_m < bent_s_m + 0.1:
            top_n = 0.8 * self._newton(stem, bent_s_m, stem.length_m)
            found += [(clip, top_n / len(head)) for clip in head]
        return found

    def _newton(self, stem: Stem, low_m: float, high_m: float) -> float:
        leafy_m = max(0.0, high_m - max(low_m, stem.length_m - stem.leaves / LEAVES_A_METRE))
        fruit_kg = sum(truss.kg for truss in stem.trusses if low_m <= truss.s_m < high_m)
        return GRAVITY * (STEM_KG_A_M * (high_m - low_m) + LEAF_KG * LEAVES_A_METRE * leafy_m + fruit_kg * 1.1)

    def _fails(self, clip: Clip, newton: float) -> bool:
        weeks = (self.day - clip.closed_on).days / 7
        left_n = clip.strength_n * self.nature.clip_tires(weeks)
        return newton * exp(self.luck.gauss(0.0, 0.10)) > left_n

    def _is_up(self, stem: Stem) -> bool:
        """Held at its head, or short enough to stand."""
        if stem.length_m < 0.6:
            return True
        held = stem.held_s_m > 0 or any(clip.holds and clip.u_m is None for clip in stem.clips)
        lies = stem.training == "laid_down" or stem.laid_m < 1.0
        return held and (lies or any(clip.holds and clip.u_m is not None for clip in stem.clips) or not stem.clips)

    def _drop(self, stem: Stem) -> None:
        self.book.dropped += 1
        stem.dropped_on, stem.dropped_seen = self.day, False
        self._shed(stem, self.luck.uniform(0.05, 0.20))
        if self.luck.random() < 0.15:
            self._snap(stem)

    def _lie(self, stem: Stem) -> None:
        """A stem on the floor loses fruit and may die of it."""
        self._shed(stem, 0.03)
        if self.luck.random() < 0.01:
            self.book.lost += 1
            self._die(stem)

    def _shed(self, stem: Stem, share: float) -> None:
        for truss in stem.trusses:
            gone_kg = truss.kg * share
            truss.kg -= gone_kg
            truss.full_kg *= 1 - share
            if truss.ripe_on is None:
                self.book.shed_kg += gone_kg
            else:
                self.book.spoiled_kg += gone_kg

    def _head(self, stem: Stem) -> None:
        if not stem.grows or stem.dropped_on is not None:
            return
        if self.luck.random() < laws.snap_chance(stem.loose_m, stem.over_wire_m):
            self._snap(stem)

    def _snap(self, stem: Stem) -> None:
        self.book.snapped += 1
        stem.snapped_on, stem.snapped_seen = self.day, False
        stem.resumes_on = self.day + timedelta(days=WAITS_AFTER_SNAP_DAYS)
        off_m = min(self.luck.uniform(0.10, 0.25), stem.length_m - 0.1)
        stem.length_m -= off_m
        stem.held_s_m = min(stem.held_s_m, stem.length_m - TIP_M)
        stem.laid_m = max(0.0, min(stem.laid_m, stem.length_m - 0.1))
        stem.clips = [clip for clip in stem.clips if clip.s_m < stem.length_m]
        for truss in [truss for truss in stem.trusses if truss.s_m > stem.length_m]:
            self.book.shed_kg += truss.kg
            stem.trusses.remove(truss)

    def _die(self, stem: Stem) -> None:
        """The plant, with all its stems: they stand on one root."""
        for one in self.by_plant[stem.place]:
            if one.stands:
                self._wither(one)

    def _wither(self, stem: Stem) -> None:
        stem.dead_on, stem.dead_seen = self.day, False
        for truss in stem.trusses:
            if truss.ripe_on is None:
                self.book.shed_kg += truss.kg
            else:
                self.book.spoiled_kg += truss.kg
                self.book.late_kg += truss.kg if (self.day - truss.ripe_on).days > 7 else 0.0
        stem.trusses = []

    def _night(self, today: Air) -> None:
        lowest_c = today.min_c + (2.0 if self.fleece_on else 0.0)
        covered_until = max(self.stems[0].planted_on + COVERED, date(self.day.year, 6, 15))
        if self.day < covered_until:
            lowest_c += YOUNG_COVER_K
        died = self.nature.frost_chance(lowest_c)
        if died > 0.001:
            standing = list(self._standing_plants())
            killed = [stem for stem in standing if self.luck.random() < died]
            for stem in killed:
                self._die(stem)
            if standing and len(killed) * 2 >= len(standing) and self.book.frost_on is None:
                self.book.frost_on = self.day
        for stem in self._standing_plants():
            # Now and then one dies of a sickness at its root, or is broken off by a barrow (assumed): the same
            # ones whoever grows them, for a plant of twelve is a twelfth of the score.
            if Random(f"sick {self.seed} {stem.place} {self.day}").random() < 0.00008:
                self.book.lost += 1
                self._die(stem)

    def _standing_plants(self) -> Iterator[Stem]:
        """Of each plant that stands one stem."""
        for stems in self.by_plant.values():
            if stems[0].planted_on <= self.day:
                yield from [stem for stem in stems if stem.stands][:1]

    def count_heads(self) -> None:
        """Once a day, after the work: heads over their limit, and heads over 45 cm loose."""
        for stem in self.stems:
            if stem.grows and stem.planted_on <= self.day and stem.dropped_on is None:
                self.book.head_days += 1
                self.book.over_days += stem.over_m > 0.02
                self.book.loose_days += stem.loose_m > 0.45

    # ------------------------------------------------------------------------------------------ what hands do

    def hang_hook(self, stem: Stem, u_m: float) -> None:
        stem.hook_u_m = u_m + self.luck.gauss(0.0, 0.02)

    def hold_head(self, stem: Stem) -> None:
        """Twist it round its twine, up to the wire at most."""
        stem.held_s_m = max(stem.held_s_m, stem.can_hold_s_m())

    def clip_head(self, stem: Stem, fixing: str = "") -> None:
        s_m = max(0.0, min(stem.length_m - 0.15, stem.can_hold_s_m()))
        stem.clips.append(self._clip(s_m + 0.05, None, fixing))

    def clip_to_string(self, stem: Stem, u_m: float, fixing: str = "") -> None:
        stem.clips.append(self._clip(stem.s_at(u_m), u_m, fixing))

    def _clip(self, s_m: float, u_m: float | None, fixing: str) -> Clip:
        return Clip(s_m, u_m, self.nature.clip_strength_n(self.luck.gauss(0.0, 1.0)), self.day, fixing)

    def open_clip(self, stem: Stem, fixing: str) -> bool:
        """False where no such clip is."""
        kept = [clip for clip in stem.clips if clip.fixing != fixing or not fixing]
        found = len(kept) < len(stem.clips)
        stem.clips = kept
        return found

    def lower(self, stem: Stem, let_out_m: float, hook_u_m: float | None) -> None:
        """Twine out and hook on. Turns of a hook are never quite as said; a stem bent far may crack."""
        out_m = max(0.0, let_out_m + self.luck.gauss(0.0, 0.02 + 0.03 * abs(let_out_m)))
        out_m = min(out_m, max(0.0, stem.tip_m - 0.15))
        stem.laid_m += out_m
        if hook_u_m is not None:
            self.hang_hook(stem, hook_u_m)
        if stem.laid_m < stem.length_m - stem.tip_m:
            stem.laid_m = stem.length_m - stem.tip_m  # the hook pulled it down further than was let out
        if self.luck.random() < 0.001 + (0.02 if let_out_m > 0.55 else 0.0):
            self.book.kinked += 1
            stem.kinked_on, stem.kinked_seen = self.day, False
        # Head clips that came into the bend hold nothing any more.
        bent_s_m = stem.length_m - stem.tip_m
        stem.clips = [clip for clip in stem.clips if clip.u_m is not None or clip.s_m >= bent_s_m - 0.2]

    def ripe_kg(self, row: str, cultivar: str) -> float:
        return sum(truss.kg for _, truss in self._ripe(row, cultivar))

    def _ripe(self, row: str, cultivar: str) -> Iterator[tuple[Stem, Truss]]:
        for stem in self.by_row.get(row, ()):
            if stem.cultivar == cultivar and stem.removed_on is None:
                for truss in stem.trusses:
                    if truss.ripe_on is not None and truss.kg > 0:
                        yield stem, truss

    def pick(self, row: str, cultivar: str, most_kg: float = 1e9) -> float:
        """Ripe fruit off, the first stems first, until the basket or the time is full; kg."""
        taken_kg = 0.0
        for _, truss in list(self._ripe(row, cultivar)):
            kg = min(truss.kg, most_kg - taken_kg)
            if kg <= 0:
                break
            taken_kg += kg
            truss.kg -= kg
            if truss.ripe_on is not None and (self.day - truss.ripe_on).days > 7:
                self.book.late_kg += kg
        self.book.picked_kg += taken_kg
        return taken_kg

    def strip_green(self, stems: Iterable[Stem]) -> float:
        green_kg = 0.0
        for stem in stems:
            for truss in stem.trusses:
                if truss.ripe_on is None:
                    green_kg += truss.kg
                else:
                    self.book.picked_kg += truss.kg
                    self.book.late_kg += truss.kg if (self.day - truss.ripe_on).days > 7 else 0.0
            stem.trusses = []
        self.book.green_kg += green_kg
        return green_kg

    def take_shoots(self, stem: Stem) -> None:
        stem.shoots_on = self.day

    def take_leaves(self, stem: Stem, most: int) -> None:
        """From below, never so many that the head stands bare."""
        stem.leaves_on = self.day
        stem.leaves = max(12.0, stem.leaves - most)

    def take_tip(self, stem: Stem) -> None:
        if stem.stopped_on is None:
            stem.stopped_on = self.day

    def rescue(self, stem: Stem) -> None:
        """Hung up again, its head held."""
        if stem.dropped_on is not None:
            stem.dropped_on, stem.dropped_seen = None, True
            self.hold_head(stem)

    def remove(self, stems: Sequence[Stem]) -> None:
        for stem in stems:
            if stem.removed_on is None:
                for truss in stem.trusses:
                    if truss.ripe_on is None:
                        self.book.green_kg += truss.kg
                    else:
                        self.book.picked_kg += truss.kg
                stem.trusses = []
                stem.removed_on = self.day

    def close(self) -> None:
        """The season's end: what is ripe and still hangs was left."""
        for stem in self.stems:
            for truss in stem.trusses:
                if truss.ripe_on is not None and (self.day - truss.ripe_on).days > 7:
                    self.book.late_kg += truss.kg
