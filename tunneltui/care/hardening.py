"""Hardening trays: which of the coming nights they may stand out, by the weather issued. Advice, not a limit."""

from __future__ import annotations

from datetime import timedelta

from tunneltui.care.tunnel_air import issued_for
from tunneltui.cells import Range, degc, say
from tunneltui.season.state import Season

HARDENING_NIGHT_C = 10.0
"""Nights steadily at or over this before trays stay out: growers' guides agree."""
NIGHTS_AHEAD = 3


def nights_words(season: Season) -> str:
    """Where the trays belong in the coming nights, as a sentence; says so where no weather was issued."""
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
