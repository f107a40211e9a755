"""Commands about the coming season."""

from __future__ import annotations

import sys
from argparse import Namespace as Args

from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import UserError
from tunneltui.pages.loads_text import bearing_text
from tunneltui.pages.plan import adopted_says, already_adopted, expected_words, plans_page, progress_words
from tunneltui.pages.plan_held import held_page
from tunneltui.pages.text import plain_text, printed, wrapped
from tunneltui.pages.units import in_force
from tunneltui.report import command_helpers, documents
from tunneltui.report.documents import journal_document
from tunneltui.report.plan_document import plan_document, plan_held_document
from tunneltui.review.plan import plan as work_out
from tunneltui.review.plan_adopted import adoption, adoption_drafts, expected_loads
from tunneltui.review.plan_against import plan_held
from tunneltui.review.plan_values import Wishes
from tunneltui.season.adopted import adopted_plan


def plan(args: Args) -> int:
    """Plans side by side, or one of them taken."""

    journal = command_helpers.read_journal(args)
    season = journal.ready_season()
    if args.look_back:
        if args.adopt is not None:
            raise UserError("--look-back and --adopt are two answers.", "Give one of them.")
        held = plan_held(journal.entries, season)
        return command_helpers.print_result(
            args, lambda: plan_held_document(held), lambda: plain_text(held_page(held), in_force())
        )
    if args.end is not None and args.until_frost:
        raise UserError("An end and --until-frost are two answers.", "Give one of them.")
    wishes = Wishes(args.end, args.until_frost, args.plant, args.leaders, args.rows or "as_they_are")
    planned = work_out(journal.entries, season, wishes, _progress)
    if args.adopt is None:
        return command_helpers.print_result(
            args, lambda: plan_document(planned), lambda: plain_text(plans_page(planned), in_force())
        )
    taken = adoption(planned, args.adopt)
    drafts = [(journal.day, adoption_draft) for adoption_draft in adoption_drafts(season, taken)]
    if not drafts:
        return command_helpers.print_result(
            args, lambda: journal_document([]), lambda: f"{already_adopted(taken.name)}\n"
        )
    return command_helpers.write(args, journal, drafts, adopted_says(taken.name, len(drafts) > 1, str(taken.sow)))


def _progress(done: int, of: int) -> None:
    """How many plans are worked out, on a terminal only; nothing of it stays there."""
    screen = sys.__stderr__
    if screen is not None and screen.isatty():
        screen.write(f"\r{progress_words(done, of)}" if done + 1 < of else "\r" + " " * 30 + "\r")
        screen.flush()


def planned_loads(args: Args, morning: Morning) -> int:
    """What the adopted plan would bear at its peak; ``loads`` asks this while nothing stands.

    Raises:
        UserError: no plan is adopted.
    """

    taken = adopted_plan(morning.season)
    if taken is None:
        raise UserError("No plan is adopted for a coming season.", "`tunneltui plan` works some out.")
    on, body = taken
    taught = morning.loads.workings.learned if morning.loads.workings is not None else {}
    bearing = expected_loads(morning.entries, morning.season, body, taught)
    first = expected_words(body.name, on, bearing.day)
    return command_helpers.print_result(
        args,
        lambda: documents.loads_document(bearing),
        lambda: printed([*wrapped(first, "", ""), "", bearing_text(bearing)]),
    )
