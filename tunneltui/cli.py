"""The door: commands and their flags. Everything but argparse is imported inside the command that needs it.

Exit status: 0 done, 1 the data is at fault (said on stderr, nothing changed), 2 wrong usage.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, redirect_stderr
from datetime import UTC, datetime
from functools import cache
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO, cast

from tunneltui import __version__
from tunneltui.cells import Units
from tunneltui.holding.user_error import UserError
from tunneltui.pages import units
from tunneltui.report import typed_flags
from tunneltui.report.safe_output import SHOWN, SafeOutput

if TYPE_CHECKING:
    from tunneltui.report.settings import ChosenSettings

Args = argparse.Namespace
Run = Callable[[Args], int]
DONE, AT_FAULT, WRONG_USAGE, INTERRUPTED = 0, 1, 2, 130


def collect_seldom() -> None:
    """What is read and worked out holds still, so it is seldom looked through for what may go.

    Looked through every 700 new values, as Python would, a fold takes a third longer; with ten times as many whole
    looks as here, a leader of 10,000 takes a tenth longer to work out than a leader of 2,000.
    """
    gc.set_threshold(50_000, 10, 100)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command; the exit status."""
    collect_seldom()
    if fault := _fault_of_addresses(sys.argv[1:] if argv is None else argv):
        print(f"tunneltui: {fault}.", file=sys.stderr)
        return WRONG_USAGE
    _set_units(sys.argv[1:] if argv is None else argv)
    with redirect_stderr(cast(TextIO, SafeOutput(sys.stderr))):  # argparse repeats what it refuses
        args = _parsed(argv)
    args.now = datetime.now(UTC)
    # What goes to a file or a program is UTF-8 whatever the locale; a terminal gets what it can show.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
    args.chosen = _settings_with(args)
    try:
        with _safe_output(args):
            if args.says_faults:
                _say_faults_of_settings(args)
            status: int = args.run(args)
            sys.stdout.flush()
    except UserError as trouble:
        message = "\n".join(filter(None, map(units.localize, (trouble.problem, trouble.hint))))
        print(message.translate(SHOWN), file=sys.stderr)
        return AT_FAULT
    except BrokenPipeError:
        # Who read us (head, less) has what it wanted. Python must not fail on the closed pipe at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as failed:
        if failed.filename is not None:
            raise
        # The disk behind standard output is full, or the device is gone.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        print(f"The output could not be written: {failed.strerror}.", file=sys.stderr)
        return AT_FAULT
    except (KeyboardInterrupt, EOFError):
        print("Stopped; nothing more was written.", file=sys.stderr)
        return INTERRUPTED
    return status


@contextmanager
def _safe_output(args: Args) -> Iterator[None]:
    """Names from outside must not steer a terminal. The screens draw by themselves; a table or a page of ours that
    goes to a file or a program is passed on as it is."""
    as_it_is = getattr(args, "what", None) is not None and not sys.stdout.isatty()
    if as_it_is or (args.run in (_app, _demo) and _shows_screens(args)):
        yield
        return
    out, err = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = cast(TextIO, SafeOutput(out)), cast(TextIO, SafeOutput(err))
    try:
        yield
    finally:
        sys.stdout, sys.stderr = out, err


def _parsed(argv: Sequence[str] | None) -> Args:
    """Words of a list that go on after a flag (``picked kg=2 --about W1 cultivar=x``) belong to the list; argparse
    closes it at the flag."""
    if (alone := _without_a_command(argv)) is not None:
        return alone
    command_parser = parser()
    args, left = command_parser.parse_known_args(argv)
    goes_on = next((name for name in ("values", "line", "answers") if hasattr(args, name)), "")
    if left and (not goes_on or any(word.startswith("-") for word in left)):
        command_parser.error(f"unrecognized arguments: {' '.join(left)}")
    if left:
        setattr(args, goes_on, [*getattr(args, goes_on), *left])
    return args


def _without_a_command(argv: Sequence[str] | None) -> Args | None:
    """Only flags: the screens do not wait 24 ms for the parser of all commands. None where there is more to it."""
    flag_parser = argparse.ArgumentParser(
        prog="tunneltui", add_help=False, exit_on_error=False, parents=[_shared(after=False)]
    )
    flag_parser.set_defaults(run=_app, says_faults=False)
    try:
        args, left = flag_parser.parse_known_args(argv)
    except argparse.ArgumentError:
        return None
    return None if left else args


