"""What each command does: gather what it works on, ask the part that knows, print or write what comes of it.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. What a command needs is imported in it, so
that none waits for another's.
"""

from __future__ import annotations

import os
import sys
from argparse import Namespace as Args
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tunneltui.holding.trouble import Trouble

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.holding.assumed import Assumption
    from tunneltui.journal.entry import Draft
    from tunneltui.report.at_hand import AtHand
    from tunneltui.report.importing import Import
    from tunneltui.report.keeping import Kept

DONE, AT_FAULT = 0, 1


def walk(args: Args) -> int:
    from tunneltui.report import documents, plain

    morning = _morning(args)
    return _say(args, lambda: documents.round_document(morning.round), lambda: plain.round_text(morning))


def loads(args: Args) -> int:
    from tunneltui.report import documents, plain

    morning = _morning(args)
    if args.if_:
        return _what_if(args, morning)
    return _say(args, lambda: documents.loads_document(morning.loads), lambda: plain.loads_text(morning))


def _what_if(args: Args, morning: Morning) -> int:
    from tunneltui.loads.whatif import typed_change, what_if
    from tunneltui.report import documents, plain

    wanted = [typed_change(morning.season, text) for text in args.if_]
    both = what_if(morning.season, morning.outlook, morning.day, wanted)
    return _say(
        args,
        lambda: documents.what_if_document(both, args.if_),
        lambda: plain.what_if_text(both, args.if_),
    )


def outlook(args: Args) -> int:
    from tunneltui.report import documents, plain

    now = _morning(args)
    return _say(args, lambda: documents.outlook_document(now.season, now.outlook), lambda: plain.outlook_text(now))


def plant(args: Args) -> int:
    from tunneltui.report import plant_text as twin

    now = _morning(args)
    stems = twin.stems_asked_for(now.season, args.name)
    return _say(
        args, lambda: twin.plant_document(now, stems), lambda: _drawn_for(args, twin.plant_text(now, stems))
    )


def row(args: Args) -> int:
    from tunneltui.report import plant_text as twin

    now = _morning(args)
    loop = twin.loop_asked_for(now.season, args.name)
    return _say(args, lambda: twin.row_document(now, loop), lambda: _drawn_for(args, twin.row_text(now, loop)))


def _drawn_for(args: Args, text: str) -> str:
    """A picture as who reads it can show it: a terminal by its encoding and kind; a file is UTF-8."""
    from tunneltui.draw.ascii import in_ascii
    from tunneltui.draw.poor import shows_ascii_only

    poor = shows_ascii_only(sys.stdout.encoding, os.environ if sys.stdout.isatty() else {})
    return in_ascii(text) if args.ascii or poor else text


def water(args: Args) -> int:
    from tunneltui.report import care_text

    now = _morning(args)
    return _say(
        args,
        lambda: care_text.water_document(now.season, now.outlook),
        lambda: care_text.water_text(now.season, now.outlook),
    )


def feed(args: Args) -> int:
    from tunneltui.report import care_text

    now = _morning(args)
    try:
        strength = care_text.label_strength(args.label, args.ml, args.density) if args.label else None
    except ValueError as fault:
        raise Trouble(
            f"The label {args.label!r} cannot be so: {fault}.", "Write it as N-P-K, such as 4-3-8."
        ) from None
    return _say(
        args,
        lambda: care_text.feed_document(now.season, now.outlook, strength),
        lambda: care_text.feed_text(now.season, now.outlook, strength),
    )


def stores(args: Args) -> int:
    from tunneltui.report import care_text

    season = _at_hand(args).ready_season()
    return _say(args, lambda: care_text.stores_document(season), lambda: care_text.stores_text(season))


def plan(args: Args) -> int:
    from tunneltui.report import editing, plan_text
    from tunneltui.review.plan import plan as work_out

    here = _at_hand(args)
    season = here.ready_season()
    planned = work_out(here.entries, season)
    if args.adopt:
        text = plan_text.adopted(season.holding, planned, args.adopt)
        says = [
            f"Adopted {args.adopt}: its cultivars are what is intended at each place.",
            f"Its days come as chores once trays are sown, on {planned.dates.sow}: `tunneltui add sown ...`.",
        ]
        return _write(args, here, editing.holding_drafts(here, text), says)
    return _say(args, lambda: plan_text.plan_document(planned), lambda: plan_text.plan_text(planned))


def backtest(args: Args) -> int:
    from tunneltui.growth.backtest import backtest
    from tunneltui.report import documents, plain

    here = _at_hand(args)
    held = backtest(here.entries, here.day)
    return _say(args, lambda: documents.backtest_document(held), lambda: plain.backtest_text(held))


