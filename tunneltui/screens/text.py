"""User text on its way to a widget: never markup, never a control code, always one line where one is wanted."""

from __future__ import annotations

from textual.content import Content

from tunneltui.pages.units import localize

LONGEST = 10_000
"""Characters of one text that are shown; what is kept is never cut."""
READER = "-reader"
"""Class of the app while it is read by a screen reader or a braille display; stylesheet and widgets go by it."""
_TURNERS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the writing direction: a line of a list would be shown in another order than it is."""


def one_line(text: str) -> str:
    """The text without control codes and direction marks, line ends as spaces."""
    if text.isascii() and text.isprintable():
        return text[:LONGEST]
    return "".join(_shown(character) for character in text[:LONGEST])


def plain(text: str) -> Content:
    """Text of any origin as content: brackets stay brackets. Line ends are kept."""
    return Content("\n".join(one_line(line) for line in text.splitlines()))


def to_content(text: str) -> Content:
    """Our own words as content, with quantities in the grower's units."""
    return plain(localize(text))


def _shown(character: str) -> str:
    if character in _TURNERS:
        return ""
    if character.isprintable() or character in "\u200d\u200c":
        return character
    return " "
