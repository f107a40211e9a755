"""Fleece, doors, shade and trays: what to change before tonight or today's heat. No cover is a promise."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from tunneltui.care.advice import Advice
from tunneltui.care.frost import FROST_C, Night, barrels_hold_k, cover_m2, night
from tunneltui.care.heat import SET_MEAN_C, flowers_harmed
from tunneltui.care.margin import day_margin, night_margin
from tunneltui.care.tunnel_air import air_on, issued_for
from tunneltui.cells import Range, degc, say
from tunneltui.holding.model import Tunnel
from tunneltui.journal.kinds_care import Doors, Fleece, Shade
from tunneltui.season.state import Season

FLEECE_ON_OUTSIDE_C = 2.0
FLEECE_OFF_OUTSIDE_C = 6.0
"""Outside minima at which to cover and uncover; a clear night may be no warmer inside. Common practice."""
MOST_FLEECES = 2
DOORS_OPEN_INSIDE_C = 27.0
DOORS_SHUT_NIGHT_C = 10.0
SHADE_ON_INSIDE_C = 35.0
SHADE_OFF_INSIDE_C = 28.0
"""From memory, common practice."""
HARDENING_NIGHT_C = 10.0
"""Nights steadily at or over this before trays stay out: growers' guides agree."""
NIGHTS_AHEAD = 3


def covers(season: Season, tunnel: Tunnel) -> Iterable[Advice]:
    """What to change about a tunnel's covers by the weather issued."""
    low, _ = issued_for(season, season.day + timedelta(days=1))
    _, high = issued_for(season, season.day)
    inside = None if high is None else day_margin(season, tunnel.key).over(high)[1]
    if low is not None:
        yield from _fleece(season, tunnel, low)
    yield from _doors(season, tunnel, low, inside)
    if inside is not None:
        yield from _shade(season, tunnel, inside)


def expected_night(season: Season, tunnel: Tunnel, outside_min_c: float, fleeces: int) -> Night:
    """What such a night may become among the plants: this tunnel's margin, fleece, barrels."""
    margin = night_margin(season, tunnel.key)
    barrels_k = barrels_hold_k(tunnel.barrels_l, cover_m2(tunnel.length_m, tunnel.width_m))
    return night(outside_min_c, fleeces, (margin.low_k, margin.mid_k, margin.high_k), barrels_k)


def _fleece(season: Season, tunnel: Tunnel, outside_min_c: float) -> Iterable[Advice]:
    on = season.fleece_on.get(tunnel.key, False)
    if not on and outside_min_c <= FLEECE_ON_OUTSIDE_C:
        bare, covered = (expected_night(season, tunnel, outside_min_c, fleeces) for fleeces in (0, 1))
        own = night_margin(season, tunnel.key).own_days
        by = say("by {} of your own nights", own) if own else "by published nights"
        why = say(
            "{} forecast outside tonight: {} in the tunnel, {} with fleece, {}; no cover is a promise, hang a "
            "thermometer among the plants",
            degc(outside_min_c),
            bare.words,
            covered.words,
            by,
        )
        source = "Savage 1980, Guttormsen 1972, Oregon row cover trials; single nights gained nothing"
        must = outside_min_c <= FROST_C or bare.low_c <= FROST_C
        body = ((tunnel.key, Fleece(on=True)),)
        yield Advice("fleece", tunnel.key, must, "any", "fleece on before dusk", why, source, body)
    if on and season.fleece_layers.get(tunnel.key, 1) < MOST_FLEECES:
        yield from _second_fleece(season, tunnel, outside_min_c)
    if on and outside_min_c >= FLEECE_OFF_OUTSIDE_C:
        why = say("{} forecast outside tonight: light matters more than cover", degc(outside_min_c))
        source = "common practice; heavy fleece takes up to half the light (growers' guides)"
        body = ((tunnel.key, Fleece(on=False)),)
        yield Advice("fleece", tunnel.key, False, "any", "fleece off", why, source, body)


