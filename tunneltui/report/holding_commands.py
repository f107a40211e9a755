"""Commands that set up what stands: a journal of one's own, and its holding.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it.
"""

from __future__ import annotations

import sys
from argparse import Namespace as Args

from tunneltui.holding.user_error import UserError
from tunneltui.pages.prompts import NEXT, TO_PLANT, no_fault
from tunneltui.report import beginning, command_helpers, editing


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
        start, planted = beginning.ask_start(input, print)
    journal = command_helpers.begun(args, start.zone)
    says = [NEXT]
    if planted is None:
        says.append(TO_PLANT)
    return command_helpers.write(args, journal, beginning.first_act(journal, start, planted), says)


def show(args: Args) -> int:
    text = command_helpers.read_journal(args).holding_text()
    return command_helpers.say(args, lambda: {"toml": text}, lambda: text)


def check(args: Args) -> int:
    editing.right_holding(args.file)
    return command_helpers.say(args, lambda: {"faults": []}, lambda: f"{no_fault(args.file)}\n")


def edit(args: Args) -> int:
    journal = command_helpers.begun(args) if args.from_ else command_helpers.read_journal(args)
    text = (
        editing.right_holding(args.from_) if args.from_ else editing.edited_holding(journal.holding_text(), _again)
    )
    return command_helpers.write(args, journal, editing.holding_drafts(journal, text))


def _again(trouble: UserError) -> bool:
    print(trouble.problem, file=sys.stderr)
    return sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")
