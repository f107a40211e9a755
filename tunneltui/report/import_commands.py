"""Commands that take outside files in: a logger's air, weekly measurements, picks.

A file is read; what it leaves open is asked on a terminal, else refused with the flag that answers it. On a
terminal the grower sees how it was understood before anything is written. What is told by flags of a shape of
file (its headings) is kept and holds for the next file of that shape.
"""

from __future__ import annotations

import sys
from argparse import ArgumentTypeError
from argparse import Namespace as Args
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple, TypeVar

from tunneltui.holding.assumed import Assumption
from tunneltui.pages.importing import KEPT_ONCE_TAKEN, READ_AS_TOLD, columns_kept
from tunneltui.pages.text import wrapped
from tunneltui.report import care_commands, command_helpers, importing, typed_flags
from tunneltui.report.beginning import machine_zone
from tunneltui.report.importing import Import, air_import, as_entries, measurements_import, picks_import
from tunneltui.report.open_journal import OpenJournal, latest_holding
from tunneltui.season.names import place_name
from tunneltui.store.journals import back_up
from tunneltui.store.read_air import read_air
from tunneltui.store.read_measurements import read_measurements
from tunneltui.store.read_picks import read_picks
from tunneltui.store.read_table import Table, read_table
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_hints import SheetHints
from tunneltui.store.sheet_words import meaning
from tunneltui.store.zone_latitude import latitude_of
from tunneltui.values import replace

T = TypeVar("T")


class FileRead(NamedTuple):
    """One file as it would be written."""

    imported: Import
    shape: _Shape
    hints: SheetHints


def air(args: Args) -> int:

    if args.file == Path("show"):
        return care_commands.air_show(args)
    journal = command_helpers.read_journal(args)
    return _take(args, journal, [_with_answers(args, lambda: _air(args, journal))])


def _air(args: Args, journal: OpenJournal) -> FileRead:

    season = journal.ready_season()
    tunnel = place_name(season, args.tunnel)
    table = _table(args, args.file)
    shape = _Shape("air", table.shape)
    hints = shape.hints(_hints_given(args))
    air_file = read_air(
        table,
        season.holding.zone,
        tunnel=tunnel,
        mapped=hints.columns,
        dates=hints.dates,
        year=args.year,
        units=hints.units,
        southern=(season.holding.latitude_deg or 0.0) < 0,
        progress=_progress,
    )
    return FileRead(air_import(journal, args.file, air_file, args.replace), shape, hints)


def measurements(args: Args) -> int:
    journal = command_helpers.begun(args, args.zone or "UTC")
    files: list[Path] = args.file
    read = [_with_answers(args, lambda: _stems_or_picks(args, journal, files[0]))]
    for file in files[1:]:
        # What the files before it bring stands when the next one is read: plants, for the picks of them.
        dated = [drafts for file in read for act in file.imported.acts for drafts in act]
        entries = [*journal.entries, *as_entries(dated)]
        after = replace(journal, entries=entries, holding=latest_holding(entries))
        read.append(_with_answers(args, lambda file=file, after=after: _stems_or_picks(args, after, file)))  # type: ignore[misc]
    return _take(args, journal, read)


def _stems_or_picks(args: Args, journal: OpenJournal, file: Path) -> FileRead:

    table = _table(args, file)
    weighs = any(meaning("picks", column) == "kg" for column in table.columns)
    measures = any(meaning("measurements", c) in ("length", "total", "flowering", "tip") for c in table.columns)
    if weighs and not measures and len(args.file) > 1:
        return _picks(args, journal, file)
    return _measurements(args, journal, table, file)


def _measurements(args: Args, journal: OpenJournal, table: Table, file: Path) -> FileRead:

    shape = _Shape("measurements", table.shape)
    hints = shape.hints(_hints_given(args))
    stems_file = read_measurements(
        table,
        mapped=hints.columns,
        dates=hints.dates,
        length_as=hints.length_as,
        trusses_as=hints.trusses_as,
        stems=hints.stems,
        year=args.year,
        units=hints.units,
    )
    assumption = _with_latitude(journal, _assumption(args))
    return FileRead(
        measurements_import(journal, file, stems_file, args.replace, assumption, args.planted), shape, hints
    )


def _assumption(args: Args) -> Assumption | None:
    """What is to be assumed, where the grower said any of it."""

    flags = {
        "wire_m": args.wire,
        "training": args.method,
        "fruit": args.fruit,
        "latitude_deg": args.latitude,
        "zone": args.zone,
        "crop": args.crop,
        "lit": args.lit or None,
    }
    given = {name: value for name, value in flags.items() if value is not None}
    return Assumption(**given) if given else None


def _with_latitude(journal: OpenJournal, assumption: Assumption | None) -> Assumption | None:
    """For an empty journal: the latitude of the zone said, else of this machine's, where none is known."""

    assumed = assumption or Assumption()
    if journal.holding is not None or assumed.lit or assumed.latitude_deg is not None:
        return assumption
    latitude_deg = latitude_of(
        assumed.zone if assumption and assumption.zone != Assumption().zone else machine_zone()
    )
    return assumption if latitude_deg is None else replace(assumed, latitude_deg=latitude_deg, by_zone=True)


def picks(args: Args) -> int:
    journal = command_helpers.read_journal(args)
    return _take(args, journal, [_with_answers(args, lambda: _picks(args, journal, args.file))])


