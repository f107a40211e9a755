"""Weekly measuring: three fields a plant, plant after plant along the marked ones, each an act of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tunneltui.chores.morning import Morning
from tunneltui.pages.units import in_force, typed
from tunneltui.screens import acts
from tunneltui.screens.forms import Form
from tunneltui.screens.lines import Choices
from tunneltui.screens.messages import Act, ActRequested
from tunneltui.screens.numbers import NotANumber
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.readings import read
from tunneltui.screens.round_view import LeaderFacts
from tunneltui.screens.text import to_content

FIELDS: tuple[tuple[str, str], ...] = (
    ("growth_m", "growth since the last mark"),
    ("flowering_truss", "truss with the youngest open flower"),
    ("lowest_truss", "lowest truss not yet picked clean"),
)
HEADS = ("growth", "flowers", "unpicked")
NAME_CELLS, FIELD_CELLS = 10, 11


def along_the_marked(morning: Morning, row: str, at_hand: Sequence[str]) -> list[str]:
    """Ids of the marked leaders of a row's loop and of those ``at_hand``, in the order they are walked past."""
    season = morning.season
    loop = season.layout.loop_of_row.get(row)
    leaders = season.leaders_of_loop(loop.id) if loop is not None else ()
    walked = [leader for leader in leaders if leader.marked_on or leader.id in at_hand]
    return [leader.id for leader in sorted(walked, key=lambda leader: (leader.u_m, leader.name))]


class MeasureWalk(Form[None]):
    """A line a plant; enter goes from field to field, past the last it writes and goes on to the next plant."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss_nothing", "out", show=False),
        Binding("enter,tab", "onwards", "next", show=False),
        Binding("backspace", "back", "back", show=False),
    ]
    AUTO_FOCUS = "#plants"
    DEFAULT_CSS = """
    #measure { width: 100%; }
    #plants { height: 1fr; }
    """

    def __init__(self, leaders: Sequence[LeaderFacts], first: str, more: Callable[[LeaderFacts], None]) -> None:
        """``more`` asks for all that can be read of one."""
        super().__init__()
        self._leaders = leaders
        self._first = first
        self._more = more
        self._typed: dict[str, list[str]] = {}
        self._field = 0
        self._written: dict[str, str] = {}
        self._list = Choices(id="plants")
        self._asks = Static("", id="measure-asks")
        self._fault = Static("", id="form-fault")

    def compose(self) -> ComposeResult:
        with Vertical(classes="form page", id="measure"):
            yield Static(to_content("Measuring, plant after plant"), classes="form-title")
            yield self._list
            yield self._asks
            yield self._fault
            yield Static(to_content("enter: next  . all readings of this one  q: leave"), classes="form-hint")

    def on_mount(self) -> None:
        self._show()
        self._list.move_to(
            next((n for n, leader_facts in enumerate(self._leaders) if leader_facts.id == self._first), 0)
        )
        self.watch(self._list, "cursor", self._moved, init=False)
        self._ask()

    @property
    def _leader(self) -> LeaderFacts | None:
        return self._leaders[self._list.cursor] if self._list.cursor < len(self._leaders) else None

    def _moved(self) -> None:
        self._field = 0
        self._show()

    def _show(self) -> None:
        self._list.show([self._line(number) for number in range(len(self._leaders))])
        self._ask()

    def _line(self, number: int) -> Line:
        leader = self._leaders[number]
        mark = self._written.get(leader.id, "")
        values = self._typed.get(leader.id, [""] * len(FIELDS))
        is_chosen = number == self._list.cursor and not mark
        fields = [
            Part(
                f"{head} {value}{'_' if is_chosen and at == self._field else ''}",
                "chosen" if is_chosen and at == self._field else "" if value else "quiet",
                FIELD_CELLS + 4,
            )
            for at, (head, value) in enumerate(zip(HEADS, values, strict=True))
        ]
        return Line(leader.id, (Part(mark, "done", 2), Part(leader.place, "bold", NAME_CELLS), *fields))

    def _ask(self) -> None:
        leader = self._leader
        unit = (" in inches" if in_force().imperial else " in cm") if self._field == 0 else ", its number"
        words = f"{leader.place}: {FIELDS[self._field][1]}{unit}" if leader is not None else ""
        self._asks.update(to_content(words))

    def on_key(self, event: events.Key) -> None:
        leader, sign = self._leader, event.character or ""
        if leader is None or leader.id in self._written:
            return
        if sign == "." and not self._values(leader)[self._field]:
            self._more(leader)
        elif sign.isdigit() or (sign in (".", ",") and self._field == 0):
            self._values(leader)[self._field] = (self._values(leader)[self._field] + sign)[:6]
            self._show()
        else:
            return
        event.stop()
        event.prevent_default()

    def _values(self, leader: LeaderFacts) -> list[str]:
        return self._typed.setdefault(leader.id, [""] * len(FIELDS))

    def action_back(self) -> None:
        leader = self._leader
        if leader is None or leader.id in self._written:
            return
        values = self._values(leader)
        if not values[self._field] and self._field:
            self._field -= 1
        else:
            values[self._field] = values[self._field][:-1]
        self._show()

    def action_onwards(self) -> None:
        leader = self._leader
        if leader is None:
            return
        if leader.id not in self._written:
            self._fault.update(to_content(self._fault_in(leader)))
            if self._fault_in(leader):
                return
            if self._field < len(FIELDS) - 1:
                self._field += 1
                self._show()
                return
            if any(self._values(leader)):
                self._write(leader)
        count, at = len(self._leaders), self._list.cursor
        around = [(at + step) % count for step in range(1, count)]
        following = next((n for n in around if self._leaders[n].id not in self._written), None)
        if following is not None:
            self._list.move_to(following)
        else:
            self._fault.update(to_content("That was the last one. q leaves."))
            self._show()

    def _read(self, leader: LeaderFacts) -> dict[str, float]:
        values = dict(zip((key for key, _ in FIELDS), self._values(leader), strict=True))
        return read({**values, "growth_m": typed(values["growth_m"], "cm")})

    def _fault_in(self, leader: LeaderFacts) -> str:
        try:
            self._read(leader)
        except NotANumber as not_one:
            return str(not_one)
        return ""

    def _write(self, leader: LeaderFacts) -> None:
        self._written[leader.id] = "…"

        def heard(_act: str, fault: str) -> None:
            self._written[leader.id] = "✓"
            if fault:
                del self._written[leader.id]
                if self.is_attached:
                    self._fault.update(to_content(f"Not written: {leader.place}. {fault}"))
            if self.is_attached:
                self._show()

        act: Act = acts.measured(leader, self._read(leader))
        self.app.post_message(ActRequested(act._replace(on_written=heard)))

    def action_dismiss_nothing(self) -> None:
        self.leave(None)
