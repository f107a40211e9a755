"""The walk of the round as a list that knows its chores: which stands where, in what state, and what is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tunneltui.chores.chore import Chore
from tunneltui.screens.lines import Lines
from tunneltui.screens.list_lines import Far
from tunneltui.screens.picture import Picture, State
from tunneltui.screens.walk import NOTHING_LAID_OUT, walk_of


class WalkList(Lines):
    """Shows one picture's round, and over it the marks of what is still being written."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._laid = NOTHING_LAID_OUT
        self._states: Mapping[str, State] = {}
        self._marks: dict[str, State] = {}

    def show_round(self, picture: Picture) -> None:
        # A picture says what is written; marks that are still being written stay over it.
        marked, self._marks = self._marks, {id_: m for id_, m in self._marks.items() if m == "writing"}
        self._states = picture.states
        laid, first = picture.walk or walk_of(picture), not self.lines
        if laid.follows is self._laid.lines:
            for id_ in laid.numbers.keys() & {*laid.renewed, *marked}:
                self.replace(laid.numbers[id_], laid.lines[laid.numbers[id_]])
        else:
            self.show(laid.lines)
        self._laid = laid
        for id_ in self._marks:
            self._show_mark(id_)
        if first:
            self.move_to(self._next_open(0))

    def mark(self, chores: Sequence[str], state: State) -> None:
        """Marks chores before the next picture comes; '' takes the mark away."""
        for id_ in chores:
            self._marks[id_] = state
            if not state:
                del self._marks[id_]
            self._show_mark(id_)

    def _show_mark(self, id_: str) -> None:
        chore = self._laid.chores.get(id_)
        if chore is not None:
            self.replace(self._laid.numbers[id_], self._laid.line(chore, self.state_of(chore)))

    # What stands where

    @property
    def far(self) -> Far:
        """How far the round has come."""
        return self._laid.far

    @property
    def chores(self) -> Sequence[Chore]:
        """Every chore of the list."""
        return tuple(self._laid.chores.values())

    @property
    def chore(self) -> Chore | None:
        """The chore under the cursor."""
        return self._laid.chores.get(self.line.key) if self.line is not None else None

    @property
    def row(self) -> str:
        """The row under the cursor; '' where that is no row's line."""
        if self.chore is not None:
            return self.row_of(self.chore)
        return self.line.key.removeprefix("row ") if self.line and self.line.key.startswith("row ") else ""

    @property
    def place(self) -> str:
        """The place under the cursor; '' where that is none."""
        there = self._laid.wire.places.get(self.chore.id, ()) if self.chore is not None else ()
        return there[0] if len(there) == 1 else ""

    def go_to_chore(self, chore: str) -> bool:
        """To the line of a chore; False where it is not on the walk."""
        if chore not in self._laid.numbers:
            return False
        self.move_to(self._laid.numbers[chore])
        return True

    def go_to_place(self, place: str) -> bool:
        """To the first line of what is asked for there, what is asked for there alone before all others."""
        ids = self._laid.wire.chores.get(place, ())
        if not ids:
            return False
        first = min(ids, key=lambda id_: (len(self._laid.wire.places[id_]), self._laid.numbers[id_]))
        self.move_to(self._laid.numbers[first])
        return True

    def row_of(self, chore: Chore) -> str:
        """The row it is done with."""
        return self._laid.rows.get(chore.id, chore.row)

    def state_of(self, chore: Chore) -> State:
        return self._marks.get(chore.id) or self._states.get(chore.id, "")

    def is_open(self, chore: Chore) -> bool:
        """Still to do, or some of it."""
        return self.state_of(chore) in ("", "partly")

    def below(self) -> list[Chore]:
        """Chores under the heading the cursor is on."""
        found = []
        for line in self.lines[self.cursor + 1 :]:
            if line.heading:
                break
            if line.key in self._laid.chores:
                found.append(self._laid.chores[line.key])
        return found

    # Going there

    def move_onwards(self) -> None:
        """On to the next line that is still to do."""
        self.move_to(self._next_open(self.cursor + 1, otherwise=self.cursor))

    def _next_open(self, start: int, otherwise: int = 0) -> int:
        for index in range(start, len(self.lines)):
            chore = self._laid.chores.get(self.lines[index].key)
            if chore is not None and self.is_open(chore):
                return index
        return otherwise

    def find(self, words: str) -> bool:
        """To the next line that tells of ``words``, around the end; whether there is one."""
        order = [*range(self.cursor + 1, len(self.lines)), *range(self.cursor + 1)]
        for index in order:
            line = self.lines[index]
            chore = self._laid.chores.get(line.key)
            told = " ".join(part.text for part in line.parts) + (f" {chore.about} {chore.why}" if chore else "")
            if words and words.casefold() in told.casefold():
                self.move_to(index)
                return True
        return False
