"""A morning in words: the view the screens show, made from what season, outlook, loads and chores say. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from tunneltui import cells
from tunneltui.cells import Range, cm, joined, m, many, say
from tunneltui.chores.chore import Round
from tunneltui.chores.day_card import day_card
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.chores.walk import places_walked, plan_round
from tunneltui.growth.outlook import LeaderOutlook
from tunneltui.holding.model import WEEKDAYS
from tunneltui.journal.entry import Entry
from tunneltui.loads.result import ClipLoad
from tunneltui.loads.workings import what_stands
from tunneltui.memo import Stages
from tunneltui.pages.card import CardLine, WeekDay
from tunneltui.pages.day import card_lines, week_days
from tunneltui.pages.stem import FULLEST_CLIP, READ_AGAIN
from tunneltui.screens.round_layout import laid_out, renewed, walk_of
from tunneltui.screens.round_view import (
    ChoreAnswer,
    ChoreKey,
    FixingChoice,
    LeaderFacts,
    Pieces,
    RoundView,
    RowFacts,
    State,
    chores_of,
    states_after,
    states_answered,
    with_newcomers,
    with_pieces,
)
from tunneltui.season.state import Fixing, Leader, Season
from tunneltui.values import replace


def view_of(
    morning: Morning,
    plan: Round,
    today: date,
    last_act: str = "",
    before: RoundView | None = None,
    stages: Stages | None = None,
) -> RoundView:
    """``plan`` is this morning's order, ``morning`` what is known now; ``before`` the view before it."""
    season = morning.season
    answered = _answered(season)
    due = {chore.key: chore for chore in morning.chores}
    order = with_pieces(with_newcomers(plan, morning.round), due)
    shown = {chore.key for chore in chores_of(order)}
    settled = states_after(chores_of(order), due, answered)
    card, week = (
        (before.card, before.week) if before is not None and before.round is plan else card_of(morning, plan)
    )
    return laid_out(
        RoundView(
            day=morning.day,
            today=today,
            holding=season.holding.name,
            zone=season.holding.zone,
            plays_on=season.holding.plays_on,
            air=air_words(season),
            round=order,
            states=settled.states,
            pieces=settled.pieces,
            leaders=_leaders(morning, stages or Stages()),
            rows=_rows(season, order),
            next_work_day={row: _next_work_day(season, row) for row in season.layout.rows},
            since=len(due.keys() - shown),
            last_act=last_act,
            morning=morning,
            card=card,
            week=week,
        )
    )


def card_of(morning: Morning, plan: Round) -> tuple[tuple[CardLine, ...], tuple[WeekDay, ...]]:
    """The day and the week as they were planned."""
    card = day_card(morning.season, morning.outlook, plan)
    return tuple(card_lines(morning.season, card)), tuple(week_days(card))


def with_stems(view: RoundView, stems: Morning, answered: Iterable[str], stages: Stages) -> RoundView:
    """The view with the leaders of ``stems``, planned at a stem's depth, as they are now, what is to do to
    each of them by itself, and what became of the chores that were ``answered``; the rest as it was."""
    walk = view.walk or walk_of(view)
    due, given = {chore.key: chore for chore in stems.chores}, _answered(stems.season)
    alone = [walk.chores[id_] for leader in stems.season.leaders for id_ in walk.alone.get(leader, ())]
    theirs = [chore for chore in alone if KINDS[chore.kind].reach == "stem"]
    theirs_ids = {chore.id for chore in theirs}
    others = [walk.chores[id_] for id_ in answered if id_ in walk.chores and id_ not in theirs_ids]
    states: dict[str, State] = {chore.id: "" for chore in theirs}
    pieces: dict[str, Pieces] = {chore.id: {} for chore in theirs}
    for settled in (states_after(theirs, due, given), states_answered(others, given)):
        states |= settled.states
        pieces |= settled.pieces
    planned = {chore.key for chore in theirs}
    came = [chore for chore in stems.chores if KINDS[chore.kind].joins and chore.key not in planned]
    leaders = _leaders(stems, stages)
    if not came:
        return renewed(view, walk, leaders, states, pieces)
    return laid_out(
        replace(
            view,
            round=with_newcomers(view.round, plan_round(stems.season, came)),
            states={**view.states, **states},
            pieces={**view.pieces, **pieces},
            leaders={**view.leaders, **leaders},
            passes=(),
        )
    )


def _answered(season: Season) -> dict[ChoreKey, ChoreAnswer]:
    by_key: dict[ChoreKey, ChoreAnswer] = {}
    for done in season.done:
        if done.day != season.day:
            continue
        state: State = "put off" if done.put_off_until else "done"
        earlier = by_key.get(done.key)
        if not done.pieces:
            by_key[done.key] = ChoreAnswer(state)
        elif earlier is None or earlier.pieces is not None:
            before = earlier.pieces if earlier is not None and earlier.pieces is not None else {}
            by_key[done.key] = ChoreAnswer(state, {**before, **dict.fromkeys(done.pieces, state)})
    return by_key


