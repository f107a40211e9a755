"""``holding edit``: the editor, the check, and once more, until the text is right or given up."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from tunneltui.holding.check import checked_holding
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.report.open_journal import OpenJournal
from tunneltui.store.read_edited import edited, for_editing, read_text

NAME = "holding.toml"


def right_holding(file: Path) -> str:
    """The text of a file that is a holding; else ``UserError`` with every fault by file, line and key."""
    text = read_text(file)
    checked_holding(text, str(file))
    return text


def edited_holding(text: str, again: Callable[[UserError], bool]) -> str:
    """The text of a right holding, as edited; ``again`` is told every fault and says whether to go on.

    Raises:
        UserError: given up; the text as it was left is kept in a file that is named.
    """
    file = for_editing(text, NAME)
    while True:
        try:
            edited_text = edited(file)
            checked_holding(edited_text, NAME)
        except UserError as trouble:
            if again(trouble):
                continue
            raise UserError("The holding was not changed.", f"Your text is kept in {file}") from trouble
        file.unlink(missing_ok=True)
        return edited_text


def holding_drafts(journal: OpenJournal, text: str) -> list[tuple[date, Draft]]:
    """The entry that puts a right text in force; none where it is in force already."""
    if journal.holding is not None and text == journal.holding_text():
        return []
    return [(journal.day, draft("", HoldingSet(text)))]
