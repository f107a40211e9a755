"""The lowerings of the week, head by head, as a card to read at the wire and as one document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tunneltui.chores.lowering import LoweringJob, lowering_jobs
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import UserError
from tunneltui.pages import lowering
from tunneltui.pages.units import localize
from tunneltui.report.plain import day_words, joined, wrapped


def jobs_of(morning: Morning, row: str | None) -> list[LoweringJob]:
    """The lowerings that are proposed within the week, of one row's loop where one is named.

    Raises:
        UserError: there is no such row, or its loop needs no lowering.
    """
    jobs = lowering_jobs(morning.season, morning.outlook, morning.loads)
    if row is None:
        return jobs
    loop = morning.season.layout.loop_of_row.get(row)
    if loop is None:
        raise UserError(f"There is no row {row}.", f"Rows: {', '.join(morning.season.layout.rows)}.")
    return [job for job in jobs if job.loop == loop.id]


def lowering_text(morning: Morning, jobs: Sequence[LoweringJob]) -> str:
    minutes = {chore.about: chore.minutes for chore in morning.chores if chore.kind == "lower"}
    lines: list[str] = []
    for job in jobs:
        lines += [*([""] if lines else []), day_words(job.visit)]
        for words in lowering.pocket_lines(morning.season, job, minutes.get(job.loop, 0.0)):
            lines += wrapped(localize(words), "", "      ", as_typed=True)
    return joined(lines or ["No lowering is due within the week."])


def lowering_document(morning: Morning, jobs: Sequence[LoweringJob]) -> dict[str, Any]:
    return {
        "day": morning.day.isoformat(),
        "lowerings": [
            {
                "loop": job.loop,
                "visit": job.visit.isoformat(),
                "next_visit": job.next_visit.isoformat(),
                "heads": [_head(move) for move in job.moves],
            }
            for job in jobs
        ],
    }


def _head(move: LoweringMove) -> dict[str, Any]:
    return {
        "leader": move.name,
        "hook": move.hook_number,
        "tip_under_wire_m": round(move.wire_z_m - move.tip_z_m, 2),
        "let_out_m": round(move.let_out_m, 3),
        "hook_from_u_m": round(move.hook_from_u_m, 2),
        "hook_to_u_m": round(move.hook_to_u_m, 2),
        "clip_to": [clip.string for clip in move.clips],
        "second_clip_on": [clip.string for clip in move.second],
        "open": len(move.opens),
        "close_under_tip": move.top_clip_s_m is not None,
        "passes": list(move.passes),
        "not_now": move.limited_by if move.let_out_m <= 0 else None,
    }
