"""The look back and fair comparisons as documents for ``--json``: SI, rounded at the edge, null where unknown."""

from __future__ import annotations

from typing import Any

from tunneltui.pages.page import rounded
from tunneltui.pages.season import caution_words, doubt_words, pair_words
from tunneltui.report.documents import backtest_document
from tunneltui.review.beds import BedRecord
from tunneltui.review.clearing import Back, Clearing
from tunneltui.review.clip_survival import ClipRecord
from tunneltui.review.fair import Fair, Pair
from tunneltui.review.grading import size_word
from tunneltui.review.look_back import LookBack
from tunneltui.review.yields import Yield


def review_document(back: LookBack) -> dict[str, Any]:
    """SI whatever was asked for on the screen; null where unknown."""
    growing = back.record.growing_year
    return {
        "day": back.day.isoformat(),
        "since": _day_or_none(back.since),
        "until": _day_or_none(back.until),
        "by": back.by,
        "yields": [_yield(line) for line in back.yields],
        "doubts": list(map(doubt_words, back.doubts)),
        "currency": back.currency,
        "value": rounded(back.value),
        "kg_without_price": rounded(back.kg_without_price),
        "curves": [
            {
                "year": year,
                "weeks": [{"week": growing.week_number(week), "kg": round(kg, 3)} for week, kg in curve.items()],
            }
            for year, curve in sorted(back.curves.items())
        ],
        "this_week": None
        if back.this_week is None
        else {
            "week": growing.week_number(back.this_week.week),
            "kg": rounded(back.this_week.kg),
            "kg_last_year": rounded(back.this_week.kg_last_year),
        },
        "stems": [
            {
                "leader": stem.leader,
                "length_m": rounded(stem.length_m),
                "wire_m": rounded(stem.wire_m),
                "times_wire": rounded(stem.times_wire),
            }
            for stem in back.stems
        ],
        "clips": [_clip(clip) for clip in back.clips],
        "clips_told": [
            {
                "weeks": warning.weeks,
                "looks": warning.looks,
                "failures_told": rounded(warning.failures_foreseen),
                "happened": warning.happened,
            }
            for warning in back.warnings
        ],
        "labour": [
            {
                "chore": line.chore,
                "minutes": rounded(line.minutes),
                "times": line.times,
                "minutes_per_plant": rounded(line.minutes_per_plant),
                "minutes_per_kg": rounded(line.minutes_per_kg),
            }
            for line in back.labour
        ],
        "minutes_per_kg": rounded(back.minutes_per_kg),
        "beds": [_bed(bed) for bed in back.beds],
        "stage": back.stage,
        "notes": [
            {
                "day": note.day.isoformat(),
                "about": note.about,
                "text": note.text,
                "earlier_crop": note.earlier_crop,
            }
            for note in back.notes
        ],
        "clearing": _clearing(back.clearing),
        "held": backtest_document(back.held),
        "compared": {"says": back.compared} if isinstance(back.compared, str) else fair_document(back.compared),
    }


def _yield(line: Yield) -> dict[str, Any]:
    weighed = line.kg > 0
    return {
        "group": line.group,
        "kg": rounded(line.kg if weighed else None),
        "count": line.count,
        "fruit_g": None if line.fruit_g is None else round(line.fruit_g, 1),
        "fruit_size": None if line.fruit_g is None else size_word(line.fruit_g),
        "lost_kg": rounded(line.lost_kg),
        "lost_by_why": {why: rounded(kg) for why, kg in line.lost_by_why.items()},
        "by_grade": {grade: rounded(kg) for grade, kg in sorted(line.by_grade.items())},
        "plants": line.plants,
        "kg_per_plant": rounded(line.kg_per_plant if weighed else None),
        "area_m2": rounded(line.area_m2),
        "kg_per_m2": rounded(line.kg_per_m2 if weighed else None),
        "kg_per_floor_m2": rounded(line.kg_per_floor_m2 if weighed else None),
        "first_pick": _day_or_none(line.first_pick),
        "last_pick": _day_or_none(line.last_pick),
        "days": line.days,
        "value": rounded(line.value),
        "kg_without_price": rounded(line.kg_without_price),
    }


