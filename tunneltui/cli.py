"""The door: commands and their flags. Everything but argparse is imported inside the command that needs it.

Exit status: 0 done, 1 the data is at fault (said on stderr, nothing changed), 2 wrong usage.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tunneltui import __version__
from tunneltui.holding.trouble import Trouble

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.holding.assumed import Assumption
    from tunneltui.journal.entry import Draft
    from tunneltui.report.at_hand import AtHand
    from tunneltui.report.importing import Import

Args = argparse.Namespace


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command; the exit status."""
    args = _parser().parse_args(argv)
    try:
        status: int = args.run(args)
        sys.stdout.flush()
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except BrokenPipeError:
        # The reader (head, less) went away: what it wanted it has. Nothing may be written at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
    return status


# ---------------------------------------------------------------------------------------------- the commands


def _app(args: Args) -> int:
    from tunneltui.store.folders import default_journal

    at = args.at or default_journal()
    if not at.exists():
        raise Trouble(
            f"There is no journal yet at {at}.",
            "`tunneltui new` begins one, `tunneltui demo` opens a made-up tunnel.",
        )
    return _opened(args, at)


def _demo(args: Args) -> int:
    from tunneltui.demo.make import make_demo
    from tunneltui.store.folders import demo_journal

    at = args.at or demo_journal()
    make_demo(at)
    return _opened(args, at)


def _opened(args: Args, at: Path) -> int:
    """The app on a terminal, else the round in print."""
    args.at = at
    if _in_print(args):
        return _round(args)
    from tunneltui.screens.app import run

    return run(at, _at_hand(args).day)


def _round(args: Args) -> int:
    from tunneltui.report import documents, plain

    morning = _morning(args)
    return _say(args, lambda: documents.round_document(morning.round), lambda: plain.round_text(morning))


def _loads(args: Args) -> int:
    from tunneltui.report import documents, plain

    morning = _morning(args)
    return _say(args, lambda: documents.loads_document(morning.loads), lambda: plain.loads_text(morning))


def _outlook(args: Args) -> int:
    from tunneltui.report import documents, plain

    morning = _morning(args)
    return _say(
        args,
        lambda: documents.outlook_document(morning.season, morning.outlook),
        lambda: plain.outlook_text(morning),
    )


def _add(args: Args) -> int:
    from tunneltui.report.typed_entry import typed_entry

    at_hand = _at_hand(args)
    made = typed_entry(at_hand.season, args.kind, args.values, args.about)
    return _write(args, at_hand, [made])


def _done(args: Args) -> int:
    from tunneltui.report.done_line import done_line

    at_hand = _at_hand(args)
    morning = _morning(args, at_hand)
    done = done_line(" ".join(args.line), morning)
    if args.look:
        print("\n".join(done.says))
        return 0
    return _write(args, at_hand, done.drafts, done.says)


def _air(args: Args) -> int:
    from tunneltui.report import documents, plain
    from tunneltui.report.importing import air_import
    from tunneltui.season.names import place_name
    from tunneltui.store.read_air import read_air

    here = _at_hand(args)
    if args.file == Path("show"):
        season = here.season
        return _say(args, lambda: documents.air_document(season), lambda: plain.air_text(season))
    zone = here.holding.zone if here.holding else "UTC"
    tunnel = place_name(here.season, args.tunnel)
    said = read_air(args.file, zone, tunnel=tunnel, told=dict(args.map), dates=args.dates)
    return _import(args, here, air_import(here, args.file, said, args.replace))


def _measurements(args: Args) -> int:
    from tunneltui.report.at_hand import begun
    from tunneltui.report.importing import measurements_import
    from tunneltui.store.folders import default_journal
    from tunneltui.store.read_measurements import read_measurements

    said = read_measurements(
        args.file, told=dict(args.map), length_as=args.as_, trusses_as=args.trusses_as, dates=args.dates
    )
    here = begun(args.at or default_journal(), args.on, datetime.now(UTC))
    wanted = _assumption(args)
    return _import(args, here, measurements_import(here, args.file, said, args.replace, wanted, args.planted))


def _assumption(args: Args) -> Assumption | None:
    """What is to be assumed, if the grower said any of it."""
    from tunneltui.holding.assumed import Assumption

    said = {
        "wire_m": args.wire,
        "training": args.method,
        "fruit": args.fruit,
        "latitude_deg": args.latitude,
        "zone": args.zone,
    }
    given = {name: value for name, value in said.items() if value is not None}
    return Assumption(**given) if given else None


def _picks(args: Args) -> int:
    from tunneltui.report.importing import picks_import
    from tunneltui.store.read_picks import read_picks

    here = _at_hand(args)
    said = read_picks(args.file, told=dict(args.map), dates=args.dates)
    return _import(args, here, picks_import(here, args.file, said, args.replace))


def _import(args: Args, here: AtHand, found: Import) -> int:
    from tunneltui.report import importing, plain

    if found.acts:
        here.write(*found.acts)
    return _say(
        args,
        lambda: importing.import_document(found),
        lambda: importing.import_text(found, lambda said: list(plain.wrapped(said, "", "    "))),
    )


