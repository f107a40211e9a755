"""The holding as plain values: what stands in the tunnels before any plant is in them.

Lengths along a row (``x_m``) start at the row's leading end, heights
(``z_m``) at the soil. Every field with a default may be left out of the TOML; ``None`` means unknown and is
shown as unknown, never as fine. Defaults of cultivars and limits carry their source in ``sources``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Len

from tunneltui.holding.crops import USUAL
from tunneltui.holding.crops import FruitKind as FruitKind

Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
WEEKDAYS: tuple[Weekday, ...] = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

Training = Literal["tiered", "laid_down", "pinched_at_wire"]
"""How stems longer than the wire is high are housed: hung in tiers along fixed strings, lowered along the
wire with the lower stem on the ground or on rests, or the tip taken out at the wire."""

Corner = Literal["end_bar", "cross_wire", "nothing"]

Name = Annotated[str, Len(1, 200)]
Share = Annotated[float, Ge(0), Le(1)]


@dataclass(frozen=True, slots=True)
class Place:
    """Where one plant stands; ``cultivar`` is what is intended there, the journal says what truly is."""

    name: Name
    """As on the label at the place: tunnel, row number, place number, such as W1-07."""
    x_m: Annotated[float, Ge(0), Le(500)]
    cultivar: str = ""
    was: tuple[str, ...] = ()
    """Earlier names of this place: entries about them belong here."""
    leaders: Annotated[int, Ge(1), Le(4)] = 1
    """Intended for one plant here."""


@dataclass(frozen=True, slots=True)
class String:
    """A string hung from the wire; lying stems are clipped to it."""

    number: Annotated[int, Ge(0), Le(9999)]
    x_m: Annotated[float, Ge(0), Le(500)]
    twine: str = ""
    knot_share: Share = 0.5
    """Share of the twine's strength that its knot keeps (rule of thumb, from memory)."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of places under one wire."""

    number: Annotated[int, Ge(0), Le(999)]
    wire_height_m: Annotated[float, Gt(0.5), Le(6)]
    length_m: Annotated[float, Gt(0), Le(500)]
    start_m: Annotated[float, Ge(0), Le(500)] = 0.0
    """Distance of the row's leading end from the tunnel's door, along the tunnel."""
    across_m: Annotated[float, Ge(0), Le(100)] = 0.0
    """Distance of the row from the tunnel's left wall, seen from the door."""
    bed: str = ""
    training: Training = "tiered"
    loop_with: int | None = None
    """Number of the row that heads pass into at this row's end; both rows name each other."""
    corner: Corner = "nothing"
    """What is overhead between the two wires of a loop at its ends."""
    closed_loop: bool = False
    """Heads also pass from the partner row's end back to this row's beginning."""
    way_round: Literal[1, -1] = 1
    """+1: heads travel towards larger x in the loop's first row; -1: the other way."""
    work_day: Weekday | None = None
    """Day on which the row side is lowered and stripped as one job."""
    wire_diameter_mm: Annotated[float, Gt(0), Le(20)] = 2.5
    wire_breaking_n: Annotated[float, Gt(0)] | None = None
    """Breaking force of the wire, from its maker."""
    wire_modulus_gpa: Annotated[float, Gt(0), Le(300)] = 200.0
    hanger_every_m: Annotated[float, Gt(0), Le(50)] | None = None
    """Distance between the wire's hangers; None: hangers at every hoop."""
    pretension_n: Annotated[float, Ge(0)] | None = None
    sag_unloaded_m: Annotated[float, Ge(0), Le(1)] | None = None
    end_stiffness_n_per_m: Annotated[float, Gt(0)] | None = None
    """How far the end frames give under the wire's pull; None: taken as rigid, which over-states tension."""
    places: tuple[Place, ...] = ()
    strings: tuple[String, ...] = ()


@dataclass(frozen=True, slots=True)
class Bed:
    key: Name
    made: str = ""
    """How it was made: compost and depth, turf, straw and so on."""
    soil: Literal["sand", "loam", "clay", "peat", "compost", "unknown"] = "unknown"
    drip_lph_per_plant: Annotated[float, Gt(0)] | None = None
    area_m2: Annotated[float, Gt(0)] | None = None


@dataclass(frozen=True, slots=True)
class Tunnel:
    key: Annotated[str, Len(1, 20)]
    """First letters of every place name in it, such as W."""
    name: Name
    length_m: Annotated[float, Gt(0), Le(500)]
    width_m: Annotated[float, Gt(0), Le(100)]
    hoop_every_m: Annotated[float, Gt(0), Le(20)] = 2.0
    crop_allowed_kg_per_hoop: Annotated[float, Gt(0)] | None = None
    """Crop weight the tunnel's maker allows on one hoop; None is shown as unknown, never as fine."""
    film_light_share: Share = 0.7
    barrels_l: Annotated[float, Ge(0), Le(1_000_000)] = 0.0
    """Water standing in barrels among the plants: it gives its warmth back at night, tenths of a degree."""
    plastic_height_m: Annotated[float, Gt(0), Le(20)] | None = None
    """Height of the plastic over the rows; tips that reach it scorch."""
    beds: tuple[Bed, ...] = ()
    rows: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True)
