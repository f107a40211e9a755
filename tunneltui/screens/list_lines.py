"""Words that lines of several screens share. Pure: no widget, no terminal."""

from __future__ import annotations

from tunneltui.screens.round_view import State

MARKS: dict[State, str] = {
    "": "",
    "writing": "… writing",
    "done": "✓ done",
    "partly": "½ partly",
    "put off": "» put off",
    "no longer": "- no need",
}
"""A shape and a word for every state, so that none rests on colour."""
