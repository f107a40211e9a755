"""Small seasons made by hand for the tests of chores: one or two rows, stems, forecasts and loads as wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from tunneltui.chores.chore import Chore
from tunneltui.growth.outlook import Band, LeaderOutlook, Outlook, PickOutlook, StemOn, TrussOn
from tunneltui.holding.layout import layout
from tunneltui.holding.model import (
    ClipKind,
    Cultivar,
    Holding,
    HookKind,
    Limits,
    Place,
    Row,
    String,
    Tunnel,
    TwineKind,
    Work,
)
from tunneltui.journal.body import typed
from tunneltui.journal.entry import Draft
from tunneltui.loads.result import ClipLoad, Loads, StemPath
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season
from tunneltui.values import replace

DAY = date(2026, 8, 20)
"""A Thursday."""
SPACING_M = 0.58


def row(number: int = 1, count: int = 12, **changes: Any) -> Row:
    """A row of 8 m under a wire at 2.2 m, a string 10 cm past every place."""
    made = Row(
        number=number,
        wire_height_m=2.2,
        length_m=8.0,
        places=tuple(Place(f"W{number}-{n:02d}", SPACING_M * n, "round") for n in range(1, count + 1)),
        strings=tuple(String(n, SPACING_M * n + 0.10, "jute") for n in range(1, count + 1)),
    )
    return replace(made, **changes)


def holding(*rows: Row, limits: Limits | None = None, work: Work | None = None, **tunnel: Any) -> Holding:
    """First tier at 50 cm and a reach of 2.3 m unless told otherwise."""
    stands = Tunnel(key="W", name="west", length_m=10.0, width_m=5.5, rows=rows or (row(),))
    return Holding(
        name="made up",
        work=work or Work(reach_m=2.3, pick_days=("Mon", "Thu")),
        limits=limits or Limits(first_tier_m=0.5),
        tunnels=(replace(stands, **tunnel),),
        cultivars=(Cultivar("round"), Cultivar("small", fruit="cherry"), Cultivar("big", "beef", truss_target=4)),
        clips=(ClipKind("green"),),
        twines=(TwineKind("jute", breaking_n=200.0),),
        hooks=(HookKind("turned", turn_m=0.30), HookKind("plain")),
    )


def leader(number: int, *, row: str = "W1", **changes: Any) -> Leader:
    """The leader of the place of that number; its hook hangs over its root, and it was tended yesterday."""
    place = f"{row}-{number:02d}"
    x_m = SPACING_M * number
    made = Leader(
        id=f"l{row}{number}",
        name=f"{place}a",
        plant=f"l{row}{number}",
        place=place,
        row=row,
        loop="W1",
        x_m=x_m,
        u_m=x_m,
        cultivar="round",
        planted_on=date(2026, 4, 25),
        since=date(2026, 4, 25),
        training="tiered",
        hook=Hook(number, x_m, 6.0, "plain", date(2026, 5, 1), assumed=False),
        twisted_in_on=DAY - timedelta(days=1),
        side_shooted_on=DAY - timedelta(days=1),
        deleafed=((DAY - timedelta(days=1), 3),),
    )
    return replace(made, **changes)


def fixing(id_: str, of: Leader, s_m: float, string: int | None = None, **changes: Any) -> Fixing:
    """A clip on a string of the leader's row, or on its head."""
    u_m = of.hook.u_m if of.hook else of.u_m
    made = Fixing(
        id=id_,
        leader=of.id,
        on="head" if string is None else "string",
        string="" if string is None else f"{of.row}/{string}",
        u_m=u_m if string is None else SPACING_M * string + 0.10,
        z_m=None,
        s_m=s_m,
        tie=False,
        clip_kind="green",
        hung_on=DAY - timedelta(days=14),
        assumed=False,
    )
    return replace(made, **changes)