class Cultivar:
    """One cultivar and what the forecasts assume of it until the grower's own readings say otherwise."""

    key: Name
    fruit: FruitKind = "standard"
    crop: str = USUAL.key
    """Name of its profile (``holding.crops``)."""
    fruit_g: Annotated[float, Gt(0), Le(3000)] | None = None
    """Mass of one ripe fruit; None: the fruit kind's default (growth/defaults.py)."""
    fruits_per_truss: Annotated[float, Gt(0), Le(200)] | None = None
    truss_target: Annotated[int, Ge(1), Le(200)] | None = None
    """Fruits a truss is pruned to; None: trusses are not pruned."""
    truss_rate_intercept: Annotated[float, Ge(-1), Le(1)] | None = None
    planted_truss: Annotated[float, Ge(-10), Le(5)] | None = None
    """The truss in flower on the day of planting: 0.5, the first about to open; -2, two trusses' time on."""
    stem_per_truss_m: Annotated[float, Gt(0), Le(2)] | None = None
    stem_m_per_week: Annotated[float, Gt(0), Le(2)] | None = None
    """Stem growth in a week of 20 degC and 12 h days, where the grower knows it."""
    days_to_pick: Annotated[float, Gt(0), Le(120)] | None = None
    """From flower to picking size at 20 degC, for a crop picked by size; None: its profile's."""
    stem_diameter_mm: Annotated[float, Gt(0), Le(60)] | None = None
    leaf_g: Annotated[float, Gt(0), Le(500)] | None = None
    price_per_kg: Annotated[float, Ge(0), Le(100_000)] | None = None
    """What a kilogram is worth to the grower, in the holding's money; None: its value is not reckoned."""
    sources: dict[str, str] = field(default_factory=dict)
    """Where a value comes from, by field name."""


@dataclass(frozen=True, slots=True)
class ClipKind:
    key: Name
    rating_n: Annotated[float, Gt(0)] | None = None
    rating_tested: bool = False
    """The maker says how the rating was tested."""
    biodegradable: bool = False
    pool: str = ""
    year: Annotated[int, Ge(1950), Le(2200)] | None = None


@dataclass(frozen=True, slots=True)
class TwineKind:
    key: Name
    breaking_n: Annotated[float, Gt(0)] | None = None
    """From the spool; None is shown as unknown."""
    age_share: Share = 1.0
    """Share of its strength left after the seasons it has hung."""
    biodegradable: bool = False
    spool_m: Annotated[float, Gt(0), Le(100_000)] | None = None
    """Length on one spool; None: spools in store are counted, metres are not."""


@dataclass(frozen=True, slots=True)
class HookKind:
    key: Name
    turn_m: Annotated[float, Gt(0), Le(2)] | None = None
    """Twine let out by one turn of the hook; None: let-out is shown in cm."""
    turns_loaded: Annotated[float, Ge(0), Le(500)] | None = None
    twine: str = ""
    """Kind of twine on it; '' is unknown."""
    knot_share: Share = 0.5


@dataclass(frozen=True, slots=True)
class Pest:
    """What to look for, and who eats it. A kind named here stands in for the built-in one of that name."""

    key: Name
    look_for: str = ""
    helper: str = ""
    """The predator or parasite that is ordered against it; '' where none is usual."""
    order_days: Annotated[int, Ge(0), Le(60)] = 7
    """From the order to the letting out."""


