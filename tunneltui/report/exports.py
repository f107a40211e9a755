"""What the ``export`` command writes besides the sheet: entries and picks as tables."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from tunneltui.journal.entry import Entry, written_at
from tunneltui.report.tables import csv_text
from tunneltui.season.state import Season


def entries_table(entries: Iterable[Entry]) -> str:
    """Entries in the order given; the body is JSON text."""
    header = ("id", "act", "day", "at", "by", "about", "kind", "body")
    return csv_text(
        header,
        ((e.id, e.act, str(e.day), written_at(e).isoformat(), e.by, e.about, e.kind, e.body) for e in entries),
    )


PICKS = ("day", "row", "tunnel", "cultivar", "kg", "count", "grade", "clean")


def picks_table(season: Season) -> str:
    """Weighed picks in order of day; a tick without a weight is no measurement and is left out."""
    return csv_text(PICKS, (tuple(pick.values()) for pick in picks_document(season)))


def picks_document(season: Season) -> list[dict[str, Any]]:
    """The same for ``--json``."""
    return [
        {
            "day": pick.day.isoformat(),
            "row": pick.row,
            "tunnel": pick.tunnel,
            "cultivar": pick.picked.cultivar,
            "kg": pick.picked.kg,
            "count": pick.picked.count,
            "grade": pick.picked.grade,
            "clean": pick.picked.clean,
        }
        for pick in season.picks
        if pick.picked.kg is not None
    ]
