"""The end of a crop. After a frost only what clears it is asked, until somebody says that it stands. Where no
frost was read it is asked whether the crop is over, once the typical year is too cold for more to ripen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import TypeVar

from tunneltui.cells import Day, day_word, degc, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_tunnel, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.growth.topping import last_pick
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Frosted
from tunneltui.journal.kinds_crop import CropOver
from tunneltui.loads.result import Loads
from tunneltui.season.growing_year import GrowingYear, usual_growing_year
from tunneltui.season.state import Season

Said = TypeVar("Said")
FROST_TOOK = ChoreKind(
    "frost_took", "did frost take the crop", "tunnel", "look", worth=0.3, minutes=1.0, taken="choice"
)
CROP_OVER = ChoreKind("crop_over", "is the crop over", "tunnel", "look", worth=0.03, minutes=1.0, taken="choice")
AGAIN_DAYS = 14
"""After which it is asked again of a crop that goes on."""
GROWN_DAYS = 70
"""A younger crop bears nothing yet, and no cold ends what was planted into it (common practice, no source)."""
KILLS_C = -1.0
"""A night this cold among the plants mostly kills a warm-season crop (common practice, no source)."""
ENDS_FROM_MONTH = 8
"""A frost ends a season from August on; in the south from February on. One in spring is replanted after."""
OF_A_SEASON_DAYS = 180
"""What ended a crop longer ago ended an earlier one."""
STILL_ASKED = frozenset({FROST_TOOK.key, CROP_OVER.key, "strip_green", "clearing", "make_bed"})


def frost_took(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Asked tunnel by tunnel where plants stand and nobody has said yet."""
    for tunnel in season.holding.tunnels:
        cold = _cold_night(season, tunnel.key)
        if cold is None or _answer(season, tunnel.key, cold[0]) is not None:
            continue
        if season.leaders_of_tunnel(tunnel.key):
            night, min_c = cold
            yield _ask(
                season,
                FROST_TOOK,
                tunnel.key,
                "look whether the frost took the crop, and say so",
                say(
                    "{} were read inside, {}. Until you say that it stands, only stripping and clearing are "
                    "asked.",
                    degc(min_c, 1),
                    day_word(night, season.day),
                ),
                [
                    ("s", "it stands: go on as before", Frosted(took_crop=False)),
                    ("f", "frost took it", Frosted(took_crop=True)),
                ],
            )


def crop_taken_on(season: Season, tunnel: str) -> date | None:
    """The night that took a tunnel's crop: as noted or, until somebody notes it, as a reading lets fear."""
    answers = _answers_of(season.frosts, tunnel)
    cold = _cold_night(season, tunnel)
    if cold is not None:
        answer = _answer(season, tunnel, cold[0])
        return cold[0] if answer is None or answer else None
    recent = [day for day, last in answers[-1:] if last.took_crop and _of_this_autumn(season, day)]
    return recent[0] if recent else None


def crop_over(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Asked tunnel by tunnel after the last pick that is assumed, and every fortnight that the crop goes on."""
    end = last_pick(season)
    if end is None or not end.assumed or season.day <= end.day:
        return
    for tunnel in season.holding.tunnels:
        grown = [
            leader
            for leader in season.leaders_of_tunnel(tunnel.key)
            if (end.day - leader.planted_on).days >= GROWN_DAYS
        ]
        answers = [day for day, _ in _answers_of(season.crop_ends, tunnel.key) if day > end.day]
        asked_again = not answers or (season.day - answers[-1]).days >= AGAIN_DAYS
        if grown and asked_again and crop_taken_on(season, tunnel.key) is None:
            yield _ask(
                season,
                CROP_OVER,
                tunnel.key,
                "say whether the crop is over",
                say(
                    "After {} the typical year is too cold for much more to ripen. Once it is over, only "
                    "stripping and clearing are asked.",
                    Day(end.day, season.day),
                ),
                [
                    ("g", "goes on: ask again in a fortnight", CropOver(over=False)),
                    ("o", "over: strip and clear", CropOver(over=True)),
                ],
            )


def crop_over_since(season: Season, tunnel: str) -> date | None:
    """The day on which a tunnel's crop was noted as over; None where it was not, or goes on since."""
    answers = _answers_of(season.crop_ends, tunnel)
    if not answers:
        return None
    day, last = answers[-1]
    return day if last.over and (season.day - day).days < OF_A_SEASON_DAYS else None


def only_clearing_at_the_end(season: Season, chores: Iterable[Chore]) -> Iterator[Chore]:
    """Without the chores of plants that frost took, or whose crop is over."""
    ended = rows_at_their_end(season)
    return (chore for chore in chores if chore.row not in ended or chore.kind in STILL_ASKED)


def rows_at_their_end(season: Season) -> frozenset[str]:
    """Rows of tunnels whose plants frost took, or whose crop is over."""
    tunnels = [tunnel.key for tunnel in season.holding.tunnels]
    ended = {key for key in tunnels if crop_taken_on(season, key) or crop_over_since(season, key)}
    return frozenset(row for row, (tunnel, _) in season.layout.rows.items() if tunnel.key in ended)


def _cold_night(season: Season, tunnel: str) -> tuple[date, float] | None:
    """The first night of this autumn with such a frost inside, and how cold it was."""
    planted = min((leader.planted_on for leader in season.leaders_of_tunnel(tunnel)), default=season.day)
    nights = {**season.airs.get("", {}), **season.airs.get(tunnel, {})}
    cold = [
        (day, air.min_c)
        for day, air in nights.items()
        if air.min_c is not None and air.min_c <= KILLS_C and day > planted and _of_this_autumn(season, day)
    ]
    return min(cold, default=None)


def _of_this_autumn(season: Season, day: date) -> bool:
    usual = usual_growing_year(season.holding.latitude_deg)
    from_autumn = GrowingYear((usual.month + ENDS_FROM_MONTH - 2) % 12 + 1)
    began = from_autumn.span(from_autumn.of(season.day))[0]
    return began <= day <= season.day and (season.day - day).days < OF_A_SEASON_DAYS


def _answer(season: Season, tunnel: str, since: date) -> bool | None:
    answers = [body.took_crop for day, body in _answers_of(season.frosts, tunnel) if day >= since]
    return answers[-1] if answers else None


def _answers_of(bodies: Iterable[tuple[date, str, Said]], tunnel: str) -> list[tuple[date, Said]]:
    """Of a tunnel, or of all of them: day and body, in order."""
    return [(day, body) for day, about, body in bodies if about in ("", tunnel)]


def _ask(
    season: Season, kind: ChoreKind, tunnel: str, proposal: str, why: str, choices: Sequence[tuple[str, str, Body]]
) -> Chore:
    """``choices``: letter, words and what each writes of the tunnel."""
    where = at_tunnel(season, tunnel)
    return make_chore(
        kind,
        tunnel,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("{}: {}", tunnel, proposal),
        why=why,
        pieces=whole(where, minutes_for(season, kind)),
        choices=[(letter, words, [("", (tunnel, body))]) for letter, words, body in choices],
    )


RULES = (ChoreRule(frost_took, (FROST_TOOK,)), ChoreRule(crop_over, (CROP_OVER,)))
