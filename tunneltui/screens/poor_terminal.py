"""The filter everything on the screen passes on its way to one."""

from __future__ import annotations

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter


class InAscii(LineFilter):
    """Puts its stand-in in the place of each character."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        # Imported when a line passes: rich terminals never pay for it at their first paint.
        from tunneltui.draw.ascii import in_ascii

        return [Segment(in_ascii(text), style, control) for text, style, control in segments]
