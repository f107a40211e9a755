"""What every command shares: find the journal, open it, print or write the result.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Imports are made where they are needed, so
that no command waits for another's.
"""

from __future__ import annotations

import sys
from argparse import Namespace as Args
from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tunneltui.chores.chore import Round
    from tunneltui.chores.morning import Morning
    from tunneltui.growth.outlook import Outlook
    from tunneltui.journal.entry import Draft
    from tunneltui.report.keeping import CommandResult
    from tunneltui.report.open_journal import OpenJournal
    from tunneltui.season.state import Season
    from tunneltui.store.kept_round import KeptRound
    from tunneltui.store.where import Where

DONE, AT_FAULT = 0, 1


def journal_named(args: Args) -> Where:
    """The journal: the one named, else the grower's own."""
    from tunneltui.store.folders import default_journal

    return args.at or default_journal()


def read_journal(args: Args) -> OpenJournal:
    """The journal's entries and the day of the command; the first command of a day makes a backup."""
    from tunneltui.report.open_journal import read_journal as read

    return _backed_up(read(journal_named(args), args.on, args.now))


def begun(args: Args, zone: str = "UTC") -> OpenJournal:
    """As ``read_journal``, also where there is no journal yet; ``zone`` is that of the holding to come."""
    from tunneltui.report.open_journal import begun as read_or_new

    journal = read_or_new(journal_named(args), args.on, args.now, zone)
    return _backed_up(journal) if journal.entries else journal


def _backed_up(journal: OpenJournal) -> OpenJournal:
    from tunneltui.store.journals import first_of_day

    if warning := first_of_day(journal.where):
        print(warning, file=sys.stderr)
    return journal


def morning(args: Args, journal: OpenJournal | None = None) -> Morning:
    """The day worked out; ``--minutes`` and ``--part`` where the command has them."""
    from tunneltui.chores.morning import morning_of

    journal = journal or read_journal(args)
    options = {key: getattr(args, key) for key in ("minutes", "part") if hasattr(args, key)}
    return morning_of(journal.ready_season(), journal.entries, **options)


def season_and_outlook(args: Args) -> tuple[Season, Outlook]:
    """The day's season and outlook, for commands that need no more."""
    from tunneltui.growth.forecast import outlook

    season = read_journal(args).ready_season()
    return season, outlook(season)


def shown(journal: OpenJournal, walk: Round) -> KeptRound:
    """The round as it is about to be shown, its lines numbered and kept for ``done``."""
    from tunneltui.store.folders import state_folder
    from tunneltui.store.kept_round import keep

    return keep(state_folder(), journal.journal_id, walk)


def shown_before(journal: OpenJournal) -> KeptRound | None:
    """The day's round as it was shown last; None where none was."""
    from tunneltui.store.folders import state_folder
    from tunneltui.store.kept_round import round_of_day

    return round_of_day(state_folder(), journal.journal_id, journal.day)


def write(
    args: Args, journal: OpenJournal, drafts: Sequence[tuple[date, Draft]], sentences: Sequence[str] = ()
) -> int:
    """Writes one act and says what was written."""
    from tunneltui.pages.journal import written_text
    from tunneltui.pages.text import printed
    from tunneltui.report import documents

    written = journal.write(drafts)
    return print_result(
        args,
        lambda: documents.journal_document(written),
        lambda: printed([*sentences, written_text(written)]),
    )


def print_kept(args: Args, what: CommandResult) -> int:
    """Says what became of the journal's file; at fault where it is not sound."""
    print_result(args, lambda: what.document, lambda: "\n".join(what.lines) + "\n")
    return DONE if what.sound else AT_FAULT


def print_result(args: Args, document: Callable[[], Any], text: Callable[[], str]) -> int:
    """Prints the document or its plain twin."""
    from tunneltui.report.documents import as_text

    sys.stdout.write(as_text(document()) if args.json else text())
    return DONE
