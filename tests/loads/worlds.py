"""Simulated seasons with a truth of another model than the program's: what is told of clips against what happens.

A row of stems grows and is lowered week by week by the program's own plan. What each clip is told to bear comes
from the program; what it truly bears comes from here: each stem somewhere between a stiff beam and a chain of
hinges, its root a support like any other (which may pull down), an upright stem's root bearing a random part of
what buckles it, fruit, leaves and stiffness unlike those assumed. Clips then fail by one of four worlds:

- ``S``: lognormal strengths, a lasting error of 0.25 on each clip's load, 0.15 from look to look;
- ``W``: Weibull strengths of shape 2.5 to 4.5, an error of 0.25 from look to look;
- ``E``: as S with errors of 0.5 and 0.3;
- ``M``: as S, one in a hundred badly closed, one look in five sees nothing.

Head clips are left out: twisted heads have none. ``python -m tests.loads.worlds 50`` prints the table, with
``100`` after it that of fifty fresh seeds.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from math import exp, log
from random import Random
from statistics import fmean, pvariance
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from tests.loads import made
from tunneltui.chores.lowering_head import height_limit
from tunneltui.chores.lowering_plan import plan_lowering
from tunneltui.growth.fruit import mass_share
from tunneltui.growth.outlook import Outlook, StemOn, TrussOn
from tunneltui.holding.model import Cultivar
from tunneltui.loads import beam
from tunneltui.loads.clips import UPRIGHT_LN
from tunneltui.loads.column import root_most_n
from tunneltui.loads.doubles import first_looks
from tunneltui.loads.lowered import let_down
from tunneltui.loads.stem import LoadedStem, stem_on
from tunneltui.loads.strength import HeldRecord, Prior, Strength, chance, learn, record
from tunneltui.loads.trials import History, Look, heaviest
from tunneltui.season.state import Leader
from tunneltui.values import replace

START = date(2026, 6, 5)
WEEKS = 18
WEEK = timedelta(days=7)
LOOK_DAYS = (2, 6)
KINDS = {"cherry": (18.0, 14.0), "standard": (100.0, 5.5), "beef": (250.0, 3.6)}
"""Fruit g and fruits a truss (assumed)."""
FLAGS = 129
"""Warnings a season, so many as were counted of growers (own simulation)."""
NINETY = 1.645
DRAWS = 200
EPS = 0.0003
"""Knocks and the like, per clip and look."""
FIND = 0.80
"""Share of the failing clips that a season's warnings are to find."""
LOADED_N = 8.0
"""Places whose heaviest told load is so much teach a kind's strength; few clips fail under less."""


class Seen(NamedTuple):
    """One clip's place on one look."""

    day: date
    told_n: float
    low_n: float
    high_n: float
    lasting_ln: float
    true_n: float
    last: bool
    """The last before the hook."""
    upright: bool


@dataclass
class Place:
    """Where a clip is: the one first closed there, and those that follow it when it fails."""

    cultivar: str
    hung_on: date
    looks: list[Seen] = field(default_factory=list)
    foreseen: tuple[Look, ...] = ()
    """Looks of its first fortnight as they are foreseen when it is closed."""


# ---- Loads: told and true ----


def _grown(
    length_m: float,
    tip_z_m: float,
    kind: str,
    factors: dict[int, float],
    leaves: float,
    day: date,
    off_m: Mapping[int, float] = MappingProxyType({}),
) -> StemOn:
    grams, fruits = KINDS[kind]
    trusses = []
    for number in range(40):
        s_m = 0.50 + 0.24 * number + off_m.get(number, 0.0)
        age_weeks = (length_m - 0.12 - s_m) / 0.21
        z = age_weeks / 8.5
        if 0 <= z < 1:
            kg = grams * fruits / 1000 * mass_share(min(1.0, max(0.02, z))) * factors.get(number, 1.0)
            trusses.append(TrussOn(number + 1, s_m, z, fruits, kg, None, counted=False))
    grown = made.stem(length_m, tip_z_m, leaves=leaves, bare_below_m=max(0.0, length_m - 1.3), day=day)
    return replace(grown, trusses=tuple(trusses))


