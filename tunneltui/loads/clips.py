"""What each clip and the hook of one stem carry: a band of complete equilibrium sets (own simulation).

A stem is a chain of holds from the root up: its fixings, props and the ground where it is laid down, and last its
hook with the head clips. Holds joined by stretches steeper than 60 degrees, or on one string, are one support of
the beam; what such a support bears cannot be told apart any further and is shared out by rule.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, inf
from typing import Literal

from tunneltui.loads import beam
from tunneltui.loads.masses import Weights, lumps
from tunneltui.loads.path import REST_M, SLACK_M, Along, hold_s_m, lying_holds
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Fixing, Leader

NINETY = 1.645
"""Standard normal quantile of a band that holds nine in ten."""
LEAST_SD_N = 0.7
LEAST_SD_SHARE = 0.10
"""Loads-forms.md section 2: with these the band held 91 % of 900 simulated stems."""
MASS_HIGH = exp(1.28 * 0.15)
"""High ends rise by this where no truss of the stem was ever weighed or counted (assumed)."""
PAIR_LOW, PAIR_HIGH = 0.35, 0.65
"""What one of two such fixings carries of both; more than two share around their even part alike."""
HEAD_HIGH = 0.8
"""Most of the head's weight on one of three or more head clips."""
STEEP = 1.7320508
"""Rise over run of 60 degrees: steeper stretches count as vertical."""
REST_EVERY_M = 0.30
"""Spacing of the supports that stand in for the ground under a laid-down stem (assumed)."""
_NEAR_M = 0.02
Kind = Literal["root", "ground", "run", "hook"]


@dataclass(frozen=True, slots=True)
class Carried:
    """The band of loads on one fixing, hook, or support of several."""

    low_n: float
    mid_n: float
    high_n: float
    sd_n: float


@dataclass(frozen=True, slots=True)
class StemLoads:
    clips: dict[str, Carried]
    """By fixing id."""
    hook: Carried | None
    """On the head's twine and hook; None without one."""
    held_n: float
    """Likely weight on fixings and hook; root, soil and rests bear the rest."""


@dataclass(frozen=True, slots=True)
class _Station:
    s_m: float
    x_m: float
    z_m: float
    kind: Kind
    fixings: tuple[Fixing, ...] = ()


@dataclass(frozen=True, slots=True)
class Ready:
    """One stem on one day: what may hold it, and its weights."""

    stations: tuple[_Station, ...]
    heaps: tuple[tuple[float, float, float], ...]
    """(place along the stem, horizontal place, newton), root to tip."""
    twisted: bool
    """The head stays on its twine without clips."""
    weighed: bool


@dataclass(slots=True)
class _Hold:
    """One support of the beam."""

    stations: list[_Station]
    x_m: float
    own_n: float = 0.0
    """Weight within the group; above it, too, at the hook."""

    @property
    def from_s_m(self) -> float:
        """The root's group begins at its lowest fixing: what is below stands on the root."""
        held = [station.s_m for station in self.stations if station.kind != "root"]
        return held[0] if held else 0.0

    @property
    def to_s_m(self) -> float:
        return inf if self.hook else self.stations[-1].s_m

    @property
    def rooted(self) -> bool:
        return self.stations[0].kind == "root"

    @property
    def hook(self) -> bool:
        return self.stations[-1].kind == "hook"

    @property
    def lying(self) -> list[Fixing]:
        return [fixing for station in self.stations if station.kind == "run" for fixing in station.fixings]

    @property
    def props(self) -> int:
        """Props of an upright stretch, which bear with the fixings beside them."""
        return sum(station.kind == "ground" for station in self.stations)

    @property
    def heads(self) -> tuple[Fixing, ...]:
        return self.stations[-1].fixings if self.hook else ()


def carried(beam_n: float, lever_n: float) -> Carried:
    """Likely load and 90 % band from the two ends (own simulation)."""
    beam_n, lever_n = max(0.0, beam_n), max(0.0, lever_n)
    mid = (beam_n + lever_n) / 2
    sd = hypot((beam_n - lever_n) / 2, LEAST_SD_SHARE * mid, LEAST_SD_N)
    return Carried(max(0.0, mid - NINETY * sd), mid, mid + NINETY * sd, sd)


