"""Days away: a form that asks for them, then what must be done before and the list for whoever minds the house."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from tunneltui.screens.forms import Field, Fields, ReadingPage
from tunneltui.screens.round_view import RoundView

if TYPE_CHECKING:
    from textual.app import App

FIELDS = (
    Field("first", "First day away", "", "such as 2026-08-24, or in how many days: 4"),
    Field("last", "Last day away", "", "the same, or for how many days"),
)


def ask_away(app: App[Any], view: RoundView | None, say: Callable[[str], None]) -> None:
    """Asks for the days and shows what they mean. Nothing is written."""
    morning = view.morning if view is not None else None
    if view is None or morning is None:
        say("The journal is still being read.")
        return

    def keep(values: dict[str, str] | None) -> None:
        if values is None:
            return
        from tunneltui.pages.away import away_text
        from tunneltui.review.away import away

        first, last = _days(view.day, values)
        app.push_screen(ReadingPage("Away", away_text(away(morning, first, last)).splitlines()))

    app.push_screen(Fields("Away", FIELDS, lambda values: _fault(view.day, values)), keep)


def _days(today: date, values: Mapping[str, str]) -> tuple[date, date]:
    first = _day(values["first"], today)
    return first, _day(values["last"], first)


def _day(text: str, since: date) -> date:
    text = text.strip()
    return since + timedelta(days=int(text)) if text.isdigit() else date.fromisoformat(text)


def _fault(today: date, values: Mapping[str, str]) -> str:
    try:
        first, last = _days(today, values)
    except (ValueError, OverflowError):
        return "A day was wanted, such as 2026-08-24, or a number of days."
    if first < today or last < first or (last - first).days > 60:
        return "The days away begin today or later, and last no longer than two months."
    return ""