def true_loads(stem: LoadedStem, share: float, stiffness: float, root_share: float) -> dict[str, float]:
    """``share`` of the stiff beam, the rest of the hinges; N by fixing, "hook" the hook."""
    stations, heaps = stem.ready.stations, stem.ready.heaps
    weight_n = sum(newton for _, _, newton in heaps)
    lying = [station for station in stations if station.kind == "run"]
    if stations[-1].x_m < 0.05:
        root_n = min(
            weight_n,
            root_share * root_most_n([(s, n) for s, _, n in heaps], stiffness, steadied=stem.ready.steadied),
        )
        fixings = [f.id for station in stations for f in station.fixings]
        hook_n = (weight_n - root_n) / (len(fixings) + 1)
        return {"hook": hook_n, **dict.fromkeys(fixings, hook_n)}
    xs = [0.0]
    for station in stations[1:]:
        xs.append(max(station.x_m, xs[-1] + 0.03))
    hook = stations[-1]
    placed = [(min(x, xs[-1]) if s <= hook.s_m else xs[-1], n) for s, x, n in heaps]
    stiff, limp = beam.pull_only(xs, placed), beam.hinged(xs, placed)
    found = {"hook": max(0.05, share * stiff[-1] + (1 - share) * limp[-1])}
    for station, b, h in zip(stations, stiff, limp, strict=True):
        if station in lying:
            for one in station.fixings:
                found[one.id] = max(0.05, share * b + (1 - share) * h) / len(station.fixings)
    return found


class Band(NamedTuple):
    """What was told of a clip or hook on a day, and what it bore with everything unknown that may be."""

    low_n: float
    told_n: float
    high_n: float
    true_n: float


class Season(NamedTuple):
    places: tuple[Place, ...]
    """Every place of a string clip, with what it was told to bear and what it truly bore."""
    bands: dict[str, list[Band]]


def season_places(seed: int) -> tuple[Place, ...]:
    return whole_season(seed).places


