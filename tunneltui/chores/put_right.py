"""The put-right walk: hook by hook and string by string, what is noted is shown and what hangs is answered.

Hooks come first, along the way round, looking up; then the strings, looking down: how many stems are clipped to
one says which, once it is known how far each head has come. Every answer is an act of its own, so that a walk may
stop anywhere and be taken up again. Text in and drafts out: screens and the command line share it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf

from msgspec import Struct, field

from tunneltui.cells import cm, say
from tunneltui.chores.begun_late import KIND, walked_lately
from tunneltui.chores.chore import Chore
from tunneltui.chores.lowering_head import UNDER_WIRE_M
from tunneltui.chores.wording import hook_place
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import Loop
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import Answers
from tunneltui.loads.path import hook_u_m, layer_z_m, onward_u_m
from tunneltui.season.names import string_id
from tunneltui.season.state import Fixing, HungString, Leader, Season
from tunneltui.values import replace

PLACE_IS_TOLD_TO_M = 0.30
"""A hook's place is told by its string: a stem may lie on a string this far past the place given for its hook."""
MOST_OVER_M = 1.0
"""No head stands further over the wire: it falls over (assumed)."""
BEHIND_M = 0.50
"""A hook farther behind its root than this is a slip of the fingers: heads travel on (assumed)."""


class HookStep(Struct, frozen=True):
    """Where does this hook hang, and how does the tip hang under it?"""

    key: str
    """The leader's name."""
    leader: str
    row: str
    u_m: float
    """As noted; where nothing is noted, as far on as its neighbours' are."""
    under_m: float
    """The tip under the wire, as forecast from what is noted."""
    noted: bool


class StringStep(Struct, frozen=True):
    """How many stems are clipped to this string?"""

    key: str
    """Row and number."""
    string: str
    row: str
    u_m: float
    count: int
    """As noted; where nothing is noted, the stems that have come past it."""
    noted: bool


class CropStep(Struct, frozen=True):
    """How many trusses hang on a usual stem? Asked where no pick was ever noted and fruit must have ripened."""

    key: str
    """Row and cultivar."""
    row: str
    cultivar: str
    leaders: tuple[str, ...]
    hanging: int
    """Trusses from the lowest that is not ripe yet to the one in flower: those of a row picked to this day."""


Step = HookStep | StringStep | CropStep


class Walk(Struct, frozen=True, eq=False):
    """A walk along one loop, with what was answered on it so far."""

    season: Season
    outlook: Outlook
    loop: Loop
    hooks: Mapping[str, float] = field(default_factory=dict)
    """Places of the hooks answered, by leader."""
    done: frozenset[str] = frozenset()
    """Keys of the steps answered, on earlier days of this walk too."""
    chore: Answers | None = None
    """The chore that asked for it, ticked off with the last answer."""

    def hook_u_m(self, leader: Leader) -> float:
        noted_m = self.hooks.get(leader.id)
        return hook_u_m(leader, self.loop) if noted_m is None else noted_m

    @property
    def steps(self) -> list[Step]:
        """In the order of the walk. Strings that no stem has come to are left out."""
        return [*_hook_steps(self), *_string_steps(self), *_crop_steps(self)]

    @property
    def left(self) -> list[Step]:
        return [step for step in self.steps if step.key not in self.done]

    def step(self, key: str) -> Step | None:
        return next((step for step in self.steps if step.key == key), None)


def begin(season: Season, outlook: Outlook, loop: str, chore: Chore | None = None) -> Walk:
    """A walk along a loop; one that was stopped half way goes on where it stopped."""
    chore_answers = chore.answers if chore is not None else None
    walk = Walk(season, outlook, season.layout.loops[loop], chore=chore_answers)
    resumed = replace(walk, done=walked_lately(season))
    return resumed if resumed.left else walk


def answers_of(walk: Walk, step: Step) -> Answers:
    """What the entries of a step tick off: the step, for the walk to be taken up after it."""
    return (KIND, step.key, walk.season.day.isoformat())


def _leaders(walk: Walk) -> list[Leader]:
    return [leader for leader in walk.season.leaders_of_loop(walk.loop.id) if leader.id in walk.outlook.leaders]


def _hook_steps(walk: Walk) -> list[HookStep]:
    leaders = _leaders(walk)
    ahead = _ahead(walk, leaders)
    steps = []
    end_m = inf if walk.loop.closed else walk.loop.length_m
    for leader in leaders:
        is_known = leader.hook is not None or leader.id in walk.hooks
        u_m = walk.hook_u_m(leader) if is_known else min(leader.u_m + ahead[leader.id], end_m)
        steps.append(HookStep(leader.name, leader.id, leader.row, u_m, _under_m(walk, leader), is_known))
    # By what stood when the walk began: an answer moves no step.
    begun = _ahead(replace(walk, hooks={}), leaders) if any(standing.hook for standing in leaders) else {}
    at_m = {x.id: hook_u_m(x, walk.loop) if x.hook else x.u_m + begun.get(x.id, 0.0) for x in leaders}
    return sorted(steps, key=lambda step: (at_m[step.leader], step.key))


