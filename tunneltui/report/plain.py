"""What the commands print for reading: the documents' plain-text twins, at most 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from tunneltui.cells import Band, Quantity, kg, many, one_line, say
from tunneltui.chores.chore import Chore, Round
from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.journal.body import BodyFault, parsed
from tunneltui.journal.entry import Entry
from tunneltui.pages.units import in_force, localize
from tunneltui.pages.week import gives_way

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.growth.backtest import Backtests
    from tunneltui.growth.topping import TipOut
    from tunneltui.season.state import Season

WIDTH = 80
LONGEST = 20_000
"""Letters of one text that are printed."""


def round_text(morning: Morning, numbers: Mapping[str, int]) -> str:
    """The walk: a heading, the spots row by row with each chore's number and reason, and what is left for later.

    ``numbers``: of the lines, by the chore's id; ``done`` speaks of them.
    """
    walk = morning.round
    lines = [heading(morning.season), *wrapped(_minutes(walk), "", "")]
    lines += [line for said in cautions(walk) for line in wrapped(said, "! ", "  ")]
    row = None
    for spot in walk.spots:
        if spot.row != row:
            row = spot.row
            lines += ["", f"Row {row}" if row else "The house"]
        for chore in spot.chores:
            lines += _chore(spot.place, chore, numbers[chore.id])
    if not walk.spots:
        lines += ["", "Nothing is due."]
    if not morning.season.leaders:
        lines += ["No plant stands on that day: `tunneltui add planted cultivar=NAME --about PLACE`."]
    if walk.later:
        lines += ["", "Later"]
        lines += [line for chore in walk.later for line in _later(chore, walk.day)]
    return joined(lines)


def cautions(walk: Round) -> list[str]:
    """What to mind today, each once."""
    return list(dict.fromkeys(said for spot in walk.spots for chore in spot.chores for said in chore.cautions))


def heading(season: Season) -> str:
    return f"{day_words(season.day)}  {season.holding.name}"


def day_words(day: date) -> str:
    """Such as ``Thu 20 Aug 2026``; the names are English whatever the machine speaks."""
    weekday = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[day.weekday()]
    month = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")[day.month - 1]
    return f"{weekday} {day.day} {month} {day.year}"


def _minutes(walk: Round) -> str:
    spots = many(len(walk.spots), "spot")
    said = f"{spots}, {walk.minutes_planned:.0f} of {walk.minutes_there:.0f} minutes."
    return f"{said} {gives_way(walk)}".strip()


def _chore(place: str, chore: Chore, number: int) -> Iterator[str]:
    marks = ("must  " if chore.must else "") + ("overhead  " if chore.overhead else "")
    yield from wrapped(
        say("{}  {}", f"{number:>3}", named(place, chore.proposal)),
        " ",
        "      ",
        keep=f"{marks}{minutes_words(chore.minutes)}",
    )
    yield from wrapped(chore.why, "      ", "      ")


def named(place: str, proposal: str) -> str:
    """A proposal with its place before it, unless it names that itself."""
    # A clip is told apart by its place along the stem, which its proposal says by the string.
    return proposal if not place or place.split()[0] in proposal else say("{}  {}", place, proposal)


def _later(chore: Chore, day: date) -> Iterator[str]:
    by = "" if chore.latest <= day else f", by {day_words(chore.latest)[:-5]}"
    yield from wrapped(
        say("{}{}", named(chore.about, chore.proposal), by), "  ", "      ", keep=minutes_words(chore.minutes)
    )


def minutes_words(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes >= 1 else f"{max(5, round(minutes * 12) * 5)} s"


def wrapped(text: str, first: str, rest: str, keep: str = "", *, as_typed: bool = False) -> Iterator[str]:
    """Lines of at most 80 columns; ``keep`` stands at the right end of the first.

    Quantities are put into the grower's units; ``as_typed`` leaves them, for what a grower wrote.
    """
    room = WIDTH - len(keep) - 2 if keep else WIDTH
    shown = one_line(text if as_typed else localize(text), LONGEST)
    lines = textwrap.wrap(shown, room, initial_indent=first, subsequent_indent=rest) or [first.rstrip()]
    if keep:
        lines[0] = f"{lines[0]:<{room}}  {keep}"
    yield from lines


def outlook_text(season: Season, coming: Outlook) -> str:
    """Stems in walking order: length, tip, growth, trusses, the day at the wire; then the next picks."""
    lines = [heading(season)]
    if coming.air_typical:
        lines.append("The air rests in part on typical values: `tunneltui air FILE` reads a logger.")
    holding = season.holding
    if holding.latitude_deg is None and not holding.lit:
        lines.append(
            "Say your latitude (`tunneltui holding edit`): day length makes stem forecasts a tenth better."
        )
    lines += ["", "Stem       length            a week on    growth/week   truss   at the wire"]
    for id_, leader in season.leaders.items():
        if id_ in coming.leaders:
            lines.append(_stem(leader.name, season.day, coming.leaders[id_]))
    left_out = [*coming.flagged, *(out.says for one in coming.leaders.values() for out in one.flagged)]
    lines += [line for said in left_out for line in wrapped(said, "  ", "      ")]
    lines += ["", "Picks"]
    lines += [
        f"  {day_words(pick.day)}  {pick.row:<5} {pick.cultivar:<16.16} "
        + localize(
            say("{}; no pick weighed yet", Band(pick.kg.low, pick.kg.high, "kg"))
            if pick.blind
            else say("{}, likely {}", Band(pick.kg.low, pick.kg.high, "kg"), kg(pick.kg.mid))
        )
        for pick in coming.picks
    ]
    if not coming.picks:
        lines.append("  none within the next days")
    return joined([*lines, *_to_the_end(season)])


def _to_the_end(season: Season) -> list[str]:
    """How long stems get, what is still to be picked and when tips come out, up to the last pick."""
    from tunneltui.growth.season_end import season_end
    from tunneltui.growth.topping import basis_until, last_pick, tip_outs

    last = last_pick(season)
    if last is None or last.day < season.day:
        return []
    known = basis_until(season, last)
    end = season_end(season, known)
    if end is None:
        return []
    assumed = ", by the typical year's cold" if end.last_pick.assumed else ""
    lines = ["", f"To the last pick, {day_words(end.last_pick.day)}{assumed}"]
    for row in end.rows:
        stems = [
            end.leaders[leader.id].length_m
            for leader in season.leaders_of_row(row.row)
            if leader.cultivar == row.cultivar and leader.id in end.leaders
        ]
        if stems:
            span = Band(min(band.low for band in stems), max(band.high for band in stems), "m")
            to_come = Band(row.kg.low, row.kg.high, "kg")
            said = say("{} to come, stems {}", to_come, span)
            lines.append(f"  {row.row:<5} {row.cultivar:<16.16} {localize(said)}")
    furthest: dict[str, TipOut] = {}
    for id_, out in tip_outs(season, known).items():
        cultivar = season.leaders[id_].cultivar
        if cultivar not in furthest or out.last_truss > furthest[cultivar].last_truss:
            furthest[cultivar] = out
    for cultivar, out in sorted(furthest.items()):
        lines += wrapped(say("{}, furthest stem: {}", cultivar, out.consequence), "  ", "      ")
    return lines


def _stem(name: str, day: date, one: LeaderOutlook) -> str:
    days = sorted(one.days)
    today, later = one.days[min(max(day, days[0]), days[-1])], one.days[days[min(7, len(days) - 1)]]
    likely = day_words(one.at_wire[1])[:-5] if one.at_wire[1] else "not in 14 days"
    growth = one.growth_m_per_week
    if one.measured_on is None:
        # Never read: a figure, and that it is no more than that.
        about = [Quantity(on.length_m.mid, "m", 1).shown(in_force()) for on in (today, later)]
        lengths = [f"some {said}" for said in about]
        grows = f"some {Quantity(growth.mid, 'cm').shown(in_force())}"
    else:
        lengths = [Band(on.length_m.low, on.length_m.high, "m", 2).shown(in_force()) for on in (today, later)]
        grows = Band(growth.low, growth.high, "cm").shown(in_force())
    return f"{name:<10} {lengths[0]:<16}{lengths[1]:<16}{grows:<15}{today.flowering_truss:5.1f}   {likely}"


_UNITS = {"stem": ("cm", 100.0), "truss": ("trusses", 1.0), "picks": ("kg", 1.0)}


def backtest_text(held: Backtests) -> str:
    """Mean error against carrying the last rate on, and how often the 90 % interval held."""
    lines = [f"Forecasts up to {day_words(held.day)}, each made from the past alone"]
    several = len({one.cultivar for one in held.backtests}) > 2
    for one in held.backtests:
        if one.cultivar and not several:
            continue
        unit, factor = _UNITS[one.what]
        lines += ["", f"{one.what}, {one.cultivar or 'all cultivars'}: error in {unit}"]
        for score in one.horizons:
            if score.mae is None:
                lines.append(f"  {_ahead(score.days)} on: nothing to score yet")
                continue
            last = "-" if score.mae_persistence is None else f"{score.mae_persistence * factor:.2f}"
            inside = "-" if score.inside_90 is None else f"{score.inside_90:.0%}"
            width = "-" if score.width is None else f"{score.width * factor:.1f}"
            lines.append(
                f"  {_ahead(score.days)} on: {score.mae * factor:.2f} (last rate carried on: {last}), "
                f"{inside} inside 90%, {width} wide, {_off(score.bias or 0.0, factor)}, n {score.n}"
            )
    return joined(lines)


def _off(bias: float, factor: float) -> str:
    """Which way the forecasts lay, in the mean."""
    size = f"{abs(bias) * factor:.2f}"
    return "even" if float(size) == 0 else f"{size} too {'much' if bias > 0 else 'little'}"


def _ahead(days: int) -> str:
    return f"{days:2d} {'day ' if days == 1 else 'days'}"


def journal_text(entries: Iterable[Entry], aside: Mapping[str, str]) -> str:
    """One line an entry: day, the act's name as far as it is needed, what it is about, kind and body; ``aside``:
    why it does not count, by id."""
    return joined([line for entry in entries for line in _entry(entry, aside.get(entry.id, ""))]) or "No entry.\n"


def _entry(entry: Entry, why: str) -> Iterator[str]:
    yield from wrapped(f"{entry.day} {entry.act[:13]} {entry.about:<7} {entry.kind}  {_body(entry)}", "", "    ")
    if why:
        yield from wrapped(f"does not count: {why}", "    ", "    ")


def _body(entry: Entry) -> str:
    try:
        plain = parsed(entry)
    except BodyFault:
        return entry.body
    if entry.kind == "holding_set":
        return f"{len(str(plain.get('toml', '')).splitlines())} lines of TOML"
    said = [f"{key}={_value(value)}" for key, value in plain.items() if key not in ("answers", "pieces")]
    return " ".join(said)


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"{len(value)} of them" if len(value) > 4 else ",".join(str(item) for item in value)
    return str(value)


def written_text(written: Sequence[Entry]) -> str:
    """What was written and how it is undone."""
    if not written:
        return "Nothing new."
    kinds: dict[str, int] = {}
    for entry in written:
        kinds[entry.kind] = kinds.get(entry.kind, 0) + 1
    said = ", ".join(kind if n == 1 else f"{n} {kind}" for kind, n in kinds.items())
    return f"Written: {said}. To undo: tunneltui journal cross-out {written[0].act}"


def joined(lines: Sequence[str]) -> str:
    return "\n".join(localize(line).rstrip() for line in lines) + "\n" if lines else ""
