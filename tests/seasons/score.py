"""The score: what many seasons say of the rules, as numbers, pooled over the houses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from statistics import median
from typing import Any

from tests.seasons.growers import FIXED
from tests.seasons.season import Lived
from tests.seasons.watch import Bands, Watch

LEVEL = 1.5
EARLY_DAYS = 14


@dataclass(frozen=True, slots=True)
class Row:
    """One season as plain numbers; pickled between processes and written as JSON."""

    house: int
    grower: str
    says: str
    counts: dict[str, float]
    faults: list[tuple[str, str, str, str, str]]
    """(day, what, kind, about, says)."""
    days: list[tuple[str, float, float, float, int]]
    """(day, minutes there, planned, of them musts, chores in Later)."""
    refused: list[str]


def row_of(lived: Lived) -> Row:
    """What a season came to."""
    book, watch = lived.book, lived.watch
    counts: dict[str, float] = {
        "picked_kg": book.picked_kg,
        "ripened_kg": book.ripened_kg,
        "late_kg": book.late_kg,
        "head_days": book.head_days,
        "over_days": book.over_days,
        "loose_days": book.loose_days,
        "snapped": book.snapped,
        "dropped": book.dropped,
        "clips_failed": book.clips_failed,
        "lost": book.lost,
        "core_minutes": lived.spent.core,
        "all_minutes": lived.spent.all,
        **{f"minutes {kind}": minutes for kind, minutes in sorted(lived.spent.kinds.items())},
        **_tips(lived),
    }
    if watch is not None:
        counts |= _watched(watch)
    faults = [(f"{f.day}", *f[1:]) for f in watch.faults] if watch is not None else []
    days = [(f"{d.day}", *d[1:]) for d in watch.days] if watch is not None else []
    return Row(lived.house.seed, lived.grower, lived.house.says(), counts, faults, days, lived.refused)


def _tips(lived: Lived) -> dict[str, float]:
    """Tips out two weeks or more before the last flower that could have ripened; where they are not stopped at
    the wire."""
    free = [stem for stem in lived.garden.stems if stem.training != "pinched_at_wire" and not stem.cucumber]
    early = [
        stem
        for stem in free
        if stem.stopped_on is not None
        and stem.stopped_on < lived.last_flower[stem.cultivar] - timedelta(days=EARLY_DAYS)
    ]
    return {"tips": float(len(free)), "tips_early": float(len(early))}


def _watched(watch: Watch) -> dict[str, float]:
    planned = [day.planned for day in watch.days]
    uneven = 0
    for day in watch.days:
        week = [other.planned for other in watch.days if abs((other.day - day.day).days) <= 3]
        uneven += day.planned > LEVEL * max(sum(week) / len(week), 5.0)
    what = Counter(fault.what for fault in watch.faults)
    there = watch.days[0].there if watch.days else 0.0
    return {
        "mornings": float(len(planned)),
        "uneven": float(uneven),
        "over_minutes": float(what["over minutes"]),
        "impossible": float(what["impossible"]),
        "starved": float(what["starved"]),
        "must_again": float(what["must again"]),
        "most_musts": max((day.musts for day in watch.days), default=0.0),
        "lowerings": float(watch.lowerings),
        "needless": float(watch.needless),
        "late_lowerings": float(watch.late_lowerings),
        "wrong_let_outs": float(watch.wrong_let_outs),
        "back_times": (watch.back_minutes or 0.0) / there if there else 0.0,
        **_band("lengths", watch.unread_lengths),
        **_band("tips_unread", watch.unread_tips),
        **_band("tips_ticked", watch.ticked_tips),
    }


def _band(name: str, bands: Bands) -> dict[str, float]:
    return {f"{name}_asked": float(bands.asked), f"{name}_held": float(bands.held), f"{name}_off_m": bands.off_m}


# ------------------------------------------------------------------------------------------------ pooled


class Pool:
    """Seasons of one grower, with those of the fixed passes in the same houses."""

    def __init__(self, rows: Sequence[Row], fixed: Sequence[Row]) -> None:
        self.rows = rows
        self.fixed = fixed

    def sum(self, name: str) -> float:
        return sum(row.counts.get(name, 0.0) for row in self.rows)

    def of_fixed(self, name: str) -> float:
        return sum(row.counts.get(name, 0.0) for row in self.fixed)

    def share(self, name: str, of: str) -> float | None:
        return _over(self.sum(name), self.sum(of))

    def against(self, name: str) -> float | None:
        """Against the fixed passes."""
        return _over(self.sum(name), self.of_fixed(name))


def _over(part: float, whole: float) -> float | None:
    return part / whole if whole > 0 else None


Measure = Callable[[Pool], float | None]


def _count(name: str) -> Measure:
    return lambda pool: pool.sum(name)


def _share(name: str, of: str) -> Measure:
    return lambda pool: pool.share(name, of)


def _against(name: str) -> Measure:
    return lambda pool: pool.against(name)


def _breaks(pool: Pool) -> float | None:
    return _over(pool.sum("snapped") + pool.sum("dropped"), pool.of_fixed("snapped") + pool.of_fixed("dropped"))


def _most(name: str) -> Measure:
    return lambda pool: max((row.counts.get(name, 0.0) for row in pool.rows), default=0.0)


def _off_cm(name: str) -> Measure:
    def off(pool: Pool) -> float | None:
        mean = pool.share(f"{name}_off_m", f"{name}_asked")
        return None if mean is None else 100 * mean

    return off


LINES: tuple[tuple[str, str, Measure, str], ...] = (
    ("late_share", "ripe fruit left over 7 days, share of kg", _share("late_kg", "ripened_kg"), ".3f"),
    ("tips_early", "tips out 2 weeks too early, share", _share("tips_early", "tips"), ".3f"),
    ("over_share", "head-days over the wire or reach", _share("over_days", "head_days"), ".4f"),
    ("loose_share", "head-days over 45 cm loose", _share("loose_days", "head_days"), ".4f"),
    ("needless_share", "lowerings asked with the tip over 70 cm under", _share("needless", "lowerings"), ".3f"),
    ("starved", "due work starved 7 days with minutes free", _count("starved"), ".0f"),
    ("impossible", "contradictory or impossible chores", _count("impossible"), ".0f"),
    ("over_minutes", "mornings over their minutes, musts aside", _count("over_minutes"), ".0f"),
    ("level_share", "mornings within 1.5 times the week's mean", lambda p: _level(p), ".3f"),
    ("must_again", "same must over 5 work days running", _count("must_again"), ".0f"),
    ("kg_ratio", "kg picked ripe / fixed passes", _against("picked_kg"), ".3f"),
    ("core_ratio", "minutes of like work / fixed passes", _against("core_minutes"), ".3f"),
    ("all_ratio", "all minutes / fixed passes", _against("all_minutes"), ".3f"),
    ("breaks_ratio", "tips snapped and stems dropped / fixed passes", _breaks, ".2f"),
    ("breaks", "  as many", lambda p: p.sum("snapped") + p.sum("dropped"), ".0f"),
    ("breaks_fixed", "  of the fixed passes", lambda p: p.of_fixed("snapped") + p.of_fixed("dropped"), ".0f"),
    ("lengths_held", "lengths of unread stems in their band", _share("lengths_held", "lengths_asked"), ".3f"),
    ("lengths_off_cm", "  told too long by, cm", _off_cm("lengths"), ".1f"),
    ("tips_held", "tips of unread stems in their band", _share("tips_unread_held", "tips_unread_asked"), ".3f"),
    (
        "ticked_held",
        "tips after ticked lowerings in their band",
        _share("tips_ticked_held", "tips_ticked_asked"),
        ".3f",
    ),
    ("ticked_off_cm", "  told too high by, cm", _off_cm("tips_ticked"), ".1f"),
    ("wrong_share", "let-outs over 15 cm wrong after 8 weeks", _share("wrong_let_outs", "late_lowerings"), ".3f"),
    ("back_times", "musts after the fortnight, times the minutes (worst)", _most("back_times"), ".2f"),
    ("most_musts", "most minutes of musts on a morning", _most("most_musts"), ".0f"),
    ("lost", "plants lost", _count("lost"), ".0f"),
    ("picked_kg", "kg picked", _count("picked_kg"), ".0f"),
    ("lowerings", "lowerings asked", _count("lowerings"), ".0f"),
)
"""(key in JSON, as printed, measure, format)."""


def _level(pool: Pool) -> float | None:
    uneven = pool.share("uneven", "mornings")
    return None if uneven is None else 1 - uneven


def scored(rows: Iterable[Row]) -> dict[str, dict[str, float | None]]:
    """Every line of the table, by grower."""
    rows = list(rows)
    fixed = {row.house: row for row in rows if row.grower == FIXED}
    found = {}
    for grower in dict.fromkeys(row.grower for row in rows):
        mine = [row for row in rows if row.grower == grower]
        pool = Pool(mine, [fixed[row.house] for row in mine if row.house in fixed])
        watched = any("mornings" in row.counts for row in mine)
        found[grower] = {key: measure(pool) for key, _, measure, _ in LINES if watched or key in _OF_THE_TRUTH}
    return found


_OF_THE_TRUTH = frozenset({
    "late_share", "tips_early", "over_share", "loose_share", "kg_ratio", "core_ratio", "all_ratio", "breaks",
    "lost", "picked_kg",
})  # fmt: skip


def table(rows: Iterable[Row]) -> str:
    """The score as text, a column for each grower."""
    by_grower = scored(rows)
    lines = [f"{'':<54}" + "".join(f"{grower:>14}" for grower in by_grower)]
    for key, says, _, spec in LINES:
        cells = []
        for values in by_grower.values():
            value = values.get(key)
            cells.append(f"{'-' if value is None else format(value, spec):>14}")
        lines.append(f"{says:<54}" + "".join(cells))
    return "\n".join(lines)


def minutes_by_kind(rows: Iterable[Row], most: int = 14) -> str:
    """Where the minutes went, by kind of chore, a column for each grower; the longest first."""
    rows = list(rows)
    growers = list(dict.fromkeys(row.grower for row in rows))
    spent: dict[str, dict[str, float]] = {}
    for row in rows:
        for name, minutes in row.counts.items():
            if name.startswith("minutes "):
                of = spent.setdefault(name.removeprefix("minutes "), dict.fromkeys(growers, 0.0))
                of[row.grower] += minutes
    longest = sorted(spent.items(), key=lambda one: (-max(one[1].values()), one[0]))[:most]
    return "\n".join(
        f"  minutes of {kind:<42}" + "".join(f"{of[grower]:>14.0f}" for grower in growers) for kind, of in longest
    )


def line(row: Row) -> str:
    """A season in one line."""
    counts = row.counts
    heads = max(1.0, counts["head_days"])
    return (
        f"{row.house} {row.grower:<12} {counts['picked_kg']:6.1f} kg, late {counts['late_kg']:5.1f}, over "
        f"{counts['over_days'] / heads:.3f}, loose {counts['loose_days'] / heads:.3f}, broke "
        f"{counts['snapped'] + counts['dropped']:.0f}, {counts['core_minutes']:.0f} of "
        f"{counts['all_minutes']:.0f} min, {len(row.faults)} faults, {len(row.refused)} refused"
    )


def causes(rows: Iterable[Row], most: int = 4) -> str:
    """House by house, what the rounds should not have said: each kind of fault, its first days and how often."""
    lines = []
    for row in rows:
        if row.grower == FIXED:
            continue
        groups: dict[tuple[str, str], list[tuple[str, str, str, str, str]]] = {}
        for fault in row.faults:
            groups.setdefault((fault[1], fault[2]), []).append(fault)
        lines.append(f"house {row.house}, {row.grower}: {row.says}")
        for (what, kind), found in sorted(groups.items(), key=lambda one: (one[0][0], -len(one[1]))):
            lines.append(f"  {what} {kind}: {len(found)}")
            lines += [f"    {day} {about}: {says[:150]}" for day, _, _, about, says in found[:most]]
        lines += [f"  refused: {one[:160]}" for one in row.refused[:most]]
    return "\n".join(lines)


def document(rows: Iterable[Row], asked: dict[str, Any]) -> dict[str, Any]:
    """For a file: what was asked, the score, and each season."""
    rows = list(rows)
    return {
        "asked": asked,
        "score": scored(rows),
        "houses": [
            {
                "house": row.house,
                "grower": row.grower,
                "says": row.says,
                "counts": {name: round(value, 4) for name, value in row.counts.items()},
                "faults": row.faults,
                "days": row.days,
                "refused": row.refused,
            }
            for row in rows
        ],
    }


def worst_house(rows: Sequence[Row], key: str) -> Row | None:
    """The one with most of a count against the median; for a first look."""
    if not rows:
        return None
    middle = median(row.counts.get(key, 0.0) for row in rows)
    return max(rows, key=lambda row: row.counts.get(key, 0.0) - middle)
