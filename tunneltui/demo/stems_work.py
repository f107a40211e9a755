"""The growers' work on what holds the stems: clips, twisting in, looking for failures, repairs."""

from __future__ import annotations

from datetime import date
from math import exp, log

from tunneltui.demo.house import EVENING, MORNING, House, due
from tunneltui.demo.trellis import LOOSE_HEAD_M, DemoClip, TrainedStem, bend, borne_n
from tunneltui.journal.kinds_holding_up import ClipFailed, Clipped, HowFailed, OnWhat, TwistedIn
from tunneltui.journal.kinds_journal import Looked

_CLIP_MEDIAN_N, _CLIP_SPREAD_LN, _LOAD_NOISE_LN, _WEAKENING_A_WEEK = 38.0, 0.33, 0.15, 0.005
_HOW: tuple[HowFailed, ...] = ("popped_open", "popped_open", "broke", "slid", "stem_pulled_out")
_NEW_CLIPS_FROM_MONTH = 7
_SECOND_CLIP_OVER_N = 15.0
SECOND_CLIP_BELOW_M = 0.03


def close_clip(
    house: House, stem: TrainedStem, day: date, s_m: float, string: str, tick: tuple[str, str]
) -> DemoClip:
    """A clip closed and noted; the kept clips are used up first, the new ones follow."""
    kinds = [kind.key for kind in house.layout.holding.clips]
    kind = "" if not kinds else kinds[0] if day.month < _NEW_CLIPS_FROM_MONTH else kinds[-1]
    on: OnWhat = "string" if string else "head"
    s_m = round(s_m, 2)
    name = house.diary.write(Clipped(stem.id, s_m, on, string, None, kind), stem.place, due(*tick, day))
    return DemoClip(name, kind, s_m, day, _CLIP_MEDIAN_N * exp(stem.clip_luck.gauss(0, _CLIP_SPREAD_LN)), string)


def clip_head(house: House, stem: TrainedStem, day: date) -> None:
    """A clip below the tip, where the last one is a hand or more down."""
    top_m = max((clip.s_m for clip in stem.head), default=bend(stem).s_m)
    if stem.length_m - top_m >= LOOSE_HEAD_M:
        house.diary.act()
        tick = ("clip_head", stem.row)
        stem.head.append(close_clip(house, stem, day, stem.length_m - 0.12, "", tick))


def twist_in(house: House, row: str, day: date) -> None:
    """Heads of a row that are wound round their twine instead of clipped."""
    house.diary.at(day, 18.2, EVENING)
    house.diary.act()
    for stem in house.in_row(row):
        if stem.plant.growing:
            house.diary.write(TwistedIn(stem.id), stem.place, due("twist_in", row, day))


def look(house: House, day: date) -> None:
    """Walk the rows and look for clips that let go."""
    house.diary.at(day, 19.5, EVENING)
    for row in house.rows():
        stems = house.in_row(row)
        if not stems:
            continue
        failed = [(stem, clip) for stem in stems for clip in stem.run if _lets_go(stem, clip, day)]
        for stem, clip in failed:
            house.diary.alone(ClipFailed(clip.id, stem.clip_luck.choice(_HOW)), stem.place)
            stem.run.remove(clip)
        house.failed += failed
        house.diary.alone(Looked(tuple(stem.id for stem in stems)), row, due("look", row, day))


def _lets_go(stem: TrainedStem, clip: DemoClip, day: date) -> bool:
    weeks = (day - clip.closed).days / 7
    load_n = borne_n(stem, clip) * exp(stem.clip_luck.gauss(0, _LOAD_NOISE_LN))
    return log(max(load_n, 0.01)) > log(clip.strength_n) - _WEAKENING_A_WEEK * weeks


def repair(house: House, day: date) -> None:
    """First thing in the morning: what was found failed is clipped again where it was."""
    if not house.failed:
        return
    house.diary.at(day, 6.5, MORNING)
    for stem, old in house.failed:
        house.diary.act()
        number = house.layout.strings[old.string].number
        tick = ("repair", f"{stem.name} string {number} at {round(old.s_m * 100)} cm")
        clip = close_clip(house, stem, day, old.s_m, old.string, tick)
        clip.u_m, clip.z_m = old.u_m, old.z_m
        stem.run = sorted([*stem.run, clip], key=lambda c: c.s_m)
        alone = all(abs(other.s_m - clip.s_m) > 0.10 for other in stem.run if other is not clip)
        if alone and borne_n(stem, clip) > _SECOND_CLIP_OVER_N:
            _second_clip(house, stem, clip, day)
    house.failed.clear()


def _second_clip(house: House, stem: TrainedStem, first: DemoClip, day: date) -> None:
    """Where one let go under much fruit, a second is closed just below the new one."""
    tick = ("second_clip", f"{stem.name} string {house.layout.strings[first.string].number}")
    clip = close_clip(house, stem, day, first.s_m - SECOND_CLIP_BELOW_M, first.string, tick)
    clip.u_m, clip.z_m = first.u_m, first.z_m
    stem.run.insert(stem.run.index(first), clip)