def _picks(args: Args, journal: OpenJournal, file: Path) -> FileRead:

    table = _table(args, file)
    shape = _Shape("picks", table.shape)
    hints = shape.hints(_hints_given(args))
    picks_file = read_picks(table, mapped=hints.columns, dates=hints.dates, year=args.year, units=hints.units)
    odd = None if args.odd is None else args.odd == "take"
    return FileRead(picks_import(journal, file, picks_file, args.replace, odd), shape, hints)


def _table(args: Args, file: Path) -> Table:

    return read_table(file, sheet=args.sheet, skip=args.skip, decimal=args.decimal)


def _hints_given(args: Args) -> SheetHints:
    """What the flags say of the file's shape."""

    return SheetHints(
        dict(args.map),
        args.dates,
        getattr(args, "as_", None),
        getattr(args, "trusses_as", None),
        getattr(args, "stems", None),
        dict(args.unit),
    )


def _progress(done: int, of: int) -> None:
    """How far a long file is read, on a terminal only; nothing of it stays there."""
    screen = sys.__stderr__
    if screen is not None and screen.isatty() and of > 50_000:
        screen.write(f"\r{done:,} of {of:,} lines read")
        screen.flush()


class _Shape(NamedTuple):
    """Files of one kind with the same headings."""

    kind: str
    headings: str

    def hints(self, flags: SheetHints) -> SheetHints:
        """What the flags say, over what was kept of earlier files of this shape."""
        return flags.over(self.before())

    def before(self) -> SheetHints:
        from tunneltui.store.folders import config_folder
        from tunneltui.store.sheet_hints import hints_before

        return hints_before(config_folder(), self.kind, self.headings)

    def keep(self, hints: SheetHints) -> Path:
        from tunneltui.store.folders import config_folder
        from tunneltui.store.sheet_hints import keep_hints

        return keep_hints(config_folder(), self.kind, self.headings, hints)


def _asks(args: Args) -> bool:
    """Whether a person sits there who can be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty() and not (args.json or args.look)


def _with_answers(args: Args, read: Callable[[], T]) -> T:
    """Reads, asking what is open; each answer is as if its flag had been given.

    Raises:
        Doubt: nobody is there to ask, or the grower gave no answer.
    """

    while True:
        try:
            return read()
        except Doubt as doubt:
            if not _asks(args) or not _answered(args, doubt):
                raise


def _answered(args: Args, doubt: Doubt) -> bool:
    """Asks one open question, the likely answer first; False where the grower leaves it open."""
    print(doubt.problem)
    for number, (value, words) in enumerate(doubt.answers, 1):
        print(f"  {number}  {words or value}")
    while True:
        default = " (enter: 1)" if doubt.answers else ""
        text = input(f"{_WORDS.get(doubt.flag, 'Your answer')}{default}, or q to leave: ").strip()
        if text.lower() == "q":
            return False
        if doubt.answers and (not text or text.isdigit()):
            number = int(text or 1)
            if not 1 <= number <= len(doubt.answers):
                continue
            text = doubt.answers[number - 1][0]
        try:
            _set_flag(args, doubt, text)
        except (ArgumentTypeError, ValueError) as fault:
            print(f"{fault}")
            continue
        return True


_WORDS = {"year": "Of which year are they", "stems": "How many stems"}


def _set_flag(args: Args, doubt: Doubt, value: str) -> None:

    pair = f"{doubt.about}={value}" if doubt.about else value
    if doubt.flag == "map":
        args.map = [*args.map, typed_flags.column(pair)]
    elif doubt.flag == "unit":
        args.unit = [*args.unit, typed_flags.unit_of_column(pair)]
    elif doubt.flag == "dates":
        args.dates = typed_flags.date_order(value)
    elif doubt.flag in ("year", "stems"):
        setattr(args, doubt.flag, typed_flags.count(value))
    else:
        setattr(args, {"as": "as_"}.get(doubt.flag, doubt.flag.replace("-", "_")), value)


def _take(args: Args, journal: OpenJournal, read: list[FileRead]) -> int:
    """Shows how the files were understood and writes them, on a terminal once the grower has agreed."""

    def wrap(text: str) -> list[str]:
        return wrapped(text, "", "    ")

    acts = [act for file in read for act in file.imported.acts]
    if _asks(args) and acts:
        for file in read:
            sys.stdout.write(importing.import_text(file.imported, importing.first_rows(file.imported), (), wrap))
        if input("enter writes this, q leaves it: ").strip():
            print("Nothing was written.")
            return command_helpers.DONE
    hint_notes = [_keep_hints(file.shape, file.hints, args.look) for file in read]
    rows = [importing.first_rows(file.imported) if args.look else () for file in read]
    if args.look:
        hint_notes[-1].append("Nothing was written; without --look it will be.")
    elif acts:
        if journal.entries:
            back_up(journal.where, "import")
        journal.write(*acts)
    documents = [
        importing.import_document(file.imported, shown, notes)
        for file, shown, notes in zip(read, rows, hint_notes, strict=True)
    ]
    return command_helpers.print_result(
        args,
        lambda: documents[0] if len(documents) == 1 else documents,
        lambda: "\n".join(
            importing.import_text(file.imported, shown, notes, wrap)
            for file, shown, notes in zip(read, rows, hint_notes, strict=True)
        ),
    )


def _keep_hints(shape: _Shape, hints: SheetHints, look: bool) -> list[str]:
    """Keeps new hints for the next file; the sentence that says so, or that earlier ones were used."""

    if hints == SheetHints():
        return []
    if hints == shape.before():
        return [READ_AS_TOLD]
    return [KEPT_ONCE_TAKEN if look else columns_kept(str(shape.keep(hints)))]
