"""Outside files as acts of the journal: read, resolve names by day, compare with what is known, then write.

Everything is worked out before anything is written; what stands (an assumed holding and its plants) is an act of
its own, so that readings can be crossed out and read anew without the plants losing their names.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from msgspec import Struct

from tunneltui.cells import say
from tunneltui.holding import assumed
from tunneltui.holding.crops import USUAL, crop_of
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import KIND_OF, VERSION
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.pages import importing as words
from tunneltui.pages.importing import ColumnRead
from tunneltui.pages.story import sentence
from tunneltui.pages.units import localize
from tunneltui.report.left_out import left_out_by
from tunneltui.report.open_journal import NO_HOLDING, OpenJournal, refuse_future
from tunneltui.season import names
from tunneltui.season.doubts import MOST_KG_A_PLANT
from tunneltui.season.fold import fold
from tunneltui.season.state import Leader, Season
from tunneltui.store.read_again import ChangedRow, FileRow, ReadAgain, put_right, sort_rows
from tunneltui.store.read_air import AirFile
from tunneltui.store.read_measurements import (
    MOST_REFUSED,
    MeasurementsFile,
    StemReading,
    growth_cm_a_day,
)
from tunneltui.store.read_picks import PickRow, PicksFile
from tunneltui.store.read_table import RefusedRow, Table
from tunneltui.store.sheet_columns import unit_for
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.values import replace

Dated = tuple[date, Draft]
FIRST_ROWS = 5
STANDING = (KIND_OF[HoldingSet], KIND_OF[Planted])
PLANTS = frozenset({KIND_OF[Planted]})


class Import(Struct, frozen=True):
    """What a file brings: acts to write in order, and what the grower should know of it."""

    file: str
    acts: tuple[tuple[Dated, ...], ...]
    columns: Mapping[str, str]
    notes: tuple[str, ...]
    """What was found out and what was assumed, each a sentence."""
    new: int
    same: int
    changed: tuple[ChangedRow, ...]
    refused: tuple[RefusedRow, ...]
    replaced: bool
    """Changed rows are among the acts."""
    left_out: tuple[str, ...] = ()
    """Readings taken that make no sense, each a sentence: nothing is learned from them."""
    reading: tuple[ColumnRead, ...] = ()
    """How each column was understood."""


def columns_read(table: Table | None, columns: Mapping[str, str]) -> tuple[ColumnRead, ...]:
    """Columns that nothing was understood of come last, so that none is passed over unsaid."""
    if table is None:
        return ()
    unread = [("not read", column) for column in table.columns if column not in columns.values()]
    read = [
        ColumnRead(
            column,
            what,
            unit_for(table, column),
            tuple(cell for line in table.lines[:12] if (cell := table.cell(line, column)))[:3],
        )
        for what, column in [*columns.items(), *unread]
    ]
    return tuple(column for column in read if column.first or column.what != "not read")


def air_import(journal: OpenJournal, path: Path, air_file: AirFile, replace_changed: bool) -> Import:
    """The days of a logger's file."""
    if journal.holding is None:
        raise UserError(*NO_HOLDING)
    span = air_file.rows[0].day, air_file.rows[-1].day
    notes = [
        *words.air_read(air_file.readings, len(air_file.rows), *span, air_file.repeated, air_file.over_100),
        *air_file.decided,
    ]
    incoming = _import(
        journal, path, air_file.source, air_file.rows, replace_changed, air_file.columns, notes, air_file.refused
    )
    return replace(incoming, reading=columns_read(air_file.table, air_file.columns))


