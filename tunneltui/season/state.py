"""The season on one day, as plain values: what the journal's live entries say, and nothing forecast.

Positions along a loop are ``u_m`` (holding.layout), along a stem ``s_m`` from the soil line. Everything is
frozen; ``season.fold`` is the only maker.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from operator import itemgetter
from typing import Any, TypeVar

from msgspec import Struct
from msgspec import field as struct_field

from tunneltui.holding.crops import USUAL, Crop, crop_of
from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Holding, Limits, Training
from tunneltui.journal.body import Answers
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air, BedDressed, BucketTested, Fed, Forecast, Frosted, Scouted, Watered
from tunneltui.journal.kinds_crop import CropOver, FruitLost, Picked, Stocked, StrengthTested, TrussLost
from tunneltui.journal.kinds_holding_up import Finish, HowFailed, OnWhat, RoomDecided
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import Germinated, Hardened, PlanAdopted, PottedOn, Sighted, Sown
from tunneltui.values import replace

_T = TypeVar("_T")


class Reading(Struct, frozen=True):
    """One ``measured`` of a leader; fields as there."""

    id: str
    day: date
    length_m: float | None = None
    growth_m: float | None = None
    tip_under_wire_m: float | None = None
    diameter_mm: float | None = None
    flowering_truss: float | None = None
    flowering_since: float | None = None
    lowest_truss: float | None = None
    trusses_hanging: int | None = None
    leaves: float | None = None
    stems: int = 1
    by: Sighted = "rule"
    lowerings: int = 0
    """Noted of it before this: on one day the tip may be read before it is let out or after."""


class Lowering(Struct, frozen=True):
    id: str
    day: date
    let_out_m: float | None
    """Turns already turned into metres where the hook kind knows its turn."""
    hook_u_m: float | None
    tip_under_wire_m: float | None
    finish: Finish | None
    as_proposed: bool
    aimed_under_wire_m: float | None = None
    """Let out until the tip hung so."""


class Fixing(Struct, frozen=True):
    """A clip or tie that holds now."""

    id: str
    leader: str
    on: OnWhat
    string: str
    """Id of the string, '' on the head's own twine."""
    u_m: float
    """Where it is along the loop: its string's, or the hook's for a head clip."""
    z_m: float | None
    """None: at the height the loop's slope gives (loads.path)."""
    s_m: float
    tie: bool
    clip_kind: str
    hung_on: date
    assumed: bool
    seen_on: tuple[date, ...] = ()
    """Days on which it was seen holding, the day it was hung first."""


class Ending(Struct, frozen=True):
    """How a fixing that holds no more came to its end."""

    fixing: Fixing
    day: date
    how: HowFailed | None
    """None: opened by hand."""
    dropped: bool = False
    made_good: bool = True
    """A later clip or tie within 0.15 m on the stem, or a lowering, stands in for it."""


class Hook(Struct, frozen=True):
    """A leader's place on the wire."""

    number: int
    """Numbered in the order of first hanging."""
    u_m: float
    spare_m: float | None
    kind: str
    hung_on: date
    assumed: bool


class Accident(Struct, frozen=True):
    id: str
    kind: str
    """tip_snapped, stem_kinked or plant_dropped."""
    day: date
    s_m: float | None
    made_good: bool


class Prop(Struct, frozen=True):
    """A prop that stands on the ground under a stem; it is set anew when the stem is lowered or hung again."""

    id: str
    s_m: float
    z_m: float
    day: date


class Leader(Struct, frozen=True):
    """One stem that is tended."""

    id: str
    name: str
    """Place and letter, such as W1-07a."""
    plant: str
    place: str
    row: str
    loop: str
    x_m: float
    """Where it leaves the soil, along its row."""
    u_m: float
    cultivar: str
    planted_on: date
    since: date
    """Day it began: planted, or kept as a further leader."""
    training: Training
    buried_m: float = 0.0
    marked_on: date | None = None
    """Since when its growth is read against a mark; None: it is not."""
    readings: tuple[Reading, ...] = ()
    lowerings: tuple[Lowering, ...] = ()
    hook: Hook | None = None
    fixings: tuple[Fixing, ...] = ()
    """Holding now, by ``s_m``."""
    endings: tuple[Ending, ...] = ()
    accidents: tuple[Accident, ...] = ()
    props: tuple[Prop, ...] = ()
    """Standing now, by ``s_m``."""
    truss_fruits: dict[int, int] = struct_field(default_factory=dict)
    """Fruits counted or left, by truss number."""
    trusses_lost: frozenset[int] = frozenset()
    picked_clean_on: date | None = None
    """Last day on which its ripe fruit was cleared."""
    twisted_in_on: date | None = None
    looked_on: date | None = None
    pollinated_on: date | None = None
    propped_on: date | None = None
    """When a truss, or a stem, of it was last propped."""
    side_shooted_on: date | None = None
    deleafed: tuple[tuple[date, int | None], ...] = ()
    tip_taken_out_on: date | None = None
    let_it_run: bool = False
    kept_though_weak: bool = False
    """Asked whether it should stay among vigorous ones, somebody said that it should."""
    suspect: bool = False
    stripped_on: date | None = None
    """Its green fruit came off."""
    planted_about: bool = False
    """It stood before it was noted: ``planted_on`` is known within a fortnight."""
    coiled_m: float = 0.0
    """Stem that lies in a coil on the ground under its hook: the path of such a stem gives no length."""


