"""The made-up growers' pocket book: entries whose names and times come from the seed, never from a clock."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from tunneltui.journal.body import Answers, to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KIND_OF, VERSION, Body
from tunneltui.journal.naming import act_id, entry_id

DEVICE = "made-up season"
"""Device of every made-up entry; the marker by which a demo is known again."""


class Diary:
    """Collects entries in the order they are written. ``at`` turns the page, ``act`` begins a key press."""

    def __init__(self, seed: int, zone: str) -> None:
        self.entries: list[Entry] = []
        self._bits = Random(f"{seed}/names").getrandbits
        self._pace = Random(f"{seed}/pace")
        self._zone = ZoneInfo(zone)
        self._day = date.min
        self._by = ""
        self._at_us = 0
        self.this_act = ""
        """Name of the key press being written."""

    def at(self, day: date, hour: float, by: str) -> None:
        """Go on at this local hour, or now where it is later already."""
        local = datetime.combine(day, time(), self._zone) + timedelta(hours=hour)
        jitter_us = self._pace.randrange(60_000_000)
        self._at_us = max(self._at_us, round(local.timestamp()) * 1_000_000 + jitter_us)
        self._day, self._by = day, by

    def act(self) -> str:
        """The next key press, some seconds on; its name."""
        self._at_us += self._pace.randrange(2_000_000, 15_000_000)
        self.this_act = act_id(self._at_us, self._bits)
        return self.this_act

    def write(self, body: Body, about: str = "", answers: Answers | None = None) -> str:
        """One more entry of the present act; its id."""
        self._at_us += 1
        name = entry_id(self._at_us, self._bits)
        kind = KIND_OF[type(body)]
        text = to_json(body, answers)
        self.entries.append(
            Entry(name, self.this_act, DEVICE, self._day, self._at_us, self._by, about, kind, VERSION, text)
        )
        return name

    def alone(self, body: Body, about: str = "", answers: Answers | None = None) -> str:
        """An entry that is an act of its own; its id."""
        self.act()
        return self.write(body, about, answers)
