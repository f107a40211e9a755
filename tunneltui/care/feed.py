"""Feed: cans for soil growers, and on request what a label gives in mg/L.

Home-made liquids are counted by volume only; their strength varies by a factor of three and is never mixed into
the sums. Local rules, the maker's label and a soil test come first.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations
from math import ceil, floor

from msgspec import Struct

from tunneltui.cells import Sentence, as_typed, joined, say
from tunneltui.journal.kinds_care import BedDressed

PHOSPHORUS_OF_OXIDE = 0.4364
POTASSIUM_OF_OXIDE = 0.8302
CALCIUM_OF_OXIDE = 0.7147
MAGNESIUM_OF_OXIDE = 0.6030
"""Element mass in P2O5, K2O, CaO and MgO, from atomic masses."""

PLANTS_PER_CAN = 5.0
"""A 9 L can of made-up feed serves about this many full-grown plants. Common practice, no source."""
REMOVED_G_PER_KG = {"N": (2.2, 2.4), "P": (0.3, 0.5), "K": (2.6, 3.6), "Mg": (0.3, 0.6)}
"""What a kg of fruit takes out [g], low to high; P from memory."""
EARLY_NITROGEN_MG_L = (60.0, 70.0)
"""Nitrogen before the first trusses set; more gives leaf, cat-faced fruit and blossom-end rot. Florida HS796."""
EARLY_TRUSSES = 3.0
"""Until about this truss flowers."""
METER_SCALES = {"500": 500.0, "640": 640.0, "700": 700.0}
"""ppm shown for 1 dS/m by the three scales that meters use; a ppm without its scale says nothing."""
_HOLDS = {
    "calcium": re.compile(r"calcium|gypsum|\blime\b"),
    "sulphate": re.compile(r"sul(ph|f)ate|epsom|gypsum"),
    "phosphate": re.compile(r"phosphat|phosphoric"),
    "acid": re.compile(r"\bacid"),
    "alkali": re.compile(r"alkali|carbonate|hydroxide|\blime\b"),
}
"""How a stock's name tells what it holds."""
NEVER_MEET = (
    ("calcium", "sulphate", "gypsum falls out and clogs the drip"),
    ("calcium", "phosphate", "calcium phosphate falls out and clogs the drip"),
    ("acid", "alkali", "they heat, spit and undo each other"),
)
"""Concentrates that set or heat when they meet; dissolve one in the full tank before adding the other. Common
practice: the solubilities of gypsum and calcium phosphate in any table."""


class Label(Struct, frozen=True):
    """A feed as its label declares it, oxides in percent."""

    n_percent: float
    p2o5_percent: float
    k2o_percent: float
    cao_percent: float = 0.0
    mgo_percent: float = 0.0
    by: str = "w/w"
    """``w/w`` of the concentrate's mass, ``w/v`` grams in 100 mL."""
    density_kg_l: float = 1.0
    """Asked for with w/w liquids; 1.0 is a guess that may be a quarter out."""


class FeedStrength(Struct, frozen=True):
    n_mg_l: float
    p_mg_l: float
    k_mg_l: float
    ca_mg_l: float = 0.0
    mg_mg_l: float = 0.0


def checked_label(label: Label) -> Label:
    """Raises ``ValueError`` with a sentence where a label cannot be true."""
    parts = (label.n_percent, label.p2o5_percent, label.k2o_percent)
    every = (*parts, label.cao_percent, label.mgo_percent)
    if not all(0 <= part <= 100 for part in every) or sum(every) > 100:
        raise ValueError(f"a label of {parts[0]:g}-{parts[1]:g}-{parts[2]:g} adds up to more than there is")
    if label.by not in ("w/w", "w/v") or not 0.5 <= label.density_kg_l <= 2:
        raise ValueError("a label is by w/w or w/v, its density between 0.5 and 2 kg/L")
    return label


def strength_from_liquid(label: Label, ml_per_litre: float) -> FeedStrength:
    """Elements in the made-up feed for so many mL of liquid concentrate in each litre [mg/L]."""
    checked_label(label)
    dense = label.density_kg_l if label.by == "w/w" else 1.0
    return _strength(label, ml_per_litre * dense)


def strength_from_powder(label: Label, grams_per_litre: float) -> FeedStrength:
    """Elements in the made-up feed for so many grams of powder in each litre [mg/L]."""
    return _strength(checked_label(label), grams_per_litre)


def _strength(label: Label, grams_per_litre: float) -> FeedStrength:
    mg_per_percent = grams_per_litre * 10
    return FeedStrength(
        label.n_percent * mg_per_percent,
        label.p2o5_percent * mg_per_percent * PHOSPHORUS_OF_OXIDE,
        label.k2o_percent * mg_per_percent * POTASSIUM_OF_OXIDE,
        label.cao_percent * mg_per_percent * CALCIUM_OF_OXIDE,
        label.mgo_percent * mg_per_percent * MAGNESIUM_OF_OXIDE,
    )


def stock_ml_per_litre(ratio: float) -> float:
    """Concentrate in each litre of feed for a dilution written 1:ratio, one part in ratio parts of feed."""
    if ratio < 1:
        raise ValueError("a dilution is written 1:r with r of at least 1")
    return 1000 / ratio


def must_not_meet(stocks: Sequence[str]) -> list[tuple[str, str, str]]:
    """Pairs of the stocks named that must not meet as concentrates, each with why.

    A stock is known by its name alone; one whose name tells nothing is in no pair, which is no leave to mix it.
    """
    clashes = []
    for stock, other in combinations(stocks, 2):
        for first, second, why in NEVER_MEET:
            if (_holds(stock, first) and _holds(other, second)) or (
                _holds(stock, second) and _holds(other, first)
            ):
                clashes.append((stock, other, why))
                break
    return clashes


def _holds(stock: str, what: str) -> bool:
    return bool(_HOLDS[what].search(stock.casefold()))


def ppm_from_ec(ec_ds_m: float, scale: str) -> float:
    """What a meter of that scale shows. Raises ``KeyError`` for a scale no meter uses."""
    return ec_ds_m * METER_SCALES[scale]


def dressing_amount(body: BedDressed) -> Sentence:
    """How much was put on a bed, as the tail of a clause; '' where it was not said."""
    weighed = [say("{}", as_typed(body.kg, "kg"))] if body.kg is not None else []
    measured = [say("{}", as_typed(body.litres, "L"))] if body.litres is not None else []
    amount = joined(" and ", [*weighed, *measured])
    return say(", {}", amount) if amount else Sentence()


def cans_words(plants: int) -> str:
    """Such as ``4 to 6 cans``; few plants need no whole one."""
    low, high = cans(plants)
    return say("{} to {} cans", low, high) if low < high else "part of a can"


def cans(plants: int) -> tuple[int, int]:
    """Cans of made-up feed for so many plants, low to high."""
    exact = plants / PLANTS_PER_CAN
    return max(1, floor(exact * 0.8)), max(1, ceil(exact * 1.2))


def removed_g(kg_picked: float) -> dict[str, tuple[float, float]]:
    """What the picks took out of the beds [g], low to high, by element."""
    return {element: (low * kg_picked, high * kg_picked) for element, (low, high) in REMOVED_G_PER_KG.items()}
