"""Colours of our own: few and strong, for glasshouse light and for a dark evening, for eyes of every kind.

Contrast of every theme is tested (W3C, WCAG 2.1: 4.5 to 1, in the strong ones 7 to 1). The colour-blind one takes
its colours from M. Okabe and K. Ito, "Color Universal Design" (2008), a set told apart with every kind of colour
vision. A colour never stands alone: a word or a shape is beside it.
"""

from __future__ import annotations

from textual.theme import Theme

QUIET = "quiet"
"""Variable of the stylesheet: how what matters less is set back."""
DARK = Theme(
    name="evening",
    primary="#7ec8ff",
    secondary="#c0b8ff",
    warning="#ffd166",
    error="#ff9b85",
    success="#a6e08a",
    accent="#7ec8ff",
    foreground="#f4f4f0",
    background="#101410",
    surface="#101410",
    panel="#1d251d",
    dark=True,
)
LIGHT = Theme(
    name="daylight",
    primary="#00408a",
    secondary="#3b2c85",
    warning="#7a4a00",
    error="#9c1c00",
    success="#1d5c12",
    accent="#00408a",
    foreground="#0a0a0a",
    background="#fbfbf5",
    surface="#fbfbf5",
    panel="#e6e8dc",
    dark=False,
)
STRONG_DARK = Theme(
    name="strong-dark",
    primary="#8fd6ff",
    secondary="#d9c8ff",
    warning="#ffe000",
    error="#ffa59b",
    success="#8dff8d",
    accent="#8fd6ff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    dark=True,
    variables={QUIET: "none"},
)
STRONG_LIGHT = Theme(
    name="strong-light",
    primary="#00307a",
    secondary="#3a1f7a",
    warning="#5a3600",
    error="#7f1000",
    success="#0b4a08",
    accent="#00307a",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#ffffff",
    dark=False,
    variables={QUIET: "none"},
)
OKABE_ITO = {
    "black": "#000000",
    "orange": "#e69f00",
    "sky blue": "#56b4e9",
    "bluish green": "#009e73",
    "yellow": "#f0e442",
    "blue": "#0072b2",
    "vermillion": "#d55e00",
    "reddish purple": "#cc79a7",
}
COLOUR_BLIND = Theme(
    name="colour-blind",
    primary=OKABE_ITO["sky blue"],
    secondary=OKABE_ITO["reddish purple"],
    warning=OKABE_ITO["yellow"],
    error=OKABE_ITO["vermillion"],
    success=OKABE_ITO["bluish green"],
    accent=OKABE_ITO["sky blue"],
    foreground="#ffffff",
    background=OKABE_ITO["black"],
    surface=OKABE_ITO["black"],
    panel=OKABE_ITO["black"],
    dark=True,
)
ONE_INK = Theme(
    name="one-ink",
    primary="#ffffff",
    secondary="#ffffff",
    warning="#ffffff",
    error="#ffffff",
    success="#ffffff",
    accent="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    dark=True,
)
THEMES = (DARK, LIGHT, STRONG_DARK, STRONG_LIGHT, COLOUR_BLIND, ONE_INK)