def review(args: Args) -> int:
    from tunneltui.report import review_text
    from tunneltui.review.look_back import look_back

    if args.since and args.until and args.since > args.until:
        raise Trouble("The span ends before it begins.", "Give --since the earlier day.")
    here = _at_hand(args)
    if args.ask:
        return _fair(args, here)
    back = look_back(here.entries, here.ready_season(), args.by, args.since, args.until)
    return _say(
        args,
        lambda: review_text.review_document(back),
        lambda: review_text.review_text(back, args.imperial),
    )


def _fair(args: Args, here: AtHand) -> int:
    from random import Random

    from tunneltui.report import review_text
    from tunneltui.review.fair import fair
    from tunneltui.review.record import record, within

    what, names = review_text.asked(args.ask)
    season = here.ready_season()
    written = within(record(here.entries, season), args.since, args.until)
    pairs = fair(written, season, what, names, Random(0))
    return _say(args, lambda: review_text.fair_document(pairs), lambda: review_text.fair_text(pairs))


def away(args: Args) -> int:
    from tunneltui.journal.body import draft
    from tunneltui.journal.kinds_journal import Away
    from tunneltui.report import away_text
    from tunneltui.review.away import away

    here = _at_hand(args)
    plan = away(_morning(args, here), args.first, args.last)
    if args.write and (args.first, args.last) not in here.season.aways:
        here.write([(args.first, draft("", Away(args.last)))])
    return _say(args, lambda: away_text.away_document(plan), lambda: away_text.away_text(plan))


def export(args: Args) -> int:
    from tunneltui.report import exports

    what = "todos" if args.what == "chores" and args.todos else args.what
    content = exports.CONTENTS[what](_at_hand(args), args.json, args.now)
    if args.to is None:
        sys.stdout.write(content)
        return DONE
    from tunneltui.store.write_file import write_file

    print(f"Written: {write_file(args.to, content)}")
    return DONE


def add(args: Args) -> int:
    from tunneltui.report.typed_entry import typed_entry

    here = _at_hand(args)
    made = typed_entry(here.ready_season(), args.kind, args.values, args.about)
    return _write(args, here, [(here.day, made)])


def done(args: Args) -> int:
    from tunneltui.report.done_line import done_line

    here = _at_hand(args)
    done = done_line(" ".join(args.line), _morning(args, here))
    if args.look:
        print("\n".join(done.says))
        return DONE
    return _write(args, here, [(here.day, draft) for draft in done.drafts], done.says)


def air(args: Args) -> int:
    from tunneltui.report import documents, plain
    from tunneltui.report.importing import air_import
    from tunneltui.season.names import place_name
    from tunneltui.store.read_air import read_air

    here = _at_hand(args)
    season = here.ready_season()
    if args.file == Path("show"):
        return _say(args, lambda: documents.air_document(season), lambda: plain.air_text(season))
    tunnel = place_name(season, args.tunnel)
    said = read_air(args.file, season.holding.zone, tunnel=tunnel, told=dict(args.map), dates=args.dates)
    return _import(args, here, air_import(here, args.file, said, args.replace))


def measurements(args: Args) -> int:
    from tunneltui.report.importing import measurements_import
    from tunneltui.store.read_measurements import read_measurements

    said = read_measurements(
        args.file,
        told=dict(args.map),
        length_as=args.as_,
        trusses_as=args.trusses_as,
        dates=args.dates,
        stems=args.stems,
    )
    here = _begun(args, args.zone or "UTC")
    wanted = _assumption(args)
    return _import(args, here, measurements_import(here, args.file, said, args.replace, wanted, args.planted))


def _assumption(args: Args) -> Assumption | None:
    """What is to be assumed, where the grower said any of it."""
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


def picks(args: Args) -> int:
    from tunneltui.report.importing import picks_import
    from tunneltui.store.read_picks import read_picks

    here = _at_hand(args)
    said = read_picks(args.file, told=dict(args.map), dates=args.dates)
    return _import(args, here, picks_import(here, args.file, said, args.replace))


def _import(args: Args, here: AtHand, found: Import) -> int:
    from tunneltui.report import importing, plain
    from tunneltui.store.backup import back_up

    if found.acts and here.entries:
        back_up(here.path, "import")
    if found.acts:
        here.write(*found.acts)
    return _say(
        args,
        lambda: importing.import_document(found),
        lambda: importing.import_text(found, lambda said: list(plain.wrapped(said, "", "    "))),
    )


