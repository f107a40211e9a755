"""A made-up morning for the screens, and helpers that read the terminal's grid of characters."""

from __future__ import annotations

import asyncio
import json
import os
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import date
from pathlib import Path
from threading import Event
from typing import Any

from textual import events
from textual.app import App

from tunneltui.chores.chore import Chore, Piece, Round, Spot, When
from tunneltui.holding.user_error import UserError
from tunneltui.journal import body
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import Deleafed, Picked, SideShooted
from tunneltui.journal.kinds_holding_up import Clipped, Lowered
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView, RowFacts, State
from tunneltui.store.seen import JournalHead

DAY = date(2026, 8, 20)
LATEST = date(2026, 8, 21)
COLUMNS_BY_ROWS = ((80, 24), (120, 40))


def chore(
    kind: str,
    about: str,
    proposal: str,
    *drafts: Draft,
    x_m: float = 1.0,
    row: str = "W1",
    must: bool = False,
    leaders: Sequence[str] = (),
    why: str = "It grew 21 cm in the last week and hangs 22 cm under the wire.",
    when: When = "any",
    overhead: bool = False,
    waiting: str = "",
) -> Chore:
    answers = (kind, about, LATEST.isoformat())
    return Chore(
        f"{kind} {about} {LATEST.isoformat()}",
        kind,
        about,
        row,
        x_m,
        x_m,
        when,
        DAY,
        LATEST,
        must,
        overhead,
        proposal,
        why,
        pieces=tuple(_pieces(row, x_m, drafts, answers, leaders)),
        waiting=waiting,
    )


def _pieces(
    row: str, x_m: float, drafts: Sequence[Draft], answers: tuple[str, str, str], leaders: Sequence[str]
) -> Iterator[Piece]:
    """One a leader, as rules make them, where its entries are about leaders."""
    each = len(leaders) > 1 and any("leader" in draft.body for draft in drafts)
    for leader in leaders if each else [""]:
        theirs = [of for draft in drafts if (of := _of(draft, leader)) is not None]
        key = {"pieces": [leader]} if leader else {}
        writes = tuple(
            Draft(d.kind, d.about, json.dumps({**json.loads(d.body), "answers": answers, **key})) for d in theirs
        )
        mine = (leader,) if leader else tuple(leaders)
        yield Piece(leader, row, row, x_m, x_m, mine, "", 2.0 / (len(leaders) if each else 1), writes, DAY, LATEST)


def _of(draft: Draft, leader: str) -> Draft | None:
    plain = json.loads(draft.body)
    if not leader or plain.get("leader") == leader:
        return draft
    if leader in plain.get("leaders", ()):
        return draft._replace(body=json.dumps({**plain, "leaders": [leader]}))
    return None


LEADERS = {
    f"plant{number}": LeaderFacts(
        f"plant{number}",
        f"W1-{number:02}a",
        f"W1-{number:02}",
        "W1",
        (
            "standard  3.4 m  9 trusses  tip 22 cm under wire",
            "Its clip on string 8 carries 1.9 to 2.3 kg; 1 in 20 of these fails by 2.4 kg.",
        ),
        (
            FixingChoice(f"clip{number}a", "clip, string 8, 1.9 to 2.3 kg, 140 cm up the stem", 0.9),
            FixingChoice(f"clip{number}b", "clip, string 7, 0.4 to 0.8 kg, 90 cm up the stem", 0.2),
        ),
    )
    for number in range(1, 13)
}
ROWS = {
    "W1": RowFacts("west tunnel", ("trial standard", "trial cherry")),
    "W2": RowFacts("west tunnel", ("trial beef",)),
}

LOWER = chore(
    "lower",
    "W1-07a",
    "one turn, hook a hand past string 9",
    body.draft("W1-07", Lowered("plant7", let_out_m=0.36, hook_u_m=4.4, as_proposed=True)),
    body.draft("W1-07", Clipped("plant7", 1.9, string="W1/9", assumed=True)),
    leaders=("plant7",),
    must=True,
    when="limp",
    overhead=True,
    x_m=4.0,
)
SECOND_CLIP = chore(
    "second_clip",
    "W1-04a",
    "second clip, string 8",
    body.draft("W1-04", Clipped("plant4", 1.4, string="W1/8")),
    leaders=("plant4",),
    must=True,
    why="Its clip on string 8 carries 1.9 to 2.3 kg; 1 in 20 of these fails by 2.4 kg.",
    x_m=3.0,
)
PICK = chore(
    "pick",
    "W1",
    "trial standard, 6 to 8 kg",
    body.draft("W1", Picked("trial standard")),
    leaders=("plant1", "plant2"),
    why="Eleven trusses are ripe or will be by Thursday.",
    when="early and dry",
    waiting="by Monday 3 kg will have split.",
)
DELEAF = chore(
    "deleaf",
    "W1",
    "leaves off below the ripe trusses, 8 plants",
    body.draft("W1", Deleafed(("plant1", "plant2", "plant3"), leaves=3)),
    leaders=("plant1", "plant2", "plant3"),
)
SIDE_SHOOT = chore(
    "side_shoot",
    "W2",
    "side shoots out, all along",
    body.draft("W2", SideShooted(("plant10", "plant11", "plant12"))),
    row="W2",
    leaders=("plant10", "plant11", "plant12"),
)
FEED = chore("feed", "W1", "feed, two cans", row="W1", waiting="nothing is lost till Saturday.")


