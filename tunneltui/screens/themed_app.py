"""What both apps share: stylesheet, colours, letters and reader mode as the grower set them."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, ClassVar, NamedTuple, TypeVar

from rich.segment import Segment
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter
from textual.screen import Screen

from tunneltui.report.settings import ChosenSettings
from tunneltui.screens.inked import INK_CLASSES
from tunneltui.screens.text import READER
from tunneltui.screens.themes import THEMES, WITHOUT_COLOUR


class Looks(NamedTuple):
    theme: str = "evening"
    no_colour: bool = False
    ascii_only: bool = False
    reader: bool = False


def looks_of(chosen: ChosenSettings) -> Looks:
    """As set, on the terminal this runs on."""
    from tunneltui.draw.ascii_only import shows_ascii_only

    values = chosen.values
    return Looks(
        str(values["theme"]),
        os.environ.get("NO_COLOR") is not None,
        bool(values["ascii"]) or shows_ascii_only(sys.stdout.encoding, os.environ),
        bool(values["reader"]),
    )


class InAscii(LineFilter):
    """What goes to a terminal that has ASCII only passes it: each other character gets its stand-in."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        # Imported when a line passes: rich terminals never pay for it at their first paint.
        from tunneltui.draw.ascii import in_ascii

        return [Segment(in_ascii(text), style, control) for text, style, control in segments]


Result = TypeVar("Result")


class ThemedApp(App[Result]):
    """An app with our looks and nothing to see yet."""

    CSS_PATH = Path(__file__).with_name("tunneltui.tcss")
    TITLE = "tunneltui"
    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = INK_CLASSES

    def __init__(self, looks: Looks) -> None:
        super().__init__(ansi_color=True if looks.no_colour else None)
        self.animation_level = "none"
        self._filters: list[LineFilter] = [InAscii()] if looks.ascii_only else []
        self.set_class(looks.reader, READER)
        for ours in THEMES:
            self.register_theme(ours)
        self.theme = "ansi-dark" if looks.no_colour else looks.theme
        self.stylesheet.set_variables(self.get_css_variables())
        self._parsed_with_our_colours = False

    def get_default_screen(self) -> Screen[Any]:
        """It has the classes of its size from the beginning: given after the first layout they would style and lay
        out everything a second time."""
        screen = super().get_default_screen()
        for cells, breakpoints in (
            (self.size.width, self.HORIZONTAL_BREAKPOINTS),
            (self.size.height, self.VERTICAL_BREAKPOINTS),
        ):
            reached = [name for least, name in sorted(breakpoints or ()) if least <= cells]
            screen.update_classes(dict.fromkeys(reached[-1:], True), update=False)
        return screen

    def refresh_css(self, animate: bool = True) -> None:
        """Textual asks for it once as the first theme is set, before anything is there to refresh: to parse all of
        it a second time would cost the first paint 8 ms."""
        if self._parsed_with_our_colours:
            super().refresh_css(animate)
        self._parsed_with_our_colours = True

    def get_line_filters(self) -> Sequence[LineFilter]:
        return [*super().get_line_filters(), *self._filters]

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return WITHOUT_COLOUR

    def read_aloud(self) -> None:
        """From here on nothing drawn passes and the terminal's cursor is seen, if that is set."""
        if self.has_class(READER):
            from tunneltui.screens.reader import InWords, follow_cursor

            self._filters.append(InWords())
            follow_cursor(self)
