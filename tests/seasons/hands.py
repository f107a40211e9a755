"""Hands in the garden: what a piece of work is, done for real, and the minutes it truly takes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from random import Random
from typing import Any

from tests.seasons.houses import House
from tests.seasons.truth import laws
from tests.seasons.truth.garden import Garden
from tests.seasons.truth.stem import Stem
from tunneltui.holding.layout import Layout
from tunneltui.journal import kinds_care, kinds_crop, kinds_holding_up, kinds_standing
from tunneltui.journal.body import typed
from tunneltui.journal.entry import Draft, Entry

CORE = frozenset({"pick", "side_shoot", "twist_in", "clip_head", "lower", "deleaf"})
"""Like work: what fixed passes do too."""
PIECE_MINUTES = {
    # One head, stem, clip or plant; as long for every grower (common practice, no source).
    "lower": 1.2,
    "twist_in": 0.6,
    "clip_head": 0.35,
    "clip_to_string": 0.35,
    "second_clip": 0.35,
    "take_back_clips": 0.3,
    "side_shoot": 0.65,
    "deleaf": 0.45,
    "tip_out": 0.25,
    "look": 0.05,
    "repair": 1.0,
    "dropped": 8.0,
    "tip_snapped": 3.0,
    "kinked": 3.0,
    "mark_plants": 1.5,
    "read_again": 1.0,
    "strip_green": 1.0,
    "clearing": 4.0,
    "pollinate": 0.05,
}
SHOOTS_LATE_MINUTES = 0.03
"""More for every day past a week: big shoots are cut, not rubbed off (assumed)."""
STEPS_MINUTES = 2.0


class Hands:
    """One grower's pair."""

    def __init__(self, house: House, garden: Garden) -> None:
        self.house = house
        self.garden = garden
        self.plan: Layout = house.plan
        self.speed = Random(f"hands {house.seed}").uniform(0.88, 1.12)
        self.strings_u_m = {id_: one.u_m for id_, one in house.plan.strings.items()}
        self.said_out: set[str] = set()
        """Leaders whose tips were ticked as taken out, missed ones among them."""
        self._by_id: dict[str, Stem] = {}

    def know(self, stem: Stem, id_: str, plant: str) -> None:
        """The stem that the journal calls so."""
        stem.id, stem.plant = id_, plant
        self._by_id[id_] = stem

    def stem(self, id_: str) -> Stem | None:
        return self._by_id.get(id_)

    def stems_of_plant(self, plant: str) -> list[Stem]:
        return [stem for stem in self.garden.stems if stem.plant == plant]

    # ------------------------------------------------------------------------------------------ minutes

    def minutes(self, kind: str, stem: Stem | None, asked: float) -> float:
        """For one piece; of work no figure is known for, as asked."""
        usual = PIECE_MINUTES.get(kind, asked)
        if kind == "side_shoot" and stem is not None:
            days = (self.garden.day - (stem.shoots_on or stem.planted_on)).days
            usual += min(0.9, SHOOTS_LATE_MINUTES * max(0, days - 7))
        return usual * self.speed * self.garden.nature.pace(kind)

    def minutes_a_kg(self, fruit: str) -> float:
        return 60.0 / laws.KG_AN_HOUR[fruit] * self.speed * self.garden.nature.pace("pick")

    def is_overhead(self, row: str) -> bool:
        return self.plan.rows[row][1].wire_height_m > self.plan.holding.work.reach_m

    # ------------------------------------------------------------------------------------------ what entries say

    def handle(self, entries: Iterable[Entry | Draft], skipped: frozenset[str] = frozenset()) -> None:
        """Does what the entries say was done, but for the leaders ``skipped``."""
        of = ""
        for entry in entries:
            body = typed(entry)
            leader = getattr(body, "leader", "") or getattr(body, "plant", "")
            of = leader or of
            if isinstance(body, kinds_crop.TipTakenOut):
                self.said_out.add(leader)
            if of in skipped and (leader or isinstance(body, kinds_holding_up.Unclipped)):
                continue
            act = _ACTS.get(type(body))
            if act is not None:
                act(self, body, entry, skipped)


def _standing(hands: Hands, ids: Iterable[str], skipped: frozenset[str]) -> list[Stem]:
    found = [hands.stem(id_) for id_ in ids if id_ not in skipped]
    return [stem for stem in found if stem is not None and stem.stands]