def shared_close(whole: Carried, count: int) -> Carried:
    """One of several fixings within a hand of each other on one string."""
    if count == 1:
        return whole
    even = 1 / count
    low, high = max(0.0, even - (0.5 - PAIR_LOW)), even + (PAIR_HIGH - 0.5)
    return Carried(low * whole.low_n, even * whole.mid_n, high * whole.high_n, even * whole.sd_n)


def shared_upright(whole: Carried, count: int) -> Carried:
    """One of several fixings along an upright stretch: which of them bears what cannot be told."""
    if count == 1:
        return whole
    mid_n, high_n = whole.mid_n / count, whole.high_n * (1.0 if count == 2 else HEAD_HIGH)
    return Carried(0.0, mid_n, high_n, (high_n - mid_n) / NINETY)


def ready(leader: Leader, path: StemPath, weights: Weights, *, weighed: bool = True) -> Ready:
    """A stem made ready to be solved, once or with holds let go. ``weighed`` False widens the high ends, for
    trusses nobody has counted or weighed."""
    along = Along(path)
    stations = _stations(leader, path, along, weights.length_m)
    breaks = [s_m for _, _, s_m in path.points] + [station.s_m for station in stations]
    heaps = [(s_m, along.x_m(s_m), newton) for s_m, newton in sorted(lumps(weights, breaks))]
    twisted = leader.hook is not None and (leader.twisted_in_on is not None or not stations[-1].fixings)
    return Ready(tuple(stations), tuple(heaps), twisted, weighed)


def stem_loads(stem: Ready, *, without: Collection[str] = (), hooked: bool = True) -> StemLoads:
    """Loads on one stem's fixings and hook.

    ``without`` leaves fixings out by id and ``hooked`` False the whole head, with the path kept, for what follows
    when one lets go.
    """
    stations = _left(stem, without, hooked) if without or not hooked else stem.stations
    holds, loads = _chain(stations, stem.heaps)
    xs = [hold.x_m for hold in holds]
    if not holds[-1].hook:
        loads = _folded(xs[-1], loads)
    stiff, limp = beam.pull_only(xs, loads), beam.hinged(xs, loads)
    clips: dict[str, Carried] = {}
    hook, held_n = None, 0.0
    for hold, stiff_n, limp_n in zip(holds, stiff, limp, strict=True):
        if not (hold.lying or hold.hook):
            continue
        if hold.rooted:
            # Two sets again: all of it stands on the root, or hangs down to the lowest fixing.
            whole = carried(0.0, (stiff_n + limp_n) / 2 + hold.own_n)
        else:
            whole = carried(stiff_n + hold.own_n, limp_n + hold.own_n)
        if not stem.weighed:
            whole = Carried(whole.low_n, whole.mid_n, whole.high_n * MASS_HIGH, whole.sd_n)
        held_n += whole.mid_n
        if hold.hook:
            hook = _hook_part(hold, whole)
        clips |= _clip_parts(hold, whole)
    return StemLoads(clips, hook, held_n)