@cache
def whole_season(seed: int) -> Season:
    luck = Random(seed)
    row = made.row(strings=24, length_m=14.0)
    row = replace(row, strings=tuple(replace(s, x_m=0.58 * i + 0.10) for i, s in enumerate(row.strings)))
    stands = replace(
        made.holding(row),
        cultivars=tuple(Cultivar(kind, fruit=kind, fruit_g=grams) for kind, (grams, _) in KINDS.items()),  # type: ignore[arg-type]
    )
    leaders: dict[str, Leader] = {}
    pace, factors, true_leaves, of_cultivar = {}, {}, {}, {kind: exp(luck.gauss(0, 0.12)) for kind in KINDS}
    stiffness, root_share = {}, {}
    unknown = Random(f"unknown {seed}")
    bands: dict[str, list[Band]] = defaultdict(list)
    off_m: dict[str, dict[int, float]] = {}
    clip_off_m: dict[str, float] = defaultdict(lambda: unknown.gauss(0, 0.02))
    for n in range(1, 13):
        kind = ("cherry", "standard", "beef")[n % 3]
        one = made.leader(f"l{n:02d}", 0.58 * n, hook_u_m=0.58 * n, cultivar=kind, twisted_in_on=START)
        leaders[one.id] = replace(one, hook=replace(one.hook, spare_m=None))  # type: ignore[type-var]
        pace[one.id] = 0.21 * max(0.5, luck.gauss(1, 0.10))
        factors[one.id] = {i: of_cultivar[kind] * exp(luck.gauss(0, 0.20)) for i in range(40)}
        true_leaves[one.id] = 15 * exp(luck.gauss(0, 0.2))
        stiffness[one.id], root_share[one.id] = 0.15 * exp(luck.gauss(0, 0.5)), luck.uniform(0.5, 1.2)
        off_m[one.id] = {i: unknown.gauss(0, 0.05) for i in range(40)}
    length = {i: 1.1 + luck.gauss(0, 0.05) for i in leaders}
    tip = dict(length)
    share = {i: luck.random() for i in leaders}
    places: dict[str, Place] = {}
    for week in range(WEEKS):
        monday = START + timedelta(days=7 * week)
        house = made.season(*leaders.values(), stands=stands, day=monday)
        coming = _outlook(leaders, length, tip, monday)
        next_visit = monday + timedelta(days=7)
        due = [
            one
            for one in leaders.values()
            if coming.stem(one.id, next_visit).tip_z_m.mid >= height_limit(house, one)[0] - 0.25
        ]
        for move in plan_lowering(house, coming, due, monday, next_visit):
            one = leaders[move.leader]
            if move.let_out_m <= 0 or move.coiled:
                continue
            tip[one.id] -= move.let_out_m
            closed = [
                made.clip(one.id, f"{one.id} {c.string} {c.s_m}", c.s_m, c.u_m, string=c.string, hung_on=monday)
                for c in move.clips
            ]
            fixings = tuple(sorted((*one.fixings, *closed), key=lambda f: f.s_m))
            moved = replace(one, hook=replace(one.hook, u_m=move.hook_to_u_m), fixings=fixings)  # type: ignore[type-var]
            leaders[one.id] = moved
            then = stem_on(house, moved, let_down(coming.stem(one.id, monday), move.let_out_m))
            looks = first_looks(house, coming, then, move.let_out_m, monday)
            for fixing in closed:
                places[fixing.id] = Place(one.cultivar, monday, foreseen=looks.get(fixing.id, ()))
        for days in LOOK_DAYS:
            day = monday + timedelta(days=days)
            for i, one in leaders.items():
                more = pace[i] * days / 7
                at = (length[i] + more, tip[i] + more, one.cultivar)
                assumed = stem_on(house, one, _grown(*at, {}, 15.0, day))
                left = unknown.uniform(0.5, 1.0)
                shaken = _shaken(one, clip_off_m)
                heavy = _grown(*at, factors[i], true_leaves[i], day, off_m[i])
                heavy = replace(
                    heavy,
                    trusses=tuple(t._replace(kg=t.kg * left) if n < 1 else t for n, t in enumerate(heavy.trusses)),
                )
                whole = true_loads(stem_on(house, shaken, heavy), share[i], stiffness[i], root_share[i])
                _band_of(bands, one, assumed, whole)
                if not one.fixings:
                    continue
                truth = stem_on(house, one, _grown(*at, factors[i], true_leaves[i], day))
                mixed = min(1.0, max(0.0, share[i] + luck.gauss(0, 0.1)))
                bears = true_loads(truth, mixed, stiffness[i], root_share[i])
                lying = [f for f in one.fixings if f.on == "string"]
                for fixing in lying:
                    carried = assumed.borne.clips.get(fixing.id)
                    if carried is not None:
                        places[fixing.id].looks.append(
                            Seen(day, carried.mid_n, carried.low_n, carried.high_n, carried.lasting_ln,
                                 bears.get(fixing.id, 0.05), fixing is lying[-1], carried.lasting_ln == 0.40)
                        )  # fmt: skip
        for i in leaders:
            length[i] += pace[i]
            tip[i] += pace[i]
    return Season(tuple(places.values()), dict(bands))


def _outlook(
    leaders: Mapping[str, Leader], length: Mapping[str, float], tip: Mapping[str, float], monday: date
) -> Outlook:
    """What is foreseen of every stem on three Mondays, its fruit swelling."""
    stems = {
        i: [
            _grown(length[i] + 0.21 * week, tip[i] + 0.21 * week, one.cultivar, {}, 15.0, monday + WEEK * week)
            for week in range(3)
        ]
        for i, one in leaders.items()
    }
    coming = made.outlook({i: ahead[0] for i, ahead in stems.items()}, 0.21, monday)
    days = {i: replace(coming.leaders[i], days={on.day: on for on in ahead}) for i, ahead in stems.items()}
    return replace(coming, leaders=days)


