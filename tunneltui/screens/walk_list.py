"""One pass of the walk as a list that knows its stops, in what state each is and what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tunneltui.pages.prompts import NOTHING_STANDS, NOTHING_TO_DO
from tunneltui.screens.lines import Stepped
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.round_layout import NOTHING_LAID_OUT, RoundLayout, walk_of
from tunneltui.screens.round_view import Pieces, RoundView, State
from tunneltui.screens.stop_lines import idle_line, stop_lines
from tunneltui.screens.stops import CLOSED, COMMON, LATER, PassLaid, Stop, piece_state, stop_state


class WalkList(Stepped):
    """Shows one pass of a view's round, and over it the marks of what is still being written."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._walk: RoundLayout = NOTHING_LAID_OUT
        self._pass: PassLaid | None = None
        self._numbers: dict[str, int] = {}
        """Number of the first line of each stop."""
        self._states: Mapping[str, State] = {}
        self._pieces: Mapping[str, Pieces] = {}
        self._marks: dict[tuple[str, str], State] = {}
        """By a chore's id and the key of a piece of it."""
        self._nothing: tuple[Line, ...] = ()
        """What stands there instead of a pass."""
        self._typed = ""
        self._laid_for = 0

    def show_round(self, view: RoundView) -> None:
        # A view says what is written; marks that are still being written stay over it.
        marked, self._marks = self._marks, {part: m for part, m in self._marks.items() if m == "writing"}
        self._states, self._pieces = view.states, view.pieces
        nothing = (NOTHING_TO_DO,) if any(row.cultivars for row in view.rows.values()) else NOTHING_STANDS
        self._nothing = tuple(Line("", (Part(text, "quiet"),), heading=True) for text in nothing)
        walk, first = view.walk or walk_of(view), self._pass is None
        follows = walk.follows is not None and walk.follows is self._walk.passes
        self._walk = walk
        kept = next(
            (pass_laid for pass_laid in walk.passes if self._pass is not None and pass_laid.key == self._pass.key),
            None,
        )
        if follows and kept is self._pass:
            of_marked = {key for id_, _ in marked for key in walk.of_chore.get(id_, ())}
            for key in {*walk.renewed, *of_marked}:
                self._show_stop(key)
        else:
            self._pass = kept or self._first_open() or next(iter(walk.passes), None)
            self._lay()
        if first:
            self.move_to(self._next_open(0))

    def show_pass(self, key: str) -> bool:
        """Another pass, from its first stop that is still to do."""
        pass_ = next((pass_laid for pass_laid in self._walk.passes if pass_laid.key == key), None)
        if pass_ is None:
            return False
        self._pass = pass_
        self._lay()
        self.move_to(self._next_open(0))
        return True

    def on_resize(self) -> None:
        if self._width != self._laid_for:
            self._lay()
        super().on_resize()

    def _lay(self) -> None:
        if self._pass is None:
            self.show(self._nothing)
            return
        self._laid_for = self._width
        lines, self._numbers = [], {}
        for stop in self._pass.stops:
            if idle := self._pass.idle.get(stop.key):
                lines.append(idle_line(stop.key, idle))
            self._numbers[stop.key] = len(lines)
            lines += self._lines_of(stop)
        if idle := self._pass.idle.get(""):
            lines.append(idle_line("", idle))
        self.show(lines)

    def _lines_of(self, stop: Stop) -> list[Line]:
        typed = self._typed if self.stop is not None and stop.key == self.stop.key else ""
        state = self.state_of(stop)
        common_done = state == "partly" and self._common_done(stop)
        return stop_lines(stop, state, max(self._width - 1, 1), typed, common_done)

    def _common_done(self, stop: Stop) -> bool:
        return all(
            self.state_of_piece(id_, key) in CLOSED
            for id_, keys in stop.refs
            if id_ in self._walk.chores and self._walk.chores[id_].kind in COMMON
            for key in keys
        )

    def _show_stop(self, key: str) -> None:
        at, stop = self._numbers.get(key), self._walk.stops.get(key)
        if at is not None and stop is not None and self._laid_for == self._width:
            for number, line in enumerate(self._lines_of(stop), at):
                self.replace(number, line)

    def mark(self, parts: Iterable[tuple[str, Sequence[str]]], state: State) -> None:
        """Marks pieces of chores before the next view comes; '' takes the mark away."""
        touched: dict[str, None] = {}
        for id_, keys in parts:
            touched |= dict.fromkeys(self._walk.of_chore.get(id_, ()))
            for key in keys:
                self._marks[id_, key] = state
                if not state:
                    del self._marks[id_, key]
        for stop in touched:
            self._show_stop(stop)

    def show_typed(self, text: str) -> None:
        """Figures typed into the line under the cursor."""
        self._typed = text
        if self.stop is not None:
            self._show_stop(self.stop.key)

    # What stands where

    @property
    def walk(self) -> RoundLayout:
        return self._walk

    @property
    def shown(self) -> PassLaid | None:
        """The pass that is shown."""
        return self._pass

    @property
    def stop(self) -> Stop | None:
        """The stop under the cursor."""
        return self._walk.stops.get(self.line.key) if self.line is not None else None

    @property
    def number(self) -> int:
        """Which stop of the pass it is, from 1; 0 where the cursor is on none."""
        stop = self.stop
        return self._pass.stops.index(stop) + 1 if self._pass is not None and stop in self._pass.stops else 0

    def state_of_piece(self, id_: str, key: str) -> State:
        return self._marks.get((id_, key)) or piece_state(id_, key, self._states, self._pieces)

    def state_of(self, stop: Stop) -> State:
        return stop_state(stop, self.state_of_piece)

    def is_open(self, stop: Stop) -> bool:
        """Still to do, or some of it, and not being written."""
        return any(not self.state_of_piece(id_, key) for id_, keys in stop.refs for key in keys)

    # Going there

    def move_onwards(self) -> bool:
        """On to the next stop of the pass that is still to do, else to the next pass with one; False where none
        is left."""
        at = self._next_open(self.cursor + 1, otherwise=-1)
        if at < 0:
            at = self._next_open(0, otherwise=-1)
        if at >= 0:
            self.move_to(at)
            return True
        following = self._first_open()
        return following is not None and self.show_pass(following.key)

    def pass_by(self, step: int) -> PassLaid | None:
        """The pass so many before or after the one that is shown."""
        keys = [pass_laid.key for pass_laid in self._walk.passes]
        if self._pass is None or self._pass.key not in keys:
            return None
        at = keys.index(self._pass.key) + step
        return self._walk.passes[at] if 0 <= at < len(keys) else None

    def _first_open(self) -> PassLaid | None:
        """The first pass with something to do, what can wait after all others."""
        return next(
            (
                pass_laid
                for pass_laid in sorted(self._walk.passes, key=lambda pass_laid: pass_laid.key == LATER)
                if pass_laid.key != LATER and any(self.is_open(stop) for stop in pass_laid.stops)
            ),
            None,
        )

    def _next_open(self, start: int, otherwise: int = 0) -> int:
        for index in range(start, len(self.lines)):
            stop = self._walk.stops.get(self.lines[index].key)
            if stop is not None and self.is_open(stop):
                return index
        return otherwise

    def go_to_stop(self, key: str) -> bool:
        stop = self._walk.stops.get(key)
        if stop is None:
            return False
        if self._pass is None or self._pass.key != stop.walk:
            self.show_pass(stop.walk)
        self.move_to(self._numbers.get(key, 0))
        return True

    def go_to_chore(self, id_: str) -> bool:
        """To the first stop at which something of a chore is left."""
        keys = self._walk.of_chore.get(id_, ())
        left = [key for key in keys if self.is_open(self._walk.stops[key])]
        return bool(keys) and self.go_to_stop((left or keys)[0])

    def go_to_place(self, place: str) -> bool:
        """To the stop at a place of the wire, on the pass that is shown before all others."""
        stops = [stop for stop in self._walk.stops.values() if stop.place == place]
        stops.sort(key=lambda stop: (self._pass is None or stop.walk != self._pass.key, not self.is_open(stop)))
        return bool(stops) and self.go_to_stop(stops[0].key)

    def find(self, words: str) -> bool:
        """To the next stop that tells of ``words``, around the end; whether there is one."""
        stops = list(self._walk.stops.values())
        at = stops.index(self.stop) if self.stop in stops else -1
        for stop in (*stops[at + 1 :], *stops[: at + 1]):
            chores = [self._walk.chores[id_] for id_, _ in stop.refs if id_ in self._walk.chores]
            asks_text = " ".join(f"{on} {what}" for on, what in stop.asks)
            stop_text = f"{stop.name} {' '.join(stop.heads)} {asks_text} " + " ".join(
                f"{chore.about} {chore.proposal} {chore.why}" for chore in chores
            )
            if words and words.casefold() in stop_text.casefold():
                return self.go_to_stop(stop.key)
        return False