def _clip(clip: ClipRecord) -> dict[str, Any]:
    unknown, unknown_failed = clip.load_unknown
    return {
        "kind": clip.clip_kind,
        "hung": clip.hung,
        "holding": clip.holding,
        "taken_back": clip.taken_back,
        "came_down": clip.came_down,
        "failed": clip.failed,
        "median_weeks_at_failure": rounded(clip.median_weeks_at_failure),
        "by_way": [{"on": way, "hung": hung, "failed": failed} for way, (hung, failed) in clip.by_way.items()],
        "failed_by_weeks": [{"weeks": age, "failed": n} for age, n in clip.failed_by_weeks.items()],
        "by_load": [
            {"low_n": band.low_n, "high_n": band.high_n, "clips": band.clips, "failed": band.failed}
            for band in clip.by_load
        ],
        "load_unknown": {"clips": unknown, "failed": unknown_failed},
    }


def _bed(bed: BedRecord) -> dict[str, Any]:
    return {
        "tunnel": bed.tunnel,
        "bed": bed.bed,
        "made": bed.making,
        "dressings": [{"day": day.isoformat(), "how": how} for day, how in bed.dressings],
        "feeds": bed.feeds,
        "feed_litres": rounded(bed.feed_litres),
        "feed_cans": rounded(bed.feed_cans),
        "plants": bed.plants,
        "kg": rounded(bed.kg),
        "kg_per_m2": rounded(bed.kg_per_m2),
        "kg_per_plant": rounded(bed.kg_per_plant),
    }


def _clearing(end: Clearing) -> dict[str, Any]:
    return {
        "clips_up": end.clips_up,
        "clips_back": end.clips_back,
        "clips_down": end.clips_down,
        "hooks_up": end.hooks_up,
        "green_kg": rounded(end.green_kg),
        "ripened_kg": rounded(end.ripened_kg),
        "lost_kg": rounded(end.lost_kg),
        "rows": [
            {
                "row": row.row,
                "order": list(row.order),
                "suspects": list(row.suspects),
                "clips": row.clips,
                "ties": row.ties,
                "hooks": row.hooks,
                "strings": row.strings,
                "to_measure": list(row.to_measure),
                "bed": row.bed,
                "crops": next((bed.crops for bed in end.beds if bed.bed == row.bed), 0),
                "intended": list(row.intended),
            }
            for row in end.rows
        ],
        "beds": [
            {
                "bed": bed.bed,
                "rows": list(bed.rows),
                "plants": bed.plants,
                "suspects": bed.suspects,
                "clips": [_back(clip) for clip in bed.clips],
                "hooks": bed.hooks,
                "strings": [_back(twine) for twine in bed.twines],
                "crops": bed.crops,
            }
            for bed in end.beds
        ],
    }


def _back(back: Back) -> dict[str, Any]:
    return {
        "kind": back.kind,
        "count": back.count,
        "compost": back.compost,
        "pool": back.pool or None,
        "year": back.year,
    }


def fair_document(fair: Fair) -> dict[str, Any]:
    return {
        "what": fair.what,
        "unit": fair.unit,
        "kg_per_plant": {name: rounded(kg) for name, kg in fair.means.items()},
        "pairs": [_pair(pair) for pair in fair.pairs],
        "units_needed": fair.needed,
        "cautions": caution_words(fair),
    }


def _pair(pair: Pair) -> dict[str, Any]:
    comparison = pair.comparison
    return {
        "a": pair.names[0],
        "b": pair.names[1],
        "unit": pair.unit,
        "n_a": pair.n[0],
        "n_b": pair.n[1],
        "difference_kg_per_plant": rounded(comparison.difference) if comparison else None,
        "low": rounded(comparison.low) if comparison else None,
        "high": rounded(comparison.high) if comparison else None,
        "level": round(comparison.level, 6) if comparison else None,
        "welch_p": rounded(comparison.welch_p) if comparison else None,
        "permutation_p": rounded(comparison.permutation_p) if comparison else None,
        "strict_p": rounded(pair.strict_p),
        "detectable": rounded(comparison.detectable) if comparison else None,
        "says": pair_words(pair),
    }


def _day_or_none(day: object) -> str | None:
    return None if day is None else str(day)