def _hung(hands: Hands, body: kinds_holding_up.Hung, _entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    stem = hands.stem(body.leader)
    if stem is not None and not body.assumed:
        hands.garden.hang_hook(stem, body.hook_u_m)


def _clipped(hands: Hands, body: Any, entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    stem = hands.stem(body.leader)
    if stem is None or not stem.stands:
        return
    if body.on == "string" and body.string in hands.strings_u_m:
        hands.garden.clip_to_string(stem, hands.strings_u_m[body.string], entry.id)
    else:
        hands.garden.clip_head(stem, entry.id)


def _unclipped(
    hands: Hands, body: kinds_holding_up.Unclipped, _entry: Entry | Draft, _skipped: frozenset[str]
) -> None:
    for stem in hands.garden.stems:
        if hands.garden.open_clip(stem, body.fixing):
            return


MOST_AT_ONCE_M = 0.50
"""Nobody lets a head down further in one go, whatever is said."""


def let_out_of(stem: Stem, body: kinds_holding_up.Lowered) -> float:
    """Until the tip hangs as said, by eye; else as much as was said."""
    if body.aimed_under_wire_m is None:
        return body.let_out_m or 0.0
    return min(MOST_AT_ONCE_M, max(0.0, stem.tip_m - (stem.wire_m - body.aimed_under_wire_m)))


def _lowered(
    hands: Hands, body: kinds_holding_up.Lowered, _entry: Entry | Draft, _skipped: frozenset[str]
) -> None:
    stem = hands.stem(body.leader)
    if stem is None or not stem.stands:
        return
    let_out_m, hook_u_m = let_out_of(stem, body), body.hook_u_m
    if hook_u_m is not None and body.let_out_m and stem.hook_u_m is not None:
        # Who lets out less than was said moves the hook on less, by the rule of thumb; nobody hauls a stem along.
        hook_u_m = stem.hook_u_m + min(1.0, let_out_m / body.let_out_m) * (hook_u_m - stem.hook_u_m)
    hands.garden.lower(stem, let_out_m, hook_u_m)


def _head_held(hands: Hands, body: Any, _entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    for stem in _standing(hands, [body.leader], _skipped):
        hands.garden.hold_head(stem)


def _string_hung(hands: Hands, body: Any, entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    loop = hands.plan.loop_of_row[entry.about]
    hands.strings_u_m[f"{entry.about}/{body.number}"] = loop.u_m(entry.about, body.x_m)
    hands.strings_u_m[entry.id] = loop.u_m(entry.about, body.x_m)


def _shoots(hands: Hands, body: Any, _entry: Entry | Draft, skipped: frozenset[str]) -> None:
    for stem in _standing(hands, body.leaders, skipped):
        hands.garden.take_shoots(stem)


def _leaves(hands: Hands, body: Any, _entry: Entry | Draft, skipped: frozenset[str]) -> None:
    for stem in _standing(hands, body.leaders, skipped):
        hands.garden.take_leaves(stem, body.leaves or 4)


def _tip(hands: Hands, body: Any, _entry: Entry | Draft, skipped: frozenset[str]) -> None:
    for stem in _standing(hands, [body.leader], skipped):
        hands.garden.take_tip(stem)


def _green(hands: Hands, body: Any, _entry: Entry | Draft, skipped: frozenset[str]) -> None:
    hands.garden.strip_green(_standing(hands, body.leaders, skipped))


def _removed(hands: Hands, body: Any, _entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    hands.garden.remove(hands.stems_of_plant(body.plant))


def _fleece(hands: Hands, body: Any, _entry: Entry | Draft, _skipped: frozenset[str]) -> None:
    hands.garden.fleece_on = body.on


_ACTS: dict[type, Callable[[Hands, Any, Entry | Draft, frozenset[str]], None]] = {
    kinds_holding_up.Hung: _hung,
    kinds_holding_up.Clipped: _clipped,
    kinds_holding_up.Tied: _clipped,
    kinds_holding_up.Unclipped: _unclipped,
    kinds_holding_up.Lowered: _lowered,
    kinds_holding_up.TwistedIn: _head_held,
    kinds_holding_up.StringHung: _string_hung,
    kinds_crop.SideShooted: _shoots,
    kinds_crop.Deleafed: _leaves,
    kinds_crop.TipTakenOut: _tip,
    kinds_crop.GreenStripped: _green,
    kinds_crop.Removed: _removed,
    kinds_care.Fleece: _fleece,
    kinds_standing.Planted: lambda *_: None,
}
"""What hands do for an entry; entries of other kinds move nothing in the garden."""