def _ahead(walk: Walk, leaders: list[Leader]) -> dict[str, float]:
    """How far past its root a head is likely to hang: as far as the last one before it that is known, else the
    first one known, else by its length."""
    along = sorted(leaders, key=lambda leader: leader.u_m)
    known = {
        standing.id: walk.hook_u_m(standing) - standing.u_m
        for standing in along
        if standing.hook is not None or standing.id in walk.hooks
    }
    before: float | None = next(iter(known.values()), None)
    ahead = {}
    for standing in along:
        before = known.get(standing.id, before)
        ahead[standing.id] = _by_length_m(walk, standing) if before is None else before
    return ahead


def _by_length_m(walk: Walk, leader: Leader) -> float:
    """The run of a stem of its length whose tip hangs at its place under the wire."""
    if leader.training == "pinched_at_wire":
        return 0.0
    spare_m = walk.outlook.stem(leader.id, walk.season.day).length_m.mid - (_wire_m(walk, leader) - UNDER_WIRE_M)
    return max(0.0, spare_m)


def _wire_m(walk: Walk, leader: Leader) -> float:
    return walk.season.layout.rows[leader.row][1].wire_height_m


def _under_m(walk: Walk, leader: Leader) -> float:
    if leader.hook is None and not leader.readings:
        # Nothing is noted of it: a young plant stands as high as it is long, an old one was lowered.
        length_m = walk.outlook.stem(leader.id, walk.season.day).length_m.mid
        return max(UNDER_WIRE_M, _wire_m(walk, leader) - length_m)
    under_m = _wire_m(walk, leader) - walk.outlook.stem(leader.id, walk.season.day).tip_z_m.mid
    return max(-MOST_OVER_M, under_m)


class Lying(Struct, frozen=True):
    """A stem that may lie on a string, with its clips there."""

    leader: Leader
    fixings: tuple[Fixing, ...]
    past_m: float
    """How far its head has come past the string."""
    behind_m: float
    """How far its root is behind the string."""

    @property
    def reaches(self) -> bool:
        return self.past_m >= 0 and self.behind_m >= -0.05


def lying_at(walk: Walk, string: HungString) -> list[Lying]:
    """Stems that are or may be clipped to a string, the surest first: those noted there before those not, seen
    before ticked, and of each the one whose head is farthest on."""
    lying = []
    for leader in _leaders(walk):
        u_m = onward_u_m(string.u_m, leader.u_m, walk.loop)
        fixings = tuple(fixing for fixing in leader.fixings if fixing.string == string.id)
        stem = Lying(leader, fixings, walk.hook_u_m(leader) - u_m, u_m - leader.u_m)
        near = stem.past_m >= -PLACE_IS_TOLD_TO_M and stem.behind_m >= -0.05
        if fixings or (leader.training == "tiered" and near):
            lying.append(stem)
    return sorted(lying, key=_sureness)


def _sureness(lying: Lying) -> tuple[bool, bool, bool, float, str]:
    ticked = all(fixing.assumed for fixing in lying.fixings)
    return (lying.past_m < -PLACE_IS_TOLD_TO_M, not lying.fixings, ticked, -lying.past_m, lying.leader.name)


def _string_steps(walk: Walk) -> list[StringStep]:
    limits = walk.season.holding.limits
    clear_m = 2 * limits.bend_radius_m
    steps = []
    for string in strings_of(walk):
        lying = lying_at(walk, string)
        noted = sum(1 for stem in lying if stem.fixings)
        come_past = sum(1 for stem in lying if stem.past_m >= clear_m and stem.behind_m >= -0.05)
        if noted or any(stem.reaches for stem in lying):
            key = f"{string.row}/{string.number}"
            count = noted or come_past
            steps.append(StringStep(key, string.id, string.row, string.u_m, count, noted > 0))
    return steps


def _crop_steps(walk: Walk) -> list[CropStep]:
    picked = {pick.picked.cultivar for pick in walk.season.picks}
    groups: dict[tuple[str, str], list[Leader]] = {}
    for leader in _leaders(walk):
        counted = any((r.lowest_truss, r.trusses_hanging) != (None, None) for r in leader.readings)
        is_known = counted or leader.picked_clean_on is not None
        if is_known or leader.cultivar in picked:
            continue
        if any(truss.z >= 1 for truss in walk.outlook.stem(leader.id, walk.season.day).trusses):
            groups.setdefault((leader.row, leader.cultivar), []).append(leader)
    return [
        CropStep(f"{row} {cultivar}", row, cultivar, tuple(stem.id for stem in group), _unripe(walk, group[0]))
        for (row, cultivar), group in groups.items()
    ]


def _unripe(walk: Walk, leader: Leader) -> int:
    return sum(1 for truss in walk.outlook.stem(leader.id, walk.season.day).trusses if truss.z < 1)


