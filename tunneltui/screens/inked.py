"""Parts of a line in the inks of the theme, as what a widget draws."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rich.segment import Segment
from rich.style import Style
from textual.content import Content
from textual.widget import Widget

from tunneltui.screens.parts import Part, fitted, in_units_part, padded
from tunneltui.screens.text import one_line
from tunneltui.screens.themes import INKS

INK_CLASSES = {f"ink--{ink}" for ink in ("bold", "here", "lit", "place", "heading", "gone", *INKS)}
"""Component classes of the app; tunneltui.tcss says what each looks like. On every widget that draws in inks they
would be worked out once a widget: 30 ms of the first paint, and of every form that is laid over a screen."""
_STYLES = {
    **{ink: f"${ink}" for ink in INKS},
    **{ink: f"bold ${ink}" for ink in ("must", "near", "chosen")},
    "bold": "bold",
}
"""The same inks in a widget of words."""


class Inks(dict[str, Style]):
    """How each ink looks in the app's theme, on whatever ground it is put: worked out when first asked for, to be
    cleared when styles change."""

    def __init__(self, widget: Widget) -> None:
        super().__init__()
        self._widget = widget

    def __missing__(self, ink: str) -> Style:
        style = self[ink] = self._widget.app.get_component_styles(f"ink--{ink}").partial_rich_style
        return style


def content(lines: Iterable[Sequence[Part]], width: int = 0) -> Content:
    """The same for a widget of words, in the units in force; each line brought to ``width`` cells, 0: wrapped."""
    drawn: list[Content] = []
    for line in lines:
        parts = [in_units_part(part) for part in line]
        shown = fitted(parts, width) if width else parts
        drawn.append(Content.assemble(*((one_line(padded(part)), _STYLES.get(part.style, "")) for part in shown)))
    return Content("\n").join(drawn)


def segments(parts: Sequence[Part], inks: Mapping[str, Style], base: Style) -> list[Segment]:
    """What is drawn on the ground of ``base``. A reversed ground is one run: by parts it were a patchwork."""
    if base.reverse:
        return [Segment("".join(one_line(padded(part)) for part in parts), base)]
    return [Segment(one_line(padded(part)), base + inks[part.style] if part.style else base) for part in parts]
