"""Terminals that show ASCII only, and the filter everything on the screen passes on its way to one."""

from __future__ import annotations

from collections.abc import Mapping

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

POOR = ("linux", "vt100", "vt102", "vt220", "ansi", "dumb")
"""Values of TERM whose character sets hold no braille (the Linux console's font has 512 glyphs at most: console
(4) and setfont(8))."""


def shows_ascii_only(encoding: str | None, environment: Mapping[str, str]) -> bool:
    """Whether signs and dots would come out as boxes or question marks there."""
    spelt = (encoding or "ascii").lower().replace("-", "").replace("_", "")
    return spelt not in ("utf8", "utf16", "utf32", "cp65001") or environment.get("TERM", "") in POOR


class InAscii(LineFilter):
    """Puts its stand-in in the place of each character."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        # Imported when a line passes: rich terminals never pay for it at their first paint.
        from tunneltui.draw.ascii import in_ascii

        return [Segment(in_ascii(text), style, control) for text, style, control in segments]