def picks_import(
    journal: OpenJournal, path: Path, picks_file: PicksFile, replace_changed: bool, take_odd: bool | None = None
) -> Import:
    """Weighed picks, each resolved by the names that held on its day.

    Raises:
        Doubt: they are far too heavy for the plants that stand and the file names no unit, or the grower has not
            said whether to take them all the same.
    """
    if journal.holding is None:
        raise UserError(*NO_HOLDING)
    on = _Seasons(journal.entries)
    planted = min((entry.day for entry in journal.entries if entry.kind in PLANTS), default=None)
    rows: list[FileRow] = []
    heavy: list[tuple[int, float, int]] = []
    refused = list(picks_file.refused)
    for pick in picks_file.picks:
        if planted is not None and pick.day < planted:
            refused.append(RefusedRow(pick.line, f"{pick.day} is before anything was planted here ({planted})"))
            continue
        season = on(pick.day)
        try:
            about, cultivar = _picked_where(season, pick)
        except UserError as trouble:
            refused.append(RefusedRow(pick.line, str(trouble).replace("\n", " ")))
            continue
        plants = len(_plants_at(season, about, cultivar))
        if pick.kg > MOST_KG_A_PLANT * max(plants, 1):
            heavy.append((pick.line, pick.kg, plants))
            if not take_odd:
                refused.append(RefusedRow(pick.line, words.too_heavy(pick.kg, plants)))
                continue
        body = Picked(cultivar, kg=pick.kg, count=pick.count, grade=pick.grade)
        rows.append(FileRow(pick.line, pick.day, about, body))
    _doubt_weights(path, picks_file, heavy, take_odd)
    _refuse_if_none(path, rows, refused)
    _refuse_if_most(path, len(picks_file.picks), len(rows))
    incoming = _import(
        journal,
        path,
        picks_file.source,
        rows,
        replace_changed,
        picks_file.columns,
        list(picks_file.decided),
        refused,
    )
    return replace(incoming, reading=columns_read(picks_file.table, picks_file.columns))


def _doubt_weights(
    path: Path, picks_file: PicksFile, heavy: Sequence[tuple[int, float, int]], take_odd: bool | None
) -> None:
    if not heavy or take_odd is not None:
        return
    line, kg, plants = heavy[0]
    begin = localize(say("{}, line {}: {}.", path.name, line, words.too_heavy(kg, plants)))
    if not picks_file.unit_known and kg / 1000 <= MOST_KG_A_PLANT * max(plants, 1):
        raise Doubt(
            begin, "unit", (("g", "these are grams"), ("lb", "pounds"), ("kg", "kilograms all the same")), "kg"
        )
    if len(heavy) > 1 or not picks_file.unit_known:
        answers = (("leave", f"leave the {len(heavy)} rows out"), ("take", "take them all the same"))
        raise Doubt(begin, "odd", answers)


def _picked_where(season: Season, pick: PickRow) -> tuple[str, str]:
    """Where and of what cultivar a pick was. A heading of a wide sheet may name either."""
    if pick.cultivar and not pick.about:
        try:
            return "", names.cultivar_key(season, pick.cultivar)
        except UserError:
            with suppress(UserError):
                about = names.place_name(season, pick.cultivar)
                return about, _only_cultivar(season, about)
            raise
    try:
        about = names.place_name(season, pick.about)
    except UserError:
        # Plants are called by bare labels in a sheet of picks as in one of measuring.
        about = assumed.place_of(pick.about)
        if about not in season.layout.places:
            raise
    return about, names.cultivar_key(season, pick.cultivar) if pick.cultivar else _only_cultivar(season, about)


def _plants_at(season: Season, about: str, cultivar: str = "") -> set[str]:
    """Places of the plants that stand in a row, tunnel, place or, for '', the house."""
    rows = {about, *(row for row, (tunnel, _) in season.layout.rows.items() if tunnel.key == about)}
    return {
        leader.place
        for leader in season.leaders.values()
        if (not about or leader.row in rows or leader.place == about) and cultivar in ("", leader.cultivar)
    }


def _only_cultivar(season: Season, about: str) -> str:
    """The cultivar of a pick that names none: the only one that stands there."""
    places = _plants_at(season, about)
    standing = {leader.cultivar for leader in season.leaders.values() if leader.place in places}
    if not standing:
        raise UserError(f"nothing stood in {about or 'the house'} on {season.day}: is the day right?")
    if len(standing) > 1:
        raise UserError(f"which cultivar was picked is not said, and {len(standing)} stand there.")
    return standing.pop()


