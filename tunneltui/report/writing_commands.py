"""Commands that write: an entry, a typed line.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Gather what it works on, ask the part that
knows, print or write what comes of it. A family is imported when one of its commands runs.
"""

from __future__ import annotations

import json
from argparse import Namespace as Args

from tunneltui.pages.units import localize
from tunneltui.report import command_helpers
from tunneltui.report.left_out import left_out_by
from tunneltui.report.typed_entry import kinds_to_type, typed_entries


def add(args: Args) -> int:
    if args.kind is None:
        kinds = kinds_to_type()
        print(json.dumps(kinds, indent=2) if args.json else "\n".join(kinds.values()))
        return command_helpers.DONE
    journal = command_helpers.read_journal(args)
    typed = typed_entries(journal.ready_season(), args.kind, args.values, args.about)
    drafts = [(journal.day, draft) for draft in typed]
    return command_helpers.write(args, journal, drafts, left_out_by(journal.entries, drafts))


def done(args: Args) -> int:
    # Nothing else that is written waits for the rules for chores.
    from tunneltui.report.done_line import done_line

    journal = command_helpers.read_journal(args)
    done = done_line(
        " ".join(args.line), command_helpers.morning(args, journal), command_helpers.shown_before(journal)
    )
    if args.look:
        print("\n".join(map(localize, done.sentences)))
        return command_helpers.DONE
    return command_helpers.write(
        args, journal, [(journal.day, draft) for draft in done.drafts], [*map(localize, done.sentences)]
    )
