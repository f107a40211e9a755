"""The top wire: elastic, pretensioned, hung at intervals, loaded by strings, hooks and its own weight.

Shallow-wire form (own simulation): with V the shear of simple beams between the hangers under the same
loads and S the sum of V^2 dx, H^3 - T0' H^2 = EA' S / (2 L), the sag is the greatest moment over H, the tension
hypot(H, V). Within 0.2 % of exact solutions for sags up to a twentieth of the span.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cbrt, hypot, pi

from msgspec import Struct

from tunneltui.holding.model import Row, Tunnel
from tunneltui.loads.masses import GRAVITY_M_PER_S2

STEEL_KG_PER_M3 = 7850.0
WARMING_PER_K = 12e-6
"""Steel, textbook value (from memory)."""
HAND_TIGHT_N = 300.0
"""Pretension where neither it nor the sag is known (assumed)."""


class Wire(Struct, frozen=True):
    ea_n: float
    """Modulus times section."""
    own_n_per_m: float
    straight_n: float
    """Pull of the unloaded wire drawn straight; negative for a wire longer than its hangers are apart."""


class Span(Struct, frozen=True):
    start_m: float
    end_m: float
    tension_n: float
    """Greatest in the span."""
    sag_m: float
    left_n: float
    right_n: float
    """What its two ends bear of it."""


class HangingWire(Struct, frozen=True):
    pull_n: float
    """Along the wire, the same everywhere: hangers swing. What each end frame takes."""
    spans: tuple[Span, ...]
    hangers: tuple[tuple[float, float], ...]
    """(place, newton down) of each hanger, both ends included."""


def wire_of(row: Row, tunnel: Tunnel, warming_k: float = 0.0) -> Wire:
    """A row's wire; ``warming_k`` is how much warmer it is than when it was drawn tight.

    A sag noted when unloaded goes before a noted pretension. Ends that give make the wire softer.
    """
    area_m2 = pi / 4 * (row.wire_diameter_mm / 1000) ** 2
    ea_n = row.wire_modulus_gpa * 1e9 * area_m2
    if row.end_stiffness_n_per_m is not None:
        ea_n = 1 / (1 / ea_n + 2 / (row.end_stiffness_n_per_m * row.length_m))
    own_n_per_m = area_m2 * STEEL_KG_PER_M3 * GRAVITY_M_PER_S2
    straight_n = HAND_TIGHT_N if row.pretension_n is None else row.pretension_n
    if row.sag_unloaded_m:
        straight_n = _straight_from_sag_n(row.sag_unloaded_m, hangers_m(row, tunnel), ea_n, own_n_per_m)
    return Wire(ea_n, own_n_per_m, straight_n - ea_n * WARMING_PER_K * warming_k)


def hangers_m(row: Row, tunnel: Tunnel) -> list[float]:
    """Where the wire is held, along its row, both ends included; at every hoop unless noted otherwise."""
    every_m = row.hanger_every_m or tunnel.hoop_every_m
    count = int(row.length_m / every_m - 1e-9)
    return [*(i * every_m for i in range(count + 1)), row.length_m]


def hang(wire: Wire, supports_m: Sequence[float], loads: Sequence[tuple[float, float]]) -> HangingWire:
    """Tension, sag and hanger loads of a wire over swinging hangers under (place, newton) loads.

    For hangers that clamp the wire give one span at a time. Loads beyond an end count at the end.
    """
    first, last = supports_m[0], supports_m[-1]
    placed = sorted((min(max(place, first), last), newton) for place, newton in loads)
    at_hanger = {place: sum(n for x, n in placed if x == place) for place in supports_m}
    shears = [_Shear(left, right, placed, wire.own_n_per_m) for left, right in pairwise(supports_m)]
    stretched = wire.ea_n * sum(shear.squared for shear in shears) / (2 * (last - first))
    pull_n = _pull_n(wire.straight_n, stretched)
    spans = tuple(
        Span(
            shear.left_m,
            shear.right_m,
            hypot(pull_n, max(shear.left_n, shear.right_n)),
            shear.moment / pull_n if pull_n > 0 else 0.0,
            shear.left_n,
            shear.right_n,
        )
        for shear in shears
    )
    for span in spans:
        at_hanger[span.start_m] += span.left_n
        at_hanger[span.end_m] += span.right_n
    return HangingWire(pull_n, spans, tuple(at_hanger.items()))


def _pull_n(straight_n: float, stretched: float) -> float:
    """The one root of H^3 - T0' H^2 = K above 0 and T0', by Newton from above."""
    if stretched <= 0:
        return max(0.0, straight_n)
    pull = max(0.0, straight_n) + cbrt(stretched)
    for _ in range(60):
        over = pull * pull * (pull - straight_n) - stretched
        step = over / (3 * pull * pull - 2 * straight_n * pull)
        pull -= step
        if abs(step) < 1e-10 * pull:
            break
    return pull


def _straight_from_sag_n(sag_m: float, supports_m: list[float], ea_n: float, own_n_per_m: float) -> float:
    """T0' of a wire whose longest span hangs through by ``sag_m`` under its own weight alone."""
    shears = [_Shear(left, right, [], own_n_per_m) for left, right in pairwise(supports_m)]
    pull_n = max(shear.moment for shear in shears) / sag_m
    squared = sum(shear.squared for shear in shears)
    return pull_n - ea_n * squared / (2 * (supports_m[-1] - supports_m[0]) * pull_n * pull_n)


class _Shear:
    """A span's shear as a simple beam: its square summed up, its greatest moment, its ends' loads."""

    __slots__ = ("left_m", "left_n", "moment", "right_m", "right_n", "squared")

    def __init__(self, left_m: float, right_m: float, loads: Sequence[tuple[float, float]], own: float) -> None:
        self.left_m, self.right_m = left_m, right_m
        span = right_m - left_m
        inside = [(x, n) for x, n in loads if left_m < x < right_m]
        whole = sum(n for _, n in inside) + own * span
        self.right_n = sum(n * (x - left_m) for x, n in inside) / span + own * span / 2
        self.left_n = whole - self.right_n
        self.squared = self.moment = 0.0
        at, shear, moment = left_m, self.left_n, 0.0
        for x, newton in [*inside, (right_m, 0.0)]:
            piece = x - at
            after = shear - own * piece
            self.squared += piece * (shear * shear + shear * after + after * after) / 3
            if shear > 0 > after:
                self.moment = max(self.moment, moment + shear * shear / (2 * own))
            moment += piece * (shear + after) / 2
            self.moment = max(self.moment, moment)
            at, shear = x, after - newton
