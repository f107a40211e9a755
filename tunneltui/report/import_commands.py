"""Commands that take outside files in: a logger's air, weekly measurements, picks. See ``report.commands``.

What is told by flags of a shape of file (its headings) is kept and holds for the next file of that shape.
"""

from __future__ import annotations

from argparse import Namespace as Args
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tunneltui.report import door

if TYPE_CHECKING:
    from tunneltui.holding.assumed import Assumption
    from tunneltui.report.at_hand import AtHand
    from tunneltui.report.importing import Import
    from tunneltui.store.told_columns import Told


def air(args: Args) -> int:
    from tunneltui.report import care_commands
    from tunneltui.report.importing import air_import
    from tunneltui.season.names import place_name
    from tunneltui.store.read_air import read_air
    from tunneltui.store.read_table import read_table
    from tunneltui.store.told_columns import Told

    if args.file == Path("show"):
        return care_commands.air_show(args)
    here = door.at_hand(args)
    season = here.ready_season()
    tunnel = place_name(season, args.tunnel)
    table = read_table(args.file)
    shape = _Shape("air", table.shape)
    told = shape.told(Told(dict(args.map), args.dates))
    said = read_air(table, season.holding.zone, tunnel=tunnel, told=told.columns, dates=told.dates)
    return _import(args, here, air_import(here, args.file, said, args.replace), shape, told)


def measurements(args: Args) -> int:
    from tunneltui.report.importing import measurements_import
    from tunneltui.store.read_measurements import read_measurements
    from tunneltui.store.read_table import read_table
    from tunneltui.store.told_columns import Told

    table = read_table(args.file)
    shape = _Shape("measurements", table.shape)
    told = shape.told(Told(dict(args.map), args.dates, args.as_, args.trusses_as, args.stems))
    said = read_measurements(
        table,
        told=told.columns,
        dates=told.dates,
        length_as=told.length_as,
        trusses_as=told.trusses_as,
        stems=told.stems,
    )
    here = door.begun(args, args.zone or "UTC")
    wanted = _with_latitude(here, _assumption(args))
    found = measurements_import(here, args.file, said, args.replace, wanted, args.planted)
    return _import(args, here, found, shape, told)


def _assumption(args: Args) -> Assumption | None:
    """What is to be assumed, where the grower said any of it."""
    from tunneltui.holding.assumed import Assumption

    said = {
        "wire_m": args.wire,
        "training": args.method,
        "fruit": args.fruit,
        "latitude_deg": args.latitude,
        "zone": args.zone,
        "lit": args.lit or None,
    }
    given = {name: value for name, value in said.items() if value is not None}
    return Assumption(**given) if given else None


def _with_latitude(here: AtHand, wanted: Assumption | None) -> Assumption | None:
    """For an empty journal: the latitude of the zone said, else of this machine's, where none is known."""
    from dataclasses import replace

    from tunneltui.holding.assumed import Assumption
    from tunneltui.report.beginning import machine_zone
    from tunneltui.store.zone_latitude import latitude_of

    said = wanted or Assumption()
    if here.holding is not None or said.lit or said.latitude_deg is not None:
        return wanted
    known = latitude_of(said.zone if wanted and wanted.zone != Assumption().zone else machine_zone())
    return wanted if known is None else replace(said, latitude_deg=known, by_zone=True)


def picks(args: Args) -> int:
    from tunneltui.report.importing import picks_import
    from tunneltui.store.read_picks import read_picks
    from tunneltui.store.read_table import read_table
    from tunneltui.store.told_columns import Told

    here = door.at_hand(args)
    table = read_table(args.file)
    shape = _Shape("picks", table.shape)
    told = shape.told(Told(dict(args.map), args.dates))
    said = read_picks(table, told=told.columns, dates=told.dates)
    return _import(args, here, picks_import(here, args.file, said, args.replace), shape, told)


class _Shape(NamedTuple):
    """Files of one kind with the same headings."""

    kind: str
    headings: str

    def told(self, now: Told) -> Told:
        """What the flags say, over what was told before of such files."""
        return now.over(self.before())

    def before(self) -> Told:
        from tunneltui.store.folders import config_folder
        from tunneltui.store.told_columns import told_before

        return told_before(config_folder(), self.kind, self.headings)

    def keep(self, told: Told) -> Path:
        from tunneltui.store.folders import config_folder
        from tunneltui.store.told_columns import keep_told

        return keep_told(config_folder(), self.kind, self.headings, told)


def _import(args: Args, here: AtHand, found: Import, shape: _Shape, told: Told) -> int:
    from tunneltui.report import importing, plain

    says = _taken_as_told(shape, told, args.look)
    rows = importing.first_rows(found) if args.look else ()
    if args.look:
        says.append("Nothing was written; without --look it will be.")
    elif found.acts:
        _write(here, found)
    return door.say(
        args,
        lambda: importing.import_document(found, rows, says),
        lambda: importing.import_text(
            found, rows, says, lambda text: list(plain.wrapped(text, "", "    ", as_typed=True))
        ),
    )


def _write(here: AtHand, found: Import) -> None:
    from tunneltui.store.journals import back_up

    if here.entries:
        back_up(here.where, "import")
    here.write(*found.acts)


def _taken_as_told(shape: _Shape, told: Told, look: bool) -> list[str]:
    """Says what of an earlier file holds for this one; keeps what was told anew."""
    from tunneltui.store.told_columns import Told

    if told == Told():
        return []
    if told == shape.before():
        return ["Read as you told of an earlier file with these headings (imports.toml beside the settings)."]
    if look:
        return ["What you tell of these headings is kept once the file is taken."]
    return [f"Kept for the next file with these headings, in {shape.keep(told)}."]