def _folded(last_m: float, loads: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """A head without its hook folds over its last hold and hangs there; it does not stick out as a lever.

    Held out stiffly, 14 N half a metre on would bend the stem with 7 N.m; a green stem of 10 mm and 0.26 N.m2
    creases at 2 to 6 % of outer strain, which is 1 to 3 N.m (from memory).
    """
    return [(min(place, last_m), newton) for place, newton in loads]


def _hook_part(hold: _Hold, whole: Carried) -> Carried:
    """All of its support, save where an upright stem is also held to strings: then by the count of fixings."""
    if not hold.lying:
        return whole
    heads = max(1, len(hold.heads))
    mid_n = whole.mid_n * heads / (heads + len(hold.lying))
    return Carried(0.0, mid_n, whole.high_n, (whole.high_n - mid_n) / NINETY)


def _clip_parts(hold: _Hold, whole: Carried) -> dict[str, Carried]:
    lying = hold.lying
    if not hold.hook and not hold.props and sum(station.kind == "run" for station in hold.stations) == 1:
        return {fixing.id: shared_close(whole, len(lying)) for fixing in lying}
    twisted = 1 if hold.hook and not hold.heads else 0
    part = shared_upright(whole, len(lying) + len(hold.heads) + twisted + hold.props)
    return {fixing.id: part for fixing in (*lying, *hold.heads)}


def _stations(leader: Leader, path: StemPath, along: Along, length_m: float) -> list[_Station]:
    """Everything that may hold the stem up, root to tip."""
    stations = [_Station(0.0, 0.0, 0.0, "root")]
    for hold in lying_holds(leader, length_m):
        s_m = hold_s_m(hold, length_m)
        stations.append(_Station(s_m, along.x_m(s_m), along.z_m(s_m), "run", tuple(hold)))
    if leader.training == "laid_down":
        stations += _rests(path, along)
    head = _head(leader, path, along, length_m)
    stations += _props(leader, along, head.s_m if head is not None else length_m)
    stations.sort(key=lambda station: station.s_m)
    return [*stations, head] if head is not None else stations


def _props(leader: Leader, along: Along, below_m: float) -> list[_Station]:
    """Props under the stem; one under a head that hangs on its hook changes nothing that can be told."""
    under = [prop.s_m for prop in leader.props if 0.0 < prop.s_m < below_m]
    return [_Station(s_m, along.x_m(s_m), along.z_m(s_m), "ground") for s_m in under]


def _head(leader: Leader, path: StemPath, along: Along, length_m: float) -> _Station | None:
    """The hook with its head clips, at the lowest of them; a head without clips is twisted in."""
    heads = tuple(f for f in leader.fixings if f.on == "head" and f.s_m <= length_m + SLACK_M)
    if leader.hook is None and not heads:
        return None
    least_s_m = path.points[-2][2] if len(path.points) > 1 else 0.0
    s_m = min(max(heads[0].s_m if heads else least_s_m, least_s_m), length_m)
    z_m = path.bend_z_m if path.bend_z_m is not None else along.z_m(s_m)
    return _Station(s_m, along.x_m(s_m), z_m, "hook", heads)


def _left(stem: Ready, without: Collection[str], hooked: bool) -> list[_Station]:
    """What still holds when some of it has let go; props stay."""
    left = []
    for station in stem.stations:
        kept = tuple(fixing for fixing in station.fixings if fixing.id not in without)
        if station.kind == "run" and kept:
            left.append(station if kept == station.fixings else replace(station, fixings=kept))
        elif station.kind == "hook" and hooked and (kept or stem.twisted):
            left.append(replace(station, fixings=kept))
        elif station.kind in ("root", "ground"):
            left.append(station)
    return left


def _rests(path: StemPath, along: Along) -> list[_Station]:
    """Supports that stand in for the ground, up to two bend radii short of where the stem leaves it."""
    on_ground = [(s_m, z_m) for _, z_m, s_m in path.points if z_m <= REST_M + 1e-9]
    end_s_m = on_ground[-1][0] - REST_EVERY_M
    count = int(end_s_m / REST_EVERY_M + 1e-9)
    places = [REST_EVERY_M * (i + 1) for i in range(count)]
    return [_Station(s_m, along.x_m(s_m), along.z_m(s_m), "ground") for s_m in places]


def _chain(
    stations: Sequence[_Station], heaps: Sequence[tuple[float, float, float]]
) -> tuple[list[_Hold], list[tuple[float, float]]]:
    """Supports root first, and the weights between them, both by horizontal place without the holds' own width."""
    holds: list[_Hold] = []
    for station in stations:
        if holds and _one_hold(holds[-1].stations[-1], station):
            holds[-1].stations.append(station)
        else:
            x_m = holds[-1].x_m + station.x_m - holds[-1].stations[-1].x_m if holds else 0.0
            holds.append(_Hold([station], x_m))
    starts = [hold.from_s_m for hold in holds]
    ends = [hold.to_s_m for hold in holds]
    moved = [hold.x_m - hold.stations[-1].x_m for hold in holds]
    between: list[tuple[float, float]] = []
    i, last = 0, len(holds) - 1
    for s_m, x_m, newton in heaps:
        while i < last and s_m >= starts[i + 1]:
            i += 1
        if s_m > ends[i]:
            between.append((x_m + moved[i], newton))
        elif s_m >= starts[i]:
            holds[i].own_n += newton
    return holds, between


def _one_hold(below: _Station, above: _Station) -> bool:
    across_m = above.x_m - below.x_m
    return across_m < _NEAR_M or (above.kind != "ground" and abs(above.z_m - below.z_m) > STEEP * across_m)
