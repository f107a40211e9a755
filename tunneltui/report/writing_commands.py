"""Commands that write: an entry, a typed line, a holding.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. Gather what it works on, ask the part that
knows, print or write what comes of it. A family is imported when one of its commands runs.
"""

from __future__ import annotations

import sys
from argparse import Namespace as Args

from tunneltui.holding.user_error import UserError
from tunneltui.pages.asked import NEXT, TO_PLANT, no_fault
from tunneltui.pages.units import localize
from tunneltui.report import beginning, command_helpers, editing
from tunneltui.report.editing import right_holding
from tunneltui.report.left_out import left_out_by
from tunneltui.report.typed_entry import typed_entries


def add(args: Args) -> int:

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
        print("\n".join(map(localize, done.says)))
        return command_helpers.DONE
    return command_helpers.write(
        args, journal, [(journal.day, draft) for draft in done.drafts], [*map(localize, done.says)]
    )


def new(args: Args) -> int:

    given = {
        "name": args.name,
        "length_m": args.length,
        "width_m": args.width,
        "rows": args.rows,
        "places_per_row": args.places,
        "spacing_m": args.spacing,
        "wire_height_m": args.wire,
        "training": args.method,
        "cultivars": args.cultivars,
        "zone": args.zone,
        "latitude_deg": args.latitude,
        "work_days": args.work_days,
    }
    said_something = any(value is not None for value in (*given.values(), args.planted))
    if said_something or not sys.stdin.isatty():
        start, planted = beginning.start_from(given), args.planted
    else:
        start, planted = beginning.start_asked(input, print)
    journal = command_helpers.begun(args, start.zone)
    says = [NEXT]
    if planted is None:
        says.append(TO_PLANT)
    return command_helpers.write(args, journal, beginning.first_act(journal, start, planted), says)


def holding_show(args: Args) -> int:
    text = command_helpers.read_journal(args).holding_text()
    return command_helpers.say(args, lambda: {"toml": text}, lambda: text)


def holding_check(args: Args) -> int:

    right_holding(args.file)
    return command_helpers.say(args, lambda: {"faults": []}, lambda: f"{no_fault(args.file)}\n")


def holding_edit(args: Args) -> int:

    journal = command_helpers.begun(args) if args.from_ else command_helpers.read_journal(args)
    text = (
        editing.right_holding(args.from_) if args.from_ else editing.edited_holding(journal.holding_text(), _again)
    )
    return command_helpers.write(args, journal, editing.holding_drafts(journal, text))


def _again(trouble: UserError) -> bool:
    print(trouble.problem, file=sys.stderr)
    return sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")
