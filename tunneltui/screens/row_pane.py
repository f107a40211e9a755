"""A row laid apart, or one of its stems from the side; days ahead, before and after a lowering."""

from __future__ import annotations

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import ContentSwitcher
from textual.worker import get_current_worker

from tunneltui.cells import day_word, many
from tunneltui.draw.apart import Apart, apart, levels
from tunneltui.draw.row_scene import row_scene
from tunneltui.draw.side_picture import NEARER, SIGNS, side_picture
from tunneltui.pages import row as page
from tunneltui.pages.units import localize
from tunneltui.screens.ahead import DAYS, AheadView, lowering_of, view_ahead
from tunneltui.screens.apart_lines import ApartLines, spoken_lines
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.edges import HeadsLine, TopLine
from tunneltui.screens.forms import ReadingPage
from tunneltui.screens.inked import content
from tunneltui.screens.layout import FEW_ROWS, MANY_ROWS, SIDE_FROM
from tunneltui.screens.lines import EDGE_CELLS, Lines, bindings_of
from tunneltui.screens.list_and_detail import Detail
from tunneltui.screens.messages import HeadChanged, StatusText
from tunneltui.screens.parts import Part
from tunneltui.screens.plant_page import PlantPage
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import READER, plain
from tunneltui.season.state import Leader

STILL = "The rows are still being worked out."
AS_IT_IS = 1.0

RowAsked = tuple[str, int, bool]
"""The loop, how many days ahead, and whether as it would be lowered."""


