"""What each command does: gather what it works on, ask the part that knows, print or write what comes of it.

``args`` is what ``cli`` parsed, with ``now`` (the clock) put in by it. What a command needs is imported in it, so
that none waits for another's. Families of them have modules of their
own, such as ``import_commands``.
"""

from __future__ import annotations

import os
import sys
from argparse import Namespace as Args
from typing import TYPE_CHECKING

from tunneltui.holding.trouble import Trouble
from tunneltui.pages.units import localize
from tunneltui.report import door

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning


def walk(args: Args) -> int:
    from tunneltui.report import documents, plain

    here = door.at_hand(args)
    morning = door.morning(args, here)
    numbers = door.shown(here, morning.round).number_of
    return door.say(
        args,
        lambda: documents.round_document(morning.round, numbers),
        lambda: localize(plain.round_text(morning, numbers)),
    )


def lower(args: Args) -> int:
    from tunneltui.report import lowering_text

    morning = door.morning(args)
    jobs = lowering_text.jobs_of(morning, args.name)
    return door.say(
        args,
        lambda: lowering_text.lowering_document(morning, jobs),
        lambda: lowering_text.lowering_text(morning, jobs),
    )


def loads(args: Args) -> int:
    from dataclasses import replace

    from tunneltui.loads.peak import with_peaks
    from tunneltui.report import documents
    from tunneltui.report.loads_text import loads_text

    morning = door.morning(args)
    if not args.if_ and (args.planned or (not morning.season.leaders and morning.season.plans)):
        from tunneltui.report.plan_commands import planned_loads

        return planned_loads(args, morning)
    told = replace(morning, loads=with_peaks(morning.loads, morning.season))
    if args.if_:
        return _what_if(args, told)
    return door.say(args, lambda: documents.loads_document(told.loads), lambda: localize(loads_text(told)))


def _what_if(args: Args, morning: Morning) -> int:
    from tunneltui.loads.whatif import typed_change, what_if
    from tunneltui.report import documents
    from tunneltui.report.loads_text import what_if_text

    wanted = [typed_change(morning.season, text) for text in args.if_]
    both = what_if(morning.season, morning.outlook, morning.day, wanted, morning.loads)
    return door.say(
        args,
        lambda: documents.what_if_document(both, args.if_),
        lambda: localize(what_if_text(both, args.if_)),
    )


def outlook(args: Args) -> int:
    from tunneltui.report import documents, plain

    now = door.morning(args)
    return door.say(
        args,
        lambda: documents.outlook_document(now.season, now.outlook),
        lambda: localize(plain.outlook_text(now)),
    )


def plant(args: Args) -> int:
    from tunneltui.report import plant_text as twin

    now = door.morning(args)
    stems = twin.stems_asked_for(now.season, args.name)
    return door.say(
        args, lambda: twin.plant_document(now, stems), lambda: _drawn_for(args, twin.plant_text(now, stems))
    )


def row(args: Args) -> int:
    from tunneltui.report import plant_text as twin

    now = door.morning(args)
    loop = twin.loop_asked_for(now.season, args.name)
    return door.say(
        args, lambda: twin.row_document(now, loop), lambda: _drawn_for(args, localize(twin.row_text(now, loop)))
    )


def _drawn_for(args: Args, text: str) -> str:
    """A picture as who reads it can show it: a terminal by its encoding and kind; a file is UTF-8."""
    from tunneltui.draw.ascii import in_ascii
    from tunneltui.draw.poor import shows_ascii_only

    poor = shows_ascii_only(sys.stdout.encoding, os.environ if sys.stdout.isatty() else {})
    return in_ascii(text) if args.ascii or poor else text


def backtest(args: Args) -> int:
    from tunneltui.growth.backtest import backtest
    from tunneltui.report import documents, plain

    here = door.at_hand(args)
    held = backtest(here.entries, here.day)
    return door.say(args, lambda: documents.backtest_document(held), lambda: localize(plain.backtest_text(held)))


def add(args: Args) -> int:
    from tunneltui.report.left_out import left_out_by
    from tunneltui.report.typed_entry import typed_entries

    here = door.at_hand(args)
    typed = typed_entries(here.ready_season(), args.kind, args.values, args.about)
    drafts = [(here.day, one) for one in typed]
    return door.write(args, here, drafts, left_out_by(here.entries, drafts))


def done(args: Args) -> int:
    from tunneltui.report.done_line import done_line

    here = door.at_hand(args)
    done = done_line(" ".join(args.line), door.morning(args, here), door.shown_before(here))
    if args.look:
        print("\n".join(map(localize, done.says)))
        return door.DONE
    return door.write(args, here, [(here.day, draft) for draft in done.drafts], [*map(localize, done.says)])


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
        "work_days": args.work_days,
    }
    said_something = any(value is not None for value in (*given.values(), args.planted))
    if said_something or not sys.stdin.isatty():
        start, planted = beginning.start_from(given), args.planted
    else:
        start, planted = beginning.start_asked(input, print)
    here = door.begun(args, start.zone)
    says = ["Next: `tunneltui holding edit` to put right what differs."]
    if planted is None:
        says.append("Once they stand: `tunneltui add planted cultivar=NAME --about PLACE` for each plant.")
    return door.write(args, here, beginning.first_act(here, start, planted), says)


def holding_show(args: Args) -> int:
    text = door.at_hand(args).holding_text()
    return door.say(args, lambda: {"toml": text}, lambda: text)


def holding_check(args: Args) -> int:
    from tunneltui.report.editing import right_holding

    right_holding(args.file)
    return door.say(args, lambda: {"faults": []}, lambda: f"{args.file} is a holding without a fault.\n")


def holding_edit(args: Args) -> int:
    from tunneltui.report import editing

    here = door.begun(args) if args.from_ else door.at_hand(args)
    text = editing.right_holding(args.from_) if args.from_ else editing.edited_holding(here.holding_text(), _again)
    return door.write(args, here, editing.holding_drafts(here, text))


def _again(trouble: Trouble) -> bool:
    print(trouble.say, file=sys.stderr)
    return sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")


def journal_show(args: Args) -> int:
    from tunneltui.pages.story import story_page
    from tunneltui.pages.text import plain_text
    from tunneltui.pages.units import in_force
    from tunneltui.report import documents, plain
    from tunneltui.report.listing import Wanted

    here = door.at_hand(args)
    wanted = Wanted(args.kind, args.about or "", args.days, args.words)
    entries = here.shown(wanted, everything=args.all)
    if not args.about:
        aside = {one.entry.id: one.why for one in here.season.set_aside}
        return door.say(
            args, lambda: documents.journal_document(entries), lambda: plain.journal_text(entries, aside)
        )
    return door.say(
        args,
        lambda: documents.journal_document(entries),
        lambda: plain_text(story_page(here.season, entries, args.about), in_force()),
    )


def journal_mark(args: Args) -> int:
    from tunneltui.report.crossing import crossing
    from tunneltui.store.journals import open_journal

    here = door.at_hand(args)
    with open_journal(here.where, create=False, read_only=True) as journal:
        aside = journal.rows_aside()
    return door.write(args, here, crossing(here.entries, args.act, args.word, aside, here.today))


def journal_check(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.checked(door.at(args), args.accept))


def journal_backup(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.backed_up(door.at(args)))


def journal_restore(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.put_back(door.at(args), args.file))


def journal_merge(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.merged(door.at(args), args.file, args.look))


def journal_copy(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.copied(args.source or door.at(args), args.file))


def journal_salvage(args: Args) -> int:
    from tunneltui.report import keeping

    return door.kept(args, keeping.salvaged(door.at(args), args.to))
