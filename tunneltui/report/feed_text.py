"""What ``feed`` says: cans for soil growers first; on request what a label gives and what must not meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from tunneltui.care.feed import (
    EARLY_NITROGEN_MG_L,
    EARLY_TRUSSES,
    METER_SCALES,
    Strength,
    cans,
    cans_words,
    dressing_amount,
    ppm_from_ec,
    removed_g,
)
from tunneltui.chores.wording import bed_words
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.report.documents import Document
from tunneltui.report.plain import day_words, joined, wrapped
from tunneltui.report.water_text import LOOK_FIRST
from tunneltui.season.state import Season


@dataclass(frozen=True, slots=True)
class TunnelFeed:
    tunnel: str
    plants: int
    set_fruit: bool
    """A first truss has set: feeding begins."""
    early: bool
    """Before the third truss flowers."""
    last_on: date | None
    home_made_l: float
    """Home-made liquids of the season, by volume only."""
    dressed: tuple[str, ...]
    """What was put on its beds, a clause each."""
    picked_kg: float


def tunnels_feed(season: Season, outlook: Outlook) -> list[TunnelFeed]:
    """Every planted tunnel, when it was last fed and what the picks took out of it."""
    found = []
    for tunnel in season.holding.tunnels:
        leaders = [x for row in tunnel.rows for x in season.leaders_of_row(row_id(tunnel, row))]
        if not leaders:
            continue
        stems = [outlook.stem(x.id, season.day) for x in leaders if x.id in outlook.leaders]
        fed = [(day, body) for day, about, body in season.feeds if about in (tunnel.key, "")]
        flowering = sum(stem.flowering_truss for stem in stems) / max(1, len(stems))
        found.append(
            TunnelFeed(
                tunnel.key,
                len({x.plant for x in leaders}),
                any(stem.trusses for stem in stems),
                flowering < EARLY_TRUSSES,
                fed[-1][0] if fed else None,
                sum(body.litres or 0.0 for _, body in fed if body.home_made),
                tuple(_dressed(season, tunnel.key)),
                sum(p.picked.kg or 0.0 for p in season.picks if p.tunnel == tunnel.key),
            )
        )
    return found


def _dressed(season: Season, tunnel: str) -> list[str]:
    return [
        f"{bed_words(body.bed)}: {body.what}{dressing_amount(body)} on {day_words(day)}"
        for day, about, body in season.bed_dressings
        if about in (tunnel, "")
    ]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was asked for on request beside the cans."""

    strength: Strength | None = None
    made_up: str = ""
    """How it is made up, and what was assumed."""
    ec_ds_m: float | None = None
    scale: str = ""
    apart: tuple[str, ...] = ()
    """Sentences about stocks that must not meet; empty: not asked."""


def feed_document(season: Season, outlook: Outlook, wanted: Wanted) -> Document:
    """Cans a tunnel and week, what the picks removed [g], and what was asked on request."""
    return {
        "day": season.day.isoformat(),
        "tunnels": [_tunnel(feed) for feed in tunnels_feed(season, outlook)],
        "strength": None
        if wanted.strength is None
        else {k: round(v, 1) for k, v in asdict(wanted.strength).items()},
        "made_up": wanted.made_up or None,
        "ec": _ec(wanted),
        "apart": list(wanted.apart),
    }


def _tunnel(feed: TunnelFeed) -> dict[str, Any]:
    return {
        "tunnel": feed.tunnel,
        "plants": feed.plants,
        "cans_low": cans(feed.plants)[0],
        "cans_high": cans(feed.plants)[1],
        "set_fruit": feed.set_fruit,
        "early": feed.early,
        "last_on": feed.last_on.isoformat() if feed.last_on else None,
        "home_made_l": round(feed.home_made_l, 1),
        "dressed": list(feed.dressed),
        "picked_kg": round(feed.picked_kg, 1),
        "removed_g": {
            element: [round(low), round(high)] for element, (low, high) in removed_g(feed.picked_kg).items()
        },
    }


