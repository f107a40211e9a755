"""Entries about air, water, feed and beds as sentences, for ``report.story``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tunneltui.chores.wording import bed_words, many
from tunneltui.journal import kinds_care as care
from tunneltui.season.state import Season


def _amount(body: Any) -> str:
    kg, litres, cans = (getattr(body, key, None) for key in ("kg", "litres", "cans"))
    minutes = getattr(body, "minutes", None)
    said = [
        f"{value:g} {unit}" for value, unit in ((kg, "kg"), (litres, "L"), (cans, "cans"), (minutes, "min"))
        if value is not None
    ]  # fmt: skip
    return f", {' and '.join(said)}" if said else ""


def _fed(body: care.Fed, _season: Season) -> str:
    made = " (home-made)" if body.home_made else ""
    return f"fed{f' {body.what}' if body.what else ''}{made}{_amount(body)}"


def _watered(body: care.Watered, _season: Season) -> str:
    return f"timer set to{_amount(body)[1:]} a day" if body.timer else f"watered{_amount(body)}"


def _air(body: care.Air, _season: Season) -> str:
    read = (("least", body.min_c), ("mean", body.mean_c), ("most", body.max_c))
    ends = [f"{word} {value:.1f}" for word, value in read if value is not None]
    by = {"sensor": "a logger", "hand": "hand", "estimate": "estimate"}[body.source]
    return f"air by {by}: {', '.join(ends) if ends else 'no figure'}{' degC' if ends else ''}"


def _forecast(body: care.Forecast, _season: Season) -> str:
    def listed(figures: tuple[float | None, ...]) -> str:
        return " ".join("-" if one is None else f"{one:.0f}" for one in figures)

    return (
        f"weather issued {body.issued}: nights {listed(body.min_c) or '-'}, days {listed(body.max_c) or '-'} degC"
    )


def _dressed(body: care.BedDressed, _season: Season) -> str:
    return f"{bed_words(body.bed)} dressed with {body.what}{_amount(body)}"


def _bucket(body: care.BucketTested, _season: Season) -> str:
    plants = many(body.plants, "plant")
    return (
        f"bucket test, {many(body.days, 'day')}, {plants}: {body.given_l:g} L given, {body.drained_l:g} L drained"
    )


WORDS: dict[type, Callable[[Any, Season], str]] = {
    care.Fed: _fed,
    care.Watered: _watered,
    care.Air: _air,
    care.Forecast: _forecast,
    care.BedDressed: _dressed,
    care.BucketTested: _bucket,
}
