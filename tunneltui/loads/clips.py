"""What each clip and the hook of one stem carry: a band of complete equilibrium sets.

A stem is a chain of holds from the root up: its fixings, props and the ground where it is laid down, and last its
hook with the head clips. Holds joined by stretches steeper than 60 degrees, or on one string, are one support of
the beam; what such a support bears cannot be told apart any further and is shared out by rule. A string clip and
the hook are never one support, however steep the stem between them, save where one hangs straight over the other.

Three shapes: all straight over the root, an upright stem whose root bears what a column of its stiffness can
(``loads.column``); held by one string beside its root and then by its hook, a stem just leaned, whose root bears
nothing; else a lying stem, between a stiff beam and one hinged at every hold.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import hypot, inf, sqrt
from typing import Literal, NamedTuple

from msgspec import Struct

from tunneltui.growth.outlook import CULTIVAR_SD
from tunneltui.loads import beam
from tunneltui.loads.column import STIFFNESS_N_M2, root_most_n
from tunneltui.loads.masses import Weights, lumps
from tunneltui.loads.path import REST_M, SLACK_M, UPRIGHT_M, Along, hold_s_m, lying_holds
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Fixing, Leader
from tunneltui.values import replace

NINETY = 1.645
"""Standard normal quantile of a band that holds nine in ten."""
LEAST_SD_N = 0.4
"""What stems and strings that touch take over from each other (assumed)."""
FIT_SD = 0.13
"""Error of a likely load, as a share of it, by the fit of bends (assumed) and clips 2 cm off their places."""
TRUSS_PLACE_SD_M = 0.05
"""A truss hangs so far off the place along the stem where it is noted (assumed)."""
LASTING_LN = (0.17, 0.30, 0.38)
"""What of that error stays with a clip as long as it hangs, of ln load, for the same three (own simulation)."""
UPRIGHT_LN = 0.40
"""The same for clips of an upright or just leaned stem (own simulation)."""
HEAD_LN = 0.45
"""Play between head clips: which of them bears the head is not known (own simulation, play assumed)."""
PAIR_LN = 0.17
"""Of one of two clips in one place, which carries 0.35 to 0.65 of both: the spread of that as if all were
alike."""
LEAN_OWN, LEAN_LEVER, LEAN_BEND_N_PER_M, LEAN_WITHIN_M = 0.7, 1.05, 9.4, 0.30
"""A stem just leaned: its clip bears so much of the stem below it, of its lever share of the stretch up to the
hook, and, nearer than 30 cm to the root, of the bending of that stretch, for the root then pulls down on a short
lever (fitted to large-displacement rods, own simulation; other rods: 2.0 N off, 94 % of the bands held)."""
PAIR_LOW, PAIR_HIGH = 0.35, 0.65
"""What one of two such fixings carries of both; more than two share around their even part alike."""
HEAD_HIGH = 0.8
"""Most of the head's weight on one of three or more head clips."""
STEEP = 1.7320508
"""Rise over run of 60 degrees: steeper stretches count as vertical."""
REST_EVERY_M = 0.30
"""Spacing of the supports that stand in for the ground under a laid-down stem (assumed)."""
STEADIED_M = 0.50
"""A head on no more free twine than this is held sideways."""
_MAY_STAND_M = 0.60
"""A stem that reaches no further from its root than this may be upright: its weights are then laid so fine."""
_COLUMN_STEP_M = 0.10
_NEAR_M = 0.02
HoldKind = Literal["root", "ground", "run", "hook"]


class Carried(Struct, frozen=True):
    """The band of loads on one fixing, hook, or support of several."""

    low_n: float
    mid_n: float
    high_n: float
    sd_n: float
    lasting_ln: float = 0.0
    """Standard deviation of ln load that stays with a clip: how far this one's load may be off all the time."""


class StemLoads(Struct, frozen=True):
    clips: dict[str, Carried]
    """By fixing id."""
    hook: Carried | None
    """On the head's twine and hook; None without one."""
    held_n: float
    """Likely weight on fixings and hook; root, soil and rests bear the rest."""
    root_n: float
    """Likely weight on the root, with soil, rests and props; below 0 the root pulls the stem down, which fixings
    and hook then bear on top of its weight."""


class _Station(Struct, frozen=True):
    s_m: float
    x_m: float
    z_m: float
    kind: HoldKind
    fixings: tuple[Fixing, ...] = ()