class RowPane(Container, can_focus=True):
    """One row, on a wide screen the loop it belongs to; the chosen stem is the same in both views."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("row")
    DEFAULT_CSS = """
    #row-heads { height: 1; width: 1fr; }
    #row-views { height: 1fr; }
    #row-apart { height: 1fr; }
    #row-words { background: $bar; padding: 0 1; height: 3; }
    """

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class RowReady(Message):
        """A worker has worked out another day or a lowering."""

        def __init__(self, view: RoundView, key: RowAsked, ahead: AheadView) -> None:
            self.view = view
            self.key = key
            self.ahead = ahead
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._heads = HeadsLine(id="row-heads")
        self._apart = Lines(id="row-apart")
        self._drawing = Drawing(id="row-side")
        self._views = ContentSwitcher(self._apart, self._drawing, initial="row-apart", id="row-views")
        self._words = Detail(id="row-words")
        self._loop = ""
        self._row = ""
        self._chosen = ""
        self._nearer = AS_IT_IS
        self._days = 0
        self._lowered = False
        self._kept: dict[RowAsked, AheadView] = {}
        self._shown: tuple[RowAsked, AheadView] | None = None
        """What is drawn; while another day is worked out, not yet the one chosen."""
        self._laid: Apart | None = None
        self._lines: ApartLines | None = None

    def compose(self) -> ComposeResult:
        yield self._heads
        yield self._views
        yield self._words

    def on_focus(self) -> None:
        if not self._from_the_side:
            self.screen.set_focus(self._apart)

    def on_resize(self) -> None:
        rows = self.app.size.height
        self._words.styles.height = 1 if rows < FEW_ROWS else 2 if rows < 24 else 3 if rows < MANY_ROWS else 6
        self.call_after_refresh(self._lay)

    # What is shown

    @property
    def head(self) -> TopLine:
        if self._shown is None or self._laid is None:
            return TopLine(("Row",), ("being worked out",))
        (loop, days, lowered), ahead = self._shown
        layout = ahead.season.layout
        where = page.where_words(layout, loop, self._row_shown)
        leader = ahead.season.leaders.get(self._chosen)
        when = "as it would be lowered" if lowered else ""
        if days:
            when = f"{day_word(ahead.loads.day)}, {many(days, 'day')} on" + (f", {when}" if when else "")
        if self._from_the_side and leader is not None:
            view_words = f"from the side, {page.stem_name(ahead.season, leader)}"
            right = (Part(page.fullest_words(ahead.loads, leader)),)
            return TopLine(where, (f"{view_words}; {when}" if when else view_words, view_words), right)
        over, near = levels(self._laid)
        counts = [Part(f"{over} over", "must")] if over else [Part("none over")]
        counts += [Part(f"{near} near", "near")] if near else []
        titles = tuple(f"{when}: {title}" for title in page.TITLE) if when else page.TITLE
        return TopLine(where, (*titles, when) if when else titles, tuple(counts))

    @property
    def place(self) -> str:
        """Where the chosen stem stands."""
        morning = self.view.morning if self.view is not None else None
        leader = morning.season.leaders.get(self._chosen) if morning is not None else None
        return leader.place if leader is not None else ""

    def go_to_place(self, place: str) -> bool:
        """Chooses a stem that stands there; of an empty place its row is shown."""
        morning = self.view.morning if self.view is not None else None
        standing = morning.season.layout.places.get(place) if morning is not None else None
        if morning is None or standing is None:
            return False
        stems = [leader.id for leader in morning.season.leaders.values() if leader.place == place]
        if standing.row_id != self._row or (stems and stems[0] != self._chosen):
            self._loop, self._row = standing.loop.id, standing.row_id
            self._chosen = stems[0] if stems else ""
            self._look()
        return True

    def watch_view(self, view: RoundView | None) -> None:
        """A pane nobody looks at lets it be."""
        self._kept.clear()
        if self.is_mounted and self.display and view is not None:
            self._look()

    def on_show(self) -> None:
        self._look()

    @property
    def _from_the_side(self) -> bool:
        return self._views.current == "row-side"

    @property
    def _row_shown(self) -> str:
        """'' where the whole loop is shown."""
        return "" if self.app.size.width >= SIDE_FROM else self._row

    def _look(self) -> None:
        """Shows the row, days and lowering chosen: at once where known, else when a worker has worked it out."""
        view = self.view
        morning = view.morning if view is not None else None
        if view is None or morning is None:
            self._words.show(plain(STILL))
            return
        rows = morning.season.layout.loop_of_row
        if self._row not in rows:
            self._row, self._chosen = next(iter(view.rows or rows), ""), ""
        if not self._row:
            self._words.show(plain("No row stands yet."))
            return
        self._loop = rows[self._row].id
        key = (self._loop, self._days, self._lowered)
        if not self._days and not self._lowered:
            self._kept[key] = view_ahead(morning, self._loop, 0, lowered=False)
        if key in self._kept:
            self._shown = key, self._kept[key]
            self._lay()
        else:
            self.post_message(StatusText("Working out the loads of that day…"))
            self._work_out(view, key)

    @work(thread=True, exclusive=True, group="row", exit_on_error=False, description="Loads of another day")
    def _work_out(self, view: RoundView, key: RowAsked) -> None:
        if view.morning is not None:
            ahead = view_ahead(view.morning, key[0], key[1], lowered=key[2])
            if not get_current_worker().is_cancelled:
                self.post_message(self.RowReady(view, key, ahead))

    @on(RowReady)
    def _worked_out(self, event: RowReady) -> None:
        if event.view is self.view:
            self._kept[event.key] = event.ahead
            self.post_message(StatusText(""))
            self._look()

    def _lay(self) -> None:
        """Lays the stems of what is shown on the width there is."""
        if self._shown is None or (not self._apart.size.width and not self._from_the_side):
            return
        (loop, _, _), ahead = self._shown
        self._laid = apart(ahead.season, ahead.outlook, ahead.loads, loop, self._row_shown)
        stems = [stem.leader for stem in self._laid.stems]
        if self._chosen not in stems:
            own = [stem for stem in stems if ahead.season.leaders[stem].row == self._row]
            self._chosen = (own or stems or [""])[0]
        self._draw()

    def _before(self) -> Apart | None:
        """As it hangs now, where it is shown as it would be lowered."""
        if self._shown is None or not self._shown[0][2] or self.view is None or self.view.morning is None:
            return None
        (loop, days, _), _ = self._shown
        ahead = self._kept.get((loop, days, False)) or view_ahead(self.view.morning, loop, 0, lowered=False)
        return apart(ahead.season, ahead.outlook, ahead.loads, loop, self._row_shown)

    def _draw(self) -> None:
        if self._laid is None or self._shown is None:
            return
        self._heads.display = not self._from_the_side
        if self._from_the_side:
            self._draw_side()
        elif self.app.has_class(READER):
            self._apart.show(spoken_lines(self._laid, self._apart.scrollable_content_region.width))
        else:
            width = self._apart.scrollable_content_region.width - EDGE_CELLS
            self._lines = ApartLines(self._laid, width, self._chosen, self._before())
            self._heads.show(self._lines.head())
            self._apart.show(self._lines.lines(self._chosen))
        self._apart.move_to_key(self._chosen)
        self._tell()

    @on(Drawing.Resized)
    def _draw_side(self) -> None:
        if self._shown is not None and self._from_the_side:
            (loop, _, _), ahead = self._shown
            scene = row_scene(ahead.season, ahead.outlook, ahead.loads, loop)
            columns, rows = self._drawing.size
            one_ink = self.app.theme in ("one-ink", "ansi-dark")
            self._drawing.show(side_picture(scene, columns, rows, self._chosen, self._nearer, alone=one_ink))

    def _tell(self) -> None:
        """What is known of the chosen stem, in as many lines as there are."""
        self.post_message(HeadChanged())
        morning = self.view.morning if self.view is not None else None
        if self._shown is None or morning is None:
            return
        _, ahead = self._shown
        leader = ahead.season.leaders.get(self._chosen)
        lines: list[tuple[Part, ...]] = []
        if leader is not None:
            lines = self._stem_lines(leader)
        self._words.show(content(lines, self._words.content_size.width or 78))

    def _stem_lines(self, leader: Leader) -> list[tuple[Part, ...]]:
        morning = self.view.morning if self.view is not None else None
        if self._shown is None or morning is None:
            return []
        _, ahead = self._shown
        stem = page.stem_words(ahead.season, ahead.outlook, ahead.loads, leader)
        clip = page.clip_words(morning, ahead.loads, leader)
        lines = [
            (Part(page.stem_name(ahead.season, leader), "chosen"), Part("  "), Part(stem[0], shorter=stem[1:])),
            (Part(clip[0], shorter=clip[1:]),),
        ]
        before = self._before()
        if before is not None and self._laid is not None:
            rose, fell = page.moved_words(before, self._laid)
            lines[1:] = [
                (Part("rise  ", "quiet"), Part(rose[0], shorter=rose[1:])),
                (Part("fall  ", "quiet"), Part(fell[0], shorter=fell[1:])),
            ]
        if fault := page.fault_words(ahead.loads, leader):
            lines.append((Part(fault),))
        return lines

    # Keys

    @on(Lines.Moved)
    def _moved(self) -> None:
        # Told late: with keys typed fast the cursor is further on, and to follow each move back would never end.
        if self._apart.line is not None:
            self._choose(self._apart.line.key)

    def _choose(self, leader: str) -> None:
        if self._laid is None or leader == self._chosen:
            return
        before, self._chosen = self._chosen, leader
        if self._shown is not None and leader in self._shown[1].season.leaders:
            self._row = self._shown[1].season.leaders[leader].row
        if self._from_the_side or self._lines is None:
            self._draw()
            return
        for number, stem in enumerate(self._laid.stems):
            if stem.leader in (before, leader):
                self._apart.replace(number, self._lines.line(stem, leader))
        self._tell()

    def _step(self, by: int) -> None:
        stems = [stem.leader for stem in self._laid.stems] if self._laid is not None else []
        if stems:
            at = stems.index(self._chosen) if self._chosen in stems else 0
            self._choose(stems[max(0, min(at + by, len(stems) - 1))])
            self._apart.move_to_key(self._chosen)

    def action_leader_before(self) -> None:
        self._step(-1)

    def action_leader_after(self) -> None:
        self._step(1)

    def action_loop_next(self) -> None:
        """To the next row, on a wide screen to the next loop."""
        morning = self.view.morning if self.view is not None else None
        if self.view is None or morning is None or not self._row:
            return
        loops = morning.season.layout.loop_of_row
        rows = [row for row in (self.view.rows or loops) if row in loops]
        at = rows.index(self._row) if self._row in rows else -1
        further = [*rows[at + 1 :], *rows[: at + 1]]
        loop = self._loop if not self._row_shown else ""
        self._row = next((row for row in further if loops[row].id != loop), self._row)
        self._chosen, self._nearer = "", AS_IT_IS
        self._look()

    def _nearer_by(self, by: int) -> None:
        self._nearer = NEARER[max(0, min(NEARER.index(self._nearer) + by, len(NEARER) - 1))]
        self._draw_side()

    def action_larger(self) -> None:
        self._nearer_by(1)

    def action_smaller(self) -> None:
        self._nearer_by(-1)

    def action_day_on(self) -> None:
        self._days = min(self._days + 1, DAYS)
        self._look()

    def action_day_back(self) -> None:
        self._days = max(self._days - 1, 0)
        self._look()

    def action_lowered(self) -> None:
        morning = self.view.morning if self.view is not None else None
        if morning is None or not self._loop or lowering_of(morning, self._loop) is None:
            self.post_message(StatusText("No lowering is proposed for this row."))
            return
        self._lowered = not self._lowered
        self._look()

    def action_side(self) -> None:
        if self.app.has_class(READER):
            self.post_message(StatusText("A picture cannot be said; enter says everything of this stem."))
            return
        self._views.current = "row-apart" if self._from_the_side else "row-side"
        self.screen.set_focus(self if self._from_the_side else self._apart)
        self.call_after_refresh(self._draw)

    def action_plant(self) -> None:
        if self.view is not None and self.view.morning is not None and self._chosen:
            self.app.push_screen(PlantPage(self.view.morning, self._chosen))

    def action_more(self) -> None:
        """All the words on the stem, and the signs."""
        leader = self._shown[1].season.leaders.get(self._chosen) if self._shown is not None else None
        if leader is not None and self._shown is not None:
            lines = ["".join(localize(part.text) for part in line) for line in self._stem_lines(leader)]
            before = self._before()
            if before is not None and self._laid is not None:
                lines += [
                    "",
                    "what the lowering changes, in % of the strength:",
                    *page.every_move(before, self._laid),
                ]
            read = (
                "number under a string: how full that clip is, in %; after ╯ its fullest head clip; ╰ root, ╯ hook"
            )
            self.app.push_screen(
                ReadingPage(page.stem_name(self._shown[1].season, leader), [*lines, "", read, SIGNS])
            )
