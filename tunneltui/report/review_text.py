"""The look back as one document and as plain text, metric or imperial."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tunneltui.holding.trouble import Trouble
from tunneltui.report.documents import backtest_document
from tunneltui.report.plain import joined, wrapped
from tunneltui.review.fair import Pair, What
from tunneltui.review.look_back import LookBack
from tunneltui.review.seasons import so_far
from tunneltui.review.yields import KG_M2_IN_LB_FT2, LB_IN_KG, Yield
from tunneltui.store.words import one_line

FT_IN_M = 0.3048
"""By definition."""
LONGEST_NOTE = 2_000


def review_document(back: LookBack) -> dict[str, Any]:
    """SI whatever was asked for on the screen; null where unknown."""
    return {
        "day": back.day.isoformat(),
        "since": _said(back.since),
        "until": _said(back.until),
        "by": back.by,
        "yields": [_yield(line) for line in back.yields],
        "curves": [
            {"year": year, "weeks": [{"week": week, "kg": round(kg, 3)} for week, kg in curve.items()]}
            for year, curve in sorted(back.curves.items())
        ],
        "this_week": None
        if back.this_week is None
        else {
            "week": back.this_week.week,
            "kg": _rounded(back.this_week.kg),
            "kg_last_year": _rounded(back.this_week.kg_last_year),
        },
        "stems": [
            {"leader": stem.leader, "length_m": _rounded(stem.length_m), "wire_m": _rounded(stem.wire_m)}
            for stem in back.stems
        ],
        "clips": [
            {
                "kind": clip.clip_kind,
                "hung": clip.hung,
                "holding": clip.holding,
                "taken_back": clip.taken_back,
                "failed": clip.failed,
                "median_weeks_at_failure": _rounded(clip.median_weeks_at_failure),
                "by_way": [
                    {"on": way, "hung": hung, "failed": failed} for way, (hung, failed) in clip.by_way.items()
                ],
                "failed_by_weeks": [{"weeks": age, "failed": n} for age, n in clip.failed_by_weeks.items()],
            }
            for clip in back.clips
        ],
        "labour": [
            {
                "chore": line.chore,
                "minutes": _rounded(line.minutes),
                "times": line.times,
                "minutes_per_plant": _rounded(line.minutes_per_plant),
            }
            for line in back.labour
        ],
        "minutes_per_kg": _rounded(back.minutes_per_kg),
        "beds": [
            {
                "tunnel": bed.tunnel,
                "bed": bed.bed,
                "made": bed.made,
                "feeds": bed.feeds,
                "kg": _rounded(bed.kg),
                "kg_per_m2": _rounded(bed.kg_per_m2),
            }
            for bed in back.beds
        ],
        "stage": back.stage,
        "notes": [{"day": day.isoformat(), "about": about, "text": text} for day, about, text in back.notes],
        "clearing": {
            "clips_up": back.clearing.clips_up,
            "clips_back": back.clearing.clips_back,
            "hooks_up": back.clearing.hooks_up,
            "green_kg": _rounded(back.clearing.green_kg),
            "ripened_kg": _rounded(back.clearing.ripened_kg),
        },
        "held": backtest_document(back.held),
    }


def _yield(line: Yield) -> dict[str, Any]:
    weighed = line.kg > 0
    return {
        "group": line.group,
        "kg": _rounded(line.kg if weighed else None),
        "count": line.count,
        "lost_kg": _rounded(line.lost_kg),
        "by_grade": {grade: _rounded(kg) for grade, kg in sorted(line.by_grade.items())},
        "plants": line.plants,
        "kg_per_plant": _rounded(line.kg_per_plant if weighed else None),
        "kg_per_m2": _rounded(line.kg_per_m2 if weighed else None),
        "first_pick": _said(line.first_pick),
        "last_pick": _said(line.last_pick),
        "days": line.days,
    }


def review_text(back: LookBack, imperial: bool = False) -> str:
    lines = [f"What came off, by {back.by}"]
    for line in back.yields:
        lines += wrapped(_yield_words(line, imperial), "  ", "    ")
    if not any(line.first_pick for line in back.yields):
        lines.append("  No pick was noted in that span.")
    if back.this_week is not None:
        now, then = (_mass(kg, imperial) for kg in (back.this_week.kg, back.this_week.kg_last_year))
        lines.append(f"Week {back.this_week.week}: {now} so far, {then} by this week last year")
    lines += _seasons(back, imperial) + _stems(back, imperial)
    lines += ["", "Clips"]
    for clip in back.clips:
        failed = ", ".join(f"{n} {how.replace('_', ' ')}" for how, n in clip.failed.items()) or "none failed"
        age = clip.median_weeks_at_failure
        old = f", half of them by week {age:.0f}" if age is not None else ""
        kind = clip.clip_kind or "kind not said"
        says = f"{kind}: {clip.hung} hung, {clip.holding} holding, {clip.taken_back} back"
        ways = ", ".join(f"{bad} of {hung} on the {way}" for way, (hung, bad) in clip.by_way.items())
        lines += wrapped(f"{says}; {failed}{old}; failed {ways}", "  ", "    ")
    lines += [] if back.clips else ["  None was hung."]
    lines += ["", "Hours"]
    for spent in back.labour:
        each = "" if spent.minutes_per_plant is None else f", {spent.minutes_per_plant:.1f} min a plant"
        lines.append(f"  {spent.chore}: {spent.minutes:.0f} min in {spent.times}{each}")
    lines += [] if back.labour else ["  Nothing was timed."]
    if back.minutes_per_kg is not None:
        per = back.minutes_per_kg * (LB_IN_KG if imperial else 1)
        lines.append(
            f"  {per:.1f} min a {'lb' if imperial else 'kg'}, all that was timed over all that was weighed"
        )
    lines += ["", "Beds"]
    for bed in back.beds:
        says = f"{bed.tunnel} {bed.bed}: {bed.made or 'making not said'}; {bed.feeds} feeds; "
        lines += wrapped(says + f"{_mass(bed.kg, imperial)}{_per_area(bed.kg_per_m2, imperial)}", "  ", "    ")
    lines += [] if back.beds else ["  No bed is in the holding."]
    lines += ["", f"Notes for this stage ({back.stage.replace('_', ' ')})"]
    for day, about, text in back.notes:
        lines += wrapped(f"{day} {about} {one_line(text, LONGEST_NOTE)}", "  ", "    ")
    lines += [] if back.notes else ["  None."]
    lines += _clearing(back, imperial) + _held(back)
    return joined(lines)


def _yield_words(line: Yield, imperial: bool) -> str:
    weighed = line.kg > 0
    said = [_mass(line.kg if weighed else None, imperial) if line.by_grade else "no pick"]
    said += [f"{line.count} fruits"] if line.count is not None else []
    said += [f"{_mass(line.lost_kg, imperial)} lost"] if line.lost_kg else []
    if line.kg_per_plant is not None and weighed:
        said.append(f"{_mass(line.kg_per_plant, imperial)} a plant of {line.plants}")
    graded = [f"{one_line(g, 40)} {_mass(kg, imperial)}" for g, kg in sorted(line.by_grade.items()) if g and kg]
    area = _per_area(line.kg_per_m2, imperial) if weighed else ""
    when = f"; {line.first_pick} to {line.last_pick}, {line.days / 7:.1f} weeks" if line.first_pick else ""
    return f"{line.group or 'not said'}: {', '.join(said + graded)}{area}{when}"


def _seasons(back: LookBack, imperial: bool) -> list[str]:
    """Picked so far, week by week, the last three years side by side; nothing where there is one year only."""
    years = sorted(back.curves)[-3:]
    if len(years) < 2:
        return []
    per, unit = (LB_IN_KG, "lb") if imperial else (1.0, "kg")
    lines = ["", f"Picked so far, {unit}", "  week " + "".join(f"{year:>10}" for year in years)]
    for week in sorted({week for year in years for week in back.curves[year]}):
        cells = [so_far(back.curves[year], week) for year in years]
        lines.append(
            f"  {week:4d} " + "".join("         -" if kg is None else f"{kg / per:10.1f}" for kg in cells)
        )
    return lines


def _stems(back: LookBack, imperial: bool) -> list[str]:
    if not back.stems:
        return ["", "No stem was measured."]
    longest = max(back.stems, key=lambda stem: stem.length_m)
    unit, per = ("ft", FT_IN_M) if imperial else ("m", 1.0)
    return [
        "",
        f"Longest stem {longest.leader}: {longest.length_m / per:.1f} {unit}, "
        f"{longest.times_wire:.1f} times the wire's {longest.wire_m / per:.1f} {unit}",
    ]


def _clearing(back: LookBack, imperial: bool) -> list[str]:
    end = back.clearing
    lines = ["", f"To count back: {end.clips_up} clips and {end.hooks_up} hooks; {end.clips_back} clips are back"]
    if end.green_kg is not None:
        ripened = _mass(end.ripened_kg, imperial)
        lines.append(f"  Stripped green: {_mass(end.green_kg, imperial)}, ripened since: {ripened}")
    return lines


def _held(back: LookBack) -> list[str]:
    lines = ["", "How often the 90 % intervals held"]
    for one in back.held.backtests:
        scored = [s for s in one.horizons if not one.cultivar and s.inside_90 is not None]
        said = ", ".join(f"{s.days} days {100 * (s.inside_90 or 0):.0f} % (n {s.n})" for s in scored)
        lines += [f"  {one.what}: {said}"] if said else []
    return lines if len(lines) > 2 else [*lines, "  Nothing could be scored yet."]


def _mass(kg: float | None, imperial: bool) -> str:
    if kg is None:
        return "not weighed"
    return f"{kg / LB_IN_KG:.1f} lb" if imperial else f"{kg:.1f} kg"


def _per_area(kg_m2: float | None, imperial: bool) -> str:
    if kg_m2 is None:
        return ""
    return f", {kg_m2 * KG_M2_IN_LB_FT2:.2f} lb/ft2" if imperial else f", {kg_m2:.1f} kg/m2"


def _said(day: object) -> str | None:
    return None if day is None else str(day)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3) + 0.0


def asked(words: Sequence[str]) -> tuple[What, Sequence[str]]:
    """What is to be compared, and the names, from the words after ``review``."""
    kinds: tuple[What, ...] = ("cultivar", "row", "training")
    what = next((kind for kind in kinds if words[1:2] == [kind]), None)
    if words[0] != "compare" or what is None:
        raise Trouble(
            f"{' '.join(words)!r} is no question of the review.", "Such as: review compare cultivar 'a 1' 'b 2'."
        )
    return what, words[2:]


def fair_document(pairs: Sequence[Pair]) -> dict[str, Any]:
    return {
        "pairs": [
            {
                "a": pair.names[0],
                "b": pair.names[1],
                "unit": pair.unit,
                "n_a": pair.n[0],
                "n_b": pair.n[1],
                "difference_kg_per_plant": _rounded(pair.found.difference) if pair.found else None,
                "low": _rounded(pair.found.low) if pair.found else None,
                "high": _rounded(pair.found.high) if pair.found else None,
                "welch_p": _rounded(pair.found.welch_p) if pair.found else None,
                "permutation_p": _rounded(pair.found.permutation_p) if pair.found else None,
                "strict_p": _rounded(pair.strict_p),
                "detectable": _rounded(pair.found.detectable) if pair.found else None,
                "says": pair.says,
            }
            for pair in pairs
        ]
    }


def fair_text(pairs: Sequence[Pair]) -> str:
    lines = [line for pair in pairs for line in wrapped(one_line(pair.says, LONGEST_NOTE), "", "  ")]
    return joined([*lines, f"The unit is the {pairs[0].unit}."])
