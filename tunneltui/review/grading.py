"""Colour and size of picked fruit in the words of the United States standards for the usual crop.

7 CFR 51.1860 (colour, by the share of the skin that is coloured) and 51.1903 (size, by mass). The printed tables
name both edges twice ("10 % to 30 %"): here an edge belongs to the lower class.
"""

from __future__ import annotations

from itertools import pairwise

OUNCE_G = 28.349523125
COLOURS = (
    ("green", 0.0),
    ("breaker", 10.0),
    ("turning", 30.0),
    ("pink", 60.0),
    ("light red", 90.0),
    ("red", 100.0),
)
"""Up to this much of the skin coloured [%]."""
SIZES_OZ = (("small", 3.0), ("medium", 6.0), ("large", 10.0))
"""Under 3 oz small; 3 to 6 oz medium, over 6 to 10 oz large; over 10 oz very large."""


def colour_word(coloured_percent: float) -> str:
    """Raises ``ValueError`` where a share is under nothing or over all of the skin."""
    if not 0 <= coloured_percent <= 100:
        raise ValueError(f"{coloured_percent:g}% of a skin cannot be coloured")
    return next(word for word, up_to in COLOURS if coloured_percent <= up_to)


def size_word(fruit_g: float) -> str:
    """The size that a fruit of that mass has; 3 oz is medium already."""
    if fruit_g < SIZES_OZ[0][1] * OUNCE_G:
        return SIZES_OZ[0][0]
    for _, (word, up_to_oz) in pairwise(SIZES_OZ):
        if fruit_g <= up_to_oz * OUNCE_G:
            return word
    return "very large"