def measurements_import(
    journal: OpenJournal,
    path: Path,
    stems_file: MeasurementsFile,
    replace_changed: bool,
    assumption: assumed.Assumption | None = None,
    planted_on: date | None = None,
) -> Import:
    """Weekly readings; into an empty journal they bring an assumed holding and its plants with them.

    ``assumption`` and ``planted_on`` say what is to be assumed.

    Raises:
        UserError: they are given though the journal has a holding, or no row can be taken.
    """
    if journal.holding is not None and (assumption is not None or planted_on is not None):
        say = "The journal has a holding already, so nothing is assumed."
        raise UserError(say, "Leave those flags out; `tunneltui holding edit` changes what stands.")
    standing, holding = _standing(journal, stems_file, assumption or assumed.Assumption(), planted_on)
    entries = [*journal.entries, *as_entries(standing)]
    on = _Seasons(entries)
    rows: list[FileRow] = []
    refused = list(stems_file.refused)
    for reading in stems_file.readings:
        try:
            leader = _read_stem(on(reading.day), holding, reading)
        except UserError as trouble:
            refused.append(RefusedRow(reading.line, str(trouble).replace("\n", " ")))
            continue
        rows.append(FileRow(reading.line, reading.day, leader.place, replace(reading.reading, leader=leader.id)))
    _refuse_if_none(path, rows, refused)
    _refuse_if_most(path, len(stems_file.readings), len(rows))
    notes = [*stems_file.decided, *(words.assumed(holding.notes) if standing else ())]
    incoming = _import(journal, path, stems_file.source, rows, replace_changed, stems_file.columns, notes, refused)
    incoming = replace(incoming, reading=columns_read(stems_file.table, stems_file.columns))
    refuse_future(standing, journal.today)
    acts = tuple(act for act in (tuple(standing), *incoming.acts) if act)
    return replace(
        incoming, acts=acts, left_out=left_out_by(journal.entries, [drafts for act in acts for drafts in act])
    )


def _read_stem(season: Season, holding: Holding, reading: StemReading) -> Leader:
    """The leader that a row of a sheet speaks of: by its own label, or its plant in the row that is named."""
    if holding.assumed:
        return names.leader(season, assumed.place_of(reading.label))
    row = next(
        (name for name in season.layout.rows if reading.row and name.casefold() == reading.row.casefold()), ""
    )
    if reading.row and not row:
        try:
            return names.leader(season, reading.label)
        except UserError:
            raise UserError(f"there is no row {reading.row!r}, and no plant {reading.label!r}.") from None
    return names.leader(season, reading.plant or reading.label, row)


def _standing(
    journal: OpenJournal, stems_file: MeasurementsFile, assumption: assumed.Assumption, planted_on: date | None
) -> tuple[list[Dated], Holding]:
    """The holding and plants to write first, and the holding that then stands; none where all stand already."""
    holding = journal.holding
    if holding is not None and not holding.assumed:
        return [], holding
    if holding is None:
        assumption = _with_crop(stems_file, assumption)
        missing, holding = (
            list(stems_file.labels),
            assumed.assumed_holding(stems_file.labels, assumption, stems_file.cultivars),
        )
    else:
        standing = {place.name for tunnel in holding.tunnels for row in tunnel.rows for place in row.places}
        missing = [label for label in stems_file.labels if assumed.place_of(label) not in standing]
        holding = assumed.with_more_places(holding, missing, stems_file.cultivars) if missing else holding
    if not missing:
        return [], holding
    planted = [
        FileRow(
            0,
            min(planted_on or stems_file.visited[label], stems_file.visited[label]),
            assumed.place_of(label),
            Planted(stems_file.cultivars.get(label) or assumed.CULTIVAR),
        )
        for label in missing
    ]
    since = min(row.day for row in planted)
    return [
        (since, draft("", HoldingSet(to_toml(holding)))),
        *sort_rows(journal.entries, "assumed plants", planted).new,
    ], holding


def _with_crop(stems_file: MeasurementsFile, assumption: assumed.Assumption) -> assumed.Assumption:
    """What to assume, with the crop that the stems' growth tells where the grower has not said it.

    Raises:
        Doubt: the stems grow faster than any tomato's, and the file names no unit that would make it certain.
    """
    if assumption.crop:
        return assumption
    rate_cm = growth_cm_a_day(stems_file.readings)
    if rate_cm <= crop_of(USUAL.key).fastest_cm_a_day:
        return replace(assumption, crop=USUAL.key)
    if stems_file.length_unit_known:
        return replace(assumption, crop=FASTER)
    raise Doubt(
        f"The stems grow {rate_cm:.0f} cm a day in the middle, faster than any tomato.",
        "crop",
        ((FASTER, "they are cucumbers"), (USUAL.key, "they are tomatoes; look at the unit of length, too")),
    )


