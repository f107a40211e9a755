"""What to look for: once a disease's weather came, until it was looked for, and weekly on the way along a row."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.care.advice import Advice
from tunneltui.care.disease_weather import (
    BLIGHT_HUMID_RH,
    BLIGHT_NIGHT_C,
    LEAF_MOULD_DAYS,
    LEAF_MOULD_HOURS,
    LEAF_MOULD_RH,
    DayAir,
    blight_weather,
    grey_mould_weather,
    leaf_mould_weather,
)
from tunneltui.care.tunnel_air import day_air
from tunneltui.cells import Range, Share, degc, joined, say
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Holding, Pest, Tunnel
from tunneltui.journal.kinds_care import Scouted
from tunneltui.season.state import Season

USUAL_PESTS = (
    Pest("whitefly", "white specks that fly up from a shaken tip, scales under leaves", "Encarsia wasps", 7),
    Pest("spider mite", "pale pin pricks on leaves, fine webs in dry heat", "Phytoseiulus mites", 7),
    Pest("aphid", "sticky leaves, cast white skins, curled tips", "Aphidius wasps or lacewing larvae", 7),
    Pest("thrips", "silver flecks with black dots", "Amblyseius mites", 7),
    Pest("leafminer", "white winding lines in leaves", "Diglyphus wasps", 10),
    Pest("russet mite", "stems bronzed and leaves drying from below upwards", "", 0),
    Pest("caterpillar", "holes in leaves and fruit, dark droppings", "", 0),
)
"""Pests by name: what to look for, who eats them, and how long an order takes. The whole list is common practice,
without a source; the holding's own ``[[pests]]`` replace or add to it. The supplier says which helper suits the
temperature, and a spray's label how long it harms helpers."""
OTHER_NAMES = {
    "aphid": ("greenfly", "blackfly"),
    "spider mite": ("red spider", "two-spotted mite"),
    "leafminer": ("leaf miner",),
}
"""What growers also call them."""

SCOUT_EVERY_DAYS = 7
"""Plants are looked over for pests once a week. Common practice, no source."""
PESTS_A_WEEK = 2
STILL_SHOWS_DAYS = 7
"""Days after such weather in which what it infected first shows. Common practice, no source."""
LOOK_BACK_DAYS = 21


class Disease(Struct, frozen=True):
    """One disease's weather: how it is told, and what to look for then."""

    key: str
    must: bool
    weather: Callable[[Sequence[DayAir]], list[bool | None]]
    look_for: str
    why: str
    source: str


DISEASES = (
    Disease(
        "late blight",
        True,
        blight_weather,
        "brown patches, wet at the edge, on leaves and stems",
        say(
            "two nights of {} or more with six hours at {}: late blight weather outdoors; under plastic it is "
            "warmer and moister than the rule allows for",
            degc(BLIGHT_NIGHT_C),
            Share(BLIGHT_HUMID_RH / 100),
        ),
        "Hutton criteria (AHDB)",
    ),
    Disease(
        "leaf mould",
        False,
        leaf_mould_weather,
        "yellow patches with olive felt beneath",
        say(
            "{} days of {} hours over {} humidity: leaf mould can spread",
            LEAF_MOULD_DAYS,
            LEAF_MOULD_HOURS,
            Share(LEAF_MOULD_RH / 100),
        ),
        "Rutgers, Penn State",
    ),
    Disease(
        "grey mould",
        False,
        grey_mould_weather,
        "grey fur on the scars of taken leaves",
        say(
            "two days with five hours over 90% humidity at {}: grey mould enters fresh scars",
            Range(15, 25, "degC"),
        ),
        "HDC PC 301",
    ),
)


class Spell(Struct, frozen=True):
    """Days running of one disease's weather, the last one no longer ago than what it infects takes to show."""

    disease: Disease
    first: date
    last: date

    @property
    def words(self) -> str:
        if self.first == self.last:
            return say("{}: {}", self.first, self.disease.why)
        return say("{} to {}: {}", self.first, self.last, self.disease.why)


def spells(season: Season, tunnel: str) -> list[Spell]:
    """The newest spell of each disease's weather, up to yesterday; days not read end one."""
    days = [season.day - timedelta(days=back) for back in range(LOOK_BACK_DAYS, 0, -1)]
    airs = [day_air(season, tunnel, day) for day in days]
    met_spells = []
    for disease in DISEASES:
        met = disease.weather(airs)
        last = max((i for i, so in enumerate(met) if so), default=-1)
        if last < len(days) - STILL_SHOWS_DAYS:
            continue
        first = last
        while first > 0 and met[first - 1]:
            first -= 1
        met_spells.append(Spell(disease, days[first], days[last]))
    return met_spells


def scouting(season: Season, tunnel: Tunnel) -> Iterable[Advice]:
    """One look for all diseases whose weather came, until every row was looked over since it began."""
    rows = [row_id(tunnel, row) for row in tunnel.rows if season.leaders_of_row(row_id(tunnel, row))]
    looked = min((last_scouted(season, row, tunnel.key) or date.min for row in rows), default=date.max)
    open_spells = [spell for spell in spells(season, tunnel.key) if looked <= spell.first]
    if not open_spells:
        return
    yield Advice(
        "scout",
        tunnel.key,
        any(spell.disease.must for spell in open_spells),
        "any",
        "look for " + "; ".join(spell.disease.look_for for spell in open_spells),
        joined("; ", (spell.words for spell in open_spells)),
        ", ".join(spell.disease.source for spell in open_spells),
        ((tunnel.key, Scouted()),),
    )


def last_scouted(season: Season, row: str, tunnel: str) -> date | None:
    """Day on which a row was last looked over for sickness."""
    days = [day for day, about, _ in season.scoutings if about in (row, tunnel, "")]
    return max(days, default=None)


def weekly_look(season: Season, row: str) -> str:
    """What to look for on this week's way along a row; '' where it was looked over within the week.

    Diseases whose weather came lately first, then two pests a week in turn, so that each comes round.
    """
    tunnel, _ = season.layout.rows[row]
    last = last_scouted(season, row, tunnel.key)
    if last is not None and (season.day - last).days < SCOUT_EVERY_DAYS:
        return ""
    ill = [f"{spell.disease.key}: {spell.disease.look_for}" for spell in spells(season, tunnel.key)]
    pest_list = pests(season.holding)
    week = season.day.toordinal() // SCOUT_EVERY_DAYS
    turn = [
        pest_list[(PESTS_A_WEEK * week + n) % len(pest_list)] for n in range(min(PESTS_A_WEEK, len(pest_list)))
    ]
    return "; ".join([*ill, *(f"{pest.key}: {pest.look_for}" if pest.look_for else pest.key for pest in turn)])


def pests(holding: Holding) -> tuple[Pest, ...]:
    """The built-in list with the holding's own in place of those of the same name, and after them."""
    own = {pest.key.casefold(): pest for pest in holding.pests}
    names = {pest.key.casefold() for pest in USUAL_PESTS}
    kept = [own.get(pest.key.casefold(), pest) for pest in USUAL_PESTS]
    return (*kept, *(pest for name, pest in own.items() if name not in names))


def pests_in(holding: Holding, text: str) -> list[Pest]:
    """Those that a scouting's words name, one or many of them, or by another name."""
    words = text.casefold()
    return [pest for pest in pests(holding) if any(name in words for name in _names(pest.key.casefold()))]


def _names(key: str) -> list[str]:
    names = [key, *OTHER_NAMES.get(key, ())]
    return names + [f"{name[:-1]}ies" for name in names if name.endswith("y")]
