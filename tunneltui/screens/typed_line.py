"""One typed line for a whole walk: the same that ``tunneltui done`` reads."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.chores.morning import Morning
from tunneltui.holding.trouble import Trouble
from tunneltui.report.done_line import done_line
from tunneltui.screens.forms import Field, Fields
from tunneltui.screens.messages import Act

HINT = "such as: all but 07, 12; 14 slid; cherry 6.2"


def form(morning: Morning) -> Fields:
    def fault(values: Mapping[str, str]) -> str:
        try:
            done_line(values["line"], morning)
        except Trouble as trouble:
            return str(trouble)
        return ""

    return Fields("What was done", [Field("line", "One line", "", HINT)], fault)


def line_act(line: str, morning: Morning) -> Act:
    """What the line writes. Raises ``Trouble`` where it cannot be read."""
    done = done_line(line, morning)
    return Act(tuple(done.drafts), "; ".join(done.says))