def season(leaders: Iterable[Leader] = (), stands: Holding | None = None, **changes: Any) -> Season:
    """Everything of today that is not said has been done: looked over, fed."""
    stands = stands or holding()
    looked_up = layout(stands)
    made = Season(
        day=DAY,
        holding=stands,
        layout=looked_up,
        leaders={one.id: one for one in leaders},
        ended={},
        strings={
            s.id: HungString(
                s.id,
                s.row,
                looked_up.loop_of_row[s.row].id,
                s.number,
                s.x_m,
                s.u_m,
                s.twine,
                s.knot_share,
            )
            for s in looked_up.strings.values()
        },
        airs={},
        forecasts=(),
        picks=(),
        strength_tests=(),
        done=(),
        last={
            ("fed", "W"): DAY - timedelta(days=1),
            **{("looked", name): DAY for name in looked_up.rows},
            **{("pollinated", name): DAY for name in looked_up.rows},
        },
        stock={},
        timings={},
        fleece_on={},
        set_aside=(),
    )
    return replace(made, **changes)


def truss(number: int, s_m: float, z: float = 0.5, **changes: Any) -> TrussOn:
    return TrussOn(number, s_m, z, 5.0, 0.3, None, counted=False)._replace(**changes)


def stem(length_m: float, tip_z_m: float, **changes: Any) -> StemOn:
    """Sure of itself: bands without width unless told otherwise."""
    made = StemOn(
        DAY,
        Band(length_m, length_m, length_m),
        Band(tip_z_m, tip_z_m, tip_z_m),
        (),
        flowering_truss=0.0,
        leaves=15.0,
        bare_below_m=0.0,
    )
    return replace(made, **changes)


def growing(today: StemOn, m_per_week: float = 0.25, half_m: float = 0.0) -> dict[date, StemOn]:
    """The outlook's days, length and tip rising together; the band opens by ``half_m`` a week."""
    days = {}
    for n in range(15):
        more, wide = m_per_week * n / 7, half_m * n / 7
        length, tip = today.length_m.mid + more, today.tip_z_m.mid + more
        day = DAY + timedelta(days=n)
        days[day] = replace(
            today,
            day=day,
            length_m=Band(length - wide, length, length + wide),
            tip_z_m=Band(tip - wide, tip, tip + wide),
        )
    return days


def outlook(
    stems: Mapping[str, StemOn],
    *,
    m_per_week: float | Mapping[str, float] = 0.25,
    half_m: float = 0.0,
    picks: Sequence[PickOutlook] = (),
    measured_on: date | None = DAY - timedelta(days=3),
) -> Outlook:
    leaders = {}
    for name, today in stems.items():
        pace_m = m_per_week if isinstance(m_per_week, float) else m_per_week[name]
        leaders[name] = LeaderOutlook(
            name,
            growing(today, pace_m, half_m),
            measured_on,
            Band(pace_m - half_m, pace_m, pace_m + half_m),
            Band(1.0, 1.0, 1.0),
            (None, None, None),
        )
    return Outlook(DAY, leaders, tuple(picks), air_typical=False)


def clip_load(fixing: Fixing, leader: Leader, mid_n: float, strength_n: float = 20.0, **changes: Any) -> ClipLoad:
    on = "head" if fixing.on == "head" else f"string {fixing.string.split('/')[1]}"
    made = ClipLoad(
        id=fixing.id,
        leader=leader.name,
        on=on,
        u_m=fixing.u_m,
        z_m=0.8,
        s_m=fixing.s_m,
        low_n=0.8 * mid_n,
        mid_n=mid_n,
        high_n=1.2 * mid_n,
        sd_n=0.1 * mid_n,
        strength_n=strength_n,
        share=mid_n / strength_n,
        mid_7d_n=mid_n,
        chance_7d=0.0,
        assumed=False,
        weeks_hung=2.0,
    )
    return replace(made, **changes)


def loads(clips: Sequence[ClipLoad] = (), paths: Mapping[str, StemPath] | None = None) -> Loads:
    return Loads(DAY, tuple(clips), (), (), (), (), (), dict(paths or {}), ())


def of_kind(chores: Iterable[Chore], kind: str) -> list[Chore]:
    return [chore for chore in chores if chore.kind == kind]


def bodies(drafts: Iterable[Draft]) -> list[Any]:
    return [typed(draft) for draft in drafts]
