"""The row from the side: one loop unrolled, the chosen leader bright, days ahead, before and after a lowering."""

from __future__ import annotations

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import ContentSwitcher, Static
from textual.worker import get_current_worker

from tunneltui.cells import day_word as day_words
from tunneltui.cells import joined, many
from tunneltui.draw.leader_facts import leader_words
from tunneltui.draw.plan_picture import plan_picture
from tunneltui.draw.row_picture import LEGEND, Window, row_picture
from tunneltui.draw.row_scene import RowScene, row_scene
from tunneltui.screens.ahead import DAYS, Seen, lowering_of, seen
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.forms import Page
from tunneltui.screens.lines import Lines, bindings_for
from tunneltui.screens.messages import Said
from tunneltui.screens.picture import Picture
from tunneltui.screens.places import due_by_place, first_place, place_beside, place_words
from tunneltui.screens.plant_page import PlantPage
from tunneltui.screens.row_lines import stem_lines
from tunneltui.screens.text import READER, plain, told

ZOOMS = (1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
METRES_A_COLUMN = 0.13
"""About as fine as the whole of a loop is first shown; longer loops start zoomed in."""

Asked = tuple[str, int, bool]
"""The loop, how many days ahead, and whether as it would be lowered."""


class RowPane(Container, can_focus=True):
    """Side view, plan of the tunnel and table of one loop."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_for("row")
    DEFAULT_CSS = """
    #row-views { height: 1fr; }
    #row-words { height: 4; padding: 0 1; }
    """

    picture: reactive[Picture | None] = reactive(None)

    class WorkedOut(Message):
        """A worker has worked out another day or a lowering."""

        def __init__(self, picture: Picture, key: Asked, ahead: Seen) -> None:
            self.picture = picture
            self.key = key
            self.ahead = ahead
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._drawing = Drawing(id="row-drawing")
        self._table = Lines(id="row-table")
        self._plan = Drawing(id="row-plan")
        self._views = ContentSwitcher(
            self._drawing, self._table, self._plan, initial="row-drawing", id="row-views"
        )
        self._words = Static("", id="row-words")
        self._home = "row-drawing"
        """The view that the others go back to."""
        self._loop = ""
        self._chosen = ""
        self._place = ""
        """Chosen in the view from above."""
        self._zoom: float | None = None
        self._pan_m = 0.0
        self._days = 0
        self._lowered = False
        self._kept: dict[Asked, Seen] = {}
        self._shown: tuple[Asked, Seen] | None = None
        """What is drawn; while another day is worked out, not yet what was asked for."""
        self._scene: RowScene | None = None

    def compose(self) -> ComposeResult:
        yield self._views
        yield self._words

    def on_mount(self) -> None:
        if self.app.has_class(READER):
            self._home = self._views.current = "row-table"

    def on_focus(self) -> None:
        if self._views.current == "row-table":
            self._table.focus()

    def watch_picture(self, picture: Picture | None) -> None:
        self._kept.clear()
        if picture is not None and picture.morning is not None and self.is_mounted:
            loops = list(picture.morning.season.layout.loops)
            if self._loop not in loops:
                self._loop = loops[0] if loops else ""
                self._chosen = ""
            self._look()

    def show_leader(self, leader: str) -> None:
        """Chooses a leader and its loop."""
        morning = self.picture.morning if self.picture is not None else None
        if morning is not None and leader in morning.season.leaders:
            self._loop, self._chosen = morning.season.leaders[leader].loop, leader
            self._look()

    # Drawing

    def _look(self) -> None:
        """Shows what is asked for, at once where it is known, else when a worker has it."""
        picture = self.picture
        if picture is None or picture.morning is None or not self._loop:
            self._words.update(plain("The rows are still being worked out."))
            return
        key = (self._loop, self._days, self._lowered)
        if not self._days and not self._lowered:
            self._kept[key] = seen(picture.morning, self._loop, 0, lowered=False)
        if key in self._kept:
            ahead = self._kept[key]
            self._shown = key, ahead
            self._scene = row_scene(ahead.season, ahead.outlook, ahead.loads, self._loop)
            if self._chosen not in {stem.leader for stem in self._scene.stems}:
                self._chosen = self._scene.stems[0].leader if self._scene.stems else ""
            self._draw()
        else:
            self.post_message(Said("Working out the loads of that day…"))
            self._work_out(picture, key)

    @work(thread=True, exclusive=True, group="row", exit_on_error=False, description="Loads of another day")
    def _work_out(self, picture: Picture, key: Asked) -> None:
        if picture.morning is not None:
            ahead = seen(picture.morning, key[0], key[1], lowered=key[2])
            if not get_current_worker().is_cancelled:
                self.post_message(self.WorkedOut(picture, key, ahead))

    @on(WorkedOut)
    def _worked_out(self, event: WorkedOut) -> None:
        if event.picture is self.picture:
            self._kept[event.key] = event.ahead
            self.post_message(Said(""))
            self._look()

    @on(Drawing.Resized)
    def _draw(self) -> None:
        scene = self._scene
        if scene is None or self._shown is None or self.picture is None or self.picture.morning is None:
            return
        (loop, _, _), ahead = self._shown
        drawing = self._drawing
        columns, rows = drawing.size
        if columns > 0 and rows > 4:
            drawing.show(row_picture(scene, columns, rows, self._window(columns), self._chosen))
        self._show_plan()
        self._show_words()
        lines = stem_lines(ahead.season, ahead.outlook, ahead.loads, loop)
        self._table.show(lines)

    @property
    def _from_above(self) -> bool:
        return self._views.current == "row-plan"

    def _show_plan(self) -> None:
        picture = self.picture
        plan = self._plan
        if picture is None or picture.morning is None or plan.size.height <= 4:
            return
        layout = picture.morning.season.layout
        standing = layout.places.get(self._place)
        row = standing.row_id if standing is not None else layout.loops[self._loop].stretches[0].row
        tunnel, _ = layout.rows[row]
        due = due_by_place(picture)
        plan.show(plan_picture(layout, tunnel, plan.size.width, plan.size.height, due, self._place))

    def _window(self, columns: int) -> Window:
        scene = self._scene
        middle = 0.0
        if scene is not None:
            if self._zoom is None:
                wanted = scene.length_m / max(columns * METRES_A_COLUMN, 1.0)
                self._zoom = next((zoom for zoom in ZOOMS if zoom >= wanted), ZOOMS[-1])
            for stem in scene.stems:
                if stem.leader == self._chosen:
                    middle = (stem.points[0][0] + stem.points[-1][0]) / 2
        return Window(middle + self._pan_m, self._zoom or 1.0)

    def _show_words(self) -> None:
        if self._from_above and self.picture is not None:
            self._words.update(told(joined("\n", place_words(self.picture, self._place))))
            return
        if self._shown is not None:
            asked, ahead = self._shown
            self._words.update(told(joined("\n", [_when(asked, ahead), *self._chosen_words(ahead)])))

    def _chosen_words(self, ahead: Seen) -> list[str]:
        leader = ahead.season.leaders.get(self._chosen)
        return leader_words(ahead.season, ahead.outlook, ahead.loads, leader) if leader is not None else []

    # Keys

    def _step(self, by: int) -> None:
        stems = [stem.leader for stem in self._scene.stems] if self._scene is not None else []
        if stems:
            at = stems.index(self._chosen) if self._chosen in stems else 0
            self._chosen = stems[max(0, min(at + by, len(stems) - 1))]
            self._pan_m = 0.0
            self._draw()

    def _move(self, along: int, across: int) -> None:
        """From above: to another place."""
        morning = self.picture.morning if self.picture is not None else None
        if morning is not None:
            self._place = place_beside(morning.season.layout, self._place, along, across)
            self._draw()

    def action_leader_before(self) -> None:
        self._move(-1, 0) if self._from_above else self._step(-1)

    def action_leader_after(self) -> None:
        self._move(1, 0) if self._from_above else self._step(1)

    def _loop_by(self, by: int) -> None:
        morning = self.picture.morning if self.picture is not None else None
        if morning is not None and self._loop:
            loops = list(morning.season.layout.loops)
            self._loop = loops[(loops.index(self._loop) + by) % len(loops)]
            self._chosen, self._zoom, self._pan_m = "", None, 0.0
            self._look()

    def action_row_before(self) -> None:
        self._move(0, -1) if self._from_above else self._loop_by(-1)

    def action_row_after(self) -> None:
        self._move(0, 1) if self._from_above else self._loop_by(1)

    def action_loop_next(self) -> None:
        self.action_row_after()

    def _zoom_by(self, by: int) -> None:
        at = ZOOMS.index(self._zoom) if self._zoom in ZOOMS else 0
        self._zoom = ZOOMS[max(0, min(at + by, len(ZOOMS) - 1))]
        self._draw()

    def action_larger(self) -> None:
        self._zoom_by(1)

    def action_smaller(self) -> None:
        self._zoom_by(-1)

    def _pan(self, direction: int) -> None:
        if self._scene is not None:
            self._pan_m += direction * self._scene.length_m / (self._zoom or 1.0) / 4
            self._draw()

    def action_pan_left(self) -> None:
        self._pan(-1)

    def action_pan_right(self) -> None:
        self._pan(1)

    def action_day_on(self) -> None:
        self._days = min(self._days + 1, DAYS)
        self._look()

    def action_day_back(self) -> None:
        self._days = max(self._days - 1, 0)
        self._look()

    def action_lowered(self) -> None:
        morning = self.picture.morning if self.picture is not None else None
        if morning is None or lowering_of(morning, self._loop) is None:
            self.post_message(Said("No lowering is proposed for this loop."))
            return
        self._lowered = not self._lowered
        self._look()

    def _switch_to(self, view: str) -> None:
        views = self._views
        views.current = self._home if views.current == view else view
        (self._table if views.current == "row-table" else self).focus()
        self.call_after_refresh(self._draw)

    def action_table(self) -> None:
        self._switch_to("row-table")

    def action_plan_view(self) -> None:
        morning = self.picture.morning if self.picture is not None else None
        if morning is not None and self._loop:
            self._place = first_place(morning.season, self._loop, self._chosen)
            self._switch_to("row-plan")

    def _go_to_place(self) -> None:
        """From above into the side view, at the place that was chosen."""
        morning = self.picture.morning if self.picture is not None else None
        standing = morning.season.layout.places.get(self._place) if morning is not None else None
        if morning is None or standing is None:
            return
        there = [leader.id for leader in morning.season.leaders.values() if leader.place == self._place]
        if self._loop != standing.loop.id:
            self._loop, self._zoom = standing.loop.id, None
        self._chosen, self._pan_m = (there[0] if there else ""), 0.0
        if not there:
            self.post_message(Said(f"No stem stands at {self._place}."))
        self._switch_to("row-plan")
        self._look()

    def action_plant(self) -> None:
        if self._from_above:
            self._go_to_place()
            return
        if self.picture is not None and self.picture.morning is not None and self._chosen:
            self.app.push_screen(PlantPage(self.picture.morning, self._chosen))

    def action_legend(self) -> None:
        self.app.push_screen(Page("What the signs mean", LEGEND))

    @on(Lines.Moved)
    def _moved(self, event: Lines.Moved) -> None:
        """In the table the cursor chooses the leader."""
        if self._scene is not None and event.key in {stem.leader for stem in self._scene.stems}:
            self._chosen = event.key
            self._show_words()


def _when(asked: Asked, ahead: Seen) -> str:
    loop, days_ahead, lowered = asked
    days = f", {many(days_ahead, 'day')} ahead" if days_ahead else ", today"
    return f"{loop}, {day_words(ahead.loads.day)}{days}{', as it would be lowered' if lowered else ''}"
