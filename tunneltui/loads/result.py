"""The loads of one day, as plain values in newtons. Made by ``loads.chain``."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from msgspec import Struct

from tunneltui.holding.model import Corner

if TYPE_CHECKING:
    from tunneltui.loads.workings import Workings


class StemPath(Struct, frozen=True):
    """Where a stem runs, seen from the side, root to tip."""

    points: tuple[tuple[float, float, float], ...]
    """(u_m, z_m, s_m) of root, fixings, bend and tip; straight between them, the bend drawn sharp."""
    hook_u_m: float
    bend_z_m: float | None
    """Height of the bend; None for a stem still near upright, where it cannot be told."""
    bend_s_m: float | None
    fault: str = ""
    """Why the path cannot be as noted (stem shorter than its path, clip above the tip), else ''."""


class Lump(Struct, frozen=True):
    """A weight on the stem."""

    s_m: float
    newton: float


class ClipLoad(Struct, frozen=True):
    id: str
    leader: str
    """Name of the leader."""
    on: str
    """Name of what it is on: string 8, head, wire."""
    u_m: float
    z_m: float
    s_m: float
    low_n: float
    mid_n: float
    high_n: float
    sd_n: float
    strength_n: float
    """Load that 1 in 20 of its kind does not bear."""
    share: float
    """mid_n / strength_n."""
    mid_7d_n: float
    """What it is forecast to bear in seven days."""
    chance_7d: float
    """Chance that it fails within seven days under the forecast loads."""
    assumed: bool
    weeks_hung: float


class LineLoad(Struct, frozen=True):
    """A string, or a hook with its twine."""

    id: str
    row: str
    x_m: float
    low_n: float
    mid_n: float
    high_n: float
    share: float | None
    """Of the knotted strength of its twine; None where that is unknown."""


class WireLoad(Struct, frozen=True):
    row: str
    span: str
    tension_n: float
    sag_m: float
    end_pull_n: float
    share: float | None


class HoopLoad(Struct, frozen=True):
    tunnel: str
    x_m: float
    load_n: float
    allowed_n: float | None
    one_sided: bool


class CornerLoad(Struct, frozen=True):
    """A row's end that heads of a loop go round."""

    loop: str
    row: str
    over: Corner
    """What carries heads between the two wires."""
    heads: tuple[str, ...]
    """Names of the leaders whose heads hang there now."""
    load_n: float
    side_pull_n: float | None
    """How hard the two end frames are pulled together; None where nothing is overhead."""


class RowLoad(Struct, frozen=True):
    row: str
    hanging_kg: float
    peak_kg: float | None = None
    """The most it gets to bear from today to the last pick, and when; None until asked (``loads.peak``)."""
    peak_day: date | None = None


class WeakPoint(Struct, frozen=True):
    """What follows if one fixing, string or hook lets go."""

    fixing: str
    leader: str
    drops: tuple[str, ...]
    """Names of leaders that would drop."""
    first_over: str
    """What would go next, '' if nothing goes over its strength."""
    first_over_share: float


class KindStrength(Struct, frozen=True):
    """What is known of one kind of clip, new."""

    kind: str
    strength_n: float
    """Load that 1 in 20 does not bear, with the two ends of a 90 % interval."""
    low_n: float
    high_n: float
    median_n: float
    failures: int
    held: int
    """Clips seen holding, none of which failed."""
    tested: int
    """Bucket tests."""


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """All loads of one day, nearest to its limit first within each list."""

    day: date
    clips: tuple[ClipLoad, ...]
    lines: tuple[LineLoad, ...]
    wires: tuple[WireLoad, ...]
    hoops: tuple[HoopLoad, ...]
    rows: tuple[RowLoad, ...]
    weak_points: tuple[WeakPoint, ...]
    paths: dict[str, StemPath]
    """By leader id."""
    faults: tuple[str, ...]
    """What could not be worked out, each a sentence naming the entry or leader."""
    corners: tuple[CornerLoad, ...] = ()
    strengths: tuple[KindStrength, ...] = ()
    """By kind of clip, in the holding's order."""
    workings: Workings | None = field(default=None, repr=False)
    """What it was summed up from, for ``loads.chain.update_loads``; None for loads made by hand."""
