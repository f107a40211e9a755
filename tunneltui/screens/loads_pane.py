"""The loads on one scale, nearest to its strength first, and what a change would do to a clip."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive

from tunneltui.cells import many, say
from tunneltui.loads.calibration import WarningRecord, warning_records
from tunneltui.loads.peak import row_peaks
from tunneltui.loads.result import ClipLoad
from tunneltui.loads.whatif import (
    Change,
    KeepLeader,
    Lower,
    PickedRow,
    SecondHold,
    TakeLeaves,
    string_beside,
    what_if,
)
from tunneltui.pages import loads as page
from tunneltui.pages.loads import ClipChange, Kind, LoadLine, Peak
from tunneltui.pages.prompts import NOT_ASKED_FOR, TRIED
from tunneltui.screens.ahead import proposed_moves
from tunneltui.screens.edges import HeadsLine, TopLine
from tunneltui.screens.forms import ReadingPage
from tunneltui.screens.inked import content
from tunneltui.screens.kinds_line import KindsLine, OfKind
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import Detail, ListAndDetail
from tunneltui.screens.loads_lines import clip_detail, head_parts, line_detail, loads_lines
from tunneltui.screens.messages import HeadChanged, StatusText, WalkRequested
from tunneltui.screens.parts import Part
from tunneltui.screens.plant_page import PlantPage
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import READER, plain
from tunneltui.season.state import Leader

LEAVES_OFF = 4.0
"""Leaves taken in the what-if of taking leaves."""
STILL = "The loads are still being worked out."


class LoadsPane(ListAndDetail):
    """Clips, strings, hooks, wires, hoops and rows of one morning, a kind at a time."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("loads")
    DEFAULT_CSS = "#loads-kinds, #loads-heads { height: 1; width: 1fr; }"
    REASON_ROWS = 4

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class Tried(Message):
        """A worker has worked out what a change would do."""

        def __init__(self, view: RoundView, change: ClipChange | None) -> None:
            self.view = view
            self.change = change
            super().__init__()

    class Peaked(Message):
        """A worker has worked out the most each row gets to bear, and whether warnings of clips came true."""

        def __init__(self, view: RoundView, peaks: Mapping[str, Peak], warnings: Sequence[WarningRecord]) -> None:
            self.view = view
            self.peaks = peaks
            self.warnings = warnings
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._kind: Kind = "clips"
        self._chosen = False
        """Whether the grower chose the kind."""
        self._peaks: Mapping[str, Peak] = MappingProxyType({})
        self._warnings: Sequence[WarningRecord] = ()
        self._peaks_of: RoundView | None = None
        self._load_lines: tuple[LoadLine, ...] = ()
        self._clips: Mapping[str, ClipLoad] = {}
        self._kinds_line = KindsLine(id="loads-kinds")
        self._heads = HeadsLine(id="loads-heads")
        self._lines = Lines(id="loads-lines")
        self._detail = Detail(classes="detail", id="loads-detail")
        self._tried: dict[str, list[ClipChange]] = {}
        self._levels = (0, 0)
        """Clips over their strength and near it."""

    def compose(self) -> ComposeResult:
        yield Container(self._kinds_line, self._heads, self._lines, classes="list-side")
        yield self._detail

    def on_mount(self) -> None:
        # Watched, not waited for: what a message brings is painted a frame after the cursor.
        self.watch(self._lines, "cursor", self._show_detail, init=False)

    def watch_view(self) -> None:
        self._tried.clear()
        if self.is_mounted:
            self._show()

    # What is shown

    @property
    def head(self) -> TopLine:
        morning = self.view.morning if self.view is not None else None
        if morning is None:
            return TopLine(("Loads",), ("being worked out",))
        over, near = self._levels
        right = [Part(f"{over} over", "must")] if over else [Part("none over")]
        right += [Part(f"{near} near", "near")] if near else []
        return TopLine(("Loads",), (page.TITLES[self._kind], self._kind), tuple(right))

    @property
    def place(self) -> str:
        """Where the stem of the clip stands."""
        clip = self._clip()
        leader = self._leader(clip) if clip is not None else None
        return leader.place if leader is not None else ""

    def go_to_place(self, place: str) -> bool:
        """To the fullest clip of a stem that stands there."""
        morning = self.view.morning if self.view is not None else None
        if morning is None:
            return False
        names = {leader.name for leader in morning.season.leaders.values() if leader.place == place}
        clip = next((clip for clip in morning.loads.clips if clip.leader in names), None)
        if clip is None:
            return False
        self._show_kind("clips")
        self._lines.move_to_key(f"clip {clip.id}")
        return True

    def _show(self) -> None:
        morning = self.view.morning if self.view is not None else None
        if morning is None:
            self._detail.show(plain(STILL))
            return
        self._clips = {f"clip {clip.id}": clip for clip in morning.loads.clips}
        self._levels = page.levels(morning)
        counted = page.counts(morning)
        if not self._chosen:
            self._kind = next((kind for kind in page.KINDS if counted.get(kind)), "clips")
        kinds = [OfKind(kind, kind, str(counted[kind]) if kind in counted else "") for kind in page.KINDS]
        self._kinds_line.show(kinds, self._kind)
        self._load_lines = page.load_lines(morning, self._kind, self._peaks, self._warnings)
        self._heads.show(head_parts(self._load_lines, self._kind))
        self._lines.show(
            loads_lines(
                self._load_lines,
                self._kind,
                spoken=self.app.size.width - 2 if self.app.has_class(READER) else 0,
            )
        )
        self._show_detail()
        self.post_message(HeadChanged())
        self._ask_peaks()

    def _show_kind(self, kind: Kind) -> None:
        self._chosen = True
        if kind != self._kind:
            self._kind = kind
            self._lines.cursor = 0
            self._show()

    @on(KindsLine.KindClicked)
    def _kind_clicked(self, event: KindsLine.KindClicked) -> None:
        self._show_kind(next(kind for kind in page.KINDS if kind == event.key))

    def _kind_by(self, by: int) -> None:
        self._show_kind(page.KINDS[(page.KINDS.index(self._kind) + by) % len(page.KINDS)])

    def action_kind_before(self) -> None:
        self._kind_by(-1)

    def action_kind_after(self) -> None:
        self._kind_by(1)

    def on_show(self) -> None:
        self._ask_peaks()

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002  (of the base class)
        self.call_after_refresh(self._show_detail)

    def _ask_peaks(self) -> None:
        """Peaks look ahead over the whole season, warnings back over it: worked out once for a view whose rows
        are shown."""
        if self._kind == "rows" and self.display and self.view is not None and self._peaks_of is not self.view:
            self._peaks_of = self.view
            self._peak(self.view)

    @work(thread=True, exclusive=True, group="peaks", exit_on_error=False, description="The most each row bears")
    def _peak(self, view: RoundView) -> None:
        if view.morning is not None:
            workings = view.morning.loads.workings
            warnings = warning_records(workings) if workings is not None else ()
            self.post_message(self.Peaked(view, row_peaks(view.morning.season), warnings))

    @on(Peaked)
    def _show_peaks(self, event: Peaked) -> None:
        if event.view is self.view:
            self._peaks, self._warnings = event.peaks, event.warnings
            self._show()

    def _show_detail(self) -> None:
        morning = self.view.morning if self.view is not None else None
        size = self._detail.content_size
        if morning is None or not size.height:
            return
        clip = self._clip()
        if clip is not None:
            lines = clip_detail(morning, clip, self._tried.get(clip.id, []), *size)
            self._detail.show(content(lines, size.width))
        else:
            line = self._here()
            self._detail.show(content(line_detail(line) if line is not None else []))

    def _here(self) -> LoadLine | None:
        line = self._lines.line
        return next((load_line for load_line in self._load_lines if line and load_line.key == line.key), None)

    def _clip(self) -> ClipLoad | None:
        line = self._lines.line
        return self._clips.get(line.key.replace("weak ", "clip ")) if line is not None else None

    def _leader(self, clip: ClipLoad) -> Leader | None:
        morning = self.view.morning if self.view is not None else None
        return morning.season.leader_named(clip.leader) if morning is not None else None

    # What if

    def _try(self, words: str, kind: str, change: Callable[[ClipLoad, Leader], Change | None]) -> None:
        clip = self._clip()
        leader = self._leader(clip) if clip is not None else None
        tried = change(clip, leader) if clip is not None and leader is not None else None
        if clip is None or tried is None or self.view is None:
            self.post_message(StatusText("Go to a clip to try that on it."))
            return
        self.post_message(StatusText("Working out what that would do…"))
        self._work_out(self.view, clip.id, words, kind, tried)

    @work(thread=True, exclusive=True, group="whatif", exit_on_error=False, description="What a change would do")
    def _work_out(self, view: RoundView, clip: str, words: str, kind: str, change: Change) -> None:
        morning = view.morning
        if morning is None:
            return
        compared = what_if(morning.season, morning.outlook, morning.day, [change], morning.loads)
        red_share = morning.season.holding.limits.red_share
        self.post_message(
            self.Tried(view, page.change_of_clip(compared.before, compared.after, clip, words, red_share, kind))
        )

    @on(Tried)
    def _show_tried(self, event: Tried) -> None:
        if event.view is self.view and event.change is not None:
            self._tried.setdefault(event.change.before.id, []).append(event.change)
            self.post_message(StatusText(say(TRIED, event.change.words)))
            self._show_detail()

    def action_try_second(self) -> None:
        self._try("second clip", "second_clip", lambda clip, _: SecondHold(clip.id))

    def action_try_tie(self) -> None:
        self._try("tie", "second_clip", lambda clip, _: SecondHold(clip.id, tie=True))

    def action_try_pick(self) -> None:
        self._try("ripe fruit picked", "pick", lambda _, leader: PickedRow(leader.row))

    def action_try_leaves(self) -> None:
        self._try(
            f"{many(int(LEAVES_OFF), 'leaf', 'leaves')} off",
            "deleaf",
            lambda _, leader: TakeLeaves(leader.id, LEAVES_OFF),
        )

    def action_try_lower(self) -> None:
        self._try("lowered", "lower", self._lower)

    def action_try_string(self) -> None:
        self._try("string beside it", "string", self._string)

    def action_try_keep(self) -> None:
        self._try("one more leader", "", lambda _, leader: KeepLeader(leader.id))

    def _string(self, clip: ClipLoad, leader: Leader) -> Change | None:
        morning = self.view.morning if self.view is not None else None
        return string_beside(morning.season, leader, clip.u_m) if morning is not None else None

    def _lower(self, _: ClipLoad, leader: Leader) -> Change | None:
        """As the round proposes it, else by one usual turn."""
        morning = self.view.morning if self.view is not None else None
        if morning is None:
            return None
        moves = {move.leader: move for move in proposed_moves(morning, leader.loop)}
        return moves.get(leader.id) or Lower(leader.id, morning.season.holding.limits.lower_most_m)

    def action_more(self) -> None:
        morning = self.view.morning if self.view is not None else None
        clip, line = self._clip(), self._here()
        if morning is not None and clip is not None:
            lines: list[str] = [say("{}: {}", name, value) for name, value in page.chain_words(morning, clip)]
            lines += [
                say("{}: {}", change.words, page.answer_words(morning.season, change)[0])
                for change in self._tried.get(clip.id, [])
            ]
            self.app.push_screen(ReadingPage(page.clip_title(morning.season, clip), lines))
        elif line is not None:
            self.app.push_screen(
                ReadingPage(f"{line.what} {line.on}".strip(), [*line.lengths[:1], line.load, line.last])
            )

    def action_plant(self) -> None:
        """Everything known of the stem; once a change was tried, on to where it stands on the walk."""
        morning = self.view.morning if self.view is not None else None
        clip = self._clip()
        leader = self._leader(clip) if clip is not None else None
        if morning is None or clip is None or leader is None:
            return
        if tried := self._tried.get(clip.id):
            chore = page.on_the_walk(morning, clip, tried[-1].kind)
            place = chore.pieces[0].place if chore is not None and chore.pieces else leader.place
            why = "" if chore is not None else say(NOT_ASKED_FOR, tried[-1].words)
            self.app.post_message(WalkRequested(chore.id if chore is not None else "", place, why))
        else:
            self.app.push_screen(PlantPage(morning, leader.id))
