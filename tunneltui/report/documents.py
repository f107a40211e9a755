"""The ``--json`` documents, one function each, for other programs to build on.

Their bytes depend on the entries and the day only: no path, clock, locale or order of arrival. SI units,
rounded here and nowhere earlier; ``null`` where a value is unknown.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from tunneltui.chores.chore import Chore, Round, WorkOfAKind
from tunneltui.growth.outlook import Band, LeaderOutlook, Outlook
from tunneltui.journal.body import BodyFault, parsed
from tunneltui.journal.entry import Entry, written_at
from tunneltui.loads.result import Loads
from tunneltui.pages.page import rounded
from tunneltui.report.safe_output import IN_JSON
from tunneltui.season.state import Season

if TYPE_CHECKING:
    from tunneltui.growth.backtest import Backtests
    from tunneltui.loads.whatif import LoadComparison

Document = dict[str, Any] | list[Any]


def as_text(document: Document) -> str:
    """One JSON document with a line end after it."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2).translate(IN_JSON) + "\n"


def round_document(walk: Round, numbers: Mapping[str, int]) -> Document:
    """Today's walk: spots in walking order, then what is left for later, soonest due first.

    ``numbers``: of the lines as they are shown, by the chore's id.
    """
    return {
        "day": walk.day.isoformat(),
        "minutes_there": rounded(walk.minutes_there, 1),
        "minutes_planned": rounded(walk.minutes_planned, 1),
        "minutes_week": [
            {
                "day": ahead.day.isoformat(),
                "minutes": rounded(ahead.minutes, 1),
                "what": _works(ahead.what),
            }
            for ahead in walk.week
        ],
        "gives": _works(walk.gives),
        "waits": _works(walk.waits),
        "spots": [
            {
                "place": spot.place,
                "row": spot.row,
                "x_m": rounded(spot.x_m, 2),
                "chores": [_chore(chore, numbers) for chore in spot.chores],
            }
            for spot in walk.spots
        ],
        "later": [_chore(chore, {}) for chore in walk.later],
    }


def _works(works: Iterable[WorkOfAKind]) -> list[dict[str, Any]]:
    return [{"kind": work.kind, "minutes": rounded(work.minutes, 1)} for work in works]


def _chore(chore: Chore, numbers: Mapping[str, int]) -> dict[str, Any]:
    # With the kinds come the rules of every family: a document without chores loads none of them.
    from tunneltui.chores.kinds import KINDS

    return {
        "line": numbers.get(chore.id),
        "id": chore.id,
        "kind": chore.kind,
        "about": chore.about,
        "pass": KINDS[chore.kind].walk,
        "must": chore.must,
        "overhead": chore.overhead,
        "when": chore.when,
        "minutes": rounded(chore.minutes, 1),
        "earliest": chore.earliest.isoformat(),
        "latest": chore.latest.isoformat(),
        "why": chore.why,
        "proposal": chore.proposal,
        "cautions": list(chore.cautions),
        "pieces": [
            {
                "place": piece.place,
                "leaders": list(piece.leaders),
                "what": piece.what,
                "minutes": rounded(piece.minutes, 2),
            }
            for piece in chore.pieces
        ],
        "choices": [{"key": choice.key, "words": choice.words} for choice in chore.choices],
    }


def loads_document(bearing: Loads) -> Document:
    """All loads; within each list nearest to its limit first."""
    return {
        "day": bearing.day.isoformat(),
        "clips": [
            {
                "id": clip.id,
                "leader": clip.leader,
                "on": clip.on,
                "s_m": rounded(clip.s_m),
                "low_n": rounded(clip.low_n, 2),
                "mid_n": rounded(clip.mid_n, 2),
                "high_n": rounded(clip.high_n, 2),
                "strength_n": rounded(clip.strength_n, 2),
                "share": rounded(clip.share),
                "chance_7d": rounded(clip.chance_7d, 4),
            }
            for clip in bearing.clips
        ],
        "lines": [
            {
                "id": line.id,
                "row": line.row,
                "x_m": rounded(line.x_m, 2),
                "low_n": rounded(line.low_n, 2),
                "mid_n": rounded(line.mid_n, 2),
                "high_n": rounded(line.high_n, 2),
                "share": rounded(line.share),
            }
            for line in bearing.lines
        ],
        "wires": [
            {
                "row": wire.row,
                "span": wire.span,
                "tension_n": rounded(wire.tension_n, 1),
                "sag_m": rounded(wire.sag_m, 4),
                "end_pull_n": rounded(wire.end_pull_n, 1),
                "share": rounded(wire.share),
            }
            for wire in bearing.wires
        ],
        "hoops": [
            {
                "tunnel": hoop.tunnel,
                "x_m": rounded(hoop.x_m, 2),
                "load_n": rounded(hoop.load_n, 1),
                "allowed_n": rounded(hoop.allowed_n, 1),
            }
            for hoop in bearing.hoops
        ],
        "rows": [
            {
                "row": row.row,
                "hanging_kg": rounded(row.hanging_kg, 2),
                "peak_kg": rounded(row.peak_kg, 2),
                "peak_day": row.peak_day.isoformat() if row.peak_day is not None else None,
            }
            for row in bearing.rows
        ],
        "weak_points": [
            {"fixing": weak.fixing, "drops": list(weak.drops), "first_over": weak.first_over or None}
            for weak in bearing.weak_points
        ],
    }