def _shaken(one: Leader, off_m: Mapping[str, float]) -> Leader:
    """Its clips a little up or down the stem of where they were noted."""
    return replace(one, fixings=tuple(replace(f, s_m=f.s_m + off_m[f.id]) for f in one.fixings))


def _band_of(bands: dict[str, list[Band]], one: Leader, assumed: LoadedStem, bears: dict[str, float]) -> None:
    """What was told of the hook and every string clip, by how the stem stands."""
    lying = [f for f in one.fixings if f.on == "string"]
    hook = assumed.borne.hook
    if hook is not None:
        alone = not lying
        how = "upright hook" if alone else "leaned hook" if hook.lasting_ln == UPRIGHT_LN else "hook"
        bands[how].append(Band(hook.low_n, hook.mid_n, hook.high_n, bears["hook"]))
    for back, fixing in enumerate(reversed(lying)):
        told = assumed.borne.clips.get(fixing.id)
        if told is not None and max(told.mid_n, bears.get(fixing.id, 0.05)) >= 2.0:
            kind = "leaned" if told.lasting_ln == UPRIGHT_LN else ("last", "next", "further")[min(back, 2)]
            bands[kind].append(Band(told.low_n, told.mid_n, told.high_n, bears.get(fixing.id, 0.05)))


# ---- Clips: strengths and failures ----


class World(NamedTuple):
    weibull: bool
    lasting: float
    looks: float
    badly_closed: float
    missed: float


WORLDS = {
    "S": World(False, 0.25, 0.15, 0.005, 0.0),
    "W": World(True, 0.0, 0.25, 0.005, 0.0),
    "E": World(False, 0.5, 0.3, 0.005, 0.0),
    "M": World(False, 0.25, 0.15, 0.01, 0.2),
}


@dataclass
class Clip:
    cultivar: str
    hung_on: date
    looks: list[Seen]
    """From its closing to its end; the last is the one at which it was found failed where ``failed``."""
    failed: bool


class Lived(NamedTuple):
    clips: list[Clip]
    fifth_n: float
    """Load that 1 in 20 of the kind does not bear, on the scale of the told loads."""


def kind_of_clip(luck: Random) -> tuple[float, float, float]:
    """Median N, Weibull shape and lognormal spread of a season's clips."""
    return 38 * exp(luck.gauss(0, 0.25)), luck.uniform(2.5, 4.5), 0.35 * exp(luck.gauss(0, 0.15))


def lived(world: World, places: Iterable[Place], luck: Random) -> Lived:
    """One season's clips; a failed one is replaced in its place the same day."""
    median, shape, spread = kind_of_clip(luck)
    scale = median / log(2) ** (1 / shape)
    clips = []
    for place in places:
        start, hung_on = 0, place.hung_on
        while start < len(place.looks):
            if world.weibull:
                ln_strength = log(scale) + log(-log(1 - luck.random())) / shape
            else:
                ln_strength = log(median) + spread * luck.gauss(0, 1)
            lasting = world.lasting * luck.gauss(0, 1)
            bad = luck.random() < world.badly_closed
            looks: list[Seen] = []
            gone = failed = False
            for look in place.looks[start:]:
                weeks = (look.day - hung_on).days / 7
                trial = log(look.true_n) + lasting + world.looks * luck.gauss(0, 1) + 0.005 * weeks
                gone = gone or bad or trial > ln_strength or luck.random() < EPS
                looks.append(look)
                if gone and luck.random() >= world.missed:
                    failed = True
                    break
            clips.append(Clip(place.cultivar, hung_on, looks, failed))
            start += len(looks)
            if not failed:
                break
            hung_on = looks[-1].day
    # Strengths are learned on the scale of the told loads: by how much all of a season's are told too heavy is in
    # their median, and what they are truly off by, with the world's lasting error, and is not allowed for is in
    # their spread.
    scale_ln, not_allowed_for = _told_over_true(places)
    as_told = (spread**2 + max(0.0, world.lasting**2 + not_allowed_for)) ** 0.5
    fifth = scale * (-log(0.95)) ** (1 / shape) if world.weibull else median * exp(-NINETY * as_told)
    return Lived(clips, fifth * exp(scale_ln))


