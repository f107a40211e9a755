"""What the ``export`` command writes: the sheet, and picks, chores and entries for other programs."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import Any

from tunneltui.chores.morning import plan_morning
from tunneltui.journal.entry import Entry, written_at
from tunneltui.pages.entry_search import EntrySearch
from tunneltui.pages.season_html import season_html
from tunneltui.pages.sheet import sheet
from tunneltui.report import command_helpers
from tunneltui.report.calendar import chores_calendar
from tunneltui.report.documents import as_text, journal_document, round_document
from tunneltui.report.done_line import example
from tunneltui.report.open_journal import OpenJournal
from tunneltui.report.review_document import review_document
from tunneltui.review.look_back import look_back
from tunneltui.review.record import record, within
from tunneltui.review.season_weeks import season_weeks
from tunneltui.review.seasons import latest_season, season_years
from tunneltui.review.yields import By, yields
from tunneltui.season.state import Season
from tunneltui.store.journals import open_journal

Cell = str | int | float | None
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A table as CSV (RFC 4180), lines ended by CRLF. None is an empty cell.

    Numbers stay numbers; text that a spreadsheet would run gets an apostrophe before it (OWASP, CSV injection).
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(harmless(title) for title in header)
    for row in rows:
        writer.writerow(harmless(cell) if isinstance(cell, str) else cell for cell in row)
    return out.getvalue()


def harmless(text: str) -> str:
    return f"'{text}" if text.startswith(_STARTS_A_FORMULA) else text


def entries_table(entries: Iterable[Entry]) -> str:
    """Entries in the order given; the body is JSON text."""
    header = ("id", "act", "day", "at", "by", "about", "kind", "body")
    return csv_text(
        header,
        ((e.id, e.act, str(e.day), written_at(e).isoformat(), e.by, e.about, e.kind, e.body) for e in entries),
    )


GROUPS: tuple[By, ...] = ("cultivar", "row", "bed", "tunnel", "place")
PICKS = ("day", "row", "tunnel", "cultivar", "kg", "count", "grade", "clean")


def picks_table(season: Season) -> str:
    """Weighed picks in order of day; a tick without a weight is no measurement and is left out."""
    return csv_text(PICKS, (tuple(pick.values()) for pick in picks_document(season)))


def picks_document(season: Season) -> list[dict[str, Any]]:
    """The same for ``--json``."""
    return [
        {
            "day": pick.day.isoformat(),
            "row": pick.row,
            "tunnel": pick.tunnel,
            "cultivar": pick.picked.cultivar,
            "kg": pick.picked.kg,
            "count": pick.picked.count,
            "grade": pick.picked.grade,
            "clean": pick.picked.clean,
        }
        for pick in season.picks
        if pick.picked.kg is not None
    ]


def _sheet(journal: OpenJournal, as_json: bool, _now: datetime) -> str:
    journal.ready_season()
    morning = plan_morning(journal.entries, journal.day)
    shown = command_helpers.shown(journal, morning.round)
    if as_json:
        return as_text(round_document(morning.round, shown.number_of))
    return sheet(morning, shown.number_of, example(morning, shown))


def _picks(journal: OpenJournal, as_json: bool, _now: datetime) -> str:
    season = journal.ready_season()
    return as_text(picks_document(season)) if as_json else picks_table(season)


def _chores(opened: OpenJournal, as_json: bool, now: datetime, as_todos: bool = False) -> str:
    """Every chore on its latest day, as a calendar."""
    opened.ready_season()
    morning = plan_morning(opened.entries, opened.day)
    if as_json:
        return as_text(round_document(morning.round, command_helpers.shown(opened, morning.round).number_of))
    with open_journal(opened.where, create=False, read_only=True) as journal:
        head = journal.head()
    return chores_calendar(morning.chores, now, head.journal_id, as_todos=as_todos, sequence=head.count)


def _todos(journal: OpenJournal, as_json: bool, now: datetime) -> str:
    return _chores(journal, as_json, now, as_todos=True)


def _season(journal: OpenJournal, as_json: bool, _now: datetime) -> str:
    """The last season."""
    season = journal.ready_season()
    everything = record(journal.entries, season)
    since, until = everything.growing_year.span(latest_season(everything, journal.day))
    back = look_back(journal.entries, season, "cultivar", since, until, written=everything)
    return (
        as_text(review_document(back))
        if as_json
        else season_html(back, season.holding.name, weeks=season_weeks(journal.entries, season))
    )


SEASON = (
    *("by", "group", "kg", "count", "lost_kg", "plants", "kg_per_plant", "area_m2", "kg_per_m2"),
    *("first_pick", "last_pick", "days", "value", "season"),
)


def _season_table(journal: OpenJournal, as_json: bool, _now: datetime) -> str:
    """Every season's yields by each way of grouping them."""
    season = journal.ready_season()
    everything = record(journal.entries, season)
    lines = [
        (year, by, line)
        for year in season_years(everything)
        for by in GROUPS
        for line in yields(within(everything, *everything.growing_year.span(year)), by)
    ]
    rows = [
        (
            *(by, line.group, line.kg if line.kg else None, line.count, line.lost_kg, line.plants),
            *(line.kg_per_plant if line.kg else None, line.area_m2, line.kg_per_m2 if line.kg else None),
            *(str(line.first_pick or ""), str(line.last_pick or ""), line.days, line.value, year),
        )
        for year, by, line in lines
    ]
    rounded = [tuple(round(cell, 3) if isinstance(cell, float) else cell for cell in row) for row in rows]
    if as_json:
        return as_text([dict(zip(SEASON, row, strict=True)) for row in rounded])
    return csv_text(SEASON, rounded)


def _entries(journal: OpenJournal, as_json: bool, _now: datetime) -> str:
    entries = journal.shown(EntrySearch())
    return as_text(journal_document(entries)) if as_json else entries_table(entries)


CONTENTS: dict[str, Callable[[OpenJournal, bool, datetime], str]] = {
    "sheet": _sheet,
    "picks": _picks,
    "chores": _chores,
    "todos": _todos,
    "season": _season,
    "season table": _season_table,
    "entries": _entries,
}
"""By the word after ``export``; given what is at hand, whether JSON is wanted, and the clock."""
