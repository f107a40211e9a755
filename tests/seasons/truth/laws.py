"""How stems grow, trusses flower, set, fill and ripen, and what breaks: the laws of the hidden truth.

Each differs on purpose from the form the forecasts use. Published figures are named; the others are judgements,
said so, chosen to lie inside what is published of whole seasons (``tests/seasons/test_truth.py``).
"""

from __future__ import annotations

from itertools import pairwise
from math import exp, log

FRUIT_KG = {"cherry": 0.16, "cocktail": 0.22, "plum": 0.32, "standard": 0.38, "beef": 0.45}
"""A ripe truss under good light; cherry as in open trials (0.11 to 0.25), the others assumed."""
FRUIT_KG_CUCUMBER = {"long": 0.35, "short": 0.12}
"""One fruit (assumed)."""
KG_AN_HOUR = {
    "cherry": 8.0,
    "cocktail": 22.0,
    "plum": 25.0,
    "standard": 27.0,
    "beef": 30.0,
    "long": 40.0,
    "short": 20.0,
}
"""What one pair of hands picks (common practice, no source)."""

_ADAMS = ((14.0, 95.0), (18.0, 65.0), (22.0, 46.0), (26.0, 42.0))
"""Days from flower to ripe at steady warmth: Adams, Cockshull and Cave 2001, Annals of Botany 88:869-877."""


def warmth(mean_c: float) -> float:
    """Growth against that at 20 degC: the beta function of Yin et al. 1995 (Agric. For. Meteorol. 77:1-16), with
    nothing under 7, the most at 26 and nothing over 38 degC (these three assumed)."""
    return _beta(mean_c) / _beta(20.0)


def _beta(mean_c: float) -> float:
    low, best, high = 7.0, 26.0, 38.0
    if not low < mean_c < high:
        return 0.0
    power = (best - low) / (high - best)
    return float((high - mean_c) / (high - best) * ((mean_c - low) / (best - low)) ** power)


def stem_cm(week_cm: float, mean_c: float, light_mj: float) -> float:
    """Stem of a day; ``week_cm`` is grown in a week of 20 degC and 10 MJ/m2 under the film. In poor light stems
    stretch: half the light makes them 6 % slower only (assumed)."""
    return float(week_cm / 7 * warmth(mean_c) * (max(light_mj, 0.5) / 10.0) ** 0.09)


def trusses(mean_c: float, cucumber: bool) -> float:
    """Trusses that come to flower in a day. Straight in warmth: nought at 6.4, 0.139 at 20, 0.16 at 23 degC, as
    Vanthoor 2011 has it after De Koning 1994; a cucumber's flowers, one a node, assumed."""
    if cucumber:
        return max(0.0, min(0.62, 0.047 * (mean_c - 10.0)))
    return max(0.0, min(0.22, 0.0102 * (mean_c - 6.4)))


def ripening(mean_c: float) -> float:
    """Share of the way from flower to ripe that a day brings; the inverse of Adams' days, straight between them,
    carried on below 14 degC to nought at 6.7."""
    if mean_c <= 14.0:
        return max(0.0, (mean_c - 6.67) / (14.0 - 6.67)) / 95.0
    for (cool_c, cool_days), (warm_c, warm_days) in pairwise(_ADAMS):
        if mean_c <= warm_c:
            share = (mean_c - cool_c) / (warm_c - cool_c)
            return (1 - share) / cool_days + share / warm_days
    return 1 / 42.0


def swelling(mean_c: float) -> float:
    """The same of a cucumber: 14 days from flower to picking at 20 degC, none at 10 (from memory)."""
    return max(0.0, min(1.6, (mean_c - 10.0) / 10.0)) / 14.0


def filled(way: float) -> float:
    """Share of its ripe weight that a truss has on its way from flower to ripe: slow, fast, slow (assumed)."""
    way = min(1.0, max(0.0, way))
    return way * way * (3 - 2 * way)


def set_share(min_c: float, max_c: float) -> float:
    """Fruit set of a flower that opens in such days. Against 22 degC, 14 steady degrees leave 59 % and 26 leave
    40 % (Adams et al. 2001, as quoted by Vanthoor 2011); days in a tunnel swing about their mean, so that it sets
    better in heat (assumed)."""
    cold = min(1.0, max(0.30, 1.0 - 0.10 * max(0.0, 9.0 - min_c)))
    hot = min(1.0, max(0.35, 1.0 - 0.09 * max(0.0, max_c - 33.0)))
    return cold * hot


def light_share(light_mj: float) -> float:
    """Weight of a truss by the light of its weeks, 1 at 10 MJ/m2 a day under the film. Fruit follows light nearly
    straight (Cockshull et al. 1992: 2 kg for 100 MJ/m2), less where little hangs (assumed)."""
    return min(1.2, 0.35 + 0.65 * light_mj / 10.0)


def spoiling(days_ripe: int) -> float:
    """Share of a ripe truss that splits, rots or falls in a day. A week holds; then it goes (assumed)."""
    if days_ripe <= 7:
        return 0.0
    return 0.04 if days_ripe <= 14 else 0.08


def snap_chance(loose_m: float, over_m: float) -> float:
    """That a head snaps in a day: loose over its last hold, or stood up over the wire (assumed: 1 to 1.2 % a day
    where 60 cm are loose, or 20 cm stand over the wire)."""
    loose = 0.0 if loose_m <= 0.35 else min(0.012, 0.012 * (loose_m - 0.35) / 0.25)
    over = 0.0 if over_m <= 0.05 else min(0.012, 0.003 + 0.06 * (over_m - 0.05))
    return 1 - (1 - loose) * (1 - over)


def frost_chance(lowest_c: float) -> float:
    """That a plant dies of a night with such a lowest air: killed near or under nought (garden practice); the
    freezing point of leaves is about -0.5 to -1 degC (from memory)."""
    return 1 / (1 + exp(min(200.0, (lowest_c + 1.0) / 0.12)))


def clip_strength_n(gauss: float) -> float:
    """Of a new clip closed on a stem; ``gauss`` is a standard normal draw (assumed: median 36 N, 1 in 20 under
    18 N)."""
    return exp(log(36.0) + 0.42 * gauss)


CLIP_TIRES_A_WEEK = 0.006
"""Share of its strength a clip loses in a week of sun (assumed)."""
