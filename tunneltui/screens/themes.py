"""Colours of our own: few and strong, for glasshouse light and for a dark evening, for eyes of every kind.

Each token has one meaning on every screen, and a word or a shape beside it. What carries meaning stands out 7 to 1
from its ground, what is quiet 4.5 to 1 (W3C, WCAG 2.1, success criteria 1.4.6 and 1.4.3); ``rule`` and ``string``
carry no text. The colour-blind theme takes its colours from M. Okabe and K. Ito, "Color Universal Design" (2008),
a set told apart with every kind of colour vision, and holds 4.5 to 1.
"""

from __future__ import annotations

from typing import NamedTuple

from textual.theme import Theme

HERE_STYLE = "here-style"
"""Variable of the stylesheet: how the chosen line is marked where its ground cannot mark it."""


class Tokens(NamedTuple):
    """Every colour there is, by what it means."""

    ink: str
    ground: str
    bar: str
    """Ground of the header, the keys and the reasons."""
    quiet: str
    rule: str
    """Lines, scrollbars, neighbours in a picture."""
    chosen: str
    """Keys, the chosen stem, the lit place."""
    here: str
    """Ground of the chosen line."""
    must: str
    """A must, over its strength."""
    near: str
    """Near its limit, to decide."""
    done: str
    stem: str
    string: str
    fruit: str


INKS = ("quiet", "rule", "must", "near", "done", "chosen", "stem", "string", "fruit")
"""What a stretch of text or a line of a picture can be drawn in, beside plain ink."""
EVENING = Tokens(
    ink="#f4f4f0",
    ground="#101410",
    bar="#1d251d",
    quiet="#9aa39a",
    rule="#3c463c",
    chosen="#7ec8ff",
    here="#22364a",
    must="#ff9b85",
    near="#ffd166",
    done="#a6e08a",
    stem="#86b97a",
    string="#5d6a74",
    fruit="#e88fd0",
)
DAYLIGHT = Tokens(
    ink="#0a0a0a",
    ground="#fbfbf5",
    bar="#e6e8dc",
    quiet="#5b6157",
    rule="#b9beb0",
    chosen="#00408a",
    here="#d3e2f5",
    must="#901900",
    near="#6a4000",
    done="#1a5410",
    stem="#3d7a30",
    string="#98a0a8",
    fruit="#8a1f6e",
)
STRONG_DARK = Tokens(
    ink="#ffffff",
    ground="#000000",
    bar="#1c1c1c",
    quiet="#d8d8d8",
    rule="#808080",
    chosen="#8fd6ff",
    here="#00284a",
    must="#ffa59b",
    near="#ffe000",
    done="#8dff8d",
    stem="#8dff8d",
    string="#9a9aa8",
    fruit="#f0b0ff",
)
STRONG_LIGHT = Tokens(
    ink="#000000",
    ground="#ffffff",
    bar="#ececec",
    quiet="#303030",
    rule="#707070",
    chosen="#00307a",
    here="#cfe4ff",
    must="#7f1000",
    near="#5a3600",
    done="#0b4a08",
    stem="#0b4a08",
    string="#606070",
    fruit="#6a0f58",
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
COLOUR_BLIND = Tokens(
    ink="#ffffff",
    ground=OKABE_ITO["black"],
    bar="#141414",
    quiet="#b4b4b4",
    rule="#606060",
    chosen=OKABE_ITO["sky blue"],
    here="#0d1a24",
    must=OKABE_ITO["vermillion"],
    near=OKABE_ITO["yellow"],
    done=OKABE_ITO["bluish green"],
    stem=OKABE_ITO["bluish green"],
    string=OKABE_ITO["blue"],
    fruit=OKABE_ITO["reddish purple"],
)
_GROUNDS = ("ground", "bar", "here")
ONE_INK = Tokens(**{token: "#000000" if token in _GROUNDS else "#ffffff" for token in Tokens._fields})
TOKENS = {
    "evening": EVENING,
    "daylight": DAYLIGHT,
    "strong-dark": STRONG_DARK,
    "strong-light": STRONG_LIGHT,
    "colour-blind": COLOUR_BLIND,
    "one-ink": ONE_INK,
}
WITHOUT_COLOUR = {**dict.fromkeys(Tokens._fields, "ansi_default"), HERE_STYLE: "reverse"}
"""The tokens on a terminal that is to show no colour."""


def _theme(name: str, tokens: Tokens) -> Theme:
    style = "reverse" if tokens.here == tokens.ground else "none"
    scrollbar = {
        f"scrollbar{part}": tokens.rule if not part.startswith("-background") else tokens.ground
        for part in ("", "-hover", "-active", "-background", "-background-hover", "-background-active")
    }
    return Theme(
        name=name,
        primary=tokens.chosen,
        secondary=tokens.chosen,
        warning=tokens.near,
        error=tokens.must,
        success=tokens.done,
        accent=tokens.chosen,
        foreground=tokens.ink,
        background=tokens.ground,
        surface=tokens.ground,
        panel=tokens.bar,
        dark=tokens.ground < tokens.ink,
        variables={**tokens._asdict(), HERE_STYLE: style, **scrollbar, "scrollbar-corner-color": tokens.ground},
    )


THEMES = tuple(_theme(name, tokens) for name, tokens in TOKENS.items())