class Ready(Struct, frozen=True):
    """One stem on one day: what may hold it, and its weights."""

    stations: tuple[_Station, ...]
    heaps: tuple[tuple[float, float, float], ...]
    """(place along the stem, horizontal place, newton), root to tip."""
    twisted: bool
    """The head stays on its twine without clips."""
    steadied: bool
    """The head's twine is short enough to keep the head from swaying."""
    stiffness_n_m2: float
    green_sd: float
    """How far off stem and leaves are, as a share of them."""
    fruit_sd: float
    """Of all its fruit together."""
    unsure: tuple[tuple[float, float, float, float], ...]
    """(place along the stem, horizontal place, newton, its own error in newton) of each truss."""


class _Hold(Struct):
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
    def from_root_m(self) -> float:
        """Level way from the root to its lowest fixing."""
        return min(station.x_m for station in self.stations if station.kind != "root")

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


class WeighedOff(NamedTuple):
    """Of what one hold bears, how much is fruit and how far off that and the rest are, in newtons."""

    fruit_n: float = 0.0
    trusses_sd_n: float = 0.0
    """Each truss by itself, and where it hangs."""
    fruit_sd: float = 0.0
    """All fruit together, as a share."""
    green_sd: float = 0.0
    """Stem and leaves, as a share."""

    def sd_n(self, whole_n: float) -> float:
        fruit_n = min(whole_n, self.fruit_n)
        return hypot(self.trusses_sd_n, self.fruit_sd * fruit_n, self.green_sd * (whole_n - fruit_n))


AS_WEIGHED = WeighedOff()


def carried(beam_n: float, lever_n: float, back: int = 0, off: WeighedOff = AS_WEIGHED) -> Carried:
    """Likely load and 90 % band from the two ends; ``back`` counts holds from the last one before the hook, 0."""
    beam_n, lever_n = max(0.0, beam_n), max(0.0, lever_n)
    mid = (beam_n + lever_n) / 2
    # The load lies anywhere between the ends, as if all were alike.
    sd = hypot((beam_n - lever_n) / 2 / sqrt(3), FIT_SD * mid, LEAST_SD_N, off.sd_n(mid))
    lasting_ln = LASTING_LN[min(back, 2)]
    if off.fruit_sd > CULTIVAR_SD and mid > 0:
        lasting_ln = hypot(lasting_ln, sqrt(off.fruit_sd**2 - CULTIVAR_SD**2) * min(mid, off.fruit_n) / mid)
    return _about(mid, sd, lasting_ln)


def _about(mid_n: float, sd_n: float, lasting_ln: float) -> Carried:
    return Carried(max(0.0, mid_n - NINETY * sd_n), mid_n, mid_n + NINETY * sd_n, sd_n, lasting_ln)


def shared_close(whole: Carried, count: int) -> Carried:
    """One of several fixings within a hand of each other on one string."""
    if count == 1:
        return whole
    even = 1 / count
    low, high = max(0.0, even - (0.5 - PAIR_LOW)), even + (PAIR_HIGH - 0.5)
    lasting_ln = hypot(whole.lasting_ln, PAIR_LN)
    return Carried(low * whole.low_n, even * whole.mid_n, high * whole.high_n, even * whole.sd_n, lasting_ln)


def shared_upright(whole: Carried, count: int) -> Carried:
    """One of several fixings along an upright stretch: which of them bears what cannot be told."""
    if count == 1:
        return whole
    mid_n, high_n = whole.mid_n / count, whole.high_n * (1.0 if count == 2 else HEAD_HIGH)
    return Carried(0.0, mid_n, high_n, (high_n - mid_n) / NINETY, whole.lasting_ln)


def ready(
    leader: Leader,
    path: StemPath,
    weights: Weights,
    *,
    free_twine_m: float = 0.0,
    stiffness_n_m2: float = STIFFNESS_N_M2,
) -> Ready:
    """A stem made ready to be solved, once or with holds let go. ``free_twine_m`` hangs between its tip and the
    wire; ``stiffness_n_m2`` is its bending stiffness, asked of upright stems only."""
    along = Along(path)
    stations = _stations(leader, path, along, weights.length_m)
    breaks = [s_m for _, _, s_m in path.points] + [station.s_m for station in stations]
    if along.x[-1] < _MAY_STAND_M:
        breaks += [_COLUMN_STEP_M * i for i in range(1, 16)]
    heaps = along.placed(sorted(lumps(weights, breaks)))
    twisted = leader.hook is not None and (leader.twisted_in_on is not None or not stations[-1].fixings)
    places = along.placed((truss.s_m, truss.newton) for truss in weights.unsure)
    return Ready(
        tuple(stations),
        tuple(heaps),
        twisted,
        free_twine_m <= STEADIED_M,
        stiffness_n_m2,
        weights.green_sd,
        weights.fruit_sd,
        tuple((*place, truss.sd_n) for place, truss in zip(places, weights.unsure, strict=True)),
    )


