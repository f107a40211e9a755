"""One leader's story on a page: its picture, its stem measured and to come, trusses, clips and entries."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import kg_band
from tunneltui.draw.canvas import Row
from tunneltui.draw.chart import BandDay, ReadDay, band_chart, bar
from tunneltui.draw.row_picture import Window, row_picture
from tunneltui.draw.row_scene import row_scene
from tunneltui.screens.forms import Form
from tunneltui.screens.lines import Lines
from tunneltui.screens.list_lines import Line, Part, day_words
from tunneltui.screens.row_lines import leader_words
from tunneltui.screens.text import plain
from tunneltui.season.state import Ending, Leader, Lowering, Reading

PICTURE_ROWS, CHART_ROWS, ZOOM_M = 16, 9, 5.0
"""Rows of the picture and the chart, and the metres of the loop that the picture shows."""


class PlantPage(Form[None]):
    """Scrolls through everything known of one leader."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,enter", "out", "out", show=False)]
    AUTO_FOCUS = "#plant-lines"

    def __init__(self, morning: Morning, leader: str) -> None:
        super().__init__()
        self._morning = morning
        self._leader = morning.season.leaders[leader]

    def compose(self) -> ComposeResult:
        yield Static("", id="plant-title", markup=False)
        yield Lines(id="plant-lines")

    def on_mount(self) -> None:
        self.query_one("#plant-title", Static).update(plain(f" {self._leader.name}   arrows move, q goes back"))

    def on_resize(self) -> None:
        width = max(self.app.size.width - 4, 20)
        self.query_one("#plant-lines", Lines).show(plant_lines(self._morning, self._leader, width))

    def action_out(self) -> None:
        self.leave(None)


def plant_lines(morning: Morning, leader: Leader, width: int) -> list[Line]:
    """The page's lines, pictures included."""
    words = leader_words(morning.season, morning.outlook, morning.loads, leader)
    return [
        *(_words(line) for said in words for line in wrap(said, width)),
        *_section("From the side", _picture(morning, leader, width)),
        *_section(
            "Length of the stem: × measured, then the band it will be in", _stem_chart(morning, leader, width)
        ),
        *_section("Trusses, the lowest first", _trusses(morning, leader)),
        *_section("Clips and ties, from the soil up", _clips(morning, leader)),
        *_section("What was noted, the latest first", _entries(leader)),
    ]


def _words(text: str) -> Line:
    return Line(text, (Part(text),))


def _drawn(rows: Iterable[Row]) -> list[Line]:
    return [Line("", tuple(Part(run.text, run.style) for run in row)) for row in rows]


def _section(title: str, lines: list[Line]) -> list[Line]:
    return [Line(title, (Part(title, "heading"),), heading=True), *lines] if lines else []


def _picture(morning: Morning, leader: Leader, width: int) -> list[Line]:
    scene = row_scene(morning.season, morning.outlook, morning.loads, leader.loop)
    stem = next((stem for stem in scene.stems if stem.leader == leader.id), None)
    if stem is None:
        return []
    middle = (stem.points[0][0] + stem.points[-1][0]) / 2
    window = Window(middle, max(scene.length_m / ZOOM_M, 1.0))
    return _drawn(row_picture(scene, width, PICTURE_ROWS, window, leader.id))


def _stem_chart(morning: Morning, leader: Leader, width: int) -> list[Line]:
    coming = morning.outlook.leaders.get(leader.id)
    if coming is None:
        return []
    bands = [
        BandDay(day, on.length_m.low, on.length_m.mid, on.length_m.high) for day, on in sorted(coming.days.items())
    ]
    read = [ReadDay(one.day, one.length_m) for one in leader.readings if one.length_m is not None]
    return _drawn(band_chart(width, CHART_ROWS, bands=bands, marks=read[-12:], unit=" m"))


def _trusses(morning: Morning, leader: Leader) -> list[Line]:
    if leader.id not in morning.outlook.leaders:
        return []
    found = []
    for truss in morning.outlook.stem(leader.id, morning.day).trusses:
        ripe = f"ripe about {day_words(truss.ripe_on)}" if truss.ripe_on else "ripe date beyond the forecast"
        counted = "counted" if truss.counted else "assumed"
        words = (
            f"{truss.fruits:.0f} fruits ({counted}), {truss.kg * 1000:.0f} g, {truss.s_m * 100:.0f} cm up, {ripe}"
        )
        key = f"truss {truss.number}"
        found.append(Line(key, (Part(key, "place", 10), Part(bar(truss.z, 10), "done", 11), Part(words))))
    return found


def _clips(morning: Morning, leader: Leader) -> list[Line]:
    loads = {clip.id: clip for clip in morning.loads.clips}
    found = []
    for fixing in leader.fixings:
        load = loads.get(fixing.id)
        string = morning.season.strings.get(fixing.string)
        on = f"string {string.number}" if string else fixing.on
        state = "assumed" if fixing.assumed else f"seen {day_words(max(fixing.seen_on, default=fixing.hung_on))}"
        carries = (
            f"{kg_band(load.low_n, load.high_n)}, {load.share:.0%} of its strength" if load else "no load known"
        )
        share = bar(load.share if load else 0.0, 10)
        words = f"{fixing.s_m * 100:.0f} cm up, {carries}, hung {day_words(fixing.hung_on)}, {state}"
        found.append(Line(fixing.id, (Part(on, "place", 12), Part(share, "warn", 11), Part(words))))
    return found


def _entries(leader: Leader) -> list[Line]:
    """Readings, lowerings, failures and accidents as they were noted."""
    told = [(one.day, _measured(one)) for one in leader.readings]
    told += [(one.day, _lowered(one)) for one in leader.lowerings]
    told += [(end.day, _ended(end)) for end in leader.endings]
    told += [(one.day, one.kind.replace("_", " ")) for one in leader.accidents]
    told.append((leader.planted_on, "planted"))
    return [
        Line(f"{number}", (Part(day_words(day), "place", 12), Part(words)))
        for number, (day, words) in enumerate(sorted(told, key=lambda one: one[0], reverse=True))
    ]


def _lowered(one: Lowering) -> str:
    let_out = f" {one.let_out_m * 100:.0f} cm" if one.let_out_m else ""
    return f"lowered{let_out}{', as proposed' if one.as_proposed else ''}"


def _ended(end: Ending) -> str:
    how = f"failed: {end.how.replace('_', ' ')}" if end.how else "opened"
    return f"clip {how}, {end.fixing.s_m * 100:.0f} cm up"


def _measured(one: Reading) -> str:
    said = []
    if one.length_m is not None:
        said.append(f"{one.length_m:.2f} m long")
    if one.growth_m is not None:
        said.append(f"grew {one.growth_m * 100:.0f} cm")
    if one.tip_under_wire_m is not None:
        said.append(f"tip {one.tip_under_wire_m * 100:.0f} cm under the wire")
    if one.flowering_truss is not None:
        said.append(f"truss {one.flowering_truss:g} in flower")
    return "measured" + (": " + ", ".join(said) if said else "")
