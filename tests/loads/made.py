"""Small made-up seasons for the tests of loads: a row of strings, leaders with a hook and fixings where wanted."""

from __future__ import annotations

from datetime import date, timedelta

from tunneltui.growth.outlook import Band, LeaderOutlook, Outlook, StemOn, TrussOn
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
)
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season
from tunneltui.values import replace

DAY = date(2026, 8, 20)


def row(number: int = 1, strings: int = 15, **kwargs: object) -> Row:
    made = Row(
        number=number,
        wire_height_m=2.0,
        length_m=8.0,
        places=tuple(Place(f"W{number}-{i:02d}", 0.58 * i) for i in range(1, 13)),
        strings=tuple(String(i, 0.55 * i, twine="jute") for i in range(strings)),
    )
    return replace(made, **kwargs)  # type: ignore[arg-type]


def holding(*rows: Row, limits: Limits | None = None, **tunnel: object) -> Holding:
    stands = replace(
        Tunnel(key="W", name="west", length_m=10.0, width_m=5.5, rows=rows or (row(),)),
        **tunnel,  # type: ignore[arg-type]
    )
    return Holding(
        name="made up",
        tunnels=(stands,),
        limits=limits or Limits(),
        cultivars=(
            Cultivar("round", fruit="standard", fruit_g=100.0),
            Cultivar("small", fruit="cherry", fruit_g=18.0),
        ),
        clips=(ClipKind("green"),),
        twines=(TwineKind("jute", breaking_n=177.0),),
        hooks=(HookKind("rolling", turn_m=0.2, twine="jute"),),
    )


def band(mid: float, half: float = 0.0) -> Band:
    return Band(mid - half, mid, mid + half)


def stem(
    length_m: float,
    tip_z_m: float,
    trusses: tuple[tuple[float, float], ...] = (),
    *,
    leaves: float = 15.0,
    bare_below_m: float = 0.0,
    day: date = DAY,
    half: float = 0.0,
    ripe_z: float = 1.0,
) -> StemOn:
    """Trusses are (s_m, kg), lowest first; the lowest is ripe, the highest in flower."""
    n = len(trusses)
    return StemOn(
        day,
        band(length_m, half),
        band(tip_z_m),
        tuple(
            TrussOn(i + 1, s_m, ripe_z * (1 - i / n), 5.0, kg, None, counted=False)
            for i, (s_m, kg) in enumerate(trusses)
        ),
        float(n),
        leaves,
        bare_below_m,
    )


def clip(
    leader: str,
    id_: str,
    s_m: float,
    u_m: float,
    *,
    string: str = "",
    on: str = "string",
    z_m: float | None = None,
    hung_on: date = DAY,
    seen_on: tuple[date, ...] | None = None,
    assumed: bool = False,
    tie: bool = False,
) -> Fixing:
    seen = (hung_on,) if seen_on is None else seen_on
    return Fixing(id_, leader, on, string, u_m, z_m, s_m, tie, "green", hung_on, assumed, seen)  # type: ignore[arg-type]


def leader(
    id_: str = "a",
    u_m: float = 0.58,
    fixings: tuple[Fixing, ...] = (),
    hook_u_m: float | None = None,
    **more: object,
) -> Leader:
    hook = None if hook_u_m is None else Hook(1, hook_u_m, 2.0, "rolling", DAY - timedelta(days=60), assumed=False)
    made = Leader(
        id=id_,
        name=f"W1-{id_}",
        plant=f"plant {id_}",
        place="W1-01",
        row="W1",
        loop="W1",
        x_m=u_m,
        u_m=u_m,
        cultivar="round",
        planted_on=DAY - timedelta(days=100),
        since=DAY - timedelta(days=100),
        training="tiered",
        hook=hook,
        fixings=tuple(sorted(fixings, key=lambda f: f.s_m)),
    )
    return replace(made, **more)  # type: ignore[arg-type]


def season(*leaders: Leader, stands: Holding | None = None, day: date = DAY, **more: object) -> Season:
    stands = stands or holding()
    places = layout(stands)
    made = Season(
        day=day,
        holding=stands,
        layout=places,
        leaders={leader.id: leader for leader in leaders},
        ended={},
        strings={
            s.id: HungString(
                s.id, s.row, places.loop_of_row[s.row].id, s.number, s.x_m, s.u_m, s.twine, s.knot_share
            )
            for s in places.strings.values()
        },
        airs={},
        forecasts=(),
        picks=(),
        strength_tests=(),
        done=(),
        last={},
        stock={},
        timings={},
        fleece_on={},
        set_aside=(),
    )
    return replace(made, **more)  # type: ignore[arg-type]


def outlook(stems: dict[str, StemOn], growth_m_per_week: float = 0.20, day: date = DAY) -> Outlook:
    """Fourteen days in which stems only grow at the tip."""
    return Outlook(
        day,
        {
            id_: LeaderOutlook(
                id_,
                {
                    day + timedelta(days=d): replace(
                        on,
                        day=day + timedelta(days=d),
                        length_m=band(on.length_m.mid + growth_m_per_week * d / 7),
                        tip_z_m=band(on.tip_z_m.mid + growth_m_per_week * d / 7),
                    )
                    for d in range(15)
                },
                day,
                band(growth_m_per_week),
                band(0.8),
                (None, None, None),
            )
            for id_, on in stems.items()
        },
        (),
        air_typical=False,
    )


TRUSSES = tuple((2.24 + 0.22 * i, 0.55 - 0.07 * i) for i in range(8))


def tiered(id_: str = "a", u_m: float = 0.58, length_m: float = 3.9, strings: int = 15) -> tuple[Leader, StemOn]:
    """A standard stem in August: clipped to every string it crosses, head on its hook."""
    fixings, s_m, at, z_m = [], 0.0, u_m, 0.0
    for i in range(1, strings):
        here = 0.55 * i
        if here <= u_m + 0.05 or here > u_m + 2.3:
            continue
        up = 0.70 + 0.17 * (here - u_m)
        s_m += ((here - at) ** 2 + (up - z_m) ** 2) ** 0.5 * 1.01
        at, z_m = here, up
        fixings.append(clip(id_, f"{id_}{i}", s_m, here, string=f"W1/{i}"))
    hook = at + 0.45
    fixings += [clip(id_, f"{id_}h{i}", s_m + 0.75 + 0.2 * i, hook, on="head") for i in range(3)]
    tip_z_m = z_m + 0.17 * 0.45 + (length_m - s_m - 0.4565)
    return leader(id_, u_m, tuple(fixings), hook), stem(length_m, tip_z_m, TRUSSES, bare_below_m=2.1)