def _journal_show(args: Args) -> int:
    from tunneltui.report import documents, plain

    entries = _at_hand(args).shown(args.about)
    return _say(args, lambda: documents.journal_document(entries), lambda: plain.journal_text(entries))


def _cross_out(args: Args) -> int:
    from tunneltui.report.crossing import crossing

    at_hand = _at_hand(args)
    return _write_days(args, at_hand, crossing(at_hand.entries, args.act, args.command_word))


# ---------------------------------------------------------------------------------------------- what they share


def _at_hand(args: Args) -> AtHand:
    """The journal's entries and the day of a command."""
    from tunneltui.report.at_hand import at_hand
    from tunneltui.store.folders import default_journal

    return at_hand(args.at or default_journal(), args.on, datetime.now(UTC))


def _morning(args: Args, here: AtHand | None = None) -> Morning:
    from tunneltui.chores.morning import plan_morning

    here = here or _at_hand(args)
    minutes, part = getattr(args, "minutes", None), getattr(args, "part", None) or "day"
    return plan_morning(here.entries, here.day, minutes=minutes, part=part)


def _write(args: Args, here: AtHand, drafts: Sequence[Draft], says: Sequence[str] = ()) -> int:
    return _write_days(args, here, [(here.day, draft) for draft in drafts], says)


def _write_days(args: Args, here: AtHand, drafts: Sequence[tuple[date, Draft]], says: Sequence[str] = ()) -> int:
    from tunneltui.report import documents, plain

    written = here.write(drafts)
    return _say(
        args,
        lambda: documents.journal_document(written),
        lambda: "\n".join([*says, plain.written_text(written)]) + "\n",
    )


def _say(args: Args, document: Callable[[], Any], text: Callable[[], str]) -> int:
    from tunneltui.report.documents import as_text

    sys.stdout.write(as_text(document()) if args.json else text())
    return 0


def _in_print(args: Args) -> bool:
    on_a_terminal = sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "") != "dumb"
    return bool(args.json or args.plain or not on_a_terminal)


# ---------------------------------------------------------------------------------------------- the parser


def _a_day(text: str) -> date:
    with suppress(ValueError):
        return date.fromisoformat(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no day; write year-month-day, such as 2026-08-20")


def _minutes(text: str) -> float:
    return _between(text, 0.0, 1440.0, "a number of minutes")


def _shared(suppressed: bool) -> argparse.ArgumentParser:
    """Flags that may stand before or after a command: after it they must not reset what stood before."""
    shared = argparse.ArgumentParser(add_help=False)
    default = argparse.SUPPRESS if suppressed else None
    shared.add_argument("--at", metavar="FILE", type=Path, default=default, help="the journal (else your own)")
    shared.add_argument(
        "--on", metavar="DAY", type=_a_day, default=default, help="as of that day, such as 2026-08-20"
    )
    off = argparse.SUPPRESS if suppressed else False
    shared.add_argument("--json", action="store_true", default=off, help="print one JSON document")
    shared.add_argument("--plain", action="store_true", default=off, help="print plain text, open no screens")
    return shared


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="tunneltui",
        description="The morning round of long-season vine crops in unheated tunnels. Without a command it opens "
        "the screens on your journal.",
        epilog="example: tunneltui demo",
        parents=[_shared(suppressed=False)],
    )
    parser.add_argument("--version", action="version", version=f"tunneltui {__version__}")
    parser.set_defaults(run=_app)
    commands = parser.add_subparsers(metavar="COMMAND", title="commands")
    _add_looking(commands)
    _add_writing(commands)
    _add_imports(commands)
    _add_journal(commands)
    return parser


Commands = Any
"""What argparse's add_subparsers gives; its type has no public name."""


def _command(
    commands: Commands, name: str, run: Callable[[Args], int], says: str, example: str
) -> argparse.ArgumentParser:
    made: argparse.ArgumentParser = commands.add_parser(
        name,
        help=says,
        description=f"{says[0].upper()}{says[1:]}.",
        epilog=f"example: tunneltui {example}",
        parents=[_shared(suppressed=True)],
    )
    made.set_defaults(run=run)
    return made


def _add_looking(commands: Commands) -> None:
    _command(commands, "demo", _demo, "a made-up tunnel to try everything on", "demo")
    walk = _command(
        commands, "round", _round, "today's chores, spot by spot in walking order", "round --minutes 45 --json"
    )
    walk.add_argument("--minutes", type=_minutes, metavar="N", help="minutes there are")
    walk.add_argument("--part", choices=("morning", "evening"), help="only that part of the day")
    _command(commands, "loads", _loads, "what every clip, string, wire and hoop carries", "loads --json")
    _command(
        commands, "outlook", _outlook, "stems, trusses and picks of the next 14 days", "outlook --on 2026-08-20"
    )


