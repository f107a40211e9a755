"""Reader mode: what a screen reader or a braille display says line by line. No boxes, no drawings, no columns."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from rich.segment import Segment
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter

from tunneltui.screens.parts import Part
from tunneltui.screens.text import one_line

_DRAWN = re.compile("[\u2190-\u28ff\u2b00-\u2bff\u00bb\u00bd\u00d7]")
"""Arrows, boxes, blocks, shapes, ticks and braille (The Unicode Standard, chapter 22), and marks of Latin-1. What
they say is said in words beside them."""
_GAP = re.compile(r"\s{2,}")
_SHOW_CURSOR = "\x1b[?25h"
"""DECTCEM (VT510 Programmer Information, DEC, 1993): some readers follow only a cursor that is seen."""


def spoken(parts: Sequence[Part]) -> str:
    """A line of a list as its facts, with commas between them."""
    facts = (_GAP.sub(", ", _DRAWN.sub(" ", one_line(part.text)).strip()) for part in parts)
    return ", ".join(fact for fact in facts if fact.strip(">"))


def follow_cursor(app: App[Any]) -> None:
    """The terminal's own cursor is shown; lists keep it on their row."""
    if app._driver is not None:
        app._driver.write(_SHOW_CURSOR)


class InWords(LineFilter):
    """Nothing drawn passes on its way to the screen, whatever widget it comes from."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        return [Segment(_DRAWN.sub(" ", text), style, control) for text, style, control in segments]