def _fault_of_addresses(words: Sequence[str]) -> str:
    """Before the parser reads them: what it refuses it repeats, and that must not be a password."""
    if not any("postgres" in word.lower() for word in words):
        return ""
    from tunneltui.store.where import fault_of_word

    return next(filter(None, map(fault_of_word, words)), "")


def _set_units(words: Sequence[str]) -> None:
    """Before the parser reads any figure: the settings' units, or those given to this command."""
    from tunneltui.report.settings import read
    from tunneltui.store.folders import config_folder

    given = [after for word, after in pairwise([*words, ""]) if word == "--units"]
    given += [word.removeprefix("--units=") for word in words if word.startswith("--units=")]
    imperial = given[-1] == "imperial" if given else read(config_folder()).imperial
    units.set_units(Units(imperial))


def _settings_with(args: Args) -> ChosenSettings:
    """The grower's settings, and over them the flags of this command."""
    from tunneltui.report.settings import read
    from tunneltui.store.folders import config_folder

    chosen = read(config_folder())
    flags = {"units": args.units, "reader": args.reader or None}
    return chosen._replace(values={**chosen.values, **{name: value for name, value in flags.items() if value}})


def _say_faults_of_settings(args: Args) -> None:
    for fault in args.chosen.faults:
        print(fault, file=sys.stderr)


# ------------------------------------------------------------------------------------------------ opening


def _app(args: Args) -> int:
    from tunneltui.store.folders import default_journal

    args.at = args.at or default_journal()
    if isinstance(args.at, Path) and not args.at.exists():
        _refuse_if_gone(args.at)
        return _first_run(args)
    return _opened(args)


def _first_run(args: Args) -> int:
    """Asked on a terminal, else a sentence says what to do."""
    begin = "`tunneltui new` begins one, `tunneltui demo` opens a made-up tunnel."
    if not _shows_screens(args):
        raise UserError(f"There is no journal yet at {args.at}.", begin)
    from tunneltui.report import beginning, command_helpers
    from tunneltui.screens import first_run
    from tunneltui.screens.themed_app import looks_of

    answer = first_run.ask(args.at, looks_of(args.chosen), mouse=bool(args.chosen.values["mouse"]))
    if answer is None:
        print(f"There is no journal yet. {begin}")
        return DONE
    if isinstance(answer, first_run.Demo):
        args.at = None
        return _demo(args)
    journal = command_helpers.begun(args, answer.start.zone)
    journal.write(beginning.first_act(journal, answer.start, answer.planted))
    return _opened(args)


def _refuse_if_gone(path: Path) -> None:
    """A journal that was here and is gone is missed, not begun anew."""
    from tunneltui.store.folders import state_folder
    from tunneltui.store.opening import refuse_if_gone
    from tunneltui.store.seen import last_seen

    path = path.expanduser().resolve()
    refuse_if_gone(path, last_seen(state_folder(), path), create=True)


def _demo(args: Args) -> int:
    from tunneltui.demo.make import make_demo
    from tunneltui.store.folders import demo_journal

    args.at = args.at or demo_journal()
    make_demo(args.at)
    return _opened(args)


def _opened(args: Args) -> int:
    """The screens on a terminal, else the round in print."""
    if not _shows_screens(args):
        _say_faults_of_settings(args)
        return looking.walk(args)
    from tunneltui.screens.start import run

    return run(args.at, args.on, args.chosen)


def _shows_screens(args: Args) -> bool:
    on_a_terminal = sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "") != "dumb"
    return on_a_terminal and not (args.json or args.plain)


# ------------------------------------------------------------------------------------------------ the parser


@cache
def _shared(after: bool) -> argparse.ArgumentParser:
    """Flags that may stand before or after a command: those after it must not reset what stood before."""
    shared = argparse.ArgumentParser(add_help=False)
    none, off = (argparse.SUPPRESS, argparse.SUPPRESS) if after else (None, False)
    help_text = "the journal: a file, or postgresql://user@machine/database (else your own)"
    shared.add_argument("--at", metavar="JOURNAL", type=typed_flags.journal, default=none, help=help_text)
    shared.add_argument(
        "--on", metavar="DAY", type=typed_flags.a_day, default=none, help="as of that day, such as 2026-08-20"
    )
    shared.add_argument("--json", action="store_true", default=off, help="print one JSON document")
    shared.add_argument("--plain", action="store_true", default=off, help="print plain text, open no screens")
    shared.add_argument("--reader", action="store_true", default=off, help="plain lines for a screen reader")
    shared.add_argument("--units", choices=("metric", "imperial"), default=none, help="what is shown and typed")
    return shared


def parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="tunneltui",
        description="The morning round of long-season vine crops in unheated tunnels. Without a command it opens "
        "the screens on your journal.",
        epilog="example: tunneltui demo",
        parents=[_shared(after=False)],
    )
    parser.add_argument("--version", action="version", version=f"tunneltui {__version__}")
    parser.set_defaults(run=_app, says_faults=False)
    commands = parser.add_subparsers(metavar="COMMAND", title="commands")
    _add_looking(commands)
    _add_writing(commands)
    _add_imports(commands)
    _add_holding(commands)
    _add_journal(commands)
    _add_settings(commands)
    _add_completion(commands)
    return parser


Commands = Any
"""What argparse's add_subparsers gives; its type has no public name."""


class _Late:
    """A module of commands, imported when one of them runs: no command waits for what another needs."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        return getattr(import_module(self._name), name)


if TYPE_CHECKING:
    from tunneltui.report import care_commands as care
    from tunneltui.report import forecast_commands as forecasts
    from tunneltui.report import holding_commands as holdings
    from tunneltui.report import import_commands as imports
    from tunneltui.report import journal_commands as journals
    from tunneltui.report import looking_commands as looking
    from tunneltui.report import plan_commands as planning
    from tunneltui.report import put_right_commands as putting_right
    from tunneltui.report import review_commands as reviewing
    from tunneltui.report import writing_commands as writing
    from tunneltui.screens import settings_commands as set_up
else:
    looking, writing, holdings, journals, planning, putting_right, care, imports, reviewing, forecasts = (
        _Late(f"tunneltui.report.{family}_commands")
        for family in (
            "looking",
            "writing",
            "holding",
            "journal",
            "plan",
            "put_right",
            "care",
            "import",
            "review",
            "forecast",
        )
    )
    set_up = _Late("tunneltui.screens.settings_commands")


def _command(
    commands: Commands, name: str, run: Run, help_text: str, example: str, *, says_faults: bool = True
) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(
        name,
        help=help_text,
        description=f"{help_text[0].upper()}{help_text[1:]}.",
        epilog=f"example: tunneltui {example}",
        parents=[_shared(after=True)],
    )
    # Screens and the commands about settings tell the faults of settings themselves.
    command.set_defaults(run=run, says_faults=says_faults)
    return command


def _add_completion(commands: Commands) -> None:
    help_text = "what a shell needs to complete commands and flags"
    command = _command(commands, "completion", _completion, help_text, "completion bash", says_faults=False)
    command.add_argument("shell", choices=("bash", "zsh", "tcsh"), help="the shell it is for")


def _completion(args: Args) -> int:
    import shtab

    sys.stdout.write(shtab.complete(parser(), args.shell))
    return DONE


def _family(commands: Commands, name: str, help_text: str) -> Commands:
    family = commands.add_parser(
        name, help=help_text, description=f"{help_text[0].upper()}{help_text[1:]}.", parents=[_shared(True)]
    )
    return family.add_subparsers(metavar="WHAT", required=True)


def _add_looking(commands: Commands) -> None:
    _command(commands, "demo", _demo, "a made-up tunnel to try everything on", "demo", says_faults=False)
    walk = _command(
        commands,
        "round",
        lambda args: looking.walk(args),
        "today's chores in walking order",
        "round --minutes 45 --json",
    )
    walk.add_argument("--minutes", type=typed_flags.minutes, metavar="N", help="minutes there are")
    walk.add_argument("--part", choices=("morning", "evening"), default="day", help="only that part of the day")
    loads = _command(
        commands,
        "loads",
        lambda args: looking.loads(args),
        "what every clip, string, wire and hoop carries",
        "loads --json",
    )
    loads.add_argument("--planned", action="store_true", help="what the adopted plan would bear at its peak")
    loads.add_argument(
        "--if",
        dest="if_",
        action="append",
        metavar="CHANGE",
        help="before and after a change, such as 'lower W1-07a 0.35' or 'second W1-07a 8'; may be given again",
    )
    _command(
        commands,
        "outlook",
        lambda args: forecasts.outlook(args),
        "stems, trusses and picks of the next 14 days",
        "outlook --on 2026-08-20",
    )
    stem = _command(
        commands,
        "plant",
        lambda args: looking.plant(args),
        "one stem's story: picture, forecast, trusses, clips",
        "plant W1-07",
    )
    stem.add_argument("name", metavar="PLACE", help="a place or a leader, such as W1-07 or W1-07a")
    side = _command(
        commands, "row", lambda args: looking.row(args), "a row laid apart, and its table", "row W1 --ascii"
    )
    side.add_argument("name", metavar="ROW", help="a row, such as W1; a loop is shown whole")
    for drawn in (stem, side):
        drawn.add_argument("--ascii", action="store_true", help="draw with ASCII characters only")
    day = _command(
        commands, "day", lambda args: looking.day(args), "what the day holds: its card, then pass by pass", "day"
    )
    day.add_argument("--minutes", type=typed_flags.minutes, metavar="N", help="minutes there are")
    lower = _command(
        commands, "lower", lambda args: looking.lower(args), "a row's lowering, head by head", "lower W1"
    )
    lower.add_argument("name", metavar="ROW", nargs="?", help="a row of the loop; else every lowering of the week")
    _add_care(commands)
    _command(
        commands,
        "backtest",
        lambda args: forecasts.backtest(args),
        "how good the forecasts were",
        "backtest --json",
    )
    _add_plan(commands)
    _add_review(commands)
    away = _command(
        commands,
        "away",
        lambda args: reviewing.away(args),
        "what to do before days away, and a list for who minds the house",
        "away 2026-09-01 2026-09-07",
    )
    away.add_argument("first", metavar="FROM", type=typed_flags.a_day, help="first day away")
    away.add_argument("last", metavar="TO", type=typed_flags.a_day, help="last day away")
    away.add_argument("--write", action="store_true", help="also note the absence in the journal")
    export = _command(
        commands,
        "export",
        lambda args: reviewing.export(args),
        "write a paper sheet or a table",
        "export sheet --to round.html",
    )
    export.add_argument(
        "what", choices=("sheet", "picks", "chores", "entries", "season"), help="what leaves the house"
    )
    export.add_argument("--todos", action="store_true", help="chores as to-dos instead of all-day events")
    export.add_argument("--csv", action="store_true", help="the season as a table instead of a page")
    export.add_argument("--to", type=Path, metavar="FILE", help="a file (else standard output)")


def _add_plan(commands: Commands) -> None:
    help_text = "next season: what stands where, loads, days, what to buy"
    plans = _command(
        commands, "plan", lambda args: planning.plan(args), help_text, "plan --rows double --end 2027-10-15"
    )
    plans.add_argument("--adopt", metavar="NAME", help="take that plan: its days come as chores")
    plans.add_argument("--look-back", action="store_true", help="the last season's plan held against what came")
    plans.add_argument("--end", type=typed_flags.a_day, metavar="DAY", help="last pick (else the holding's)")
    plans.add_argument("--until-frost", action="store_true", help="let it run until frost takes it")
    plans.add_argument(
        "--plant", type=typed_flags.a_day, metavar="DAY", help="plant then (else when soil is warm)"
    )
    plans.add_argument("--leaders", type=int, choices=(1, 2), help="leaders per plant (else as they are)")
    plans.add_argument("--rows", choices=("single", "double"), help="each row for itself, or looped in pairs")


def _add_review(commands: Commands) -> None:
    help_text = "what the season gave and taught"
    review = _command(commands, "review", lambda args: reviewing.review(args), help_text, "review --by row")
    question_help = (
        "one section (yields, weeks, stems, clips, hours, beds, held, notes, clearing), or compare "
        "cultivar|row|training|season and the names: which gave more, and what could not be seen"
    )
    review.add_argument("ask", nargs="*", metavar="QUESTION", help=question_help)
    review.add_argument(
        "--season", type=typed_flags.year, metavar="YEAR", help="the season begun in that year (else the last)"
    )
    review.add_argument("--since", type=typed_flags.a_day, metavar="DAY", help="first day of the span")
    review.add_argument("--until", type=typed_flags.a_day, metavar="DAY", help="last day of the span")
    review.add_argument("--all", action="store_true", help="every season together")
    groups = ("cultivar", "row", "bed", "tunnel", "place")
    review.add_argument("--by", choices=groups, default="cultivar", help="a line for each")


def _add_care(commands: Commands) -> None:
    _command(
        commands,
        "water",
        lambda args: care.water(args),
        "litres a plant asks for, as a range, and drip minutes",
        "water --json",
    )
    help_text = "a bucket test: water given to some plants and drained, weighed over a week, corrects the litres"
    test = _command(
        commands, "bucket", lambda args: care.bucket(args), help_text, "bucket --plants 6 --given 63 --drained 5"
    )
    test.add_argument(
        "--plants", type=typed_flags.count, required=True, metavar="N", help="plants it was weighed for"
    )
    test.add_argument(
        "--given",
        type=typed_flags.in_units("L", typed_flags.litres),
        required=True,
        metavar="L",
        help="litres given in all",
    )
    test.add_argument(
        "--drained",
        type=typed_flags.in_units("L", typed_flags.litres),
        default=0.0,
        metavar="L",
        help="litres caught (else 0)",
    )
    test.add_argument(
        "--days", type=typed_flags.count, default=7, metavar="N", help="days up to yesterday (else 7)"
    )
    test.add_argument("--about", default="", metavar="ROW", help="row or tunnel it was done in (else the house)")
    _add_feed(commands)
    _command(
        commands,
        "stores",
        lambda args: care.stores(args),
        "clips, twine, hooks and fleece: in store, on the plants, failed, needed to the last pick",
        "stores",
    )


def _add_feed(commands: Commands) -> None:
    help_text = "cans for every tunnel; on request a label's strength, a meter's scales, stocks that must not meet"
    feed = _command(commands, "feed", lambda args: care.feed(args), help_text, "feed --label 5-2-7 --ml 6")
    feed.add_argument("--label", metavar="N-P-K", help="a feed's label, percent of N, P2O5 and K2O; +2MgO, +1CaO")
    feed.add_argument(
        "--by", choices=("w/w", "w/v"), default="w/w", help="percent of mass, or g in 100 mL (else w/w)"
    )
    feed.add_argument(
        "--density", type=typed_flags.density, metavar="KG_L", help="of a w/w liquid (else 1.0, a guess)"
    )
    how = feed.add_mutually_exclusive_group()
    how.add_argument(
        "--ml", type=typed_flags.per_litre, default=5.0, metavar="ML", help="mL in each litre of feed (else 5)"
    )
    how.add_argument("--grams", type=typed_flags.per_litre, metavar="G", help="a powder: g in each litre of feed")
    how.add_argument("--dilution", type=typed_flags.dilution, metavar="R", help="1:R, one part in R parts of feed")
    feed.add_argument("--ec", type=typed_flags.ec, metavar="DS_M", help="a meter's reading in dS/m (mS/cm)")
    feed.add_argument("--scale", choices=("500", "640", "700"), help="the meter's ppm scale (else all three)")
    feed.add_argument("--stocks", metavar="A,B", help="concentrates by name: which of them must not meet")


def _add_writing(commands: Commands) -> None:
    example = "add measured leader=W1-07a growth_m=0.24 flowering_truss=9"
    add = _command(commands, "add", lambda args: writing.add(args), "write one entry of any kind", example)
    help_text = "such as picked, measured, clip_failed, note (without one: lists all kinds and what each takes)"
    add.add_argument("kind", metavar="KIND", nargs="?", help=help_text)
    add.add_argument("values", metavar="KEY=VALUE", nargs="*", help="what it says")
    add.add_argument("--about", metavar="PLACE", help="stem, place, row or tunnel it is about")
    example = 'done "4, 5; W2-01a string 8 slid; W2 standard 2 6.2"'
    done = _command(
        commands, "done", lambda args: writing.done(args), "one typed line at the end of a walk on paper", example
    )
    done.add_argument("line", metavar="LINE", nargs="+", help="what was done, parts separated by ;")
    done.add_argument("--look", action="store_true", help="only say what would be written")
    help_text = "walk a row and say how its stems lie and hang; lists what is asked"
    right = _command(
        commands, "put-right", lambda args: putting_right.put_right(args), help_text, "put-right W1 = W1/9+s 4"
    )
    right.add_argument("loop", metavar="ROW", nargs="?", help="the row (else the one whose picture is in doubt)")
    right.add_argument(
        "answers",
        metavar="ANSWER",
        nargs="*",
        help="in walking order: = as shown, 9+s a hand past string 9 and the tip as shown, 4 stems on a string",
    )


def _add_imports(commands: Commands) -> None:
    help_text = "read a logger's file, or show the last fortnight's air and the coming days"
    air = _command(commands, "air", lambda args: imports.air(args), help_text, "air logger.csv")
    air.add_argument(
        "file", metavar="show|FILE", type=Path, help="readings or days, CSV or sheet; or the word show"
    )
    air.add_argument("--tunnel", default="", metavar="KEY", help="the tunnel it hangs in (else all of them)")
    methods = ("sine", "triangle", "quarter", "clamped", "simple")
    air.add_argument("--method", choices=methods, default="sine", help="how degree days are counted (else sine)")
    air.add_argument(
        "--above",
        type=typed_flags.in_units("degC", typed_flags.threshold_c),
        default=4.0,
        metavar="C",
        help="counted above it (else 4 degC)",
    )
    air.add_argument(
        "--cap",
        type=typed_flags.in_units("degC", typed_flags.threshold_c),
        metavar="C",
        help="and what is over it is cut off",
    )
    cutoffs = ("horizontal", "vertical")
    air.add_argument("--cutoff", choices=cutoffs, default="horizontal", help="counts as the cap, or not at all")
    air.add_argument(
        "--dry",
        type=typed_flags.in_units("degC", typed_flags.bulb_c),
        metavar="C",
        help="show: a hygrometer's dry bulb, to check a logger by",
    )
    air.add_argument(
        "--wet", type=typed_flags.in_units("degC", typed_flags.bulb_c), metavar="C", help="and its wet bulb"
    )
    help_text = "read a sheet of weekly measuring; an empty journal gets an assumed holding with it"
    example = "--at trial.db measurements weekly.csv --wire 2.2 --map length='Stem length'"
    stems = _command(commands, "measurements", lambda args: imports.measurements(args), help_text, example)
    about = "a CSV or spreadsheet of stems and visits; with a second FILE of the same week's picks, both"
    stems.add_argument("file", metavar="FILE", nargs="+", type=Path, help=about)
    forms = ("increments", "totals")
    stems.add_argument("--as", dest="as_", choices=forms, help="what the length column says (else found out)")
    stems.add_argument("--trusses-as", choices=forms, help="what the column of flowering trusses says")
    stems.add_argument(
        "--stems", type=typed_flags.count, metavar="N", help="stems each row is the mean of (else 1)"
    )
    new = stems.add_argument_group("for an empty journal: what to assume")
    new.add_argument(
        "--wire",
        type=typed_flags.in_units("m", typed_flags.wire_m),
        metavar="M",
        help="height of the top wire (else 2.2)",
    )
    new.add_argument("--method", choices=typed_flags.TRAINING, help="how stems are trained")
    new.add_argument("--fruit", choices=("cherry", "cocktail", "plum", "standard", "beef"), help="kind of fruit")
    new.add_argument("--crop", choices=("tomato", "cucumber"), help="what grows there (else by its growth)")
    new.add_argument("--lit", action="store_true", help="lamps make the day")
    new.add_argument("--latitude", type=typed_flags.latitude_deg, metavar="DEG", help="degrees north")
    new.add_argument("--zone", type=typed_flags.zone, metavar="NAME", help="time zone, such as Europe/London")
    new.add_argument("--planted", type=typed_flags.a_day, metavar="DAY", help="day of planting (else first visit)")
    picks = _command(
        commands, "picks", lambda args: imports.picks(args), "read a sheet of weighed picks", "picks picks.csv"
    )
    picks.add_argument(
        "file", metavar="FILE", type=Path, help="a CSV or spreadsheet with day, cultivar, row and kg"
    )
    for reader in (stems, picks):
        reader.add_argument("--odd", choices=("leave", "take"), help="picks heavier than plants bear")
    for reader in (air, stems, picks):
        reader.add_argument(
            "--map",
            action="append",
            type=typed_flags.column,
            default=[],
            metavar="NAME=COLUMN",
            help="which column holds what",
        )
        reader.add_argument(
            "--dates", type=typed_flags.date_order, metavar="ORDER", help="day-first, month-first, year-day-month"
        )
        reader.add_argument("--sheet", metavar="NAME", help="which sheet of a spreadsheet")
        reader.add_argument("--skip", type=typed_flags.lines, metavar="N", help="lines above the headings")
        reader.add_argument("--year", type=typed_flags.count, metavar="YYYY", help="of days that name none")
        reader.add_argument("--decimal", choices=("point", "comma"), help="the sign before decimals")
        reader.add_argument(
            "--unit",
            action="append",
            type=typed_flags.unit_of_column,
            default=[],
            metavar="NAME=UNIT",
            help="what a column is measured in, such as kg=lb",
        )
        reader.add_argument("--look", action="store_true", help="only say what would be taken, and how it is read")
        reader.add_argument("--replace", action="store_true", help="where a row says otherwise now, take it")


def _add_holding(commands: Commands) -> None:
    example = "new --name 'Long field' --rows 2 --places 12 --spacing 0.5 --cultivars 'cherry 1, standard 2'"
    new = _command(
        commands,
        "new",
        lambda args: holdings.new(args),
        "begin your own: a few questions, or these flags",
        example,
    )
    new.add_argument("--name", type=typed_flags.name, help="what you call your tunnels")
    new.add_argument(
        "--length", type=typed_flags.in_units("m", typed_flags.metres), metavar="M", help="length of the tunnel"
    )
    new.add_argument(
        "--width", type=typed_flags.in_units("m", typed_flags.metres), metavar="M", help="width of the tunnel"
    )
    new.add_argument("--rows", type=typed_flags.count, metavar="N", help="rows of vines")
    new.add_argument("--places", type=typed_flags.count, metavar="N", help="plants in a row")
    new.add_argument(
        "--spacing", type=typed_flags.in_units("m", typed_flags.metres), metavar="M", help="from plant to plant"
    )
    new.add_argument(
        "--wire", type=typed_flags.in_units("m", typed_flags.wire_m), metavar="M", help="height of the top wire"
    )
    new.add_argument("--method", choices=typed_flags.TRAINING, help="how stems are trained")
    new.add_argument("--cultivars", type=typed_flags.names, metavar="NAMES", help="separated by commas")
    new.add_argument("--zone", type=typed_flags.zone, metavar="NAME", help="time zone, such as Europe/London")
    new.add_argument("--latitude", type=typed_flags.latitude_deg, metavar="DEG", help="degrees north")
    new.add_argument(
        "--work-days",
        type=typed_flags.weekdays,
        metavar="DAYS",
        help="days you work there, such as 'Mon, Wed, Sat'",
    )
    new.add_argument(
        "--planted", type=typed_flags.a_day, metavar="DAY", help="every place was planted on that day"
    )
    holding = _family(commands, "holding", "what stands: tunnels, rows, places, strings, cultivars")
    _command(holding, "show", lambda args: holdings.show(args), "the holding in force, as TOML", "holding show")
    edit = _command(
        holding,
        "edit",
        lambda args: holdings.edit(args),
        "change it in your editor (EDITOR)",
        "holding edit",
    )
    edit.add_argument("--from", dest="from_", type=Path, metavar="FILE", help="take this TOML instead of editing")
    check = _command(
        holding,
        "check",
        lambda args: holdings.check(args),
        "say every fault of a TOML file",
        "holding check my.toml",
    )
    check.add_argument("file", metavar="FILE", type=Path, help="the TOML file")


def _add_journal(commands: Commands) -> None:
    journal = _family(commands, "journal", "what was written, and the file it is kept in")
    show = _command(
        journal,
        "show",
        lambda args: journals.journal_show(args),
        "the entries that count",
        "journal show --about W1-07",
    )
    show.add_argument("--about", metavar="PLACE", help="only entries about that place, row or tunnel")
    show.add_argument("--kind", default="", metavar="KIND", help="only entries of that kind, such as clip_failed")
    show.add_argument("--days", default="", metavar="DAYS", help="a day, a month, or '2026-08-01 to 2026-08-20'")
    show.add_argument("--words", default="", metavar="WORDS", help="only entries that hold these words")
    show.add_argument("--all", action="store_true", help="also those that are crossed out")
    for word, help_text in (
        ("cross-out", "undo an act; nothing is deleted"),
        ("restore-act", "take a cross-out back"),
    ):
        mark = _command(
            journal, word, lambda args: journals.journal_mark(args), help_text, f"journal {word} 0198c0de-1a2b"
        )
        mark.add_argument("act", metavar="ACT", help="the act, or an entry of it, or how its name begins")
        mark.set_defaults(word=word)
    check = _command(
        journal,
        "check",
        lambda args: journals.journal_check(args),
        "say what is wrong with the file",
        "journal check",
    )
    check.add_argument("--accept", action="store_true", help="take the file as it is found from now on")
    _command(
        journal,
        "backup",
        lambda args: journals.journal_backup(args),
        "copy the file to the backups",
        "journal backup",
    )
    restore = _command(
        journal,
        "restore",
        lambda args: journals.journal_restore(args),
        "put a backup in its place",
        "journal restore",
    )
    restore.add_argument(
        "file", nargs="?", type=Path, metavar="FILE", help="the backup (else the newest sound one)"
    )
    merge = _command(
        journal,
        "merge",
        lambda args: journals.journal_merge(args),
        "take over what another has more",
        "journal merge other.db",
    )
    merge.add_argument(
        "file",
        type=typed_flags.journal,
        metavar="FROM",
        help="a journal's file or postgresql://..., or JSON Lines (.jsonl)",
    )
    merge.add_argument("--look", "--dry-run", dest="look", action="store_true", help="only say what would come")
    copy = _command(
        journal,
        "copy",
        lambda args: journals.journal_copy(args),
        "copy every entry to a new journal",
        "journal copy other.db",
    )
    copy.add_argument(
        "source", nargs="?", type=typed_flags.journal, metavar="FROM", help="the journal (else --at, or your own)"
    )
    copy.add_argument(
        "file",
        type=typed_flags.journal,
        metavar="TO",
        help="a new file, an empty postgresql://..., or JSON Lines (.jsonl)",
    )
    help_text = "let a hand in to a journal on a server, or out again"
    hand = _command(
        journal,
        "hand",
        lambda args: journals.journal_hand(args),
        help_text,
        "journal hand postgresql://me@machine/season maria",
    )
    hand.add_argument(
        "address", type=typed_flags.journal, metavar="ADDRESS", help="the journal, whose owner you are"
    )
    hand.add_argument("name", metavar="NAME", help="the user of the server, made where it is new")
    hand.add_argument("--called", metavar="WORDS", help="what stands beside its entries (else NAME)")
    hand.add_argument("--remove", action="store_true", help="take its rights away; what it wrote stays")
    hand.add_argument("--look", action="store_true", help="only show what would be run")
    salvage = _command(
        journal,
        "salvage",
        lambda args: journals.journal_salvage(args),
        "save into a file what a damaged journal still gives",
        "journal salvage",
    )
    salvage.add_argument(
        "--to", type=Path, metavar="FILE", help="the new file (else beside the damaged one, or here)"
    )


def _add_settings(commands: Commands) -> None:
    settings = _family(commands, "settings", "colours, keys, units, reader mode: what is set, and where")
    _command(
        settings,
        "show",
        lambda args: set_up.show(args),
        "the settings in force",
        "settings show",
        says_faults=False,
    )
    _command(
        settings, "keys", lambda args: set_up.keys(args), "every action by name, with its keys", "settings keys"
    )
    _command(
        settings,
        "where",
        lambda args: set_up.where(args),
        "the file they stand in",
        "settings where",
        says_faults=False,
    )
    _command(
        settings, "edit", lambda args: set_up.edit(args), "change them in your editor (EDITOR)", "settings edit"
    )
    command = _command(
        settings, "set", lambda args: set_up.set_(args), "set one of them", "settings set theme daylight"
    )
    command.add_argument("name", metavar="NAME", help="a setting such as theme, or an action such as round.done")
    command.add_argument(
        "value", metavar="VALUE", help="what it is to be, such as daylight, true, or keys: 'space, g'"
    )
    check = _command(
        settings, "check", lambda args: set_up.check(args), "say every fault of them", "settings check"
    )
    check.add_argument("file", metavar="FILE", type=Path, nargs="?", help="a settings file (else your own)")


if __name__ == "__main__":
    sys.exit(main())
