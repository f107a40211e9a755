"""What one crop has that another has not, as data: a profile each. No other module of the core names a crop.

Values marked "from memory" were not read anywhere; the cultivar's own fields in the holding override them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FruitKind = Literal["cherry", "cocktail", "plum", "standard", "beef", "long", "short"]

MEMORY = "from memory, no source"


@dataclass(frozen=True, slots=True)
class Crop:
    """One crop. A "truss" is whatever comes at one node and is picked together: for some crops a single fruit."""

    key: str
    kinds: tuple[FruitKind, ...]
    """The first is meant where a cultivar names none of them."""
    flowering_intercept: float
    """Flowering trusses a day: intercept + slope x ln(degC), never below nought."""
    flowering_slope: float
    stem_cm_a_day: float
    """At 20 degC and 12 h."""
    stem_source: str
    flowering_source: str
    fastest_cm_a_day: float
    """A stem read to have grown faster was misread."""
    most_trusses_a_day: float
    """More new ones were miscounted."""
    leaves_per_truss: float
    days_to_pick: float | None
    """From flower to picking at 20 degC, rising evenly with warmth from ``no_growth_c`` on; None: the published
    course to ripeness."""
    no_growth_c: float
    set_by_warmth: bool
    """Whether flowers set worse in cold or heat and are helped by shaking; else fruit comes without pollen."""
    picked_by_size: bool
    """Picked when big enough, whatever its colour; left on, it holds the next back."""
    tiered: bool
    """Whether its lying stems may hang in tiers from strings."""
    bend_radius_m: float
    """The tightest bend its stem takes; the holding's own limit where that is wider."""
    bears: tuple[str, str] = ("truss", "trusses")
    """What comes at one node, as its growers call it: one, several."""
    ready_to_plant: str = "once a first truss shows"
    lit_stem_cm_a_day: float | None = None
    """At 20 degC under lamps; None: as without."""


USUAL = Crop(
    "tomato",
    ("standard", "cherry", "cocktail", "plum", "beef"),
    -0.2903,
    0.1454,
    3.5,
    "open data: ten stems in Ohio 2024, cm a day at 20 degC and 12 h",
    "Heuvelink 1996, Ann. Bot. 77:71-80, eq. 2, after De Koning 1994",
    8.0,
    0.5,
    3.0,
    None,
    0.0,
    set_by_warmth=True,
    picked_by_size=False,
    tiered=True,
    bend_radius_m=0.0,
)

_CUCUMBER = Crop(
    "cucumber",
    ("long", "short"),
    # Half a flower a day at 20 degC, none at 10.
    -1.661,
    0.7213,
    5.5,
    MEMORY + "; heated glass, 2005: 8 cm a day (Trans. CSAE 21(1), tcsae.org/en/article/id/20051448)",
    MEMORY,
    14.0,
    1.5,
    1.0,
    14.0,
    10.0,
    set_by_warmth=False,
    picked_by_size=True,
    tiered=False,
    bend_radius_m=0.25,
    bears=("fruit", "fruits"),
    ready_to_plant="with three or four true leaves",  # common practice, no source
    lit_stem_cm_a_day=9.0,  # 7 to 12 in six lit compartments (Hemming et al. 2019, Sensors 19(8) 1807)
)

CROPS = {crop.key: crop for crop in (USUAL, _CUCUMBER)}


def crop_of(key: str) -> Crop:
    """The profile of that name; one that is not known is taken as the usual one."""
    return CROPS.get(key, USUAL)


def kind_of(key: str, fruit: FruitKind) -> FruitKind:
    """The fruit kind meant: the cultivar's own where its crop has it, else its crop's usual one."""
    crop = crop_of(key)
    return fruit if fruit in crop.kinds else crop.kinds[0]