def last_act_of_day(entries: Sequence[Entry], day: date, device: str = "") -> str:
    """The last live act of the day, of ``device`` where one is named; '' if there is none."""
    from tunneltui.journal.order import MARKS, live
    from tunneltui.season.long_journal import at_hand

    of_day = live(entry for entry in at_hand(entries) if entry.day == day or entry.kind in MARKS)
    return next(
        (entry.act for entry in reversed(of_day) if entry.kind not in MARKS and device in ("", entry.device)), ""
    )


def air_words(season: Season) -> str:
    """The day's air: read, or as forecast."""
    for airs in season.airs.values():
        air = airs.get(season.day)
        if air is not None and air.min_c is not None and air.max_c is not None:
            return say("{}", Range(air.min_c, air.max_c, "degC"))
    for first, forecast in reversed(season.forecasts):
        at = (season.day - first).days
        if 0 <= at < min(len(forecast.min_c), len(forecast.max_c)):
            low, high = forecast.min_c[at], forecast.max_c[at]
            if low is not None and high is not None:
                return say("{} forecast", Range(low, high, "degC"))
    return ""


def _rows(season: Season, order: Round) -> dict[str, RowFacts]:
    rows = {}
    walked = places_walked(season, (chore for spot in order.spots for chore in spot.chores))
    for row, places in walked.items():
        tunnel, _ = season.layout.rows[row]
        cultivars = dict.fromkeys(leader.cultivar for leader in season.leaders_of_row(row))
        rows[row] = RowFacts(tunnel.name, tuple(cultivars), places, season.layout.loop_of_row[row].id)
    return rows


def _next_work_day(season: Season, row: str) -> date:
    work_day = season.layout.rows[row][1].work_day
    if work_day is None:
        return season.day + timedelta(days=7)
    ahead = (WEEKDAYS.index(work_day) - season.day.weekday() - 1) % 7 + 1
    return season.day + timedelta(days=ahead)


def _leaders(morning: Morning, stages: Stages) -> dict[str, LeaderFacts]:
    clips: dict[str, ClipLoad] = {clip.id: clip for clip in morning.loads.clips}
    stands = what_stands(stages, morning.season)
    return {
        id_: stages.of(
            _leader,
            id_,
            stands,
            leader,
            morning.outlook.leaders.get(id_),
            tuple(clips[fixing.id] for fixing in leader.fixings if fixing.id in clips),
        )
        for id_, leader in morning.season.leaders.items()
    }


def _leader(
    stands: Season, leader: Leader, ahead: LeaderOutlook | None, clips: tuple[ClipLoad, ...]
) -> LeaderFacts:
    # A reading that makes no sense, shown until it is settled.
    doubted = ahead.doubted if ahead is not None else None
    doubt = say(READ_AGAIN, doubted.why) if doubted is not None else ""
    lines = (_stem_words(stands, leader, ahead), _load_words(clips), doubt)
    borne = {clip.id: clip for clip in clips}
    choices = [_choice(stands, fixing, borne.get(fixing.id)) for fixing in leader.fixings]
    return LeaderFacts(
        leader.id,
        leader.name,
        leader.place,
        leader.row,
        tuple(line for line in lines if line),
        tuple(sorted(choices, key=lambda choice: -choice.share)),
    )


def _stem_words(stands: Season, leader: Leader, ahead: LeaderOutlook | None) -> str:
    words: list[str] = [leader.cultivar]
    if ahead is not None:
        stem = ahead.on(stands.day)
        wire_m = stands.layout.rows[leader.row][1].wire_height_m
        words.append(say("{}", m(stem.length_m.mid)))
        words.append(many(len(stem.trusses), "truss", "trusses"))
        words.append(_tip_words(wire_m - stem.tip_z_m.mid))
    if leader.suspect:
        words.append("suspect: last, then clean hands and knife")
    return joined("  ", words)


def _tip_words(under_m: float) -> str:
    return say("tip {} under wire", cm(under_m)) if under_m >= 0 else say("tip {} over wire", cm(-under_m))


def _load_words(clips: Sequence[ClipLoad]) -> str:
    if not clips:
        return ""
    fullest = max(clips, key=lambda clip: clip.share)
    carried = Range(fullest.low_n, fullest.high_n, "N")
    return say(FULLEST_CLIP, fullest.on, carried, cells.load(fullest.strength_n))


def _choice(season: Season, fixing: Fixing, load: ClipLoad | None) -> FixingChoice:
    what = "tie" if fixing.tie else "clip"
    where = {"head": "head twine", "wire": "wire"}.get(fixing.on) or season.string_name(fixing.string)
    carries = say(", {}", Range(load.low_n, load.high_n, "N")) if load else ""
    words = say("{}, {}{}, {} up the stem", what, where, carries, cm(fixing.s_m))
    return FixingChoice(fixing.id, words, load.share if load else 0.0)