def strings_of(walk: Walk) -> list[HungString]:
    strings = walk.season.strings_of_loop(walk.loop.id)
    return sorted(strings, key=lambda string: (string.u_m, string.id))


class HookMark(Struct, frozen=True):
    """Something with a number by which a hook's place is given: a string, or a plant's place where none hang."""

    number: int
    u_m: float
    row: str
    word: str


def marks(walk: Walk) -> list[HookMark]:
    strings = strings_of(walk)
    if strings:
        return [HookMark(string.number, string.u_m, string.row, "string") for string in strings]
    rows = {stretch.row for stretch in walk.loop.stretches}
    return [
        HookMark(int(digits), standing.u_m, standing.row_id, "place")
        for name, standing in walk.season.layout.places.items()
        if standing.row_id in rows and (digits := name.rpartition("-")[2]).isdigit()
    ]


def mark_meant(walk: Walk, leader: Leader, number: int, near_u_m: float, row: str = "") -> float:
    """The place of the mark with that number over which a stem's head may hang; of one mark of a closed loop that
    is passed twice, the time nearer to where the hook was shown.

    Raises:
        UserError: no string or place has that number, or two rows within the stem's reach have one each and
            ``row`` is not said.
    """
    of_row = [mark for mark in marks(walk) if row.lower() in ("", mark.row.lower())]
    round_m = walk.loop.length_m if walk.loop.closed else 0.0
    meant = [(mark.row, mark.u_m + turn) for mark in of_row if mark.number == number for turn in (0.0, round_m)]
    word = of_row[0].word if of_row else "string"
    if not meant:
        have = f"They run from {of_row[0].number} to {of_row[-1].number}." if of_row else ""
        raise UserError(f"There is no {word} {number} along {walk.loop.id}.", have)
    longest_m = walk.outlook.stem(leader.id, walk.season.day).length_m.high
    return within_reach(meant, leader, longest_m, near_u_m, word, number)


def string_meant(season: Season, leader: Leader, text: str) -> str:
    """Id of the string that is meant at a stem: by its number alone, the one within reach where both rows of its
    loop have that number.

    Raises:
        UserError: no such string hangs, or the stem may be at either.
    """
    number = text.strip().lower().removeprefix("string").strip()
    alike = [string for string in season.strings_of_loop(leader.loop) if number == str(string.number)]
    if len(alike) < 2:
        return alike[0].id if alike else string_id(season, text, leader.row)
    loop = season.layout.loops[leader.loop]
    turns = (0.0, loop.length_m) if loop.closed else (0.0,)
    place_of = {string.u_m + turn: string for string in alike for turn in turns}
    longest_m = outlook(season).stem(leader.id, season.day).length_m.high
    near_u_m = leader.hook.u_m if leader.hook is not None else leader.u_m
    meant = ((string.row, u_m) for u_m, string in place_of.items())
    return place_of[within_reach(meant, leader, longest_m, near_u_m, "string", int(number))].id


def within_reach(
    meant: Iterable[tuple[str, float]], leader: Leader, longest_m: float, near_u_m: float, word: str, number: int
) -> float:
    """Which of the places (row, ``u_m``) that one number has is meant at a stem: the one nearest to where its hook
    was shown, of those that its head may hang over, where there are such.

    Raises:
        UserError: its head may hang over those of two rows; both are written out.
    """
    places = set(meant)
    reached = {(row, u_m) for row, u_m in places if -BEHIND_M <= u_m - leader.u_m <= longest_m}
    names = [f"{row}/{number}" for row in sorted({row for row, _ in reached})]
    if len(names) > 1:
        raise UserError(
            f"{word.capitalize()} {number} may be {' or '.join(names)}.", f"Type which, such as {names[0]}."
        )
    return min((u_m for _, u_m in reached or places), key=lambda u_m: abs(u_m - near_u_m))


def place_words(walk: Walk, u_m: float, row: str) -> str:
    """A hook's place by its nearest mark."""
    if strings_of(walk):
        return hook_place(walk.season, walk.loop.id, u_m)
    marked = marks(walk)
    if not marked:
        return hook_place(walk.season, walk.loop.id, u_m)
    near = min(marked, key=lambda mark: abs(mark.u_m - u_m))
    by_m = u_m - near.u_m
    away = "over" if abs(by_m) < 0.05 else say("{} {}", cm(abs(by_m)), "past" if by_m > 0 else "short of")
    return say("{} place {}{}", away, f"{near.number:02d}", "" if near.row == row else say(" of {}", near.row))


def tip_words(under_m: float) -> str:
    where = "under" if under_m >= 0 else "over"
    return say("{} {} the wire", cm(abs(under_m)), where)


def layer_m(walk: Walk, leader: Leader, u_m: float) -> float:
    """Height of the leader's layer line at a place, the wire at most."""
    line_m = layer_z_m(leader.u_m, u_m, walk.season.holding.limits)
    return min(max(line_m, 0.0), _wire_m(walk, leader))
