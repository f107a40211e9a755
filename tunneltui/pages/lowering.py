"""A lowering head by head, in the order of the hands: the same words on the screen, on a card and in print."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from tunneltui.cells import Sentence, Share, Text, Words, cm, day_word, listed, many, say
from tunneltui.chores.lowering import LoweringJob
from tunneltui.chores.lowering_move import LoweringMove, beside_old, closed_on
from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import hook_place, let_out, turn_m
from tunneltui.holding.layout import Layout
from tunneltui.loads.result import Loads
from tunneltui.pages.text import day_words, printed, wrapped
from tunneltui.season.state import Season

RISES = 0.02
"""A clip over its strength is said to rise by more than this share only."""
STEPS_UP = "Steps on firm ground, someone within call; leave a stem that creaks."
CARE = (
    "Lower when stems are limp: late morning or evening, never after heavy watering.",
    "Pick and take leaves first. Support before you let out.",
    STEPS_UP,
)
"""Usual cautions (common practice, no source)."""
SPLINT = "splint it now; it hangs as it is for ten days"
"""Common practice, no source."""


TIP_TYPED = "tip then {}_ cm under the wire: enter"
TIP_READ = "tip {} under the wire"
TIP_TOO_LOW = "A tip does not hang {} under a wire {} high."
"""Templates for ``say``."""


class Fullest(NamedTuple):
    """The fullest clip of a stem on a string."""

    stem: str
    on: str
    share: float
    """Of its strength."""
    over: bool
    """Over what the holding allows, by its share or its chance."""
    chance: float = 0.0
    """That it fails within a week."""
    before: float | None = None
    """Its share before the lowering; None for a new clip."""


class HeadCard(NamedTuple):
    """One head: what the hands do, in their order."""

    leader: str
    """Its id."""
    name: str
    short: str
    """Its name within its row."""
    row: str
    hook: str
    cultivar: str
    steps: tuple[str, ...]
    tip_now_m: float
    """Under the wire; below 0 over it."""
    tip_then_m: float
    turns: str
    to_place: str
    clips: str
    """``+ 10, 9   open 2``"""
    passes: tuple[str, ...]
    unnoted: bool
    """Only how it hangs is noted; nothing is let out."""
    aside: tuple[str, ...] = ()
    """What else is to be known of it."""

    @property
    def in_short(self) -> str:
        """``one turn, hook a hand short of string 8``"""
        return say("{}, hook {}", self.turns, self.to_place)


def loop_words(layout: Layout, loop_id: str) -> str:
    """A loop as it is called: ``west loop`` where its tunnel has no other, else by its rows."""
    loop = layout.loops[loop_id]
    rows = [stretch.row for stretch in loop.stretches]
    if len(rows) == 1:
        return f"row {rows[0]}"
    tunnel, _ = layout.rows[rows[0]]
    siblings = {
        other.id for other in layout.loops.values() if layout.rows[other.stretches[0].row][0].key == tunnel.key
    }
    called = tunnel.name.removesuffix(" tunnel") if len(siblings) == 1 else ""
    return f"{called} loop" if called else f"rows {listed(rows)}"


def head_cards(season: Season, job: LoweringJob) -> tuple[HeadCard, ...]:
    """The heads that can be lowered on this visit, in the order of work."""
    return tuple(_card(season, job, move) for move in job.doable)


def _card(season: Season, job: LoweringJob, move: LoweringMove) -> HeadCard:
    leader = season.leaders[move.leader]
    name = stem_name(season, move.leader)
    under_m = move.wire_z_m - move.tip_z_m
    return HeadCard(
        move.leader,
        name,
        name.rpartition("-")[2],
        leader.row,
        f"hook {move.hook_number}" if move.hook_number is not None else "",
        leader.cultivar,
        tuple(in_its_row(leader.row, step) for step in steps_of(season, move)),
        under_m,
        move.under_after_m,
        say("{}", cm(move.let_out_m)) if move.unnoted else let_out(move.let_out_m, turn_m(season, leader)),
        in_its_row(leader.row, hook_place(season, leader.loop, move.hook_to_u_m)),
        in_its_row(leader.row, _clip_words(season, move)),
        tuple(_bare(season, passed) for passed in move.passes),
        move.unnoted,
        tuple(_aside(season, job, move)),
    )


def stem_name(season: Season, leader_id: str) -> str:
    """A stem by its place; its letter only where the plant has two leaders."""
    leader = season.leaders[leader_id]
    alone = sum(other.place == leader.place for other in season.leaders_of_loop(leader.loop)) == 1
    return leader.place if alone and leader.place else leader.name


def in_its_row(row: str, sentence: str) -> Sentence:
    """Strings of the row a head is named by need no row of their own."""

    def bare(text: str) -> str:
        return re.sub(rf"(?<![\w/]){re.escape(row)}/(?=\d)", "", text)

    cells_of = sentence.cells if isinstance(sentence, Sentence) else (Words(sentence),)
    return Sentence(
        *(mark._replace(text=bare(mark.text)) if isinstance(mark, Words | Text) else mark for mark in cells_of)
    )


def _bare(season: Season, name: str) -> str:
    return next((stem_name(season, leader.id) for leader in season.leaders.values() if leader.name == name), name)


def steps_of(season: Season, move: LoweringMove) -> Iterable[str]:
    """What the hands do at one head, in their order."""
    leader = season.leaders[move.leader]
    place = hook_place(season, leader.loop, move.hook_to_u_m)
    if move.unnoted:
        yield say("see that its hook hangs {}", place)
        yield say("note about {} as let out so far", cm(move.let_out_m))
        return
    if move.clips:
        yield f"clip to {listed(closed_on(season, move))}"
    if hanging := beside_old(season, move):
        yield f"second clip on {listed(hanging)}, else too full"
    turns = let_out(move.let_out_m, turn_m(season, leader))
    if move.aimed_under_wire_m is None:
        yield say("let out {}", turns)
    else:
        most = " at most" if move.falls_short else ""
        yield say("let out {}{} until its tip is {}", turns, most, under_wire(move.under_after_m))
    moved_m = move.hook_moved_m
    yield say("hook {}{}", place, say(" ({} on)", cm(moved_m)) if moved_m >= 0.01 else "")
    if move.round_corner:
        row = season.layout.loops[leader.loop].stretches[0].row
        over = "end bar" if season.layout.rows[row][1].corner == "end_bar" else "cross wire"
        yield f"over the {over} half a turn at a time"
    if move.passes:
        yield f"past {listed([_bare(season, name) for name in move.passes])} on the path side"
    if move.opens:
        yield (
            "open its lowest head clip"
            if len(move.opens) == 1
            else f"open its {len(move.opens)} lowest head clips"
        )
    if move.top_clip_s_m is not None:
        yield "close one under the tip"


def _aside(season: Season, job: LoweringJob, move: LoweringMove) -> Iterable[str]:
    if move.may_hang_low and not move.unnoted:
        yield "measure first: it may hang so low already, then leave it"
    if move.limited_by:
        yield f"held back by {move.limited_by}"
    yield from move.mind
    if move.again_on is not None:
        yield f"again on {day_word(move.again_on, season.day)}"
    if move.is_off_the_thumb:
        hook = "stays" if abs(move.hook_moved_m) < 0.01 else say("moves {}", cm(move.hook_moved_m))
        yield say("look whether hook and clips hang where they are noted: its hook {}", hook) + say(
            ", {} are let out", cm(move.let_out_m)
        )
    if season.layout.loops[job.loop].closed and move is job.doable[0]:
        yield "park it on a spare hook one place ahead till the last one is done"


def _clip_words(season: Season, move: LoweringMove) -> str:
    closes = [name.removeprefix("string ") for name in closed_on(season, move)]
    if hanging := beside_old(season, move):
        closes.append("2nd " + listed([name.removeprefix("string ") for name in hanging]))
    opens = f"open {len(move.opens)}" if move.opens else ""
    closed = f"+ {', '.join(closes)}" if closes else ""
    return "   ".join(filter(None, (closed, opens)))


# What it does to the clips


class Relief(NamedTuple):
    """Clips of a loop before and after its lowering."""

    over_before: tuple[Fullest, ...]
    over_after: tuple[Fullest, ...]
    risen: tuple[Fullest, ...]
    """Those over their strength afterwards that carry more than before, or are new."""
    fullest: dict[str, Fullest]
    """The fullest clip on a string of every stem afterwards, by leader id."""


def relief(season: Season, loop_id: str, before: Loads, after: Loads) -> Relief:
    """What a lowering does to the clips of a loop; ``after`` are the loads once all of it is done."""
    fullest_before = _fullest(season, loop_id, before)
    fullest_after = {
        at: fullest._replace(before=fullest_before[at].share if at in fullest_before else None)
        for at, fullest in _fullest(season, loop_id, after).items()
    }
    over_after = _fullest_first(fullest for fullest in fullest_after.values() if fullest.over)
    on_strings: dict[str, Fullest] = {}
    for (leader, _), fullest in fullest_after.items():
        if leader not in on_strings or fullest.share > on_strings[leader].share:
            on_strings[leader] = fullest
    return Relief(
        _fullest_first(stem for stem in fullest_before.values() if stem.over),
        over_after,
        tuple(
            fullest for fullest in over_after if fullest.before is None or fullest.share > fullest.before + RISES
        ),
        on_strings,
    )


def _fullest(season: Season, loop_id: str, loads: Loads) -> dict[tuple[str, str], Fullest]:
    """By leader id and what it is on, the fuller one of two clips."""
    ids = {leader.name: leader.id for leader in season.leaders_of_loop(loop_id)}
    limits = season.holding.limits
    fullest: dict[tuple[str, str], Fullest] = {}
    for clip in loads.clips:
        if clip.leader in ids and clip.on != "head":
            leader = ids[clip.leader]
            fuller = fullest.get((leader, clip.on))
            over = clip.share >= limits.red_share or clip.chance_7d >= limits.red_chance
            over = over or (fuller is not None and fuller.over)
            share = max(clip.share, fuller.share if fuller is not None else 0.0)
            chance = max(clip.chance_7d, fuller.chance if fuller is not None else 0.0)
            fullest[leader, clip.on] = Fullest(stem_name(season, leader), clip.on, share, over, chance)
    return fullest


def _fullest_first(some: Iterable[Fullest]) -> tuple[Fullest, ...]:
    return tuple(sorted(some, key=lambda fullest: (-fullest.share, fullest.stem)))


def percent(share: float) -> str:
    return f"{share * 100:.0f}%"


def relief_words(effect: Relief, *, over: bool = False) -> list[str]:
    """What the lowering does to the clips: before the start, or once it is ``over``."""
    before, after = len(effect.over_before), len(effect.over_after)
    if not before and not after:
        return ["No clip of the loop is over a limit, before or after."]
    when = ("before", "now") if over else ("now", "when all is done")
    lines = [f"Clips over a limit: {before} {when[0]}, {after} {when[1]}."]
    if effect.over_after:
        lines.append(
            "Still: "
            + ", ".join(f"{fullest.stem} on {fullest.on} {_how_full(fullest)}" for fullest in effect.over_after)
        )
    for fullest in effect.risen:
        from_words = f"from {percent(fullest.before)} to " if fullest.before is not None else "new, "
        first = "" if over else " first"
        lines.append(
            f"{fullest.stem} rises on {fullest.on}, {from_words}{percent(fullest.share)}: "
            f"a second clip there{first}."
        )
    return lines


def _how_full(fullest: Fullest) -> str:
    """Below its strength the chance is what makes it one to look at."""
    chance = "" if fullest.share >= 1 else f" ({Share(fullest.chance, chance=True)} fails)"
    return f"{percent(fullest.share)}{chance}"


def after_words(card: HeadCard, effect: Relief | None) -> str:
    """What one head's lowering does to its clips, and whom it passes."""
    passes = f"it passes {listed(card.passes)}" if card.passes else "it passes no other head"
    if effect is None:
        return passes
    fullest = effect.fullest.get(card.leader)
    if fullest is None:
        return f"it hangs on its head alone; {passes}"
    over = ", too full" if fullest.share >= 1 else ""
    full = _how_full(fullest) if fullest.over else percent(fullest.share)
    return f"its fullest clip is at {full}{over}, on {in_its_row(card.row, fullest.on)}; {passes}"


