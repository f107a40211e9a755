"""Colour and size of fruit at the edges of the United States standards: 7 CFR 51.1860 and 51.1903."""

from __future__ import annotations

import pytest

from tunneltui.review.grading import OUNCE_G, colour_word, size_word


@pytest.mark.parametrize(
    ("percent", "word"),
    [
        (0, "green"),
        (0.1, "breaker"),
        (10, "breaker"),
        (10.01, "turning"),
        (30, "turning"),
        (30.01, "pink"),
        (60, "pink"),
        (60.01, "light red"),
        (90, "light red"),
        (90.01, "red"),
        (100, "red"),
    ],
)
def test_colour_by_the_share_of_the_skin(percent: float, word: str) -> None:
    """51.1860: green none, breaker to 10 %, turning over 10 to 30, pink over 30 to 60, light red over 60 to 90."""
    assert colour_word(percent) == word


@pytest.mark.parametrize("percent", [-0.1, 100.1, float("nan")])
def test_no_skin_is_coloured_beyond_all_of_it(percent: float) -> None:
    with pytest.raises(ValueError, match="of a skin"):
        colour_word(percent)


@pytest.mark.parametrize(
    ("ounces", "grams", "word"), [(3, 85.0, "medium"), (6, 170.1, "medium"), (10, 283.5, "large")]
)
def test_size_by_mass_at_its_edges(ounces: float, grams: float, word: str) -> None:
    """51.1903: small under 3 oz, medium 3 to 6, large over 6 to 10, very large over 10; an ounce by definition."""
    assert ounces * OUNCE_G == pytest.approx(grams, abs=0.05)
    assert size_word(ounces * OUNCE_G) == word
    under, over = size_word(ounces * OUNCE_G - 0.01), size_word(ounces * OUNCE_G + 0.01)
    assert {3: (under, over) == ("small", "medium"), 6: over == "large", 10: over == "very large"}[int(ounces)]
