"""One typed line for a whole walk: the same that ``tunneltui done`` reads."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import UserError
from tunneltui.report.done_line import done_line
from tunneltui.screens.forms import Field, Fields
from tunneltui.screens.messages import Act
from tunneltui.store.kept_round import KeptRound

HINT = "such as: 1-6, 8 but 07; 14 slid; cherry 6.2"


def form(morning: Morning, shown: KeptRound | None) -> Fields:
    def fault(values: Mapping[str, str]) -> str:
        try:
            done_line(values["line"], morning, shown)
        except UserError as trouble:
            return str(trouble)
        return ""

    return Fields("What was done", [Field("line", "One line", "", HINT)], fault)


def line_act(line: str, morning: Morning, shown: KeptRound | None) -> Act:
    """What the line writes. Raises ``UserError`` where it cannot be read."""
    done = done_line(line, morning, shown)
    return Act(tuple(done.drafts), "; ".join(text.strip() for text in done.sentences))
