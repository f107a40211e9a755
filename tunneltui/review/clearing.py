"""The end of a crop: rows in their order of work, what is to be counted back, what becomes of it. Pure.

The order of work (common practice, no source): strip green before frost, healthy stems first, clips bottom up into
the pocket, hooks last, suspects at the very end and off the land.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from tunneltui.chores.clearing import read_lately
from tunneltui.chores.making import in_order_of_work
from tunneltui.review.clip_survival import ClipRecord
from tunneltui.review.record import SeasonRecord, StrippedRecord, bed_name
from tunneltui.season.state import Season


class RowClearing(Struct, frozen=True):
    """A row that still stands."""

    row: str
    order: tuple[str, ...]
    """Leaders as they are taken down."""
    suspects: tuple[str, ...]
    """Last, and not on the compost."""
    clips: dict[str, int]
    """Up now, by kind; '' where the kind was not said."""
    ties: int
    hooks: int
    strings: int
    to_measure: tuple[str, ...]
    """Marked stems whose length was not read in the last two weeks."""
    bed: str
    intended: tuple[str, ...]
    """What the holding intends for its places that does not stand there yet."""


class Back(Struct, frozen=True):
    """What comes back of one kind, and where it goes."""

    kind: str
    count: int
    compost: bool
    """It rots with the stems; else back to its box."""
    pool: str = ""
    year: int | None = None
    """Pool and year of the box, where the holding says them."""


class BedClearing(Struct, frozen=True):
    bed: str
    """'' for rows in no bed."""
    rows: tuple[str, ...]
    plants: int
    suspects: int
    """Plants off the land instead of on the compost."""
    clips: tuple[Back, ...]
    hooks: int
    twines: tuple[Back, ...]
    """Strings that hang, by kind of twine."""
    crops: int
    """Seasons in which it held this crop, this one counted; a bed tired of one family shows here first."""


class Clearing(Struct, frozen=True):
    clips_up: int
    clips_back: int
    clips_down: int
    """Came down with cleared plants."""
    hooks_up: int
    green_kg: float | None
    ripened_kg: float | None
    lost_kg: float | None
    """Stripped and not ripened, where what ripened was noted."""
    rows: tuple[RowClearing, ...]
    beds: tuple[BedClearing, ...] = ()
    """In the order of the rows."""


def clearing(
    season: Season, written: SeasonRecord, stripped: tuple[StrippedRecord, ...], clips: list[ClipRecord]
) -> Clearing:
    """``stripped`` in the span that is asked about; ``clips`` as ``clip_survival`` has them."""
    green = [stripped_record.kg for stripped_record in stripped if stripped_record.kg is not None]
    ripened = [
        stripped_record.ripened_kg for stripped_record in stripped if stripped_record.ripened_kg is not None
    ]
    unripe = [
        stripped_record.kg - stripped_record.ripened_kg
        for stripped_record in stripped
        if stripped_record.kg is not None
        and stripped_record.ripened_kg is not None
        and stripped_record.kg >= stripped_record.ripened_kg
    ]
    return Clearing(
        sum(kind.holding for kind in clips),
        sum(kind.taken_back for kind in clips),
        sum(kind.came_down for kind in clips),
        sum(leader.hook is not None for leader in season.leaders.values()),
        sum(green) if green else None,
        sum(ripened) if ripened else None,
        sum(unripe) if unripe else None,
        tuple(_row(season, row) for row in season.layout.rows if season.leaders_of_row(row)),
        tuple(_beds(season, written)),
    )


def _beds(season: Season, written: SeasonRecord) -> Iterator[BedClearing]:
    by_bed: dict[str, list[str]] = {}
    for row, (tunnel, standing) in season.layout.rows.items():
        if season.leaders_of_row(row):
            by_bed.setdefault(bed_name(season.layout, tunnel, standing.bed), []).append(row)
    for bed, rows in by_bed.items():
        leaders = [leader for row in rows for leader in season.leaders_of_row(row)]
        clips = Counter(f.clip_kind for leader in leaders for f in leader.fixings if not f.tie)
        twines = Counter(string.twine for string in season.strings.values() if string.row in rows)
        yield BedClearing(
            bed,
            tuple(rows),
            len({leader.plant for leader in leaders}),
            len({leader.plant for leader in leaders if leader.suspect}),
            tuple(_clips_back(season, kind, n) for kind, n in sorted(clips.items())),
            sum(leader.hook is not None for leader in leaders),
            tuple(_twine_back(season, kind, n) for kind, n in sorted(twines.items())),
            len({plant.planted_on.year for plant in written.plants if bed and plant.site.bed == bed}),
        )


def _clips_back(season: Season, key: str, n: int) -> Back:
    clip_kind = next((kind for kind in season.holding.clips if kind.key == key), None)
    return (
        Back(key, n, False)
        if clip_kind is None
        else Back(key, n, clip_kind.biodegradable, clip_kind.pool, clip_kind.year)
    )


def _twine_back(season: Season, key: str, n: int) -> Back:
    twine_kind = next((kind for kind in season.holding.twines if kind.key == key), None)
    return Back(key, n, twine_kind is not None and twine_kind.biodegradable)


def _row(season: Season, row: str) -> RowClearing:
    leaders = in_order_of_work(season.leaders_of_row(row))
    tunnel, standing = season.layout.rows[row]
    fixings = [fixing for leader in leaders for fixing in leader.fixings]
    bed = bed_name(season.layout, tunnel, standing.bed)
    return RowClearing(
        row,
        tuple(leader.name for leader in leaders),
        tuple(leader.name for leader in leaders if leader.suspect),
        dict(sorted(Counter(fixing.clip_kind for fixing in fixings if not fixing.tie).items())),
        sum(fixing.tie for fixing in fixings),
        sum(leader.hook is not None for leader in leaders),
        sum(string.row == row for string in season.strings.values()),
        tuple(leader.name for leader in leaders if leader.marked_on and not read_lately(season, leader)),
        bed,
        tuple(
            sorted({place.cultivar for place in standing.places} - {leader.cultivar for leader in leaders} - {""})
        ),
    )