def _told_over_true(places: Iterable[Place]) -> tuple[float, float]:
    """Mean of ln told over true load where loads are heaviest, and its variance beyond what is said of it."""
    heaviest_of = [max(place.looks, key=lambda look: look.told_n) for place in places if place.looks]
    loaded = [look for look in heaviest_of if look.told_n >= LOADED_N]
    off = [log(look.told_n / look.true_n) for look in loaded]
    return fmean(off), pvariance(off) - fmean(look.lasting_ln**2 for look in loaded)


class ClipWeek(NamedTuple):
    chance: float
    failed: bool
    weeks: int
    """Since it was closed."""
    day: date
    fixed: float
    """By the fixed rule: heavy, next to the hook, young."""
    clip: int


def told(lived_clips: list[Clip]) -> tuple[list[ClipWeek], Strength]:
    """What was told of every clip and week, always looking ahead, and what is known at the end."""
    prior = Prior()
    rows: list[ClipWeek] = []
    strength = learn(prior, ())
    for week in range(WEEKS):
        monday = START + timedelta(days=7 * week)
        strength = learn(prior, (_record(clip, monday, prior) for clip in lived_clips), ())
        sunday = monday + timedelta(days=7)
        for number, clip in enumerate(lived_clips):
            coming = [look for look in clip.looks if monday <= look.day < sunday]
            if not coming:
                continue
            past = tuple(_look(clip, look) for look in clip.looks if look.day < monday)
            held = heaviest(past, prior.weakening_per_week, prior.tau_ln)
            two = [_look(clip, look) for look in coming]
            failed = clip.failed and coming[-1] is clip.looks[-1]
            if failed and (coming[-1].day - monday).days == LOOK_DAYS[0]:
                # It would have been looked at once more that week, at about its load then.
                two.append(two[-1]._replace(weeks=two[-1].weeks + 4 / 7))
            weight = {"beef": 2.0, "standard": 1.0, "cherry": 0.0}[clip.cultivar]
            age = (coming[0].day - clip.hung_on).days // 7
            fixed = weight + (1.5 if coming[0].last else 0.0) + (1.0 if age == 0 else 0.5 if age == 1 else 0.0)
            rows.append(ClipWeek(chance(held, two, strength), failed, age, monday, fixed, number))
    return rows, learn(prior, (_record(clip, date.max, prior) for clip in lived_clips), ())


def _look(clip: Clip, look: Seen) -> Look:
    return Look((look.day - clip.hung_on).days / 7, look.told_n, look.lasting_ln)


def _record(clip: Clip, before: date, prior: Prior) -> HeldRecord:
    looks = [_look(clip, look) for look in clip.looks if look.day < before]
    if clip.failed and len(looks) == len(clip.looks):
        return record(History(tuple(looks[:-1]), looks[-1]), prior)
    return record(History(tuple(looks)), prior)


@dataclass
class Score:
    """Of several seasons of one world."""

    seasons: int = 0
    told: float = 0.0
    happened: int = 0
    by_week: dict[int, list[float]] = field(default_factory=lambda: defaultdict(lambda: [0.0, 0.0]))
    early: list[float] = field(default_factory=lambda: [0.0, 0.0])
    found: int = 0
    found_fixed: int = 0
    flagged: int = 0
    clips_flagged: int = 0
    clips_found: int = 0
    clips_failed: int = 0
    covered: int = 0
    needed: list[int] = field(default_factory=lambda: [0, 0])
    """Clips that failed, of those warned of, where warnings stop as ``FIND`` of the season's are found."""

    @property
    def precision_at_most(self) -> float:
        return self.needed[0] / max(1, self.needed[1])

    @property
    def recall(self) -> float:
        return self.found / max(1, self.happened)