@dataclass(frozen=True, slots=True)
class Work:
    """The grower's week and reach."""

    minutes: Annotated[int, Ge(0), Le(1440)] = 60
    """Minutes there are for the morning round."""
    evening_minutes: Annotated[int, Ge(0), Le(1440)] = 0
    work_days: tuple[Weekday, ...] = ()
    """Days you work in the tunnels; none: learned from what is ticked, every day until then."""
    pick_days: tuple[Weekday, ...] = ()
    """Days you pick; none: two of the work days, as far apart as they lie."""
    reach_m: Annotated[float, Gt(0.5), Le(5)] = 2.1
    """How high the grower reaches from the ground; work above it counts as overhead."""
    steps_minutes: Annotated[float, Ge(0), Le(60)] = 2.0
    """What fetching and setting the steps costs, once a row."""
    bed_wanted_back: date | None = None
    """Last pick; None: until frost takes it."""
    bench_pots: Annotated[int, Ge(1), Le(100_000)] | None = None
    """Pots the warm bench holds; None: room for all."""
    minutes_by_chore: dict[str, float] = field(default_factory=dict)
    """The grower's own minutes for one chore of a kind; the journal's timings override them."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Thresholds of the chores and warnings. Every one may be edited."""

    tip_margin_m: Annotated[float, Ge(0), Le(2)] = 0.25
    """Lower when a head will be within this of wire, plastic or reach before the next work day."""
    unheld_head_m: Annotated[float, Gt(0), Le(2)] = 0.20
    """A head this loose is held again when there is time ..."""
    loose_tip_m: Annotated[float, Gt(0), Le(2)] = 0.35
    """... and one this loose waits for no other day."""
    lower_most_m: Annotated[float, Gt(0), Le(2)] = 0.40
    """The most let out in one go."""
    run_slope: Annotated[float, Ge(0), Le(1)] = 0.17
    """Slope of the lying stems, one for the whole loop, so that they never cross."""
    first_tier_m: Annotated[float, Ge(0), Le(2)] = 0.70
    tier_gap_m: Annotated[float, Gt(0), Le(1)] = 0.09
    string_span_m: Annotated[float, Gt(0), Le(3)] = 0.60
    """Strings nearer than this are clipped every second one."""
    string_gap_m: Annotated[float, Gt(0), Le(5)] = 0.80
    """A lying stem should not cross a wider gap between strings: its clip loads are rough there."""
    head_least_m: Annotated[float, Ge(0), Le(2)] = 0.70
    """Tiers are full when a head would hang shorter than this."""
    bend_diameters: Annotated[float, Gt(0), Le(100)] = 20.0
    """Least radius of a bend, in stem diameters."""
    bend_radius_m: Annotated[float, Gt(0), Le(1)] = 0.15
    leaves_a_visit: Annotated[int, Ge(1), Le(50)] = 4
    leaves_kept: Annotated[int, Ge(1), Le(100)] = 16
    foliage_share_a_visit: Share = 1 / 3
    side_shoot_days: Annotated[int, Ge(1), Le(60)] = 7
    deleaf_days: Annotated[int, Ge(1), Le(60)] = 7
    """Leaves are not taken oftener than this (Front. Plant Sci. 2025, 16:1651174, methods)."""
    feed_days: Annotated[int, Ge(1), Le(60)] = 7
    pollinate_days: Annotated[int, Ge(1), Le(60)] = 2
    pollinate_set_share: Share = 0.80
    """Flowers are shaken where a cool week lets fewer of them set than this."""
    weak_share: Share = 0.50
    """A plant that makes no more than this of its neighbours' growth is a weak one."""
    marked_plants: Annotated[int, Ge(0), Le(100)] = 2
    """Marked plants wanted of each cultivar on a loop."""
    assumed_share: Share = 0.50
    """Past this share of clips and hooks set by ticks and not seen, the picture is to be put right."""
    amber_share: Annotated[float, Gt(0), Le(5)] = 0.8
    red_share: Annotated[float, Gt(0), Le(5)] = 1.0
    amber_chance: Share = 0.02
    red_chance: Share = 0.05
    string_amber_share: Share = 1 / 3
    string_red_share: Share = 0.5
    clip_median_n: Annotated[float, Gt(0)] = 38.0
    clip_spread_ln: Annotated[float, Gt(0), Le(2)] = 0.40
    clip_badly_closed: Share = 0.005
    """Share of clips closed badly, which let go by the first look (assumed)."""
    clip_weakening_per_week: Annotated[float, Ge(0), Le(0.2)] = 0.005
    double_chance: Share = 0.03
    """A clip hung at a lowering is doubled where its chance of failing in its first fortnight is this or more: a
    second one takes 0.3 minutes, a failure about 10 (assumed)."""
    stem_stiffness_n_m2: Annotated[float, Gt(0), Le(5)] = 0.15
    """Bending stiffness of a green stem: what an upright one's root can bear (assumed, 0.06 to 0.4)."""
    overhead_heads: Annotated[int, Ge(1), Le(500)] = 25
    overhead_minutes: Annotated[float, Gt(0), Le(480)] = 30.0


@dataclass(frozen=True, slots=True)
class Holding:
    name: Name
    zone: Name = "UTC"
    """IANA name; a day is the local civil day."""
    latitude_deg: Annotated[float, Ge(-66), Le(66)] | None = None
    longitude_deg: Annotated[float, Ge(-180), Le(180)] | None = None
    lit: bool = False
    """Lamps make the day: forecasts leave day length out."""
    currency: Annotated[str, Len(0, 20)] = ""
    """The word for money beside values, such as the grower writes it."""
    plays_on: date | None = None
    """A made-up holding: every command takes this day as today."""
    assumed: bool = False
    """Written by an import that had to assume what stands; each assumption is listed in ``notes``."""
    notes: tuple[str, ...] = ()
    work: Work = field(default_factory=Work)
    limits: Limits = field(default_factory=Limits)
    tunnels: tuple[Tunnel, ...] = ()
    cultivars: tuple[Cultivar, ...] = ()
    clips: tuple[ClipKind, ...] = ()
    twines: tuple[TwineKind, ...] = ()
    hooks: tuple[HookKind, ...] = ()
    pests: tuple[Pest, ...] = ()
    """Only what differs from the built-in list (care.scouting)."""


EMPTY = Holding(name="nothing stands here yet")