def what_if_document(compared: LoadComparison, changes: Sequence[str]) -> Document:
    """The ``loads`` document as things are, and as they would be on that day: the changed state has no peaks."""
    return {
        "day": compared.before.day.isoformat(),
        "changes": list(changes),
        "before": loads_document(compared.before),
        "after": loads_document(compared.after),
    }


def outlook_document(season: Season, coming: Outlook) -> Document:
    """Leaders in walking order with their next 14 days, and the next pick days by cultivar, row and day."""
    return {
        "day": coming.day.isoformat(),
        "leaders": [
            _leader(season.leaders[id_].name, season.day, coming.leaders[id_])
            for id_ in season.leaders
            if id_ in coming.leaders
        ],
        "picks": [
            {
                "cultivar": pick.cultivar,
                "row": pick.row,
                "day": pick.day.isoformat(),
                "low_kg": rounded(pick.kg.low, 2),
                "mid_kg": rounded(pick.kg.mid, 2),
                "high_kg": rounded(pick.kg.high, 2),
            }
            for pick in coming.picks
        ],
    }


def _leader(name: str, day: date, leader_outlook: LeaderOutlook) -> dict[str, Any]:
    today = leader_outlook.days[min(max(day, min(leader_outlook.days)), max(leader_outlook.days))]
    early, likely, late = leader_outlook.at_wire
    return {
        "leader": name,
        "length": _metres(today.length_m),
        "tip": [
            {"day": on.isoformat()} | _metres(stem.tip_z_m) for on, stem in sorted(leader_outlook.days.items())
        ],
        "trusses": [
            {
                "number": truss.number,
                "s_m": rounded(truss.s_m),
                "z": rounded(truss.z),
                "fruits": rounded(truss.fruits, 1),
                "kg": rounded(truss.kg),
                "ripe_on": _day(truss.ripe_on),
            }
            for truss in today.trusses
        ],
        "at_wire": {"early": _day(early), "likely": _day(likely), "late": _day(late)},
    }


def _metres(band: Band) -> dict[str, float | None]:
    return {"low_m": rounded(band.low), "mid_m": rounded(band.mid), "high_m": rounded(band.high)}


def backtest_document(held: Backtests) -> Document:
    """How good the forecasts were, of all cultivars together; null where nothing was to be scored."""
    return {
        "day": held.day.isoformat(),
        "backtests": [
            {
                "what": backtest.what,
                "horizons": [
                    {
                        "days": score.days,
                        "n": score.n,
                        "mae": rounded(score.mae, 4),
                        "mae_persistence": rounded(score.mae_persistence, 4),
                        "inside_90": rounded(score.inside_90),
                        "width": rounded(score.width, 4),
                    }
                    for score in backtest.horizons
                ],
            }
            for backtest in held.backtests
            if not backtest.cultivar
        ],
    }


def journal_document(entries: Iterable[Entry]) -> Document:
    """Entries in the order in which they count, with their bodies as objects."""
    return [
        {
            "id": entry.id,
            "act": entry.act,
            "day": entry.day.isoformat(),
            "at": written_at(entry).isoformat().replace("+00:00", "Z"),
            "by": entry.by,
            "about": entry.about,
            "kind": entry.kind,
            "body": _body(entry),
        }
        for entry in entries
    ]


def _body(entry: Entry) -> Any:
    try:
        return parsed(entry)
    except BodyFault:
        return entry.body


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
