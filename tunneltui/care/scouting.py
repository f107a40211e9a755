"""What to look for: on the first day a disease's weather is met, and once a week on the way along a row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from tunneltui.care.advised import Advice
from tunneltui.care.disease_weather import LEAF_MOULD_RH, blight_weather, grey_mould_hours, leaf_mould_hours
from tunneltui.care.pests import pests
from tunneltui.care.tunnel_air import day_air
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Tunnel
from tunneltui.journal.kinds_care import Scouted
from tunneltui.season.state import Season

MOULD_DAYS, MOULD_HOURS = 3, 12
GREY_MOULD_DAILY_HOURS = 5
SCOUT_EVERY_DAYS = 7
"""Plants are looked over for pests once a week. Common practice, no source."""
PESTS_A_WEEK = 2


@dataclass(frozen=True, slots=True)
class Sign:
    """A disease whose weather was met yesterday for the first time."""

    disease: str
    must: bool
    look_for: str
    why: str
    source: str


def signs(season: Season, tunnel: str) -> Iterator[Sign]:
    """Diseases whose weather began by yesterday; silent until that weather has lapsed and come again."""
    days = [day_air(season, tunnel, season.day - timedelta(days=back)) for back in range(MOULD_DAYS + 1, 0, -1)]
    blight = blight_weather(days)
    if blight[-1] and not blight[-2]:
        why = (
            "two nights of 10 degC or more with six hours at 90 %: late blight weather outdoors; under plastic it "
            "is warmer and moister than the rule allows for"
        )
        look = "brown water-soaked patches on leaves and stems"
        yield Sign("late blight", True, look, why, "Hutton criteria (AHDB)")
    mould = [leaf_mould_hours(day)[0] >= MOULD_HOURS for day in days]
    if all(mould[1:]) and not mould[0]:
        why = (
            f"{MOULD_DAYS} days of {MOULD_HOURS} hours over {LEAF_MOULD_RH:.0f} % humidity: leaf mould can spread"
        )
        yield Sign("leaf mould", False, "yellow patches with olive felt beneath", why, "Rutgers, Penn State")
    grey = [grey_mould_hours(day)[0] >= GREY_MOULD_DAILY_HOURS for day in days]
    if all(grey[2:]) and not grey[1]:
        why = "two days with five hours over 90 % humidity at 15 to 25 degC: grey mould enters fresh scars"
        yield Sign("grey mould", False, "grey fur on the scars of taken leaves", why, "HDC PC 301")


def scouting(season: Season, tunnel: Tunnel) -> Iterable[Advice]:
    """One look for all diseases whose weather began, unless every row was looked over today."""
    found = list(signs(season, tunnel.key))
    rows = [row_id(tunnel, row) for row in tunnel.rows if season.leaders_of_row(row_id(tunnel, row))]
    if not found or all(last_scouted(season, row, tunnel.key) == season.day for row in rows):
        return
    yield Advice(
        "scout",
        tunnel.key,
        any(sign.must for sign in found),
        "any",
        "look for " + "; ".join(sign.look_for for sign in found),
        "; ".join(sign.why for sign in found),
        ", ".join(sign.source for sign in found),
        ((tunnel.key, Scouted()),),
    )


def last_scouted(season: Season, row: str, tunnel: str) -> date | None:
    """Day on which a row was last looked over for sickness."""
    days = [day for day, about, _ in season.scoutings if about in (row, tunnel, "")]
    return max(days, default=None)


def weekly_look(season: Season, row: str) -> str:
    """What to look for on this week's way along a row; '' where it was looked over within the week.

    Two pests a week in turn, so that the words change and each comes round.
    """
    tunnel, _ = season.layout.rows[row]
    last = last_scouted(season, row, tunnel.key)
    if last is not None and (season.day - last).days < SCOUT_EVERY_DAYS:
        return ""
    known = pests(season.holding)
    week = season.day.toordinal() // SCOUT_EVERY_DAYS
    turn = [known[(PESTS_A_WEEK * week + n) % len(known)] for n in range(min(PESTS_A_WEEK, len(known)))]
    return "; ".join(f"{pest.key}: {pest.look_for}" if pest.look_for else pest.key for pest in turn)