class HungString(Struct, frozen=True):
    """A string that hangs now, from the holding or hung since."""

    id: str
    row: str
    loop: str
    number: int
    x_m: float
    u_m: float
    twine: str
    knot_share: float


class Pick(Struct, frozen=True):
    """A pick that is in force; ``row`` '' when it was said of a tunnel or the whole house."""

    id: str
    act: str
    day: date
    row: str
    tunnel: str
    picked: Picked


class Done(Struct, frozen=True):
    """A chore ticked off or put off, today or so that it still holds."""

    answers: Answers
    act: str
    day: date
    put_off_until: date | None = None
    pieces: tuple[str, ...] = ()
    """Keys of its pieces, where only some were done; none: all of it."""

    @property
    def key(self) -> tuple[str, str]:
        """Kind and about of the chore."""
        return self.answers[:2]


class Reentry(Struct, frozen=True):
    """A tunnel that was treated, by the label."""

    day: date
    what: str
    hours: float
    """Nobody goes in for so long. At what hour of the day it was done is not noted."""

    @property
    def opens(self) -> date:
        """The first day on which somebody may go in at some hour, at whatever hour it was treated."""
        return self.day + timedelta(days=int(self.hours // 24) + 1)


class SetAside(Struct, frozen=True):
    """A live entry that leans on something that is not there, or that repeats another."""

    entry: Entry
    why: str
    first: Entry | None = None
    """The earlier entry that it repeats."""


@dataclass(frozen=True, slots=True, eq=False)
class Season:
    """Everything the journal says up to and including ``day``. Mappings are in walking order."""

    day: date
    holding: Holding
    layout: Layout
    leaders: dict[str, Leader]
    """Standing leaders by id."""
    ended: dict[str, date]
    """Leaders and plants that stand no more, with their last day."""
    strings: dict[str, HungString]
    airs: dict[str, dict[date, Air]]
    """By tunnel ('' for all), one entry a day: a sensor's over a hand reading, else the later."""
    forecasts: tuple[tuple[date, Forecast], ...]
    picks: tuple[Pick, ...]
    strength_tests: tuple[StrengthTested, ...]
    done: tuple[Done, ...]
    """What was ticked or put off on the day, earlier ticks that last (``shelves.LASTING``), and what is put off
    beyond the day, in order."""
    last: dict[tuple[str, str], date]
    """Last day of an entry by (kind, about): feeds, water, notes, looks and so on."""
    stock: dict[tuple[str, str], float]
    """Count in store by (item, kind), as stocked; what is on the plants is not taken off."""
    timings: dict[str, tuple[float, int]]
    """Minutes and plants timed, by chore kind."""
    fleece_on: dict[str, bool]
    """By tunnel, as last noted."""
    set_aside: tuple[SetAside, ...]
    picking_blocked_until: dict[str, date] = field(default_factory=dict)
    """By tunnel, from the label of a treatment: the first day on which picking is allowed again."""
    fleece_layers: dict[str, int] = field(default_factory=dict)
    """By tunnel, how many layers were on when one was last noted as on."""
    reentry: dict[str, Reentry] = field(default_factory=dict)
    """By tunnel, the treatment that keeps it closed longest."""
    doors_open: dict[str, bool] = field(default_factory=dict)
    """By tunnel, as last noted; absent: never noted."""
    shade_on: dict[str, bool] = field(default_factory=dict)
    waterings: tuple[tuple[date, str, Watered], ...] = ()
    """(day, about, what was given), in order."""
    feeds: tuple[tuple[date, str, Fed], ...] = ()
    stockings: tuple[tuple[date, str, Stocked], ...] = ()
    """What came into the stores and left them, in order."""
    bed_dressings: tuple[tuple[date, str, BedDressed], ...] = ()
    frosts: tuple[tuple[date, str, Frosted], ...] = ()
    """What frosts inside did, as noted."""
    crop_ends: tuple[tuple[date, str, CropOver], ...] = ()
    """Whether a crop was noted as over or as going on."""
    room_decisions: tuple[tuple[date, str, RoomDecided], ...] = ()
    """What is done where a loop has no room left along its wire, by a row of it."""
    bucket_tests: tuple[tuple[date, str, BucketTested], ...] = ()
    scoutings: tuple[tuple[date, str, Scouted], ...] = ()
    fruit_losses: tuple[tuple[date, str, FruitLost], ...] = ()
    truss_losses: tuple[tuple[date, str, TrussLost], ...] = ()
    notes: tuple[tuple[date, str, Note], ...] = ()
    gone: dict[str, Leader] = field(default_factory=dict)
    """Ended leaders as they were on their last day, where their place still is: what held them, and how long."""
    ended_why: dict[str, str] = field(default_factory=dict)
    """In plain words, for every id in ``ended``."""
    plans: tuple[tuple[date, PlanAdopted], ...] = ()
    """Plans for a coming season, in the order in which they were adopted."""
    sowings: tuple[tuple[date, str, Sown], ...] = ()
    germinations: tuple[tuple[date, str, Germinated], ...] = ()
    pottings: tuple[tuple[date, str, PottedOn], ...] = ()
    hardenings: tuple[tuple[date, str, Hardened], ...] = ()
    aways: tuple[tuple[date, date], ...] = ()
    """First and last day of each absence, those to come included."""
    worked: tuple[date, ...] = ()
    """Days of the last four weeks, before this one, on which a chore was ticked."""
    asked_and_done: tuple[int, int] = (0, 0)
    """In the last four weeks, before this day (``season.work_days``)."""
    _grouped: dict[str, dict[str, list[Any]]] = field(default_factory=dict, init=False, repr=False, compare=False)
    """Leaders by row and the like, once somebody asked: every rule asks for every row."""

    def leader_named(self, name: str) -> Leader | None:
        return next((leader for leader in self.leaders.values() if leader.name == name), None)

    def crop(self, cultivar: str) -> Crop:
        """The profile of a cultivar's crop; the usual one's for a cultivar the holding does not list."""
        listed = self.layout.cultivars.get(cultivar)
        return USUAL if listed is None else crop_of(listed.crop)

    def crop_of(self, leader: Leader) -> Crop:
        return self.crop(leader.cultivar)

    def limits_of(self, leader: Leader) -> Limits:
        """The holding's, with a wider bend where the crop's stem is brittle."""
        limits, least_m = self.holding.limits, self.crop_of(leader).bend_radius_m
        return limits if least_m <= limits.bend_radius_m else replace(limits, bend_radius_m=least_m)

    def leaders_of_row(self, row: str) -> list[Leader]:
        return self._of("row", row, self.leaders.values(), lambda leader: leader.row)

    def leaders_of_loop(self, loop: str) -> list[Leader]:
        return self._of("loop", loop, self.leaders.values(), lambda leader: leader.loop)

    def leaders_of_tunnel(self, tunnel: str) -> list[Leader]:
        """By the tunnel's key."""
        return self._of("tunnel", tunnel, self.leaders.values(), lambda x: self.layout.rows[x.row][0].key)

    def strings_of_loop(self, loop: str) -> list[HungString]:
        return self._of("strings", loop, self.strings.values(), lambda string: string.loop)

    def string_name(self, string: str) -> str:
        """``string 8``; ``string W1/8`` where another string of its loop has that number."""
        hung = self.strings.get(string)
        if hung is None:
            return "a string"
        alike = self._of(
            "number",
            f"{hung.loop} {hung.number}",
            self.strings.values(),
            lambda string: f"{string.loop} {string.number}",
        )
        return f"string {hung.number}" if len(alike) == 1 else f"string {hung.row}/{hung.number}"

    def waterings_of(self, abouts: Iterable[str]) -> list[tuple[date, str, Watered]]:
        """Waterings noted of any of these places, in order."""
        numbered = enumerate(self.waterings)
        waterings = [
            watering
            for about in set(abouts)
            for watering in self._of("waterings", about, numbered, lambda watering: watering[1][1])
        ]
        return [watering for _, watering in sorted(waterings, key=itemgetter(0))]

    def _of(self, what: str, name: str, every: Iterable[_T], named: Callable[[_T], str]) -> list[_T]:
        groups = self._grouped.get(what)
        if groups is None:
            groups = self._grouped[what] = {}
            for record in every:
                groups.setdefault(named(record), []).append(record)
        return list(groups.get(name, ()))


def empty_season(day: date, holding: Holding, layout: Layout) -> Season:
    """A season of which the journal says nothing yet: what looks at a part of one is given that part alone."""
    return Season(day, holding, layout, {}, {}, {}, {}, (), (), (), (), {}, {}, {}, {}, ())


def hang_across(season: Season, leaders: Iterable[Leader]) -> bool:
    """Whether one of them is noted on a string of another loop than its own."""
    strings = season.strings
    return any(
        fixing.string in strings and strings[fixing.string].loop != leader.loop
        for leader in leaders
        for fixing in leader.fixings
    )