def round_of(*, minutes: float = 60) -> Round:
    spots = (
        Spot("W1", "W1", 0.0, (PICK, DELEAF)),
        Spot("over 8", "W1", 3.0, (SECOND_CLIP,)),
        Spot("over 9", "W1", 4.0, (LOWER,)),
        Spot("W2", "W2", 0.0, (SIDE_SHOOT,)),
    )
    return Round(DAY, "day", minutes, 10.0, spots, (FEED,))


def view(
    states: dict[str, State] | None = None, *, confirmed: bool = True, plan: Round | None = None
) -> RoundView:
    return RoundView(
        DAY,
        DAY,
        "Saltmarsh Lane",
        "UTC",
        None,
        "11 to 26 degrees",
        plan or round_of(),
        states or {},
        LEADERS,
        ROWS,
        {"W1": date(2026, 8, 27)},
        confirmed=confirmed,
    )


class PlansWhole:
    """A planner that knows one way only."""

    def __init__(self, planned: Callable[[], RoundView]) -> None:
        self._planned = planned

    def whole(self, *_: object) -> RoundView:
        return self._planned()

    def written(self, *_: object) -> None:
        return None

    def near(self) -> None:
        return None

    def today(self) -> None:
        return None


class KeptInMind:
    """A journal that lasts as long as the test; ``refuse`` makes the next write fail with this sentence."""

    device = ""

    def __init__(self) -> None:
        self.acts: list[tuple[Draft, ...]] = []
        self.refuse = ""
        self.closed = False
        self.may_write = Event()
        self.may_write.set()
        self._pen = ThreadPoolExecutor(1)

    def head(self) -> JournalHead | None:
        return None

    def entries(self) -> list[Entry]:
        return []

    def settled(self, _day: date) -> list[Entry]:
        return self.entries()

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        return self._pen.submit(self._write, tuple(drafts), day)

    def _write(self, drafts: tuple[Draft, ...], day: date) -> list[Entry]:
        self.may_write.wait(10)
        if self.refuse:
            raise UserError(self.refuse)
        assert day == DAY
        self.acts.append(drafts)
        act = f"act{len(self.acts)}"
        return [
            Entry(f"{act}-{n}", act, "d", day, n, "", d.about, d.kind, 1, d.body) for n, d in enumerate(drafts)
        ]

    def close(self) -> None:
        self._pen.shutdown()
        self.closed = True

    def kinds(self) -> list[str]:
        return [draft.kind for act in self.acts for draft in act]

    @property
    def planner(self) -> PlansWhole:
        return PlansWhole(self.planned)

    def planned(self) -> RoundView:
        """The view after what was written: chores whose answers were written are done."""
        states: dict[str, State] = {}
        crossed = {body.parsed(act[0])["act"] for act in self.acts if act[0].kind == "crossed_out"}
        for number, act in enumerate(self.acts, start=1):
            if f"act{number}" not in crossed:
                for draft in act:
                    given = body.parsed(draft).get("answers")
                    if given:
                        states[" ".join(given)] = "put off" if draft.kind == "put_off" else "done"
        return view(states)


def an_app(client: KeptInMind, *, no_colour: bool = False, ascii_only: bool = False) -> TunnelApp:
    return TunnelApp(
        client, on=DAY, first=view(), planner=client.planner, no_colour=no_colour, ascii_only=ascii_only
    )


def go_to(app: TunnelApp, chore: Chore) -> None:
    """To the line of the walk on which the chore stands."""
    pane = app._round.walk
    assert pane.walk.go_to_chore(chore.id)
    pane.refresh_pass()


def chores_here(app: TunnelApp) -> set[str]:
    """Ids of the chores of the line under the cursor."""
    stop = app._round.walk.walk.stop
    return {id_ for id_, _ in stop.refs} if stop is not None else set()


def typed_at_once(app: App[None], *keys: tuple[str, str | None]) -> None:
    """Keys and their characters as a driver sends them, all before the first is handled."""
    driver = app._driver
    assert driver is not None
    for key, character in keys:
        event = events.Key(key, character)
        event.set_sender(app)
        driver.send_message(event)


def grid(app: App[Any]) -> list[str]:
    """The characters on the screen, row by row, without trailing blanks."""
    lines = app.screen._compositor.render_strips()
    return [strip.text.rstrip() for strip in lines]


def as_kept(name: str, lines: Sequence[str]) -> None:
    """The lines are those of ``grids/<name>.txt``; KEEP_GRIDS=1 keeps them anew, to be read in the diff."""
    file = Path(__file__).parent / "grids" / f"{name}.txt"
    text = "\n".join(lines) + "\n"
    if os.environ.get("KEEP_GRIDS"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


async def wait_until(holds: Callable[[], bool], seconds: float = 10.0) -> None:
    """Lets the app run until ``holds``; fails after ``seconds``."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it never came to be"
        await asyncio.sleep(0.005)