def scored(name: str, seeds: Iterable[int], flags: int = FLAGS) -> Score:
    """``flags`` warnings a season."""
    score = Score()
    for seed in seeds:
        life = lived(WORLDS[name], season_places(seed), Random(f"{name} {seed}"))
        rows, strength = told(life.clips)
        score.seasons += 1
        add_season(score, rows, flags)
        low, high = strength.fifth_n
        score.covered += low <= life.fifth_n <= high
    return score


def add_season(score: Score, rows: Sequence[ClipWeek], flags: int = FLAGS) -> None:
    """What was told of one season, added up."""
    score.told += sum(row.chance for row in rows)
    score.happened += sum(row.failed for row in rows)
    for row in rows:
        of = score.by_week[min(3, row.weeks)]
        of[0], of[1] = of[0] + row.chance, of[1] + row.failed
        if row.day < date(2026, 7, 15):
            score.early[0] += row.chance
            score.early[1] += row.failed
    ranked = sorted(rows, key=lambda row: -row.chance)[:flags]
    score.found += sum(row.failed for row in ranked)
    score.found_fixed += sum(row.failed for row in sorted(rows, key=lambda row: -row.fixed)[:flags])
    failing = {row.clip for row in rows if row.failed}
    flagged = {row.clip for row in ranked}
    score.clips_flagged += len(flagged)
    score.clips_found += len(failing & flagged)
    score.clips_failed += len(failing)
    to_find, tried = FIND * len(failing), 0
    found: set[int] = set()
    for clip in dict.fromkeys(row.clip for row in sorted(rows, key=lambda row: -row.chance)):
        if len(found) >= to_find:
            break
        tried += 1
        found |= {clip} & failing
    score.needed[0] += len(found)
    score.needed[1] += tried


def bands(seeds: Iterable[int]) -> dict[str, tuple[int, int]]:
    """(inside, of) the bands of hooks and loaded string clips by how the stem stands there."""
    inside: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for seed in seeds:
        for kind, found in whole_season(seed).bands.items():
            inside[kind][0] += sum(one.low_n <= one.true_n <= one.high_n for one in found)
            inside[kind][1] += len(found)
    return {kind: (of[0], of[1]) for kind, of in inside.items()}


# ---- Second clips at the closing ----


def holds_lost(name: str, seeds: Iterable[int], counts: Iterable[int]) -> dict[tuple[int, str], float]:
    """Holds lost in all seasons with so many of the new clips a season doubled as they are closed: by the chance
    told that day of its first fortnight; by the fixed rule (heavy, next to the hook); and with all known, as one
    would who knew how strong the kind is and what each clip will truly bear as long as it hangs, the least that
    can be lost. (0, "") with none.

    By chance and with all known the total of all seasons goes where it is wanted, more to those of weak clips."""
    world = WORLDS[name]
    likely: list[tuple[float, float]] = []
    fixed: list[list[float]] = []
    lost = 0.0
    for seed in seeds:
        places = season_places(seed)
        chances, by_rule = _ranked(places, lived(world, places, Random(f"{name} {seed}")).clips)
        single, double = _lost(world, kind_of_clip(Random(f"{name} {seed}")), places, seed)
        lost += sum(single)
        saves = [alone - paired for alone, paired in zip(single, double, strict=True)]
        likely += [(told, saves[number]) for number, told in chances.items()]
        fixed.append([saves[number] for number in by_rule])
    likely.sort(reverse=True)
    known = sorted((saved for _, saved in likely), reverse=True)
    left = {(0, ""): lost}
    for count in counts:
        total = count * len(fixed)
        left[count, "chance"] = lost - sum(saved for _, saved in likely[:total])
        left[count, "fixed"] = lost - sum(sum(season[:count]) for season in fixed)
        left[count, "all known"] = lost - sum(known[:total])
    return left


