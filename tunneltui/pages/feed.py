"""Feed: cans for soil growers first; on request what a label gives and which concentrates must not meet."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from tunneltui.care.feed import (
    EARLY_NITROGEN_MG_L,
    EARLY_TRUSSES,
    METER_SCALES,
    FeedStrength,
    Label,
    cans,
    cans_words,
    dressing_amount,
    ppm_from_ec,
    removed_g,
)
from tunneltui.cells import Day, Range, Sentence, as_typed, bed_words, capital, joined, kg, say, words
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.pages.page import NOTHING, Item, Page, Section
from tunneltui.pages.water import LOOK_FIRST
from tunneltui.season.state import Season


class TunnelFeed(Struct, frozen=True):
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
    tunnel_feeds = []
    for tunnel in season.holding.tunnels:
        leaders = [x for row in tunnel.rows for x in season.leaders_of_row(row_id(tunnel, row))]
        if not leaders:
            continue
        stems = [outlook.stem(x.id, season.day) for x in leaders if x.id in outlook.leaders]
        fed = [(day, body) for day, about, body in season.feeds if about in (tunnel.key, "")]
        flowering = sum(stem.flowering_truss for stem in stems) / max(1, len(stems))
        tunnel_feeds.append(
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
    return tunnel_feeds


def _dressed(season: Season, tunnel: str) -> list[Sentence]:
    return [
        say("{}: {}{} on {}", bed_words(body.bed), body.what, dressing_amount(body), Day(day, year=True))
        for day, about, body in season.bed_dressings
        if about in (tunnel, "")
    ]


class FeedRequest(Struct, frozen=True):
    """What is asked for beside the cans."""

    strength: FeedStrength | None = None
    made_up: str = ""
    """How it is made up, and what was assumed."""
    ec_ds_m: float | None = None
    scale: str = ""
    apart: tuple[str, ...] = ()
    """Sentences about stocks that must not meet; empty: not asked."""


def powder_words(label: Label, grams: float) -> str:
    """How a powder is made up."""
    return f"{grams:g} g a litre{_doubted(label)}"


def liquid_words(label: Label, ml: float, dilution: float | None, *, weighed: bool) -> str:
    """How a liquid is made up, and what was assumed of its density where nobody ``weighed`` it."""
    if label.by == "w/v":
        dense = "grams in 100 mL as the label says"
    else:
        dense = f"density {label.density_kg_l:g} kg/L" + ("" if weighed else ", a guess: weigh a litre")
    diluted = f", one part in {dilution:g} of feed" if dilution is not None else ""
    return f"{ml:g} mL a litre{diluted}, {dense}{_doubted(label)}"


def _doubted(label: Label) -> str:
    """There are ready-made feeds of less than a percent in all, but fractions of one look the same."""
    small = 0 < label.n_percent + label.p2o5_percent + label.k2o_percent < 1
    return "; if the label was typed as fractions of one, type percent" if small else ""


def feed_document(season: Season, outlook: Outlook, request: FeedRequest) -> dict[str, Any]:
    """Cans a tunnel and week, what the picks removed [g], and what was asked on request."""
    return {
        "day": season.day.isoformat(),
        "tunnels": [_tunnel(feed) for feed in tunnels_feed(season, outlook)],
        "strength": None
        if request.strength is None
        else {k: round(v, 1) for k, v in asdict(request.strength).items()},
        "made_up": request.made_up or None,
        "ec": _ec(request),
        "apart": list(request.apart),
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


def _ec(request: FeedRequest) -> dict[str, Any] | None:
    if request.ec_ds_m is None:
        return None
    scales = [request.scale] if request.scale else list(METER_SCALES)
    return {
        "ds_m": request.ec_ds_m,
        "ppm": {scale: round(ppm_from_ec(request.ec_ds_m, scale)) for scale in scales},
    }


def feed_page(season: Season, outlook: Outlook, request: FeedRequest) -> Page:
    feeds = tunnels_feed(season, outlook)
    sections = tuple(feed_section(feed) for feed in feeds)
    nothing = Section("unplanted", items=(Item("unplanted", lengths=(words("Nothing is planted."),)),))
    answers = _request_words(request, any(feed.early for feed in feeds))
    title = say("{}  feed", Day(season.day, year=True))
    return Page(title, sections or (nothing,), (*answers, words(RESTS_ON)))


RESTS_ON = (
    "Home-made liquids count by volume only: their strength varies threefold. Never let calcium meet sulphate "
    f"or phosphate, or acid meet alkali, as concentrates. {LOOK_FIRST}"
)


def feed_section(feed: TunnelFeed, title: str = NOTHING) -> Section:
    """Cans, nitrogen while the plants are young, beds, home-made liquids, what the picks took."""
    sentences = _feed_words(feed)
    items = (Item(f"feed {feed.tunnel} {n}", lengths=(sentence,)) for n, sentence in enumerate(sentences))
    return Section(f"feed {feed.tunnel}", title, items=tuple(items))


def _feed_words(feed: TunnelFeed) -> list[Sentence]:
    last = say("last fed {}", Day(feed.last_on)) if feed.last_on else "no feed noted yet"
    begun = "" if feed.set_fruit else "; feeding begins weekly once the first truss has set"
    sentences = [say("{}  {} for {} plants; {}{}", feed.tunnel, cans_words(feed.plants), feed.plants, last, begun)]
    if feed.early:
        sentences.append(
            words(
                f"Before the third truss: no more than about {EARLY_NITROGEN_MG_L[1]:.0f} mg/L of nitrogen, else "
                "leaf instead of fruit (Florida HS796)."
            )
        )
    sentences += [capital(dressing) + "." for dressing in feed.dressed]
    if feed.home_made_l:
        amount = as_typed(feed.home_made_l, "L")
        sentences.append(say("{} of home-made liquids this season, of unknown strength.", amount))
    if feed.picked_kg:
        took = joined(
            ", ",
            (
                say("{} {}", element, Range(low / 1000, high / 1000, "g"))
                for element, (low, high) in removed_g(feed.picked_kg).items()
            ),
        )
        sentences.append(say("{} picked took out {}.", kg(feed.picked_kg, 0), took))
    return sentences


def _request_words(request: FeedRequest, early: bool) -> list[str]:
    """On request: strength with nitrogen held against what young plants bear, meter scales, stocks apart."""
    sentences: list[str] = []
    if request.strength is not None:
        n, p, k = (getattr(request.strength, f"{e}_mg_l") for e in "npk")
        rest = ((name, getattr(request.strength, f"{name.lower()}_mg_l")) for name in ("Ca", "Mg"))
        more = "".join(f", {name} {mg:.0f}" for name, mg in rest if mg)
        figures = f"N {n:.0f}, P {p:.0f}, K {k:.0f}{more} mg/L."
        sentences.append(say("Made up so ({}): {}", request.made_up, figures))
        if early and n > EARLY_NITROGEN_MG_L[1]:
            sentences.append(
                f"{n:.0f} mg/L of nitrogen is over the {EARLY_NITROGEN_MG_L[0]:.0f} to "
                f"{EARLY_NITROGEN_MG_L[1]:.0f} that plants before their third truss bear: leaf instead of fruit, "
                "and blossom-end rot (Florida HS796)."
            )
    if request.ec_ds_m is not None:
        shown = ", ".join(f"{ppm} on the {scale} scale" for scale, ppm in (_ec(request) or {})["ppm"].items())
        sentences.append(
            f"{request.ec_ds_m:g} dS/m (mS/cm) is shown in ppm as {shown}; a ppm without its scale says nothing."
        )
    return [*sentences, *request.apart]


def apart_words(stocks: Sequence[str]) -> tuple[str, ...]:
    """Which of these concentrates must not meet, a sentence a pair."""
    from tunneltui.care.feed import must_not_meet

    clashes = must_not_meet(stocks)
    if not clashes:
        return (f"Of {', '.join(stocks)} no pair is known to clash; try a jar of both before a tank.",)
    return tuple(
        f"{stock.capitalize()} and {other} must not meet as concentrates: {why}. Dissolve one in the "
        "full tank first."
        for stock, other, why in clashes
    )
