"""What a command works on: a journal's entries, the day it speaks of, and the pen."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from tunneltui.holding.model import Holding
from tunneltui.holding.toml import from_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import SPEAKS_OF_THE_FUTURE
from tunneltui.journal.order import MARKS, live
from tunneltui.journal.sense import out_of_its_time
from tunneltui.pages.entry_search import EntrySearch, filtered, fits
from tunneltui.season.fold import folded
from tunneltui.season.long_journal import at_hand
from tunneltui.season.state import Season
from tunneltui.store.ended_seasons import read_entries, settle
from tunneltui.store.journals import is_there, open_journal
from tunneltui.store.merge import holding_in_force
from tunneltui.store.where import Where

FURTHEST = timedelta(days=730)
"""Every day till then is worked out, one by one."""
NO_HOLDING = (
    "This journal has no holding yet, so nothing stands that an entry could speak of.",
    "`tunneltui new` asks a few questions and writes one.",
)


@dataclass(frozen=True)
class OpenJournal:
    where: Where
    entries: Sequence[Entry]
    day: date
    """The day the command speaks of, and of what it writes."""
    today: date
    holding: Holding | None
    """The one written last; None where there is none."""
    journal_id: str = ""

    @cached_property
    def season(self) -> Season:
        folding = folded(self.entries, self.day)
        settle(self.where, self.entries, folding)
        return folding.season()

    def ready_season(self) -> Season:
        """The season; refuses where there is no holding yet that it could speak of."""
        if self.holding is None:
            raise UserError(*NO_HOLDING)
        return self.season

    def holding_text(self) -> str:
        """The TOML in force on the day, as it was written.

        Raises:
            UserError: nothing is in force then.
        """
        text = holding_in_force([entry for entry in at_hand(self.entries) if entry.day <= self.day])
        if not text:
            raise UserError(*NO_HOLDING)
        return text

    def shown(self, search: EntrySearch, everything: bool = False) -> list[Entry]:
        """Entries up to the day that count (or all) and fit the search.

        Raises:
            UserError: the search cannot be, such as a place that is not there.
        """
        every = sorted(self.entries, key=lambda e: e.order) if everything else live(self.entries)
        until = [entry for entry in every if entry.day <= self.day]
        return filtered(until, fits(self.season, search)) if search else until

    def write(self, *acts: Sequence[tuple[date, Draft]]) -> list[Entry]:
        """Writes acts one after the other, each in one transaction.

        Raises:
            UserError: there is no holding, a day is later than today, or the file cannot be written.
        """
        every = [dated for act in acts for dated in act]
        if not every:
            return []
        if self.holding is None and every[0][1].kind not in (*MARKS, "holding_set"):
            raise UserError(*NO_HOLDING)
        refuse_future(every, self.today)
        refuse_past_forecast(every)
        with open_journal(self.where, create=not self.entries) as journal:
            return [entry for act in acts for entry in journal.append_days(act)]


def refuse_future(drafts: Sequence[tuple[date, Draft]], today: date) -> None:
    """Raises ``UserError`` where an entry's day is still to come and its kind does not speak of that (rule 9)."""
    for day, draft in drafts:
        if day > today and draft.kind not in SPEAKS_OF_THE_FUTURE:
            raise UserError(f"{day} is still to come: today is {today}.", "What has not happened is not written.")


def refuse_past_forecast(drafts: Sequence[tuple[date, Draft]]) -> None:
    """Raises ``UserError`` where a forecast speaks of days before it was issued."""
    for day, draft in drafts:
        if draft.kind == "forecast" and (say := out_of_its_time(typed(draft), day)):
            raise UserError(say, "Give --on the first day it speaks of.")


def read_journal(where: Where, on: date | None, now: datetime) -> OpenJournal:
    """Opens a journal to read; the day is ``on``, else the demo's, else that of ``now`` in the holding's zone.

    Raises:
        UserError: there is no journal, or it cannot be read.
    """
    with open_journal(where, create=False, read_only=True) as journal:
        entries, head = read_entries(journal), journal.head()
    holding = latest_holding(entries)
    today = civil_day(holding, now, on)
    return OpenJournal(where, entries, on or today, today, holding, head.journal_id)


def begun(where: Where, on: date | None, now: datetime, zone: str = "UTC") -> OpenJournal:
    """As ``read_journal``; a journal that is not there yet is empty, and is made by the first act written.

    ``zone`` is that of the holding to come.
    """
    if is_there(where):
        return read_journal(where, on, now)
    today = now.astimezone(ZoneInfo(zone)).date()
    return OpenJournal(where, (), on or today, today, None)


def latest_holding(entries: Sequence[Entry]) -> Holding | None:
    """The holding written last; None where there is none that can be read."""
    text = holding_in_force(at_hand(entries))
    with suppress(ValueError):
        return from_toml(text) if text else None
    return None


def civil_day(holding: Holding | None, now: datetime, on: date | None = None) -> date:
    """Today where the holding is: the day a made-up one plays on, or the later one it is asked to go ``on`` with;
    else the local civil day.

    Raises:
        UserError: ``on`` is further off than anything could be said of.
    """
    if on is not None and on - FURTHEST > now.date():
        raise UserError(f"{on} is more than two years off: nothing can be said of it.", "Name a nearer day.")
    if holding is None:
        return now.date()
    if holding.plays_on is not None:
        return max(holding.plays_on, on or holding.plays_on)
    try:
        return now.astimezone(ZoneInfo(holding.zone)).date()
    except (ValueError, OSError, KeyError):  # a zone that this machine does not know; `journal check` tells of it
        return now.date()