FASTER = "cucumber"
"""The crop of stems that grow faster than any tomato."""


def _refuse_if_most(path: Path, read: int, taken: int) -> None:
    if taken < read * (1 - MOST_REFUSED):
        raise UserError(
            f"{read - taken} of {read} rows of {path.name} speak of plants or places that are not known, so "
            "nothing was written.",
            "`tunneltui holding show` has the names; --map says which column holds them.",
        )


def as_entries(dated: Sequence[Dated]) -> list[Entry]:
    """Drafts as if they were written: only to see what would stand then."""
    return [
        Entry(
            dated_draft.id or f"assumed {n}",
            "assumed",
            "",
            day,
            n,
            "",
            dated_draft.about,
            dated_draft.kind,
            VERSION,
            dated_draft.body,
        )
        for n, (day, dated_draft) in enumerate(dated)
    ]


class _Seasons:
    """The season on each day that a file speaks of, folded once."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self._entries = entries
        self._known: dict[date, Season] = {}

    def __call__(self, day: date) -> Season:
        if day not in self._known:
            self._known[day] = fold(self._entries, day)
        return self._known[day]


def _refuse_if_none(path: Path, rows: Sequence[FileRow], refused: Sequence[RefusedRow]) -> None:
    if not rows:
        # Not the sum under the sheet: what most rows were refused for.
        times = Counter(row.why for row in refused)
        first = min(refused, key=lambda row: (-times[row.why], row.line), default=None)
        why = f"Line {first.line}: {first.why}" if first is not None else ""
        raise UserError(f"No row of {path.name} could be taken, so nothing was written.", why)


def _import(
    journal: OpenJournal,
    path: Path,
    source: str,
    rows: Sequence[FileRow],
    replace_changed: bool,
    columns: Mapping[str, str],
    notes: Sequence[str],
    refused: Sequence[RefusedRow],
) -> Import:
    against: ReadAgain = sort_rows(journal.entries, source, rows)
    drafts = put_right(journal.entries, source, rows) if replace_changed and against.changed else against.new
    refuse_future(drafts, journal.today)
    return Import(
        path.name,
        (tuple(drafts),) if drafts else (),
        columns,
        tuple(notes),
        len(against.new),
        against.same,
        against.changed,
        tuple(sorted(refused, key=lambda row: row.line)),
        replace_changed,
    )


def first_rows(incoming: Import) -> tuple[str, ...]:
    """The first entries that would be written, in words."""
    written = as_entries([dated for act in incoming.acts for dated in act])
    if not written:
        return ()
    season = fold(written, max(entry.day for entry in written))
    rows = [entry for entry in written if entry.kind not in STANDING]
    return tuple(
        localize(say("{} {}: {}", f"{row.day}", row.about, sentence(season, row))) for row in rows[:FIRST_ROWS]
    )


def import_document(incoming: Import, rows: Sequence[str] = (), notes: Sequence[str] = ()) -> dict[str, Any]:
    """What an import did or, with its first ``rows`` in words, would do, for ``--json``."""
    return {
        "columns": dict(incoming.columns),
        "reading": [
            {
                "column": column.column,
                "what": column.what,
                "unit": column.unit or None,
                "first": list(column.first),
            }
            for column in incoming.reading
        ],
        "says": [*notes, *incoming.notes],
        "rows": list(rows),
        "new": incoming.new,
        "same": incoming.same,
        "changed": [
            {"line": changed.row.line, "day": changed.row.day.isoformat(), "about": changed.row.about}
            for changed in incoming.changed
        ],
        "replaced": incoming.replaced and bool(incoming.changed),
        "refused": [{"line": refused.line, "why": refused.why} for refused in incoming.refused],
        "left_out": list(incoming.left_out),
    }


def import_text(
    incoming: Import, rows: Sequence[str], notes: Sequence[str], wrap: Callable[[str], Sequence[str]]
) -> str:
    """The same in words."""
    brought = words.ImportSummary(
        incoming.file,
        incoming.columns,
        incoming.reading,
        (*notes, *incoming.notes),
        rows,
        incoming.new,
        incoming.same,
        [(changed.row.line, changed.row.day, changed.row.about) for changed in incoming.changed],
        incoming.replaced,
        [(refused.line, refused.why) for refused in incoming.refused],
        incoming.left_out,
    )
    return words.import_text(brought, wrap)