def _add_writing(commands: Commands) -> None:
    add = _command(
        commands,
        "add",
        _add,
        "write one entry of any kind",
        "add measured leader=W1-07a growth_m=0.24 flowering_truss=9",
    )
    add.add_argument("kind", metavar="KIND", help="the kind of entry, such as picked, measured, clip_failed, note")
    add.add_argument("values", metavar="KEY=VALUE", nargs="*", help="what it says")
    add.add_argument("--about", metavar="PLACE", help="place, row or tunnel it is about")
    done = _command(
        commands,
        "done",
        _done,
        "one typed line at the end of a walk on paper",
        'done "all but 07, 12; 14 slid; cherry 6.2"',
    )
    done.add_argument("line", metavar="LINE", nargs="+", help="what was done, parts separated by ;")
    done.add_argument("--look", action="store_true", help="only say what would be written")


def _add_imports(commands: Commands) -> None:
    air = _command(
        commands,
        "air",
        _air,
        "read a logger's file, or show the air of every day",
        "air logger.csv",
    )
    air.add_argument("file", metavar="show|FILE", type=Path, help="a CSV of readings or of days, or the word show")
    air.add_argument("--tunnel", default="", metavar="KEY", help="the tunnel it hangs in (else all of them)")
    stems = _command(
        commands,
        "measurements",
        _measurements,
        "read a sheet of weekly measuring; an empty journal gets an assumed holding with it",
        "--at trial.db measurements weekly.csv --wire 2.2 --map length='Stem length'",
    )
    stems.add_argument("file", metavar="FILE", type=Path, help="a CSV with a row for each stem and visit")
    both = ("increments", "totals")
    stems.add_argument("--as", dest="as_", choices=both, help="what the length column says (else found out)")
    stems.add_argument("--trusses-as", choices=both, help="what the column of flowering trusses says")
    new = stems.add_argument_group("for an empty journal: what to assume")
    new.add_argument("--wire", type=_metres_up, metavar="M", help="height of the top wire, 2.2 m where not said")
    new.add_argument("--method", choices=("tiered", "laid_down", "pinched_at_wire"), help="how stems are trained")
    new.add_argument("--fruit", choices=("cherry", "cocktail", "plum", "standard", "beef"), help="kind of fruit")
    new.add_argument("--latitude", type=_latitude, metavar="DEG", help="degrees north")
    new.add_argument("--zone", type=_zone, metavar="NAME", help="time zone, such as Europe/London")
    new.add_argument(
        "--planted", type=_a_day, metavar="DAY", help="day of planting, where it was before the sheet"
    )
    picks = _command(commands, "picks", _picks, "read a sheet of weighed picks", "picks picks.csv")
    picks.add_argument("file", metavar="FILE", type=Path, help="a CSV with day, cultivar, row and kg")
    for reader in (air, stems, picks):
        reader.add_argument(
            "--map",
            action="append",
            type=_mapped,
            default=[],
            metavar="NAME=COLUMN",
            help="which column holds what",
        )
        reader.add_argument("--dates", type=_dates, metavar="ORDER", help="day-first or month-first")
        reader.add_argument("--replace", action="store_true", help="where a row says otherwise now, take it")


def _mapped(text: str) -> tuple[str, str]:
    name, sign, column = text.partition("=")
    if not sign:
        raise argparse.ArgumentTypeError(f"{text!r} is no NAME=COLUMN, such as length='Stem length'")
    return name.strip(), column.strip()


def _dates(text: str) -> str:
    if text not in ("day-first", "month-first"):
        raise argparse.ArgumentTypeError(f"{text!r} is neither day-first nor month-first")
    return text.replace("-", " ")


def _metres_up(text: str) -> float:
    return _between(text, 0.51, 6.0, "a height of a wire in metres")


def _latitude(text: str) -> float:
    return _between(text, -66.0, 66.0, "a latitude in degrees")


def _between(text: str, least: float, most: float, what: str) -> float:
    with suppress(ValueError):
        if least <= (value := float(text)) <= most:
            return value
    raise argparse.ArgumentTypeError(f"{text!r} is not {what} from {least:g} to {most:g}")


def _zone(text: str) -> str:
    from zoneinfo import ZoneInfo

    with suppress(Exception):
        return ZoneInfo(text).key
    raise argparse.ArgumentTypeError(f"there is no time zone {text!r}; write it such as Europe/London")


def _add_journal(commands: Commands) -> None:
    journal = commands.add_parser("journal", help="what was written", parents=[_shared(suppressed=True)])
    inner = journal.add_subparsers(metavar="WHAT", required=True)
    show = _command(inner, "show", _journal_show, "the entries, as they count", "journal show --about W1-07")
    show.add_argument("--about", metavar="PLACE", help="only entries about that place, row or tunnel")
    for word, says in (("cross-out", "undo an act; nothing is deleted"), ("restore", "take a cross-out back")):
        one = _command(inner, word, _cross_out, says, f"journal {word} 0198c0de")
        one.add_argument("act", metavar="ACT", help="the act, or the beginning of its name, or the id of an entry")
        one.set_defaults(command_word=word)


if __name__ == "__main__":
    sys.exit(main())