def _ec(wanted: Wanted) -> dict[str, Any] | None:
    if wanted.ec_ds_m is None:
        return None
    scales = [wanted.scale] if wanted.scale else list(METER_SCALES)
    return {
        "ds_m": wanted.ec_ds_m,
        "ppm": {scale: round(ppm_from_ec(wanted.ec_ds_m, scale)) for scale in scales},
    }


def feed_text(season: Season, outlook: Outlook, wanted: Wanted) -> str:
    lines = [f"{day_words(season.day)}  feed"]
    feeds = tunnels_feed(season, outlook)
    for feed in feeds:
        for number, words in enumerate(feed_words(feed)):
            lines += wrapped(words, "  " if number == 0 else "      ", "      ")
    if not feeds:
        lines.append("  Nothing is planted.")
    for words in wanted_words(wanted, any(feed.early for feed in feeds)):
        lines += wrapped(words, "", "")
    return joined([*lines, *wrapped(RESTS_ON, "", "")])


RESTS_ON = (
    "Home-made liquids count by volume only: their strength varies threefold. Never let calcium meet sulphate "
    f"or phosphate, or acid meet alkali, as concentrates. {LOOK_FIRST}"
)


def feed_words(feed: TunnelFeed) -> list[str]:
    """Cans, nitrogen while the plants are young, beds, home-made liquids, what the picks took."""
    last = f"last fed {day_words(feed.last_on)}" if feed.last_on else "no feed noted yet"
    begun = "" if feed.set_fruit else "; feeding begins weekly once the first truss has set"
    words = [f"{feed.tunnel}  {cans_words(feed.plants)} for {feed.plants} plants; {last}{begun}"]
    if feed.early:
        words.append(
            f"Before the third truss: no more than about {EARLY_NITROGEN_MG_L[1]:.0f} mg/L of nitrogen, else leaf "
            "instead of fruit (Florida HS796)."
        )
    words += [f"{one[:1].upper()}{one[1:]}." for one in feed.dressed]
    if feed.home_made_l:
        words.append(f"{feed.home_made_l:g} L of home-made liquids this season, of unknown strength.")
    if feed.picked_kg:
        took = ", ".join(f"{e} {low:.0f} to {high:.0f} g" for e, (low, high) in removed_g(feed.picked_kg).items())
        words.append(f"{feed.picked_kg:.0f} kg picked took out {took}.")
    return words


def wanted_words(wanted: Wanted, early: bool) -> list[str]:
    """On request: strength with nitrogen held against what young plants bear, meter scales, stocks apart."""
    words = []
    if wanted.strength is not None:
        n, p, k = (getattr(wanted.strength, f"{e}_mg_l") for e in "npk")
        rest = ((name, getattr(wanted.strength, f"{name.lower()}_mg_l")) for name in ("Ca", "Mg"))
        more = "".join(f", {name} {mg:.0f}" for name, mg in rest if mg)
        words.append(f"Made up so ({wanted.made_up}): N {n:.0f}, P {p:.0f}, K {k:.0f}{more} mg/L.")
        if early and n > EARLY_NITROGEN_MG_L[1]:
            words.append(
                f"{n:.0f} mg/L of nitrogen is over the {EARLY_NITROGEN_MG_L[0]:.0f} to "
                f"{EARLY_NITROGEN_MG_L[1]:.0f} that plants before their third truss bear: leaf instead of fruit, "
                "and blossom-end rot (Florida HS796)."
            )
    if wanted.ec_ds_m is not None:
        shown = ", ".join(f"{ppm} on the {scale} scale" for scale, ppm in (_ec(wanted) or {})["ppm"].items())
        words.append(
            f"{wanted.ec_ds_m:g} dS/m (mS/cm) is shown in ppm as {shown}; a ppm without its scale says nothing."
        )
    return [*words, *wanted.apart]


def apart_words(stocks: Sequence[str]) -> tuple[str, ...]:
    """Which of these concentrates must not meet, a sentence a pair."""
    from tunneltui.care.feed import must_not_meet

    clashes = must_not_meet(stocks)
    if not clashes:
        return (f"Of {', '.join(stocks)} no pair is known to clash; try a jar of both before a tank.",)
    return tuple(
        f"{one.capitalize()} and {other} must not meet as concentrates: {why}. Dissolve one in the "
        "full tank first."
        for one, other, why in clashes
    )
