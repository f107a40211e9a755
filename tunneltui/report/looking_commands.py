"""Commands that look at the season as it stands and as it will be.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Gather what it works on, ask the part that
knows, print or write what comes of it. A family is imported when one of its commands runs.
"""

from __future__ import annotations

import os
import sys
from argparse import Namespace as Args

from tunneltui.chores.lowering import LoweringJob, lowering_jobs
from tunneltui.chores.morning import Morning
from tunneltui.draw.ascii import in_ascii
from tunneltui.draw.ascii_only import shows_ascii_only
from tunneltui.holding.user_error import UserError
from tunneltui.loads.peak import with_peaks
from tunneltui.loads.whatif import typed_change, what_if
from tunneltui.pages import lowering
from tunneltui.pages import plant as twin
from tunneltui.pages.day import day_document, day_text
from tunneltui.pages.loads_text import loads_text, what_if_text
from tunneltui.pages.round import round_text
from tunneltui.pages.units import localize, typed
from tunneltui.report import command_helpers, documents
from tunneltui.report.plan_commands import planned_loads
from tunneltui.values import replace


def walk(args: Args) -> int:

    journal = command_helpers.read_journal(args)
    morning = command_helpers.morning(args, journal)
    numbers = command_helpers.shown(journal, morning.round).number_of
    return command_helpers.print_result(
        args,
        lambda: documents.round_document(morning.round, numbers),
        lambda: localize(round_text(morning, numbers)),
    )


def day(args: Args) -> int:
    morning = command_helpers.morning(args)
    return command_helpers.print_result(args, lambda: day_document(morning), lambda: day_text(morning))


def lower(args: Args) -> int:

    morning = command_helpers.morning(args)
    jobs = _jobs_of(morning, args.name)
    return command_helpers.print_result(
        args,
        lambda: lowering.lowering_document(morning, jobs),
        lambda: lowering.lowering_text(morning, jobs),
    )


def _jobs_of(morning: Morning, row: str | None) -> list[LoweringJob]:
    """The lowerings that are proposed within the week, of one row's loop where one is named.

    Raises:
        UserError: there is no such row, or its loop needs no lowering.
    """
    jobs = lowering_jobs(morning.season, morning.outlook, morning.loads)
    if row is None:
        return jobs
    loop = morning.season.layout.loop_of_row.get(row)
    if loop is None:
        raise UserError(f"There is no row {row}.", f"Rows: {', '.join(morning.season.layout.rows)}.")
    return [job for job in jobs if job.loop == loop.id]


def loads(args: Args) -> int:

    morning = command_helpers.morning(args)
    if not args.if_ and (args.planned or (not morning.season.leaders and morning.season.plans)):
        return planned_loads(args, morning)
    morning = replace(morning, loads=with_peaks(morning.loads, morning.season))
    if args.if_:
        return _what_if(args, morning)
    return command_helpers.print_result(
        args,
        lambda: documents.loads_document(morning.loads),
        lambda: localize(loads_text(morning)),
    )


def _what_if(args: Args, morning: Morning) -> int:
    changes = [typed_change(morning.season, _in_metres(text)) for text in args.if_]
    compared = what_if(morning.season, morning.outlook, morning.day, changes, morning.loads)
    return command_helpers.print_result(
        args,
        lambda: documents.what_if_document(compared, args.if_),
        lambda: localize(what_if_text(compared, args.if_)),
    )


def _in_metres(change: str) -> str:
    """A change with its length, if it has one, as metres: it is typed in the grower's units, or with its own."""
    word, _, rest = change.partition(" ")
    name, _, length = rest.partition(" ")
    return f"{word} {name} {typed(length, 'm')}" if word in ("lower", "string") else change


def plant(args: Args) -> int:

    morning = command_helpers.morning(args)
    stems = twin.stems_named(morning.season, args.name)
    return command_helpers.print_result(
        args,
        lambda: twin.plant_document(morning, stems),
        lambda: _drawn_for(args, twin.plant_text(morning, stems)),
    )


def row(args: Args) -> int:

    morning = command_helpers.morning(args)
    loop = twin.loop_named(morning.season, args.name)
    return command_helpers.print_result(
        args,
        lambda: twin.row_document(morning, loop),
        lambda: _drawn_for(args, localize(twin.row_text(morning, loop))),
    )


def _drawn_for(args: Args, text: str) -> str:
    """A picture as who reads it can show it: a terminal by its encoding and kind; a file is UTF-8."""

    poor = shows_ascii_only(sys.stdout.encoding, os.environ if sys.stdout.isatty() else {})
    return in_ascii(text) if args.ascii or poor else text
