"""Commands about the forecast alone; they load no rule for chores.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it.
"""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.growth import backtest as backtesting
from tunneltui.pages.outlook import backtest_text, outlook_text
from tunneltui.pages.units import localize
from tunneltui.report import command_helpers, documents


def outlook(args: Args) -> int:
    season, coming = command_helpers.season_and_outlook(args)
    return command_helpers.print_result(
        args,
        lambda: documents.outlook_document(season, coming),
        lambda: localize(outlook_text(season, coming)),
    )


def backtest(args: Args) -> int:
    journal = command_helpers.read_journal(args)
    held = backtesting.backtest(journal.entries, journal.day, journal.season)
    return command_helpers.print_result(
        args, lambda: documents.backtest_document(held), lambda: localize(backtest_text(held))
    )
