"""Commands that set up a journal of one's own, and its holding.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it.
"""

from __future__ import annotations

import sys
from argparse import Namespace as Args
from collections.abc import Callable
from pathlib import Path

from tunneltui.holding.check import checked_holding
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.pages.prompts import NEXT, TO_PLANT, no_fault
from tunneltui.report import beginning, command_helpers
from tunneltui.store.read_edited import for_editing, read_text, text_from_editor

NAME = "holding.toml"


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
    any_flag = any(value is not None for value in (*given.values(), args.planted))
    if any_flag or not sys.stdin.isatty():
        start, planted = beginning.start_from(given), args.planted
    else:
        start, planted = beginning.ask_start(input, print)
    journal = command_helpers.begun(args, start.zone)
    sentences = [NEXT]
    if planted is None:
        sentences.append(TO_PLANT)
    return command_helpers.write(args, journal, beginning.first_act(journal, start, planted), sentences)


def show(args: Args) -> int:
    text = command_helpers.read_journal(args).holding_text()
    return command_helpers.print_result(args, lambda: {"toml": text}, lambda: text)


def check(args: Args) -> int:
    _right_holding(args.file)
    return command_helpers.print_result(args, lambda: {"faults": []}, lambda: f"{no_fault(args.file)}\n")


def edit(args: Args) -> int:
    journal = command_helpers.begun(args) if args.from_ else command_helpers.read_journal(args)
    text = _right_holding(args.from_) if args.from_ else _edited_holding(journal.holding_text(), _again)
    in_force = journal.holding is not None and text == journal.holding_text()
    return command_helpers.write(args, journal, [] if in_force else [(journal.day, draft("", HoldingSet(text)))])


def _again(trouble: UserError) -> bool:
    print(trouble.problem, file=sys.stderr)
    return sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")


def _right_holding(file: Path) -> str:
    """The text of a file that is a holding; else ``UserError`` with every fault by file, line and key."""
    text = read_text(file)
    checked_holding(text, str(file))
    return text


def _edited_holding(text: str, again: Callable[[UserError], bool]) -> str:
    """The text of a right holding, as edited; ``again`` gets every fault and says whether to go on.

    Raises:
        UserError: given up; the text as it was left is kept in a file that is named.
    """
    file = for_editing(text, NAME)
    while True:
        try:
            edited_text = text_from_editor(file)
            checked_holding(edited_text, NAME)
        except UserError as trouble:
            if again(trouble):
                continue
            raise UserError("The holding was not changed.", f"Your text is kept in {file}") from trouble
        file.unlink(missing_ok=True)
        return edited_text
