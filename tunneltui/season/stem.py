"""One leader while its entries are read in order (``season.effects``): a mutable builder, frozen once."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from msgspec import Struct

from tunneltui.holding.model import Training
from tunneltui.journal.kinds_holding_up import HowFailed, OnWhat
from tunneltui.season.ground import StringFact
from tunneltui.season.state import Accident, Ending, Fixing, Hook, Leader, Lowering, Prop, Reading
from tunneltui.season.touch import Record

SPLINT_WAITS = timedelta(days=10)
"""A splinted stem waits ten days (common practice, no source)."""


class Facts(Struct, frozen=True):
    """What the effects need to know of the house."""

    day: date
    strings: dict[str, StringFact]
    turn_m: dict[str, float | None]
    """Twine a turn lets out, by kind of hook; '' where the holding has one kind only."""
    never_tiered: frozenset[str] = frozenset()
    """Cultivars whose stems bear no tiers: laid down wherever they stand."""


class Root(Struct, frozen=True):
    """Where a leader comes from; fixed before its entries are read."""

    leader: str
    name: str
    plant: str
    place: str
    row: str
    tunnel: str
    loop: str
    x_m: float
    u_m: float
    cultivar: str
    planted_on: date
    planted_about: bool
    since: date
    buried_m: float


class Clip:
    """A fixing that holds."""

    __slots__ = ("assumed", "clip_kind", "hung_on", "id", "on", "s_m", "seen", "string", "tie", "u_m", "z_m")

    def __init__(self, record: Record, body: Any, u_m: float | None, clip_kind: str | None) -> None:
        self.id = record.id
        self.on: OnWhat = body.on
        self.string = body.string if body.on == "string" else ""
        self.u_m = u_m
        self.z_m: float | None = body.z_m
        self.s_m: float = body.s_m
        self.tie = clip_kind is None
        self.clip_kind = clip_kind or ""
        self.hung_on = record.day
        self.assumed: bool = body.assumed
        self.seen = [record.day]

    def saw(self, day: date) -> None:
        """It was seen holding."""
        if self.seen[-1] != day:
            self.seen.append(day)

    def frozen(self, leader: str, hook_u_m: float) -> Fixing:
        return Fixing(
            id=self.id,
            leader=leader,
            on=self.on,
            string=self.string,
            u_m=hook_u_m if self.u_m is None else self.u_m,
            z_m=self.z_m,
            s_m=self.s_m,
            tie=self.tie,
            clip_kind=self.clip_kind,
            hung_on=self.hung_on,
            assumed=self.assumed,
            seen_on=tuple(self.seen),
        )


class _Ended:
    """A fixing that holds no more."""

    __slots__ = ("day", "dropped", "fixing", "how", "made_good")

    def __init__(self, fixing: Fixing, day: date, how: HowFailed | None, dropped: bool) -> None:
        self.fixing = fixing
        self.day = day
        self.how = how
        self.dropped = dropped
        self.made_good = how is None


class Mishap:
    """An accident to the stem."""

    __slots__ = ("day", "id", "kind", "made_good", "s_m")

    def __init__(self, record: Record, s_m: float | None) -> None:
        self.id = record.id
        self.kind = record.entry.kind
        self.day = record.day
        self.s_m = s_m
        self.made_good = False


class HookNow:
    """The hook as it hangs now."""

    __slots__ = ("assumed", "hung_on", "kind", "spare_m", "u_m")

    def __init__(self, u_m: float, hung_on: date) -> None:
        self.u_m = u_m
        self.hung_on = hung_on
        self.spare_m: float | None = None
        self.kind = ""
        self.assumed = True


class StemBuilder:
    """The builder of one leader."""

    __slots__ = (
        *(
            "root",
            "facts",
            "training",
            "marked_on",
            "readings",
            "lowerings",
            "hook",
            "clips",
            "ended",
            "mishaps",
            "props",
        ),
        *(
            "truss_fruits",
            "trusses_lost",
            "twisted_in_on",
            "looked_on",
            "pollinated_on",
            "propped_on",
            "side_shooted_on",
            "deleafed",
        ),
        *("tip_taken_out_on", "let_it_run", "kept_though_weak", "suspect", "coiled_m", "stripped_on"),
    )

    def __init__(self, root: Root, training: Training, facts: Facts) -> None:
        self.root = root
        self.facts = facts
        self.training = training
        self.marked_on: date | None = None
        self.readings: list[Reading] = []
        self.lowerings: list[Lowering] = []
        self.hook: HookNow | None = None
        self.clips: dict[str, Clip] = {}
        self.ended: dict[str, _Ended] = {}
        self.mishaps: list[Mishap] = []
        self.props: list[Prop] = []
        self.truss_fruits: dict[int, int] = {}
        self.trusses_lost: set[int] = set()
        self.twisted_in_on: date | None = None
        self.looked_on: date | None = None
        self.pollinated_on: date | None = None
        self.propped_on: date | None = None
        self.side_shooted_on: date | None = None
        self.deleafed: list[tuple[date, int | None]] = []
        self.tip_taken_out_on: date | None = None
        self.let_it_run = self.kept_though_weak = False
        self.suspect = False
        self.coiled_m = 0.0
        self.stripped_on: date | None = None

    @property
    def head_u_m(self) -> float:
        """Where the head hangs: at its hook, or over its root where no hook is noted."""
        return self.root.u_m if self.hook is None else self.hook.u_m

    def saw_all(self, day: date) -> None:
        """Its fixings were seen holding."""
        for clip in self.clips.values():
            clip.saw(day)

    def take_up(self, moved_m: float) -> None:
        """A hook that moves on takes up what was coiled under it."""
        self.coiled_m = max(0.0, self.coiled_m - max(0.0, moved_m))

    def mend(self, *kinds: str) -> None:
        """What was done stands in for accidents of these kinds."""
        for mishap in self.mishaps:
            if mishap.kind in kinds:
                mishap.made_good = True

    def end(self, clip: Clip, day: date, how: HowFailed | None, dropped: bool = False) -> None:
        del self.clips[clip.id]
        self.ended[clip.id] = _Ended(clip.frozen(self.root.leader, self.head_u_m), day, how, dropped)

    @property
    def _training(self) -> Training:
        never = self.training == "tiered" and self.root.cultivar in self.facts.never_tiered
        return "laid_down" if never else self.training

    def frozen(self, hook_number: int, picked_clean_on: date | None) -> Leader:
        root, head_u_m = self.root, self.head_u_m
        fixings = [clip.frozen(root.leader, head_u_m) for clip in self.clips.values()]
        return Leader(
            id=root.leader,
            name=root.name,
            plant=root.plant,
            place=root.place,
            row=root.row,
            loop=root.loop,
            x_m=root.x_m,
            u_m=root.u_m,
            cultivar=root.cultivar,
            planted_on=root.planted_on,
            planted_about=root.planted_about,
            since=root.since,
            training=self._training,
            buried_m=root.buried_m,
            marked_on=self.marked_on,
            readings=tuple(self.readings),
            lowerings=tuple(self.lowerings),
            hook=self._hook(hook_number),
            fixings=tuple(sorted(fixings, key=lambda fixing: (fixing.s_m, fixing.id))),
            endings=tuple(Ending(e.fixing, e.day, e.how, e.dropped, e.made_good) for e in self.ended.values()),
            accidents=tuple(self._accident(mishap) for mishap in self.mishaps),
            props=tuple(sorted(self.props, key=lambda prop: (prop.s_m, prop.id))),
            truss_fruits=dict(sorted(self.truss_fruits.items())),
            trusses_lost=frozenset(self.trusses_lost),
            picked_clean_on=picked_clean_on,
            twisted_in_on=self.twisted_in_on,
            looked_on=self.looked_on,
            pollinated_on=self.pollinated_on,
            propped_on=self.propped_on,
            side_shooted_on=self.side_shooted_on,
            deleafed=tuple(self.deleafed),
            tip_taken_out_on=self.tip_taken_out_on,
            let_it_run=self.let_it_run,
            kept_though_weak=self.kept_though_weak,
            suspect=self.suspect,
            coiled_m=self.coiled_m,
            stripped_on=self.stripped_on,
        )

    def _hook(self, number: int) -> Hook | None:
        hook = self.hook
        if hook is None:
            return None
        return Hook(number, hook.u_m, hook.spare_m, hook.kind, hook.hung_on, hook.assumed)

    def _accident(self, mishap: Mishap) -> Accident:
        waited = mishap.kind == "stem_kinked" and self.facts.day - mishap.day >= SPLINT_WAITS
        return Accident(mishap.id, mishap.kind, mishap.day, mishap.s_m, mishap.made_good or waited)
