"""The loads: nearest to its limit first, the chain from clip to hoop beside it, and what a change would do."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.message import Message
from textual.reactive import reactive

from tunneltui.loads.peak import row_peaks
from tunneltui.loads.result import ClipLoad
from tunneltui.loads.whatif import (
    Change,
    KeepLeader,
    Lower,
    PickRow,
    SecondHold,
    TakeLeaves,
    string_beside,
    what_if,
)
from tunneltui.screens.ahead import proposed
from tunneltui.screens.beside import Beside
from tunneltui.screens.forms import Page
from tunneltui.screens.lines import Lines, bindings_for
from tunneltui.screens.loads_lines import (
    NO_PEAKS,
    Changed,
    Peak,
    chain_words,
    changed_words,
    compared,
    follows,
    loads_lines,
)
from tunneltui.screens.messages import Said
from tunneltui.screens.picture import Picture
from tunneltui.screens.plant_page import PlantPage
from tunneltui.screens.text import plain, told
from tunneltui.screens.words_beside import WordsBeside
from tunneltui.season.state import Leader

LEAVES_OFF = 4.0
"""Leaves taken in the what-if of taking leaves."""


class LoadsPane(Beside):
    """Clips, strings, hooks, wires, hoops and rows of one morning."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_for("loads")

    REASON_ROWS = 4
    picture: reactive[Picture | None] = reactive(None)

    class Tried(Message):
        """A worker has worked out what a change would do."""

        def __init__(self, picture: Picture, made: Changed | None) -> None:
            self.picture = picture
            self.made = made
            super().__init__()

    class Peaked(Message):
        """A worker has worked out the most each row gets to bear."""

        def __init__(self, picture: Picture, peaks: Mapping[str, Peak]) -> None:
            self.picture = picture
            self.peaks = peaks
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._peaks: Mapping[str, Peak] = NO_PEAKS
        self._peaks_of: Picture | None = None
        self._lines = Lines(id="loads-lines")
        self._detail = WordsBeside(classes="detail", id="loads-detail")
        self._figures = False
        self._tried: dict[str, list[str]] = {}

    def compose(self) -> ComposeResult:
        yield self._lines
        yield self._detail

    def on_mount(self) -> None:
        # Watched, not waited for: what a message brings is painted a frame after the cursor.
        self.watch(self._lines, "cursor", self._show_detail, init=False)

    def watch_picture(self) -> None:
        self._tried.clear()
        if self.is_mounted:
            self._show()

    def _show(self) -> None:
        morning = self.picture.morning if self.picture is not None else None
        if morning is None:
            self._detail.show(plain("The loads are still being worked out."))
            return
        self._lines.show(loads_lines(morning, figures=self._figures, peaks=self._peaks))
        self._show_detail()
        self._ask_peaks()

    def on_show(self) -> None:
        self._ask_peaks()

    def _ask_peaks(self) -> None:
        """Peaks look ahead over the whole season: worked out for a picture that is looked at, once."""
        if self.display and self.picture is not None and self._peaks_of is not self.picture:
            self._peaks_of = self.picture
            self._peak(self.picture)

    @work(thread=True, exclusive=True, group="peaks", exit_on_error=False, description="The most each row bears")
    def _peak(self, picture: Picture) -> None:
        if picture.morning is not None:
            self.post_message(self.Peaked(picture, row_peaks(picture.morning.season)))

    @on(Peaked)
    def _show_peaks(self, event: Peaked) -> None:
        if event.picture is self.picture:
            self._peaks = event.peaks
            self._show()

    def _show_detail(self) -> None:
        self._detail.show(told("\n".join(self._line_words())))

    def _line_words(self) -> list[str]:
        """Everything known of the line the cursor is on."""
        morning = self.picture.morning if self.picture is not None else None
        line = self._lines.line
        if morning is None or line is None:
            return []
        clip = self._clip()
        if clip is not None:
            return [*chain_words(morning, clip), *self._tried.get(clip.id, [])]
        if line.key.startswith("weak "):
            fixing = line.key.removeprefix("weak ")
            return [follows(point) for point in morning.loads.weak_points if point.fixing == fixing]
        return [] if line.heading else [" ".join(part.text for part in line.parts)]

    def _clip(self) -> ClipLoad | None:
        morning = self.picture.morning if self.picture is not None else None
        line = self._lines.line
        if morning is None or line is None:
            return None
        wanted = line.key.removeprefix("clip ").removeprefix("weak ")
        return next((clip for clip in morning.loads.clips if clip.id == wanted), None)

    def _leader(self, clip: ClipLoad) -> Leader | None:
        morning = self.picture.morning if self.picture is not None else None
        return morning.season.leader_named(clip.leader) if morning is not None else None

    # What if

    def _try(self, words: str, change: Callable[[ClipLoad, Leader], Change | None]) -> None:
        clip = self._clip()
        leader = self._leader(clip) if clip is not None else None
        made = change(clip, leader) if clip is not None and leader is not None else None
        if clip is None or made is None or self.picture is None:
            self.post_message(Said("Go to a clip to try that on it."))
            return
        self.post_message(Said("Working out what that would do…"))
        self._work_out(self.picture, clip.id, words, made)

    @work(thread=True, exclusive=True, group="whatif", exit_on_error=False, description="What a change would do")
    def _work_out(self, picture: Picture, clip: str, words: str, change: Change) -> None:
        morning = picture.morning
        if morning is None:
            return
        both = what_if(morning.season, morning.outlook, morning.day, [change], morning.loads)
        red_share = morning.season.holding.limits.red_share
        self.post_message(self.Tried(picture, compared(both.before, both.after, clip, words, red_share)))

    @on(Tried)
    def _show_tried(self, event: Tried) -> None:
        if event.picture is self.picture and event.made is not None:
            words = changed_words(event.made)
            self._tried.setdefault(event.made.before.id, []).extend(words)
            self.post_message(Said(words[0]))
            self._show_detail()

    def action_try_second(self) -> None:
        self._try("With a second clip", lambda clip, _: SecondHold(clip.id))

    def action_try_tie(self) -> None:
        self._try("With a tie", lambda clip, _: SecondHold(clip.id, tie=True))

    def action_try_pick(self) -> None:
        self._try("Ripe fruit of the row picked", lambda _, leader: PickRow(leader.row))

    def action_try_leaves(self) -> None:
        self._try(f"{LEAVES_OFF:.0f} leaves off", lambda _, leader: TakeLeaves(leader.id, LEAVES_OFF))

    def action_try_lower(self) -> None:
        self._try("Lowered", self._lower)

    def action_try_string(self) -> None:
        self._try("With a string beside it", self._string)

    def action_try_keep(self) -> None:
        self._try("With one more leader", lambda _, leader: KeepLeader(leader.id))

    def _string(self, clip: ClipLoad, leader: Leader) -> Change | None:
        morning = self.picture.morning if self.picture is not None else None
        return string_beside(morning.season, leader, clip.u_m) if morning is not None else None

    def _lower(self, _: ClipLoad, leader: Leader) -> Change | None:
        """As the round proposes it, else by one usual turn."""
        morning = self.picture.morning if self.picture is not None else None
        if morning is None:
            return None
        moves = {move.leader: move for move in proposed(morning, leader.loop)}
        return moves.get(leader.id) or Lower(leader.id, morning.season.holding.limits.lower_most_m)

    def action_table(self) -> None:
        self._figures = not self._figures
        self._show()

    def action_more(self) -> None:
        words = self._line_words()
        if words:
            self.app.push_screen(Page(words[0], words))

    def action_plant(self) -> None:
        clip = self._clip()
        leader = self._leader(clip) if clip is not None else None
        if leader is not None and self.picture is not None and self.picture.morning is not None:
            self.app.push_screen(PlantPage(self.picture.morning, leader.id))
