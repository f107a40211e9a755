"""Parts of a line in the inks of the theme, as what a widget draws."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.segment import Segment
from rich.style import Style

from tunneltui.screens.parts import Part, padded
from tunneltui.screens.text import one_line
from tunneltui.screens.themes import INKS

INK_CLASSES = {f"ink--{ink}" for ink in ("bold", "lit", "place", "heading", "gone", *INKS)}
"""Component classes of a widget that draws in inks; tunneltui.tcss says what each looks like."""


def segments(parts: Sequence[Part], look: Callable[[str], Style], base: Style) -> list[Segment]:
    """What is drawn on the ground of ``base``. A reversed ground is one run: by parts it were a patchwork."""
    if base.reverse:
        return [Segment("".join(one_line(padded(part)) for part in parts), base)]
    return [Segment(one_line(padded(part)), base + look(part.style) if part.style else base) for part in parts]
