"""One leader's story on a page: its picture, its stem measured and to come, trusses, clips and entries."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.strip import Strip
from textual.widgets import Static

from tunneltui.cells import day_word as day_words
from tunneltui.cells import say
from tunneltui.chores.morning import Morning
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.chart import bar
from tunneltui.pages.stem import (
    LEFT_OUT,
    STORY_TITLE,
    DatedNote,
    fixing_facts,
    leader_notes,
    leader_words,
    left_out,
    length_facts,
    side_view,
    stem_chart,
    truss_facts,
)
from tunneltui.pages.units import axis, localize
from tunneltui.screens.forms import Form
from tunneltui.screens.lines import Lines
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.text import READER, plain
from tunneltui.season.state import Leader


class PlantPage(Form[None]):
    """Scrolls through everything known of one leader."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,enter", "out", "out", show=False)]
    AUTO_FOCUS = "#plant-lines"
    DEFAULT_CSS = """
    #plant-title { height: 1; text-style: bold; background: $panel; }
    PlantPage > Lines { height: 1fr; width: 1fr; }
    """

    def __init__(self, morning: Morning, leader: str) -> None:
        super().__init__()
        self._morning = morning
        self._leader = morning.season.leaders[leader]

    def compose(self) -> ComposeResult:
        yield Static("", id="plant-title", markup=False)
        yield Story(id="plant-lines")

    def on_mount(self) -> None:
        self.query_one("#plant-title", Static).update(plain(say(STORY_TITLE, self._leader.name)))

    def on_resize(self) -> None:
        width = max(self.app.size.width - 4, 20)
        self.query_one("#plant-lines", Lines).show(
            spoken_lines(self._morning, self._leader)
            if self.app.has_class(READER)
            else plant_lines(self._morning, self._leader, width)
        )

    def action_out(self) -> None:
        self.leave(None)


class Story(Lines):
    """Lines to be read: there is nothing to choose among them, so arrows scroll and no line is marked, unless a
    screen reader follows."""

    @property
    def _followed(self) -> bool:
        return self.app.has_class(READER)

    def move_to(self, index: int) -> None:
        super().move_to(index if self._followed else min(index, self.max_scroll_y))

    def _keep_in_view(self) -> None:
        if self._followed:
            super()._keep_in_view()
        else:
            self.scroll_to(y=self.cursor, animate=False, force=True, immediate=True)

    def _drawn(self, line: Line, width: int, lit: bool) -> Strip:
        return super()._drawn(line, width, lit and self._followed)


def plant_lines(morning: Morning, leader: Leader, width: int) -> list[Line]:
    """The page's lines, pictures included."""
    words = leader_words(morning.season, morning.outlook, morning.loads, leader)
    return [
        *(_words(line) for sentence in words for line in wrap(localize(sentence), width)),
        *_section("From the side", _drawn(side_view(morning, leader, width))),
        *_section(
            "Length of the stem: × measured, then the band it will be in",
            _drawn(stem_chart(morning, leader, width, axis("m"))),
        ),
        *_section("Trusses, the lowest first", _trusses(morning, leader)),
        *_section("Clips and ties, from the soil up", _clips(morning, leader)),
        *_section(LEFT_OUT, _noted_lines(left_out(morning, leader))),
        *_section("What was noted, the latest first", _noted_lines(leader_notes(leader))),
    ]


def spoken_lines(morning: Morning, leader: Leader) -> list[Line]:
    """The same without pictures, in words."""
    words = leader_words(morning.season, morning.outlook, morning.loads, leader)
    return [
        *(_words(line) for sentence in words for line in localize(sentence).split(". ")),
        *_section("Length of the stem", [_words(fact) for fact in length_facts(morning, leader)]),
        *_section("Trusses, the lowest first", _trusses(morning, leader)),
        *_section("Clips and ties, from the soil up", _clips(morning, leader)),
        *_section(LEFT_OUT, _noted_lines(left_out(morning, leader))),
        *_section("What was noted, the latest first", _noted_lines(leader_notes(leader))),
    ]


def _words(text: str) -> Line:
    return Line(text, (Part(text),))


def _drawn(rows: Iterable[CanvasRow]) -> list[Line]:
    return [Line("", tuple(Part(run.text, run.style) for run in row)) for row in rows]


def _section(title: str, lines: list[Line]) -> list[Line]:
    return [Line(title, (Part(title, "bold"),), heading=True), *lines] if lines else []


def _trusses(morning: Morning, leader: Leader) -> list[Line]:
    return [
        Line(
            f"truss {fact.truss.number}",
            (
                Part(f"truss {fact.truss.number}", "bold", 10),
                Part(bar(fact.truss.z, 10), "", 11),
                Part(fact.words),
            ),
        )
        for fact in truss_facts(morning, leader)
    ]


def _clips(morning: Morning, leader: Leader) -> list[Line]:
    return [
        Line(fact.fixing.id, (Part(fact.on, "bold", 12), Part(bar(fact.share, 10), "", 11), Part(fact.words)))
        for fact in fixing_facts(morning, leader)
    ]


def _noted_lines(facts: Iterable[DatedNote]) -> list[Line]:
    return [
        Line(f"{number}", (Part(day_words(fact.day), "bold", 12), Part(fact.words)))
        for number, fact in enumerate(facts)
    ]
