"""The panes beside the round, each made on its first visit: the first paint does not wait for their code."""

from __future__ import annotations

from textual.widget import Widget


def _row() -> type[Widget]:
    from tunneltui.screens.row_pane import RowPane

    return RowPane


def _loads() -> type[Widget]:
    from tunneltui.screens.loads_pane import LoadsPane

    return LoadsPane


def _picks() -> type[Widget]:
    from tunneltui.screens.picks_pane import PicksPane

    return PicksPane


def _air() -> type[Widget]:
    from tunneltui.screens.air_pane import AirPane

    return AirPane


def _stores() -> type[Widget]:
    from tunneltui.screens.stores_pane import StoresPane

    return StoresPane


def _next() -> type[Widget]:
    from tunneltui.screens.next_pane import NextPane

    return NextPane


def _season() -> type[Widget]:
    from tunneltui.screens.season_pane import SeasonPane

    return SeasonPane


def _journal() -> type[Widget]:
    from tunneltui.screens.journal_pane import JournalPane

    return JournalPane


_KINDS = {
    "row": _row,
    "loads": _loads,
    "picks": _picks,
    "air": _air,
    "stores": _stores,
    "season": _season,
    "next": _next,
    "journal": _journal,
}


def pane_kind(name: str) -> type[Widget]:
    """The kind of pane of that name; it shows what its ``view`` is set to. Reading its code for the first time
    takes up to 80 ms, so it is not asked for where keys are handled."""
    return _KINDS[name]()
