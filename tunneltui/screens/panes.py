"""The panes beside the round, each made on its first visit: the first paint does not wait for their code."""

from __future__ import annotations

from textual.widget import Widget


def made_pane(name: str) -> Widget:
    """The pane of that name; it shows what its ``picture`` is set to."""
    if name == "row":
        from tunneltui.screens.row_pane import RowPane

        return RowPane(id=name)
    if name == "loads":
        from tunneltui.screens.loads_pane import LoadsPane

        return LoadsPane(id=name)
    from tunneltui.screens.picks_pane import PicksPane

    return PicksPane(id=name)