def tip_words(card: HeadCard) -> Sentence:
    """Where the tip is taken to hang before the work."""
    return say("tip about {}", under_wire(card.tip_now_m))


def under_wire(under_m: float) -> Sentence:
    return say("{} {} the wire", cm(abs(under_m)), "under" if under_m >= 0 else "over")


# For the pocket and for printing


def pocket_lines(season: Season, job: LoweringJob, minutes: float, effect: Relief | None = None) -> list[str]:
    """The whole job for reading at the wire: what to mind, then each head with its numbered steps."""
    lines: list[str] = [title(season, job, minutes), *CARE]
    if effect is not None:
        lines += relief_words(effect)
    for number, card in enumerate(head_cards(season, job), 1):
        lines += ["", f"{number}  {heading(card)}"]
        lines += [say("   {}  {}", step, words) for step, words in enumerate(card.steps, 1)]
        lines.append("   " + tip_words(card) + "    read: ______")
        lines += ["   " + words for words in card.aside]
    return lines + stuck_lines(season, job)


def title(season: Season, job: LoweringJob, minutes: float) -> str:
    heads = many(len(job.doable), "head")
    return f"Lower, {loop_words(season.layout, job.loop)}: {heads}, about {minutes:.0f} min"


def heading(card: HeadCard) -> str:
    return "  ".join(filter(None, (card.name, card.hook, card.cultivar)))


