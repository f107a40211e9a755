"""What follows from something found: late blight's urgent path, blossom-end rot's fortnight, helpers to order.

Words of a scouting decide; they are the grower's own. Who is unsure sends a sample to a plant clinic: local rules
on notifiable sickness, labels and licensed practice come first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from tunneltui.care.advice import Advice
from tunneltui.care.heat import RIPENING_STOPS_C
from tunneltui.care.row_water import water_balance
from tunneltui.care.scouting import last_scouted, pests_in
from tunneltui.care.tunnel_air import air_on
from tunneltui.cells import degc, many, say, words
from tunneltui.growth.air import is_part_day
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Scouted
from tunneltui.journal.kinds_crop import Deleafed, GreenStripped, Removed
from tunneltui.journal.kinds_journal import Note
from tunneltui.season.state import Leader, Season

STILL_NEWS_DAYS = 14
"""Something found longer ago is no news; it is found again or it is over."""
FORTNIGHT = 14
WATCH_DAYS = 7
"""Days of looking daily after late blight was found. Common practice, no source."""
LONG_GAP_DAYS = 3
"""Days without water after which soil in a bed swings from wet to dry. Common practice, no source."""
_NOT = re.compile(r"\b(no|not|none|never|without)\b")
_BLIGHT = re.compile(r"\bblight")
_END_ROT = re.compile(r"blossom.?end|\bend.rot\b|\bber\b")


def illness(season: Season, outlook: Outlook) -> Iterator[Advice]:
    """Everything that follows from what was found in the last fortnight."""
    yield from blight(season)
    yield from watch(season)
    yield from end_rot(season, outlook)
    yield from orders(season)


def blight(season: Season) -> Iterator[Advice]:
    """Pick, strip, clear: three musts for the plants on which late blight was found, in that order."""
    for day, about, scouted in season.scoutings:
        if not _is_news(season, day) or not _names(_BLIGHT, scouted.found) or scouted.over:
            continue
        leaders = [x for x in _meant(season, about, scouted.leaders) if not _over_since(season, x, day)]
        if not leaders:
            continue
        where = about or "the house"
        named = bool(scouted.leaders) or about in {x.place for x in leaders}
        if named:
            path = _blight_path(where, leaders)
        else:
            # Of a whole row no plant is cleared on a word: first those that have it are named.
            mark = say("{}: mark every plant with brown patches, and note which", where)
            path = [("1 mark", mark, ((about, Note("looked which plants have late blight")),))]
        for step, proposal, bodies in path:
            name = f"{where} {step}"
            if not _done_since(season, "blight", name, day):
                yield _blight(name, proposal, bodies, leaders, day)


def _blight_path(where: str, leaders: list[Leader]) -> Iterable[tuple[str, str, tuple[tuple[str, Body], ...]]]:
    row, ids = leaders[0].row, tuple(leader.id for leader in leaders)
    plants = {leader.plant: leader for leader in leaders}
    pick = ((row, GreenStripped(ids)),)
    strip = ((row, Deleafed(ids)),)
    clear = tuple((leader.place, Removed(plant)) for plant, leader in plants.items())
    return (
        ("1 pick", say("{}: pick every sound fruit, green ones too, and keep it apart", where), pick),
        ("2 strip", say("{}: strip every leaf with a brown patch into a bag", where), strip),
        (
            "3 clear",
            say("{}: clear plants with brown patches on the stem, bagged and out of the tunnel", where),
            clear,
        ),
    )


def _blight(
    name: str, proposal: str, bodies: tuple[tuple[str, Body], ...], leaders: list[Leader], day: date
) -> Advice:
    plants = len({x.plant for x in leaders})
    why = say(
        "late blight was noted on {} on {}; it kills in days and its spores drift: sick ones "
        "last, hands and knife cleaned after, doors open to dry the air, every other plant "
        "looked at daily for a week",
        day,
        many(plants, "plant"),
    )
    source = "common practice; a plant clinic can tell it from other blights, local rules come first"
    return Advice("blight", name, True, "any", proposal, why, source, bodies, tuple(x.id for x in leaders))


def watch(season: Season) -> Iterator[Advice]:
    """After late blight was found every other plant is looked at daily for a week."""
    noted: dict[str, date] = {}
    for day, about, scouted in season.scoutings:
        recent = 0 <= (season.day - day).days <= WATCH_DAYS and not scouted.over
        if recent and _names(_BLIGHT, scouted.found) and not _was_nothing(season, day, about, scouted):
            noted |= dict.fromkeys(_tunnels_of(season, about), day)
    for tunnel in season.holding.tunnels:
        rows = [row_id(tunnel, row) for row in tunnel.rows if season.leaders_of_row(row_id(tunnel, row))]
        if tunnel.key in noted and any(last_scouted(season, row, tunnel.key) != season.day for row in rows):
            why = say(
                "late blight was noted on {}: what it reached then shows within a week, and caught early "
                "it costs leaves instead of plants",
                noted[tunnel.key],
            )
            proposal = say("look at every other plant of {} for brown patches, the sick ones last", tunnel.key)
            name, body = f"{tunnel.key} blight", ((tunnel.key, Scouted()),)
            yield Advice("scout", name, True, "any", proposal, why, "common practice, no source", body)


def _was_nothing(season: Season, day: date, about: str, scouted: Scouted) -> bool:
    """Said to be over since; a sick plant that was cleared is not."""
    standing = _meant(season, about, scouted.leaders)
    return bool(standing) and all(_over_since(season, leader, day) for leader in standing)


def _tunnels_of(season: Season, about: str) -> list[str]:
    """Where an entry was made, whether its plants stand yet or not."""
    layout = season.layout
    row = layout.places[about].row_id if about in layout.places else about
    if row in layout.rows:
        return [layout.rows[row][0].key]
    return [tunnel.key for tunnel in season.holding.tunnels if about in ("", tunnel.key)]


def end_rot(season: Season, outlook: Outlook) -> Iterator[Advice]:
    """Blossom-end rot noted: what the fortnight before was like on that row."""
    noted: dict[str, date] = {}
    for day, row in _end_rot_noted(season):
        if _is_news(season, day):
            noted[row] = max(day, noted.get(row, day))
    for row, day in noted.items():
        if season.leaders_of_row(row) and not _done_since(season, "end_rot", row, day):
            yield _end_rot(season, outlook, row, day)


def _end_rot_noted(season: Season) -> Iterator[tuple[date, str]]:
    every: list[tuple[date, str, tuple[str, ...], str]] = [
        *((day, about, (), lost.why) for day, about, lost in season.fruit_losses),
        *((day, about, (lost.leader,), lost.why) for day, about, lost in season.truss_losses),
        *(
            (day, about, scouted.leaders, scouted.found)
            for day, about, scouted in season.scoutings
            if not scouted.over
        ),
    ]
    for day, about, leaders, noted in every:
        if _names(_END_ROT, noted):
            for row in dict.fromkeys(leader.row for leader in _meant(season, about, leaders)):
                yield day, row


def _end_rot(season: Season, outlook: Outlook, row: str, day: date) -> Advice:
    tunnel, standing = season.layout.rows[row]
    last = day - timedelta(days=1)
    water = water_balance(season, outlook, tunnel, standing, last, FORTNIGHT)
    hot, read = _hot_days(season, tunnel.key, last)
    causes = []
    if water.longest_gap_days >= LONG_GAP_DAYS and water.times:
        causes.append("water little and often")
    if water.short:
        causes.append("give more")
    if not causes and hot:
        causes.append("doors and shade against the heat")
    change = ", ".join(causes) or "look at soil and drip"
    gap = f"{water.longest_gap_days} {'day' if water.longest_gap_days == 1 else 'days'}"
    heat = say("{} of {} days read were over {}", hot, read, degc(RIPENING_STOPS_C)) if read else "no air was read"
    why = say(
        "blossom-end rot, noted on {}, begins in the fortnight before: {}, {} the longest without; {}. Too much "
        "nitrogen or salt and waterlogging do it too; spoiled fruit off",
        day,
        water.words,
        gap,
        heat,
    )
    source = "Delaware and reviews: calcium runs short while soil swings or air is hot; an advice to look"
    note = Note("looked back on the fortnight before blossom-end rot")
    return Advice("end_rot", row, False, "any", say("{}: end rot, {}", row, change), why, source, ((row, note),))


def _hot_days(season: Season, tunnel: str, last: date) -> tuple[int, int]:
    """(days whose most was over the limit, days read) of a fortnight."""
    read = [air_on(season, tunnel, last - timedelta(days=back)) for back in range(FORTNIGHT)]
    most = [
        air.max_c
        for air in read
        if air is not None and air.max_c is not None and (air.max_c > RIPENING_STOPS_C or not is_part_day(air))
    ]
    return sum(1 for max_c in most if max_c > RIPENING_STOPS_C), len(most)


def orders(season: Season) -> Iterator[Advice]:
    """Helpers against the pests that were found, with the day they can be here."""
    seen: dict[tuple[str, str], tuple[date, int, str]] = {}
    for day, about, scouted in season.scoutings:
        if not _is_news(season, day) or scouted.over:
            continue
        tunnels = {season.layout.rows[leader.row][0].key for leader in _meant(season, about, scouted.leaders)}
        for pest in pests_in(season.holding, " ; ".join(_affirmed(scouted.found))):
            for tunnel in sorted(tunnels) if pest.helper else ():
                seen[tunnel, pest.key] = (day, pest.order_days, pest.helper)
    for (tunnel, what), (day, days, helper) in seen.items():
        name = f"{tunnel} {what}"
        if not _done_since(season, "order", name, day):
            why = say(
                "{} was noted on {}; an order takes about {} days, so here by {}",
                words(what),
                day,
                days,
                season.day + timedelta(days=days),
            )
            source = "common practice; the supplier says what suits the temperature, labels which sprays harm them"
            note = Note(say("ordered {} against {}", helper, what))
            proposal = say("order {} against {}", helper, what)
            yield Advice("order", name, False, "any", proposal, why, source, ((tunnel, note),))


def _is_news(season: Season, day: date) -> bool:
    return 0 <= (season.day - day).days <= STILL_NEWS_DAYS


def _names(what: re.Pattern[str], words: str) -> bool:
    """Whether the words say that it was found: "no blight, whitefly on 07" says it of whitefly only."""
    return any(what.search(clause) for clause in _affirmed(words))


def _affirmed(words: str) -> list[str]:
    return [clause for clause in re.split(r"[,;.]|\bbut\b", words.casefold()) if not _NOT.search(clause)]


def _meant(season: Season, about: str, leaders: tuple[str, ...]) -> list[Leader]:
    """Standing leaders an entry speaks of: those it names, else all at its place, row or tunnel."""
    if leaders:
        return [season.leaders[id_] for id_ in leaders if id_ in season.leaders]
    if not about:
        return list(season.leaders.values())
    place = season.layout.places.get(about)
    if place is not None:
        return [leader for leader in season.leaders_of_row(place.row_id) if leader.place == about]
    return season.leaders_of_row(about) or season.leaders_of_tunnel(about)


def _over_since(season: Season, leader: Leader, day: date) -> bool:
    """Whether the suspicion was noted as over, for the leader or for where it stands."""
    return any(
        when >= day and scouted.over and leader in _meant(season, about, scouted.leaders)
        for when, about, scouted in season.scoutings
    )


def _done_since(season: Season, kind: str, about: str, day: date) -> bool:
    return any(
        done.answers[:2] == (kind, about) and done.day >= day and done.put_off_until is None
        for done in season.done
    )