def _second_fleece(season: Season, tunnel: Tunnel, outside_min_c: float) -> Iterable[Advice]:
    """Where frost is likely under the one that is on."""
    single, two = (expected_night(season, tunnel, outside_min_c, fleeces) for fleeces in (1, 2))
    if single.mid_c > FROST_C:
        return
    why = say(
        "{} forecast outside tonight: {} under the fleece that is on, {} under two; barrels help only the cover "
        "they stand under; no cover is a promise",
        degc(outside_min_c),
        single.words,
        two.words,
    )
    source = "Savage 1980, Guttormsen 1972; what a second layer adds is assumed"
    body = ((tunnel.key, Fleece(on=True, layers=2)),)
    change = "second fleece on before dusk, or a low cover on hoops"
    yield Advice("fleece", tunnel.key, True, "any", change, why, source, body)


def _doors(season: Season, tunnel: Tunnel, low_c: float | None, inside_c: float | None) -> Iterable[Advice]:
    stand = season.doors_open.get(tunnel.key)
    source = say(
        "common practice; fruit set suffers above a daily mean of {} (Agronomy 2014, 4(1):167)",
        Range(25, 26, "degC"),
    )
    if inside_c is not None and inside_c >= DOORS_OPEN_INSIDE_C and stand is not True:
        why = say("about {} expected inside by day; shut doors go higher still", degc(inside_c))
        body = ((tunnel.key, Doors(open=True)),)
        yield Advice("vents", tunnel.key, False, "early and dry", "doors open", why, source, body)
    elif low_c is not None and low_c < DOORS_SHUT_NIGHT_C and stand is True:
        why = say("{} forecast outside tonight, under {}", degc(low_c), degc(DOORS_SHUT_NIGHT_C))
        body = ((tunnel.key, Doors(open=False)),)
        yield Advice("vents", tunnel.key, False, "any", "doors shut before dusk", why, source, body)


def _shade(season: Season, tunnel: Tunnel, inside_c: float) -> Iterable[Advice]:
    on = season.shade_on.get(tunnel.key, False)
    source = "common practice; whitening took 21% off water use (Fernandez et al. 2010)"
    if not on and inside_c >= SHADE_ON_INSIDE_C:
        yesterday = air_on(season, tunnel.key, season.day - timedelta(days=1))
        read = yesterday.mean_c if yesterday is not None else None
        seen = say(", yesterday's mean {}", degc(read)) if read is not None else ""
        why = say(
            "about {} expected inside{}; set suffers above a mean of {}, on trusses that open about {}",
            degc(inside_c),
            seen,
            degc(SET_MEAN_C, 1),
            flowers_harmed(season.day),
        )
        body = ((tunnel.key, Shade(on=True)),)
        yield Advice("shade", tunnel.key, False, "midday", "shade on", why, source, body)
    if on and inside_c <= SHADE_OFF_INSIDE_C:
        why = say("about {} expected inside", degc(inside_c))
        body = ((tunnel.key, Shade(on=False)),)
        yield Advice("shade", tunnel.key, False, "any", "shade off", why, source, body)


def nights_words(season: Season) -> str:
    """Where hardening trays belong in the coming nights, as a sentence; says so where no weather was issued.
    Advice, not a limit."""
    lows = [issued_for(season, season.day + timedelta(days=n))[0] for n in range(1, NIGHTS_AHEAD + 1)]
    nights = [low for low in lows if low is not None]
    if not nights:
        return say(
            "No weather is issued for the nights: in by night unless they hold {}.", degc(HARDENING_NIGHT_C)
        )
    coldest = min(nights)
    span = Range(coldest, max(nights), "degC")
    if coldest < HARDENING_NIGHT_C:
        under = degc(HARDENING_NIGHT_C)
        return say("Nights of {} outside are issued, under {}: in by night, out by day.", span, under)
    stay = "they may stay out, sheltered; a week or two in all, more each day."
    return say("Nights of {} outside are issued: {}", span, stay)