def stem_loads(stem: Ready, *, without: Collection[str] = (), hooked: bool = True) -> StemLoads:
    """Loads on one stem's fixings and hook.

    ``without`` leaves fixings out by id and ``hooked`` False the whole head, with the path kept, for what follows
    when one lets go.
    """
    if without or not hooked:
        # Of what would follow only the likely loads are asked.
        stem = replace(stem, stations=tuple(_left(stem, without, hooked)), unsure=())
    holds, loads = _chain(stem.stations, stem.heaps)
    if len(holds) == 1:
        borne = [_upright(stem)]
    elif len(holds) == 2 and holds[1].hook and holds[0].rooted and holds[0].lying:
        borne = _just_leaned(stem, holds, loads)
    else:
        borne = _lying(stem, holds, loads)
    clips: dict[str, Carried] = {}
    hook, held_n = None, 0.0
    for hold, whole in zip(holds, borne, strict=True):
        if hold.lying or hold.hook:
            held_n += whole.mid_n
            if hold.hook:
                hook = _hook_part(hold, whole)
            clips |= _clip_parts(hold, whole)
    return StemLoads(clips, hook, held_n, sum(newton for _, _, newton in stem.heaps) - held_n)


def _upright(stem: Ready) -> Carried:
    """Everything straight over the root, which bears what a column of this stiffness can; the rest hangs.

    Of many simulated rods the root bore 0.80 of what buckles it (0.51 to 1.18 in nine of ten), whatever the slack,
    for a heavier stem bows until its twine bears the rest; 0.75 allows for creep (assumed). Those rods' weights
    were known; what this stem weighs is not, and its twine takes all of that.
    """
    weight_n = sum(newton for _, _, newton in stem.heaps)
    most_n = root_most_n(
        [(s_m, newton) for s_m, _, newton in stem.heaps], stem.stiffness_n_m2, steadied=stem.steadied
    )
    at_most_n = min(most_n, weight_n)
    fruit_n = sum(newton for _, _, newton, _ in stem.unsure)
    trusses_sd_n = hypot(*(sd_n for *_, sd_n in stem.unsure))
    off = WeighedOff(fruit_n, trusses_sd_n, stem.fruit_sd, stem.green_sd)
    mid_n, off_n = weight_n - 0.75 * at_most_n, NINETY * off.sd_n(weight_n)
    low_n = max(0.0, mid_n - hypot(mid_n - max(0.0, weight_n - 1.2 * most_n), off_n))
    high_n = mid_n + hypot(0.5 * at_most_n, off_n)
    return Carried(low_n, mid_n, high_n, (high_n - low_n) / (2 * NINETY), UPRIGHT_LN)


def _below_n(stem: Ready, hold: _Hold) -> float:
    """What the clips beside a root bear of the stem below them."""
    up_to_m = hold.to_s_m
    return LEAN_OWN * sum(newton for s_m, _, newton in stem.heaps if s_m <= up_to_m)


def _just_leaned(stem: Ready, holds: Sequence[_Hold], loads: Sequence[tuple[float, float]]) -> list[Carried]:
    """One string beside the root, then the hook: the root takes nothing off the clip, it pulls down. The errors
    are those of rods of known weight, and beside them that of the weight."""
    beside, hook = holds
    across_m = hook.x_m - beside.x_m
    lever_n, to_hook_n = beam.hinged([beside.x_m, hook.x_m], loads)
    bending_n = LEAN_BEND_N_PER_M * across_m * max(0.0, 1 - beside.from_root_m / LEAN_WITHIN_M)
    clip_n = _below_n(stem, beside) + LEAN_LEVER * lever_n + bending_n
    hook_n = to_hook_n + hook.own_n
    of_clip, of_hook = _weighed_off(stem, holds)
    return [
        _about(clip_n, hypot(0.18 * clip_n, 1.6, of_clip.sd_n(clip_n)), UPRIGHT_LN),
        _about(hook_n, hypot(0.10 * hook_n, 0.7, of_hook.sd_n(hook_n)), UPRIGHT_LN),
    ]


def _lying(stem: Ready, holds: Sequence[_Hold], loads: Sequence[tuple[float, float]]) -> list[Carried]:
    """Between a stiff beam and one hinged at every hold. Where the first clip stands steeply over the root the
    root takes nothing off it."""
    xs = [hold.x_m for hold in holds]
    last = len(holds) - 1
    if not holds[-1].hook:
        # A head without its hook folds over its last hold and hangs there; it does not stick out as a lever. Held
        # out stiffly, 14 N half a metre on would bend the stem with 7 N.m; a green stem of 10 mm and 0.26 N.m2
        # creases at 2 to 6 % of outer strain, which is 1 to 3 N.m (from memory).
        loads, last = [(min(place, xs[-1]), newton) for place, newton in loads], last + 1
    stiff, limp = beam.pull_only(xs, loads), beam.hinged(xs, loads)
    if holds[0].rooted and holds[0].lying:
        holds[0].own_n = _below_n(stem, holds[0])
    off = _weighed_off(stem, holds)
    return [
        carried(stiff_n + hold.own_n, limp_n + hold.own_n, max(0, last - 1 - i), off[i])
        for i, (hold, stiff_n, limp_n) in enumerate(zip(holds, stiff, limp, strict=True))
    ]