def _ranked(places: tuple[Place, ...], clips: list[Clip]) -> tuple[dict[int, float], list[int]]:
    """What was told of a new clip in each place on its day; and the places by the fixed rule."""
    prior, known = Prior(), {}
    chances, fixed = {}, {}
    for number, place in enumerate(places):
        if not place.looks or not place.foreseen:
            continue
        if place.hung_on not in known:
            known[place.hung_on] = learn(prior, [_record(clip, place.hung_on, prior) for clip in clips])
        chances[number] = chance(None, place.foreseen, known[place.hung_on])
        heavy = {"beef": 2, "standard": 1, "cherry": 0}[place.cultivar]
        fixed[number] = (heavy, place.looks[0].last, -number)
    return chances, sorted(fixed, key=lambda number: fixed[number], reverse=True)


def _lost(
    world: World, kind: tuple[float, float, float], places: tuple[Place, ...], seed: int
) -> tuple[list[float], list[float]]:
    """The chance that each place loses its hold, with one clip and with two: shares of ``DRAWS`` draws.

    A pair shares its load by 0.35 to 0.65; what one lets go the other has to bear, and one alone is replaced at
    the look."""
    median, shape, spread = kind
    lost: tuple[list[float], list[float]] = ([], [])
    for number, place in enumerate(places):
        luck = np.random.default_rng((seed, number))
        if world.weibull:
            pair = log(median) + (np.log(-np.log(luck.random((2, DRAWS)))) - log(log(2))) / shape
        else:
            pair = log(median) + spread * luck.standard_normal((2, DRAWS))
        pair[luck.random((2, DRAWS)) < world.badly_closed] = -9.0
        lasting, part = world.lasting * luck.standard_normal(DRAWS), luck.uniform(0.35, 0.65, DRAWS)
        single, double = np.zeros(DRAWS, bool), np.zeros(DRAWS, bool)
        for look in place.looks:
            weakened = 0.005 * (look.day - place.hung_on).days / 7
            trial = log(look.true_n) + lasting + world.looks * luck.standard_normal(DRAWS) + weakened
            first_gone, second_gone = trial > pair
            single |= first_gone
            double |= (trial + np.log(part) > pair[0]) & second_gone
            double |= (trial + np.log(1 - part) > pair[1]) & first_gone
        lost[0].append(float(single.mean()))
        lost[1].append(float(double.mean()))
    return lost


DOUBLED = (26, 44, 52)
"""Second clips a season: 34 % of the new clips, a number aimed at, 70 % of them."""
HEADS = (
    *("", "told/happened", "ratio", "week 0", "1", "2", "3+", "before mid July", "found", "fixed rule"),
    *("clips found", "precision", "precision at .80", "cover"),
)


def table(seeds: range) -> Iterator[str]:
    yield f"| {' | '.join(HEADS)} |"
    yield "|" + "---|" * len(HEADS)
    for name in WORLDS:
        score = scored(name, seeds)
        cells = [name, f"{score.told:.0f}/{score.happened}", f"{score.told / max(1, score.happened):.2f}"]
        cells += [f"{a:.0f}/{b:.0f}" for a, b in (*(score.by_week[week] for week in range(4)), score.early)]
        shares = (
            (score.found, score.happened),
            (score.found_fixed, score.happened),
            (score.clips_found, score.clips_failed),
            (score.clips_found, score.clips_flagged),
            tuple(score.needed),
            (score.covered, score.seasons),
        )
        cells += [f"{a / max(1, b):.2f}" for a, b in shares]
        yield f"| {' | '.join(cells)} |"
    new = sum(len(season_places(seed)) for seed in seeds) / len(seeds)
    for name in WORLDS:
        lost = holds_lost(name, seeds, DOUBLED)
        none = lost.pop((0, ""))
        saved = ", ".join(f"{n} by {rule} {1 - left / none:.1%}" for (n, rule), left in lost.items())
        yield f"{name}: {none:.0f} holds lost of {new:.0f} new clips a season, saved with second clips: {saved}"
    for kind, (inside, of) in bands(seeds).items():
        yield f"bands of {kind} hold {inside / max(1, of):.3f} of {of}"


if __name__ == "__main__":
    count, first = (*map(int, sys.argv[1:]), *(10, 0)[len(sys.argv) - 1 :])
    for line in table(range(first, first + count)):
        print(line, flush=True)