def new(args: Args) -> int:
    from tunneltui.report import beginning

    given = {
        "name": args.name,
        "length_m": args.length,
        "width_m": args.width,
        "rows": args.rows,
        "places_per_row": args.places,
        "spacing_m": args.spacing,
        "wire_height_m": args.wire,
        "training": args.method,
        "cultivars": args.cultivars,
        "zone": args.zone,
        "latitude_deg": args.latitude,
    }
    said_something = any(value is not None for value in given.values())
    if said_something or not sys.stdin.isatty():
        start = beginning.start_from(given)
    else:
        start = beginning.start_asked(input, print)
    here = _begun(args, start.zone)
    says = ["Next: `tunneltui holding edit` to put right what differs."]
    if args.planted is None:
        says.append("Once they stand: `tunneltui add planted cultivar=NAME --about PLACE` for each plant.")
    return _write(args, here, beginning.first_act(here, start, args.planted), says)


def holding_show(args: Args) -> int:
    text = _at_hand(args).holding_text()
    return _say(args, lambda: {"toml": text}, lambda: text)


def holding_check(args: Args) -> int:
    from tunneltui.report.editing import right_holding

    right_holding(args.file)
    return _say(args, lambda: {"faults": []}, lambda: f"{args.file} is a holding without a fault.\n")


def holding_edit(args: Args) -> int:
    from tunneltui.report import editing

    here = _begun(args) if args.from_ else _at_hand(args)
    text = editing.right_holding(args.from_) if args.from_ else editing.edited_holding(here.holding_text(), _again)
    return _write(args, here, editing.holding_drafts(here, text))


def _again(trouble: Trouble) -> bool:
    print(trouble.say, file=sys.stderr)
    return sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")


def journal_show(args: Args) -> int:
    from tunneltui.report import documents, plain, story

    here = _at_hand(args)
    entries = here.shown(args.about, everything=args.all)
    if args.about is None:
        return _say(args, lambda: documents.journal_document(entries), lambda: plain.journal_text(entries))
    return _say(
        args,
        lambda: documents.journal_document(entries),
        lambda: story.story_text(here.season, entries, args.about),
    )


def journal_mark(args: Args) -> int:
    from tunneltui.report.crossing import crossing

    here = _at_hand(args)
    return _write(args, here, crossing(here.entries, args.act, args.word))


def journal_check(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.checked(_at(args), args.accept))


def journal_backup(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.backed_up(_at(args)))


def journal_restore(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.put_back(_at(args), args.file))


def journal_merge(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.merged(_at(args), args.file, args.look))


def journal_copy(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.copied(_at(args), args.file))


def journal_salvage(args: Args) -> int:
    from tunneltui.report import keeping

    return _kept(args, keeping.salvaged(_at(args), args.to))


def _at(args: Args) -> Path:
    from tunneltui.store.folders import default_journal

    return args.at or default_journal()


def _at_hand(args: Args) -> AtHand:
    """The journal's entries and the day of the command; the first command of a day makes a backup."""
    from tunneltui.report.at_hand import at_hand

    return _backed_up(at_hand(_at(args), args.on, args.now))


def _begun(args: Args, zone: str = "UTC") -> AtHand:
    """As ``_at_hand``, also where there is no journal yet; ``zone`` is that of the holding to come."""
    from tunneltui.report.at_hand import begun

    here = begun(_at(args), args.on, args.now, zone)
    return _backed_up(here) if here.entries else here


def _backed_up(here: AtHand) -> AtHand:
    from tunneltui.store.backup import first_of_day

    if warning := first_of_day(here.path):
        print(warning, file=sys.stderr)
    return here


def _morning(args: Args, here: AtHand | None = None) -> Morning:
    from tunneltui.chores.morning import plan_morning

    here = here or _at_hand(args)
    here.ready_season()
    return plan_morning(
        here.entries, here.day, minutes=getattr(args, "minutes", None), part=getattr(args, "part", "day")
    )


def _write(args: Args, here: AtHand, drafts: Sequence[tuple[date, Draft]], says: Sequence[str] = ()) -> int:
    from tunneltui.report import documents, plain

    written = here.write(drafts)
    return _say(
        args,
        lambda: documents.journal_document(written),
        lambda: plain.joined([*says, plain.written_text(written)]),
    )


def _kept(args: Args, kept: Kept) -> int:
    _say(args, lambda: kept.document, lambda: "\n".join(kept.lines) + "\n")
    return DONE if kept.sound else AT_FAULT


def _say(args: Args, document: Callable[[], Any], text: Callable[[], str]) -> int:
    from tunneltui.report.documents import as_text

    sys.stdout.write(as_text(document()) if args.json else text())
    return DONE
