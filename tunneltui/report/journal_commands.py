"""Commands about the journal: what was written, and where it is kept.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Gather what it works on, ask the part that
knows, print or write what comes of it. A family is imported when one of its commands runs.
"""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.pages.entry_search import EntrySearch
from tunneltui.pages.journal import journal_text
from tunneltui.pages.story import story_page
from tunneltui.pages.text import plain_text
from tunneltui.pages.units import in_force
from tunneltui.report import command_helpers, documents, keeping
from tunneltui.report.crossing import crossing
from tunneltui.store.journals import open_journal
from tunneltui.store.rows import parted


def journal_show(args: Args) -> int:

    journal = command_helpers.read_journal(args)
    search = EntrySearch(args.kind, args.about or "", args.days, args.words)
    entries = journal.shown(search, everything=args.all)
    if not args.about:
        aside = {set_aside.entry.id: set_aside.why for set_aside in journal.season.set_aside}
        return command_helpers.print_result(
            args, lambda: documents.journal_document(entries), lambda: journal_text(entries, aside)
        )
    return command_helpers.print_result(
        args,
        lambda: documents.journal_document(entries),
        lambda: plain_text(story_page(journal.season, entries, args.about), in_force()),
    )


def journal_mark(args: Args) -> int:

    opened = command_helpers.read_journal(args)
    with open_journal(opened.where, create=False, read_only=True) as journal:
        aside = parted(journal.sealed_rows())[1]
    now_us = int(args.now.timestamp() * 1_000_000)
    marks = crossing(opened.entries, args.act, args.word, aside, opened.today, now_us)
    return command_helpers.write(args, opened, marks)


def journal_check(args: Args) -> int:

    return command_helpers.print_kept(args, keeping.checked(command_helpers.journal_named(args), args.accept))


def journal_backup(args: Args) -> int:

    return command_helpers.print_kept(args, keeping.backed_up(command_helpers.journal_named(args)))


def journal_restore(args: Args) -> int:

    return command_helpers.print_kept(args, keeping.put_back(command_helpers.journal_named(args), args.file))


def journal_merge(args: Args) -> int:

    return command_helpers.print_kept(
        args, keeping.merged(command_helpers.journal_named(args), args.file, args.look)
    )


def journal_copy(args: Args) -> int:

    return command_helpers.print_kept(
        args, keeping.copied(args.source or command_helpers.journal_named(args), args.file)
    )


def journal_hand(args: Args) -> int:
    return command_helpers.print_kept(
        args, keeping.let_in(args.address, args.name, args.called or "", args.remove, args.look)
    )


def journal_salvage(args: Args) -> int:

    return command_helpers.print_kept(args, keeping.salvaged(command_helpers.journal_named(args), args.to))
