"""Commands that write: an entry, a typed line.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Gather what it works on, ask the part that
knows, print or write what comes of it. A family is imported when one of its commands runs.
"""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.pages.units import localize
from tunneltui.report import command_helpers
from tunneltui.report.left_out import left_out_by
from tunneltui.report.typed_entry import typed_entries


def add(args: Args) -> int:
    here = command_helpers.read_journal(args)
    typed = typed_entries(here.ready_season(), args.kind, args.values, args.about)
    drafts = [(here.day, one) for one in typed]
    return command_helpers.write(args, here, drafts, left_out_by(here.entries, drafts))


def done(args: Args) -> int:
    # Nothing else that is written waits for the rules for chores.
    from tunneltui.report.done_line import done_line

    here = command_helpers.read_journal(args)
    done = done_line(" ".join(args.line), command_helpers.morning(args, here), command_helpers.shown_before(here))
    if args.look:
        print("\n".join(map(localize, done.says)))
        return command_helpers.DONE
    return command_helpers.write(
        args, here, [(here.day, draft) for draft in done.drafts], [*map(localize, done.says)]
    )