def stuck_lines(season: Season, job: LoweringJob) -> list[str]:
    """The heads that cannot be lowered on this visit, and why."""
    return [f"Not now: {stem_name(season, move.leader)}, {move.limited_by}" for move in job.stuck]


def last_lines(done: Sequence[str], left: Sequence[str], over: Sequence[str], effect: Relief | None) -> list[str]:
    """The end of a lowering: ``done`` and ``left`` heads by name, those whose tip hung ``over`` its aim."""
    lines = [f"{many(len(done), 'head')} lowered: {_named(done)}." if done else "No head was lowered."]
    if left:
        lines.append(f"Left as they hang: {_named(left)}. They stay on the walk.")
    if over:
        lines.append(f"Tips over what was said: {_named(over)}. Look at them again in three days.")
    if effect is not None and done:
        lines += relief_words(effect, over=True)
    return lines


def _named(names: Sequence[str]) -> str:
    """Names by row, the row said once: ``W2-01 02 03  W1-15``."""
    rows: dict[str, list[str]] = {}
    for name in names:
        row, _, short = name.rpartition("-")
        rows.setdefault(row, []).append(short)
    return "  ".join(f"{row}-{' '.join(shorts)}" if row else " ".join(shorts) for row, shorts in rows.items())


def lowering_text(morning: Morning, jobs: Sequence[LoweringJob]) -> str:
    minutes = {chore.about: chore.minutes for chore in morning.chores if chore.kind == "lower"}
    lines: list[str] = []
    for job in jobs:
        lines += [*([""] if lines else []), day_words(job.visit)]
        for words in pocket_lines(morning.season, job, minutes.get(job.loop, 0.0)):
            lines += wrapped(words, "", "      ")
    return printed(lines or ["No lowering is due within the week."])


def lowering_document(morning: Morning, jobs: Sequence[LoweringJob]) -> dict[str, Any]:
    return {
        "day": morning.day.isoformat(),
        "lowerings": [
            {
                "loop": job.loop,
                "visit": job.visit.isoformat(),
                "next_visit": job.next_visit.isoformat(),
                "heads": [_head(move) for move in job.moves],
            }
            for job in jobs
        ],
    }


def _head(move: LoweringMove) -> dict[str, Any]:
    return {
        "leader": move.name,
        "hook": move.hook_number,
        "tip_under_wire_m": round(move.wire_z_m - move.tip_z_m, 2),
        "let_out_m": round(move.let_out_m, 3),
        "hook_from_u_m": round(move.hook_from_u_m, 2),
        "hook_to_u_m": round(move.hook_to_u_m, 2),
        "clip_to": [clip.string for clip in move.clips],
        "second_clip_on": [clip.string for clip in move.second],
        "open": len(move.opens),
        "close_under_tip": move.top_clip_s_m is not None,
        "passes": list(move.passes),
        "not_now": move.limited_by if move.let_out_m <= 0 else None,
    }
