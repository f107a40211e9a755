"""Colours of our own: few and strong, for glasshouse light and for a dark evening."""

from __future__ import annotations

from textual.theme import Theme

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
THEMES = (DARK, LIGHT)