def _weighed_off(stem: Ready, holds: Sequence[_Hold]) -> list[WeighedOff]:
    """How far off each hold's share of the weights is, as if the stem were hinged at every hold: trusses err where
    they hang."""
    fruit_n, squares = [0.0] * len(holds), [0.0] * len(holds)
    i, last = 0, len(holds) - 1
    for s_m, x_m, newton, off_n in stem.unsure:
        while i < last and s_m >= holds[i + 1].from_s_m:
            i += 1
        hold = holds[i]
        if s_m <= hold.to_s_m or i == last:
            fruit_n[i] += newton
            squares[i] += off_n * off_n
            continue
        across_m = holds[i + 1].x_m - hold.x_m
        share = min(1.0, (x_m - hold.stations[-1].x_m) / across_m)
        moved_n = TRUSS_PLACE_SD_M / across_m * newton
        fruit_n[i] += (1 - share) * newton
        fruit_n[i + 1] += share * newton
        squares[i] += ((1 - share) * off_n) ** 2 + moved_n * moved_n
        squares[i + 1] += (share * off_n) ** 2 + moved_n * moved_n
    return [
        WeighedOff(newton, sqrt(square), stem.fruit_sd, stem.green_sd)
        for newton, square in zip(fruit_n, squares, strict=True)
    ]


def _hook_part(hold: _Hold, whole: Carried) -> Carried:
    """All of its support, save where an upright stem is also held to strings: then by the count of fixings."""
    if not hold.lying:
        return whole
    heads = max(1, len(hold.heads))
    mid_n = whole.mid_n * heads / (heads + len(hold.lying))
    return Carried(0.0, mid_n, whole.high_n, (whole.high_n - mid_n) / NINETY, whole.lasting_ln)


def _clip_parts(hold: _Hold, whole: Carried) -> dict[str, Carried]:
    lying = hold.lying
    if not hold.hook and not hold.props and sum(station.kind == "run" for station in hold.stations) == 1:
        return {fixing.id: shared_close(whole, len(lying)) for fixing in lying}
    twisted = 1 if hold.hook and not hold.heads else 0
    part = shared_upright(whole, len(lying) + len(hold.heads) + twisted + hold.props)
    if len(hold.heads) > 1 or (hold.heads and lying):
        part = replace(part, lasting_ln=HEAD_LN)
    return {fixing.id: part for fixing in (*lying, *hold.heads)}


def _stations(leader: Leader, path: StemPath, along: Along, length_m: float) -> list[_Station]:
    """Everything that may hold the stem up, root to tip."""
    stations = [_Station(0.0, 0.0, 0.0, "root")]
    for hold in lying_holds(leader, length_m):
        s_m = hold_s_m(hold, length_m)
        stations.append(_Station(s_m, along.x_m(s_m), along.z_m(s_m), "run", tuple(hold)))
    if leader.training == "laid_down":
        # Supports that stand in for the ground, up to two bend radii short of where the stem leaves it.
        on_ground = [(s_m, z_m) for _, z_m, s_m in path.points if z_m <= REST_M + 1e-9]
        end_s_m = on_ground[-1][0] - REST_EVERY_M
        count = int(end_s_m / REST_EVERY_M + 1e-9)
        places = [REST_EVERY_M * (i + 1) for i in range(count)]
        stations += [_Station(s_m, along.x_m(s_m), along.z_m(s_m), "ground") for s_m in places]
    head = _head(leader, path, along, length_m)
    # A prop under a head that hangs on its hook changes nothing that can be told.
    below_m = head.s_m if head is not None else length_m
    under = [prop.s_m for prop in leader.props if 0.0 < prop.s_m < below_m]
    stations += [_Station(s_m, along.x_m(s_m), along.z_m(s_m), "ground") for s_m in under]
    stations.sort(key=lambda station: station.s_m)
    return [*stations, head] if head is not None else stations


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
    if (below.kind, above.kind) == ("run", "hook"):
        return across_m < UPRIGHT_M
    return across_m < _NEAR_M or (above.kind != "ground" and abs(above.z_m - below.z_m) > STEEP * across_m)
