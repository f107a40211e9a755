"""Commands that look back, and what leaves the house."""

from __future__ import annotations

import sys
from argparse import Namespace as Args
from collections.abc import Sequence
from datetime import date
from random import Random

from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_journal import Away
from tunneltui.pages import units
from tunneltui.pages.away import away_document, away_text
from tunneltui.pages.season import fair_text, review_text
from tunneltui.pages.units import localize
from tunneltui.report import command_helpers, exports, review_document
from tunneltui.report.open_journal import OpenJournal
from tunneltui.review.away import away as days_away
from tunneltui.review.fair import fair
from tunneltui.review.fair_units import What
from tunneltui.review.look_back import look_back
from tunneltui.review.record import SeasonRecord, record, within
from tunneltui.review.seasons import latest_season
from tunneltui.store.write_file import write_file


def review(args: Args) -> int:

    journal = command_helpers.read_journal(args)
    if args.ask[:1] == ["compare"]:
        return _fair(args, journal)
    section = _section_named(args.ask)
    season = journal.ready_season()
    everything = record(journal.entries, season)
    since, until = _span(args, everything, journal.day)
    back = look_back(journal.entries, season, args.by, since, until, written=everything)
    return command_helpers.print_result(
        args,
        lambda: review_document.review_document(back),
        lambda: review_text(back, units.in_force(), section),
    )


def _fair(args: Args, journal: OpenJournal) -> int:

    what, names = _compared(args.ask)
    season = journal.ready_season()
    everything = record(journal.entries, season)
    # Rows are compared over seasons and seasons with each other: one season alone would leave one of each.
    open_ended = what in ("row", "season") and not (args.since or args.until or args.season)
    since, until = (None, None) if open_ended else _span(args, everything, journal.day)
    comparison = fair(within(everything, since, until), season, what, names, Random(0))
    return command_helpers.print_result(
        args, lambda: review_document.fair_document(comparison), lambda: fair_text(comparison, units.in_force())
    )


def _span(args: Args, everything: SeasonRecord, day: date) -> tuple[date | None, date | None]:
    """The days asked for, else the last season; Nones where ``--all`` was."""

    if args.since and args.until and args.since > args.until:
        raise UserError("The span ends before it begins.", "Give --since the earlier day.")
    if args.all and (args.season or args.since or args.until):
        raise UserError("--all is every season: no other span goes with it.")
    if args.season and (args.since or args.until):
        raise UserError("A season is a span of its own.", "Give --season, or --since and --until.")
    if args.since or args.until or args.all:
        return args.since, args.until
    return everything.growing_year.span(args.season or latest_season(everything, day))


def away(args: Args) -> int:

    journal = command_helpers.read_journal(args)
    plan = days_away(command_helpers.morning(args, journal), args.first, args.last)
    if args.write and (args.first, args.last) not in journal.season.aways:
        journal.write([(args.first, draft("", Away(args.last)))])
    return command_helpers.print_result(args, lambda: away_document(plan), lambda: localize(away_text(plan)))


def export(args: Args) -> int:

    content = exports.CONTENTS[_what(args)](command_helpers.read_journal(args), args.json, args.now)
    if args.to is None:
        sys.stdout.write(content)
        return command_helpers.DONE

    print(f"Written: {write_file(args.to, content)}")
    return command_helpers.DONE


def _what(args: Args) -> str:
    if args.todos and args.what != "chores":
        raise UserError("Only chores can be to-dos.", "Such as: tunneltui export chores --todos.")
    if args.csv and args.what != "season":
        raise UserError("--csv goes with the season: picks and entries are CSV anyway.")
    if args.todos:
        return "todos"
    return "season table" if args.csv else str(args.what)


SECTIONS = ("yields", "compared", "weeks", "stems", "clips", "hours", "beds", "held", "notes", "clearing")
"""Sections that may be shown by themselves."""
KINDS: tuple[What, ...] = ("cultivar", "row", "training", "season")


def _section_named(words: Sequence[str]) -> str:
    """The section named after ``review``; '' where none is."""
    if not words:
        return ""
    if len(words) > 1 or words[0] not in SECTIONS:
        raise UserError(
            f"{' '.join(words)!r} is no question of the review.",
            f"Ask for {', '.join(SECTIONS)}, or: review compare cultivar 'a 1' 'b 2'.",
        )
    return words[0]


def _compared(words: Sequence[str]) -> tuple[What, Sequence[str]]:
    """What is to be compared, and the names, from ``compare WHAT NAME...``; no name means all."""
    what = next((kind for kind in KINDS if words[1:2] == [kind]), None)
    if what is None:
        raise UserError(
            f"{' '.join(words)!r} is no question of the review.", "Such as: review compare cultivar 'a 1' 'b 2'."
        )
    return what, words[2:]
